"""Fuzz over plans, profiles, the bibliography and command lines: `python -m tests.fuzz.run --count 200000`.

Each round takes a good file and damages it at random, or draws one that its schema allows, and runs it through the same functions as the command. A fault is any
exception but `InputError` (and click's own), a run over 2 seconds of processor time, or memory over 200 MB. It prints the count at the end and
ends with status 1 on a fault, leaving the damaged input in a file.
"""

import argparse
import multiprocessing
import random
import resource
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from click.testing import CliRunner

from advisor.assess import Assessment, situation_for
from advisor.cli import main
from advisor.forecast import forecast_plan
from advisor.forecast.clutch.curves import days_curve, expected_in_band, sexes_curve
from advisor.forecast.for_papers import paper_figures
from advisor.reading.plan import read_document
from advisor.reading.problems import InputError
from advisor.reading.schema_check import schema_problems
from advisor.reading.sources import shipped_sources
from advisor.reading.species_build import build_species
from advisor.reading.species_lints import lint
from advisor.reading.yaml_text import parse_yaml
from advisor.report.screen import report_lines
from advisor.rules import known_rule_ids, rule_modules
from advisor.rules.engine import Situation, judge
from advisor.show import Show
from advisor.species_pages.page import species_page
from advisor.species_pages.screen import species_lines
from tests.fuzz.drawn import drawn_plan, drawn_profile
from tests.support import ROOT

LONGEST = 2.0  # s a file
MOST_MEMORY = 200  # MB a process
PLANS = [path.read_bytes() for path in sorted((ROOT / "examples").glob("*.yaml"))]
FIRST_SEASON = (ROOT / "examples" / "first-season.yaml").read_bytes()
PROFILES = [path.read_bytes() for path in sorted((ROOT / "species").glob("*-*.yaml"))]
WORDS = (
    b"\x00", b"\xff", b"\t", b"  ", b"\n", b": ", b"- ", b"{", b"}", b"[", b"]", b"'", b'"', b"&a ", b"*a ", b"!!x ", b"<<: ",
    b"null", b"yes", b"no", b"1e999", b"-1", b"0", b".nan", b"999999999999999999999", b"1:1", b"2027-02-30", b"29 \xc2\xb0C",
    b"0 W", b"-5 cm", b"1000000 h", b"0.0001 mm", b"9" * 50, b"\xe2\x80\xae", b"\xf0\x9f\xa6\x8e", b"unknown", b"none", b"thirds",
    b"water bath", b"in water", b"bulb", b"on the heater", b"two", b"mass", b"sand", b"gasket", b"45 \xc2\xb0C", b"15 C", b"113 F",
)  # fmt: skip


def damaged(content: bytes, random_source: random.Random) -> bytes:
    """A file with one to six random damages: lines moved or lost, bytes changed, odd words put in."""
    for _ in range(random_source.randint(1, 6)):
        place = random_source.randrange(len(content) + 1)
        kind = random_source.randrange(7)
        if kind == 0:
            content = content[:place] + random_source.choice(WORDS) + content[place:]
        elif kind == 1:
            content = content[:place] + content[place + random_source.randint(1, 30) :]
        elif kind == 2:
            content = content[:place] + bytes([random_source.randrange(256)]) + content[place + 1 :]
        else:
            lines = content.split(b"\n")
            first, second = random_source.randrange(len(lines)), random_source.randrange(len(lines))
            if kind == 3:
                lines.pop(first)
            elif kind == 4:
                lines[first], lines[second] = lines[second], lines[first]
            elif kind == 5:
                head, colon, _ = lines[first].partition(b": ")
                lines[first] = head + colon + random_source.choice(WORDS)
            else:
                lines.insert(second, lines[first])
            content = b"\n".join(lines)
    return content


def try_plan(content: bytes) -> None:
    """Reads, forecasts, judges and lays out a plan."""
    plan, document = read_document(parse_yaml(content, "plan.yaml"), known_rule_ids())
    situation = situation_for(plan)
    for _ in report_lines(Assessment(document, situation, judge(situation, rule_modules()))):
        pass


def try_drawn_plan(content: bytes) -> None:
    """As `try_plan`, with the figures for the papers."""
    plan, _ = read_document(parse_yaml(content, "plan.yaml"), known_rule_ids())
    situation = situation_for(plan)
    paper_figures(plan, situation.species, situation.forecast)
    try_plan(content)


