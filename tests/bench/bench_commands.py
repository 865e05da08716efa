"""Times whole commands and many plans; prints medians and ratios. Run: `python -m tests.bench.bench_commands`.

Goals: `check` as a whole process at most 1.6 times a process that only does the imports; 1,000 plans in at most 30 s;
one profile read in 15 ms, all checked in 5 s; growth with clutches and egg boxes no worse than linear. "The imports" are
printed in two ways: the libraries alone, and everything that a check loads.
"""

import argparse
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

from advisor.assess import assess, situation_for
from advisor.reading.names import profile_files
from advisor.reading.plan import read_document
from advisor.reading.species_build import build_species
from advisor.reading.yaml_text import parse_yaml, read_yaml
from advisor.rules import rule_modules
from advisor.rules.engine import judge
from tests.bench.fresh import forget, fresh_forecast
from tests.support import ROOT

LIBRARIES = "import click, yaml, jsonschema"
EVERYTHING = f"{LIBRARIES}, advisor.cli, advisor.assess, advisor.report.screen as s, advisor.rules as r; r.rule_modules()"
LESSONS = (
    "testudo-hermanni",
    "python-regius",
    "pogona-vitticeps",
    "chamaeleo-calyptratus",
    "eublepharis-macularius",
)
FIRST = ROOT / "examples" / "first-season.yaml"


def median(run: Callable[[], object], rounds: int) -> float:
    """Median time of a call [ms]."""
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        run()
        times.append((time.perf_counter() - start) * 1000)
    return statistics.median(times)


def process(*arguments: str) -> Callable[[], object]:
    """A call that runs a whole Python process."""
    return lambda: subprocess.run([sys.executable, *arguments], cwd=ROOT, capture_output=True)


def grown(clutches: int, boxes: int) -> bytes:
    """The sound example with more clutches, or more kinds of egg boxes."""
    text = FIRST.read_text(encoding="utf-8")
    head, _, rest = text.partition("egg_boxes:\n")
    box_block, _, tail = rest.partition("clutches:\n")
    clutch_block, _, end = tail.partition("checks:")
    eggs, _, probe = box_block.partition("  - name: probe")
    all_boxes = "".join(
        eggs.replace("name: eggs", f"name: eggs{number}").replace("count: 2", "count: 1")
        for number in range(boxes)
    )
    all_clutches = "".join(
        clutch_block.replace("box: eggs", f"box: eggs{number % boxes}").replace("eggs: 14", "eggs: 2")
        for number in range(clutches)
    )
    return (
        f"{head}egg_boxes:\n{all_boxes}  - name: probe{probe}clutches:\n{all_clutches}checks:{end}".encode()
    )


def judged(content: bytes) -> None:
    """Reads, forecasts and judges a plan."""
    forget()
    plan, _ = read_document(parse_yaml(content, "plan.yaml"))
    judge(situation_for(plan), rule_modules())


def fresh_check() -> None:
    """Reads and judges a whole plan, of which nothing was kept."""
    forget()
    assess(FIRST)


def main() -> None:
    """Prints the tables."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=15)
    parser.add_argument("--plans", type=int, default=1000)
    arguments = parser.parse_args()
    rounds = arguments.rounds
    bare = median(process("-c", "pass"), rounds)
    libraries = median(process("-c", LIBRARIES), rounds)
    everything = median(process("-c", EVERYTHING), rounds)
    print(f"{'whole process':<44}{'ms':>8}{'/ bare':>9}{'/ libraries':>13}{'/ all imports':>15}")
    for name, command in (
        ("bare interpreter", ("-c", "pass")),
        ("import click, yaml, jsonschema", ("-c", LIBRARIES)),
        ("import all that a check loads", ("-c", EVERYTHING)),
        ("advisor --help", ("-m", "advisor", "--help")),
        ("advisor species list", ("-m", "advisor", "species", "list")),
        ("advisor rules list", ("-m", "advisor", "rules", "list")),
        ("advisor check first-season", ("-m", "advisor", "check", str(FIRST))),
    ):
        taken = median(process(*command), rounds)
        ratios = f"{taken / bare:>9.2f}{taken / libraries:>13.2f}{taken / everything:>15.2f}"
        print(f"{name:<44}{taken:>8.0f}{ratios}")
    for species in LESSONS:
        with tempfile.TemporaryDirectory() as folder:
            before = os.times()
            process("-m", "advisor", "lesson", "--species", species, "-o", f"{folder}/pack")()
            after = os.times()
        spent = after.children_user + after.children_system - before.children_user - before.children_system
        print(f"lesson {species:<37}{1000 * spent:>8.0f} of processor time")
    situation = assess(FIRST).situation
    print(f"\none warm forecast with ranges: {median(lambda: fresh_forecast(situation), 30):.1f} ms")
    print(f"one warm plan, read to judged:  {median(fresh_check, 30):.1f} ms")
    profiles = profile_files()
    largest = max(profiles.values(), key=lambda path: path.stat().st_size)
    print(f"largest profile, read:          {median(lambda: build_species(read_yaml(largest)), 30):.1f} ms")
    checked = median(process("-m", "advisor", "species", "check"), 3)
    print(f"all {len(profiles)} profiles, checked:      {checked:.0f} ms")
    print("\ngrowth, warm, read to judged [ms]")
    for clutches, boxes in ((1, 1), (10, 1), (50, 1), (1, 10), (10, 10), (50, 49)):
        content = grown(clutches, boxes)
        print(
            f"  {clutches:>3} clutches in {boxes:>3} kinds of egg boxes: {median(partial(judged, content), 5):>8.1f}"
        )
    with tempfile.TemporaryDirectory() as folder:
        text = FIRST.read_text(encoding="utf-8")
        for number in range(arguments.plans):
            (Path(folder) / f"plan-{number:04}.yaml").write_text(
                text.replace("14 W", f"{10 + number % 20} W"), encoding="utf-8"
            )
        start = time.perf_counter()
        process("-m", "advisor", "check", folder)()
        print(f"\n{arguments.plans} plans in one process: {time.perf_counter() - start:.1f} s")


if __name__ == "__main__":
    main()
