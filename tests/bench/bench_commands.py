"""Times whole commands and many plans; prints medians and ratios. Run: `python -m tests.bench.bench_commands`.

Goals: `check` as a whole process at most 1.6 times a process that only does the imports; 1,000 plans in at most 20 s of
processor time where the loop of `bench_heat` takes 1.5 ms; one profile read in 15 ms, all checked in 5 s; 50 clutches at
most 4.5 times as long as 10. "The imports" are printed in two ways: the libraries alone, and everything that a check loads.
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
from tests.bench.bench_heat import loop, milliseconds
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


def spent(run: Callable[[], object]) -> float:
    """Processor time [s] of the processes that a call runs."""
    before = os.times()
    run()
    after = os.times()
    return after.children_user + after.children_system - before.children_user - before.children_system


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
            taken = spent(process("-m", "advisor", "lesson", "--species", species, "-o", f"{folder}/pack"))
        print(f"lesson {species:<37}{1000 * taken:>8.0f} of processor time")
    situation = assess(FIRST).situation
    print(f"\none warm forecast with ranges: {median(lambda: fresh_forecast(situation), 30):.1f} ms")
    print(f"one warm plan, read to judged:  {median(fresh_check, 30):.1f} ms")
    profiles = profile_files()
    largest = max(profiles.values(), key=lambda path: path.stat().st_size)
    print(f"largest profile, read:          {median(lambda: build_species(read_yaml(largest)), 30):.1f} ms")
    checked = median(process("-m", "advisor", "species", "check"), 3)
    print(f"all {len(profiles)} profiles, checked:      {checked:.0f} ms")
    print("\ngrowth, warm, read to judged [ms]")
    grew: dict[tuple[int, int], float] = {}
    for clutches, boxes in ((1, 1), (10, 1), (50, 1), (1, 10), (10, 10), (50, 49)):
        taken = grew[clutches, boxes] = median(partial(judged, grown(clutches, boxes)), 5)
        print(f"  {clutches:>3} clutches in {boxes:>3} kinds of egg boxes: {taken:>8.1f}")
    one_kind, many_kinds = grew[50, 1] / grew[10, 1], grew[50, 49] / grew[10, 10]
    print(f"  50 over 10 clutches: {one_kind:.2f} times, in as many kinds {many_kinds:.2f} times; goal 4.5")
    with tempfile.TemporaryDirectory() as folder:
        text = FIRST.read_text(encoding="utf-8")
        for number in range(arguments.plans):
            (Path(folder) / f"plan-{number:04}.yaml").write_text(
                text.replace("14 W", f"{10 + number % 20} W"), encoding="utf-8"
            )
        yardstick = statistics.median(milliseconds(loop) for _ in range(50))
        taken, goal = (
            spent(process("-m", "advisor", "check", folder)),
            arguments.plans / 1000 * 20 * yardstick / 1.5,
        )
        print(
            f"\n{arguments.plans} plans in one process: {taken:.1f} s of processor time; goal {goal:.1f} s (loop {yardstick:.2f} ms)"
        )


if __name__ == "__main__":
    main()