def try_drawn_profile(content: bytes) -> None:
    """Reads a profile, shows it, and judges the first example plan as if its eggs were of that species."""
    document = parse_yaml(content, "fictus-exemplum.yaml")
    problems = schema_problems(document, "species")
    if not problems:
        species = build_species(document)
        problems = list(lint(species, document, species.id, shipped_sources()))
    if problems:
        raise InputError(problems)
    page = species_page(
        species,
        days_curve(species),
        sexes_curve(species),
        expected_in_band(species),
        shipped_sources(),
        Show(),
    )
    for _ in species_lines(page, Show()):
        pass
    plan, plan_document = read_document(parse_yaml(FIRST_SEASON, "plan.yaml"), known_rule_ids())
    profiles = {clutch.species: species for clutch in plan.clutches}
    situation = Situation(plan, profiles, forecast_plan(plan, profiles), Show(), {})
    for _ in report_lines(Assessment(plan_document, situation, judge(situation, rule_modules()))):
        pass
    paper_figures(plan, profiles, situation.forecast)


def try_profile(content: bytes) -> None:
    """Reads and lints a profile."""
    document = parse_yaml(content, "species.yaml")
    problems = schema_problems(document, "species")
    if problems:
        raise InputError(problems)
    species = build_species(document)
    list(lint(species, document, species.id, shipped_sources()))


def try_sources(content: bytes) -> None:
    """Reads a bibliography."""
    schema_problems(parse_yaml(content, "sources.yaml"), "sources")


def try_command(content: bytes) -> None:
    """Runs the command with odd arguments and a damaged plan; the status must be 0, 1 or 2."""
    random_source = random.Random(content)
    with tempfile.TemporaryDirectory() as folder:
        plan = Path(folder) / "plan.yaml"
        plan.write_bytes(content)
        words = [
            "check",
            "rules",
            "show",
            "list",
            "species",
            "mix",
            "checklist",
            "--json",
            "--fail-on",
            "stop",
            "-o",
            "--why",
            "x\x00y",
        ]
        arguments = [
            random_source.choice([*words, str(plan), "\u202e", "-", ""])
            for _ in range(random_source.randint(0, 5))
        ]
        result = CliRunner().invoke(main, arguments)
        if result.exit_code not in (0, 1, 2):
            raise RuntimeError(f"status {result.exit_code} for {arguments}: {result.output[-300:]}")


Make = Callable[[random.Random], bytes]


def damage_of(files: list[bytes]) -> Make:
    """Makes damaged copies of some files."""
    return lambda random_source: damaged(random_source.choice(files), random_source)


ROUNDS: tuple[tuple[float, Callable[[bytes], None], Make], ...] = (
    (0.60, try_plan, damage_of(PLANS)),
    (0.15, try_profile, damage_of(PROFILES)),
    (0.07, try_sources, damage_of([(ROOT / "species" / "sources.yaml").read_bytes()[:20000]])),
    (0.03, try_command, damage_of(PLANS)),
    (0.10, try_drawn_plan, lambda random_source: drawn_plan(random_source.getrandbits(60))),
    (0.05, try_drawn_profile, lambda random_source: drawn_profile(random_source.getrandbits(60))),
)


def work(task: tuple[int, int]) -> tuple[int, list[str]]:
    """One process's share: how many inputs were tried, and the faults found."""
    seed, count = task
    random_source = random.Random(seed)
    faults = []
    for number in range(count):
        _, attempt, make = random_source.choices(ROUNDS, [share for share, _, _ in ROUNDS])[0]
        content = make(random_source)
        start = time.process_time()
        try:
            attempt(content)
        except InputError:
            pass
        except Exception as error:
            faults.append(
                _kept(content, f"{seed}-{number}", f"{attempt.__name__}: {type(error).__name__}: {error}")
            )
        taken = time.process_time() - start
        if taken > LONGEST:
            faults.append(_kept(content, f"{seed}-{number}", f"{attempt.__name__} took {taken:.1f} s"))
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    if memory > MOST_MEMORY:
        faults.append(f"memory reached {memory:.0f} MB")
    return count, faults


def _kept(content: bytes, name: str, fault: str) -> str:
    path = Path(tempfile.gettempdir()) / f"clutch-advisor-fuzz-{name}.yaml"
    path.write_bytes(content)
    return f"{fault}  [{path}]"


def run(count: int, seed: int, processes: int) -> list[str]:
    """Tries `count` damaged inputs in several processes and returns the faults."""
    share = max(count // (processes * 8), 1)
    tasks = [(seed + number, share) for number in range(-(-count // share))]
    with multiprocessing.Pool(processes) as pool:
        outcomes = pool.map(work, tasks, chunksize=1)
    print(f"{sum(tried for tried, _ in outcomes)} damaged inputs tried")
    return [fault for _, faults in outcomes for fault in faults]


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=200_000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--processes", type=int, default=multiprocessing.cpu_count())
    arguments = parser.parse_args()
    found = run(arguments.count, arguments.seed, arguments.processes)
    print("\n".join(found[:20]) or "no fault")
    sys.exit(1 if found else 0)
