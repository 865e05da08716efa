"""Times the page as a browser meets it, over HTTP; prints figures. Run: `python -m tests.bench.bench_page`.

Goals: from key to answer under 200 ms; 50 requests at once, 10,000 in a row and 2,000 species pages without an error and
without growing memory. `--rows` makes the runs shorter.
"""

import argparse
import http.client
import os
import re
import statistics
import subprocess
import sys
import tempfile
import time
import urllib.parse
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from advisor.reading.names import profile_files
from tests.serve.pages import form_in
from tests.support import ROOT


class Server:
    """The command itself over a folder with the examples."""

    def __init__(self, folder: Path) -> None:
        for path in (ROOT / "examples").glob("*.yaml"):
            (folder / path.name).write_bytes(path.read_bytes())
        self.process = subprocess.Popen(
            [sys.executable, "-u", "-m", "advisor", "serve", str(folder), "--port", "0", "--no-open"],
            stdout=subprocess.PIPE,
            text=True,
            cwd=ROOT,
        )
        assert self.process.stdout is not None
        found = re.search(r":(\d+)/", self.process.stdout.readline())
        assert found is not None
        self.port = int(found[1])

    def ask(self, path: str, sent: dict[str, str] | None = None) -> tuple[int, str]:
        """Status and text of one answer, over a connection of its own."""
        line = http.client.HTTPConnection("127.0.0.1", self.port, timeout=60)
        body = urllib.parse.urlencode(sent) if sent else None
        kind = {"Content-Type": "application/x-www-form-urlencoded"} if sent else {}
        line.request("POST" if sent else "GET", path, body, kind)
        answer = line.getresponse()
        text = answer.read().decode()
        line.close()
        return answer.status, text

    def memory(self) -> float:
        """Resident memory [MB], from Linux's own account."""
        told = Path(f"/proc/{self.process.pid}/status").read_text("ascii")
        found = re.search(r"VmRSS:\s+(\d+)", told)
        assert found is not None
        return int(found[1]) / 1024

    def processor(self) -> float:
        """Processor time spent so far [ms], from Linux's own account."""
        told = Path(f"/proc/{self.process.pid}/stat").read_text("ascii").rpartition(") ")[2].split()
        return (int(told[11]) + int(told[12])) * 1000 / os.sysconf("SC_CLK_TCK")


def live(server: Server) -> None:
    """From the form sent after a key to the answer."""
    for name in ("first-season", "floor-heat", "two-species", "nearly-empty"):
        form = form_in(server.ask(f"/plans/{name}.yaml")[1], "plan")
        times: dict[str, list[float]] = {"": [], "tried": []}
        spent: dict[str, float] = {}
        for tried, found in times.items():
            before = server.processor()
            for turn in range(21 if not tried else 5):
                sent = {**form, "e:heat.power": f"{14 + turn} W"} | ({"tried": "1"} if tried else {})
                start = time.perf_counter()
                status, _ = server.ask(f"/plans/{name}.yaml/answer", sent)
                found.append((time.perf_counter() - start) * 1000)
                assert status == 200
            spent[tried] = (server.processor() - before) / len(found)
        quick = sorted(times[""])
        print(
            f"{name}: answer {statistics.median(quick):.0f} ms, slowest {quick[-1]:.0f}, of processor time {spent['']:.0f}; "
            f"with changes tried {statistics.median(times['tried']):.0f} ms, of processor time {spent['tried']:.0f}"
        )


def many(server: Server, rows: int) -> None:
    """Requests at once and in a row; statuses other than 200, and memory before and after."""
    species = list(profile_files())
    paths = [
        "/",
        "/plans/first-season.yaml/text",
        "/rules",
        "/species?q=corn",
        "/mix?ratio=4:1",
        "/static/page.css",
        "/nothing",
    ]
    with ThreadPoolExecutor(50) as pool:
        status = list(pool.map(lambda path: server.ask(path)[0], (paths[:6] * 9)[:50]))
    print(f"50 at once: {status.count(200)} good, {server.memory():.0f} MB")
    for words, count, path_of in (
        ("species pages", rows // 5, lambda turn: f"/species/{species[turn % len(species)]}"),
        ("requests in a row", rows, lambda turn: paths[1 + turn % 5]),
    ):
        bad, start = 0, time.perf_counter()
        for turn in range(count):
            bad += server.ask(path_of(turn))[0] != 200
            if turn in (count // 4, count - 1):
                print(f"{turn + 1} {words}: {bad} bad, {server.memory():.0f} MB")
        print(f"{words}: {(time.perf_counter() - start) / count * 1000:.1f} ms each")


def run() -> None:
    """All figures."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--rows", type=int, default=10_000)
    with tempfile.TemporaryDirectory() as folder:
        server = Server(Path(folder))
        live(server)
        many(server, options.parse_args().rows)
        server.process.terminate()


if __name__ == "__main__":
    run()
