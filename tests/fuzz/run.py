"""Fuzz over files, all commands and the page: `python -m tests.fuzz.run --count 200000`.

Each round takes a good file and damages it at random, or draws one that its schema allows, and reads and judges it, or puts
it in a folder and runs a drawn command line (`commands.py`) or asks the page (`pages.py`). A fault is any exception but
`InputError`, a status but 0, 1 and 2, text that comes alive in a page, anything written where it should not be, over 2
seconds of processor time (a search: 15), or over 200 MB. It prints the counts at the end and ends with status 1 on a fault,
leaving the input in a file.
"""

import argparse
import multiprocessing
import random
import resource
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable
from pathlib import Path

import yaml

from advisor.assess import Assessment, situation_for
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
from advisor.rules import ALL_RULE_IDS, rule_modules
from advisor.rules.engine import Situation, judge
from advisor.show import Show
from advisor.species_pages.page import species_page
from advisor.species_pages.screen import species_lines
from tests.fuzz.commands import try_command
from tests.fuzz.damage import PLANS, PROFILES, damaged
from tests.fuzz.drawn import as_yaml, drawn_plan, drawn_profile, holed
from tests.fuzz.pages import try_page
from tests.support import ROOT

LONGEST = 2.0  # s an input
LONGEST_SEARCH = 15.0  # s where a search tries up to 400 plans, and for a visit of several requests
SHARE = 100  # inputs that one process tries in a row
MOST_MEMORY = 200  # MB a process
FIRST_SEASON = (ROOT / "examples" / "first-season.yaml").read_bytes()


def try_plan(content: bytes) -> None:
    """Reads, forecasts, judges and lays out a plan."""
    _judged(content)


def try_drawn_plan(content: bytes) -> None:
    """As `try_plan`, with the figures for the papers."""
    situation = _judged(content)
    paper_figures(situation.plan, situation.species, situation.forecast)


def _judged(content: bytes) -> Situation:
    plan, document = read_document(parse_yaml(content, "plan.yaml"), ALL_RULE_IDS)
    situation = situation_for(plan)
    for _ in report_lines(Assessment(document, situation, judge(situation, rule_modules()))):
        pass
    return situation


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
    plan, plan_document = read_document(parse_yaml(FIRST_SEASON, "plan.yaml"), ALL_RULE_IDS)
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


Make = Callable[[random.Random], bytes]


def damage_of(files: list[bytes]) -> Make:
    """Makes damaged copies of some files."""
    return lambda random_source: damaged(random_source.choice(files), random_source)


def any_plan(random_source: random.Random) -> bytes:
    """A sound plan, a damaged one, one with entries left out, or one from its schema; the first line makes it the only one."""
    way = random_source.random()
    content = random_source.choice(PLANS)
    if way < 0.2:
        content = damaged(content, random_source)
    elif way < 0.4:
        content = as_yaml(holed(yaml.safe_load(content), random_source))
    elif way < 0.6:
        content = drawn_plan(random_source.getrandbits(60))
    return b"# %d\n%s" % (random_source.getrandbits(60), content)


ROUNDS: tuple[tuple[float, Callable[[bytes], None], Make], ...] = (
    (0.61, try_plan, damage_of(PLANS)),
    (0.03, try_plan, any_plan),
    (0.20, try_profile, damage_of(PROFILES)),
    (0.06, try_sources, damage_of([(ROOT / "species" / "sources.yaml").read_bytes()[:8000]])),
    (0.03, try_drawn_plan, lambda random_source: drawn_plan(random_source.getrandbits(60))),
    (0.03, try_drawn_profile, lambda random_source: drawn_profile(random_source.getrandbits(60))),
    (0.03, try_command, any_plan),
    (0.01, try_page, any_plan),
)


SEARCH = (try_command, try_page)


def work(task: tuple[int, int]) -> tuple[Counter[str], list[str]]:
    """One process's share: how many inputs of each kind were tried, and the faults found."""
    seed, count = task
    random_source = random.Random(seed)
    tried: Counter[str] = Counter()
    faults = []
    for number in range(count):
        _, attempt, make = random_source.choices(ROUNDS, [share for share, _, _ in ROUNDS])[0]
        name = attempt.__name__
        content = make(random_source)
        start = time.process_time()
        try:
            attempt(content)
        except InputError:
            pass
        except Exception as error:
            faults.append(_kept(content, f"{seed}-{number}", f"{name}: {type(error).__name__}: {error}"))
        taken = time.process_time() - start
        if taken > (LONGEST_SEARCH if attempt in SEARCH else LONGEST):
            faults.append(_kept(content, f"{seed}-{number}", f"{name} took {taken:.1f} s"))
        tried[name] += 1
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    if memory > MOST_MEMORY:
        faults.append(f"memory reached {memory:.0f} MB")
    return tried, faults


def _kept(content: bytes, name: str, fault: str) -> str:
    path = Path(tempfile.gettempdir()) / f"clutch-advisor-fuzz-{name}.yaml"
    path.write_bytes(content)
    return f"{fault}  [{path}]"


def run(count: int, seed: int, processes: int, minutes: float) -> int:
    """Tries `count` inputs in several processes, at most for some minutes; tells each fault at once and gives their number."""
    tasks = [(seed + number, SHARE) for number in range(-(-count // SHARE))]
    tried: Counter[str] = Counter()
    found, end = 0, time.monotonic() + minutes * 60
    with multiprocessing.Pool(processes) as pool:
        for kinds, faults in pool.imap_unordered(work, tasks):
            tried += kinds
            found += len(faults)
            print("".join(f"{fault}\n" for fault in faults), end="", flush=True)
            if time.monotonic() > end:
                break
    print(f"{tried.total()} inputs tried: {dict(tried.most_common())}; {found} faults")
    return found


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=200_000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--processes", type=int, default=multiprocessing.cpu_count())
    parser.add_argument("--minutes", type=float, default=600.0)
    arguments = parser.parse_args()
    sys.exit(bool(run(arguments.count, arguments.seed, arguments.processes, arguments.minutes)))
