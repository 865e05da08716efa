"""Times the reading and judging of a long log in a process of its own. Run: `python -m tests.bench.bench_logs`.

Goal: a million rows of two sensors, read and judged, in 10 s of processor time and bounded memory.
"""

import argparse
import datetime
import random
import resource
import subprocess
import sys
import tempfile
from pathlib import Path

from tests.support import ROOT

FIRST = ROOT / "examples" / "first-season.yaml"


def write(path: Path, rows: int) -> None:
    """A reading every 5 s of a box and its room."""
    dice, start = random.Random(1), datetime.datetime(2027, 4, 20)
    with path.open("w") as file:
        file.write("Time,T1 (C),T2 (C)\n")
        for row in range(rows):
            time = start + datetime.timedelta(seconds=5 * row)
            file.write(f"{time:%d/%m/%Y %H:%M:%S},{28 + dice.random() / 5:.2f},{20 + dice.random():.2f}\n")


def main() -> None:
    """Prints seconds of processor time and the most memory."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rows", type=int, default=1_000_000)
    arguments = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        log = Path(folder) / "log.csv"
        write(log, arguments.rows)
        named = ("--sensor", "T1=egg box medium", "--sensor", "T2=room")
        done = subprocess.run(
            [sys.executable, "-m", "advisor", "trial", str(FIRST), str(log), *named],
            cwd=ROOT,
            capture_output=True,
        )
        spent = resource.getrusage(resource.RUSAGE_CHILDREN)
    print(f"{arguments.rows} rows, status {done.returncode}: {spent.ru_utime + spent.ru_stime:.1f} s of processor time, "
          f"{spent.ru_maxrss / 1024:.0f} MB at most")  # fmt: skip


if __name__ == "__main__":
    main()
