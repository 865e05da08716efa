"""Small slips of wording, sought in everything that is printed for many plans: number words, repetition, precision."""

import html
import random
import re
from collections import Counter
from functools import cache
from itertools import product
from pathlib import Path

import pytest
from click.testing import CliRunner

from advisor.cli import main
from advisor.lesson.description import described
from advisor.reading.plan import read_document
from advisor.reading.species import load_species
from advisor.reading.yaml_text import parse_yaml
from advisor.show import Show
from tests.support import ROOT

EXAMPLES = sorted((ROOT / "examples").glob("*.yaml"))
SOUND = sorted((ROOT / "tests" / "setups" / "sound").glob("*.yaml"))
FIRST = (ROOT / "examples" / "first-season.yaml").read_text("utf-8")
CLUTCH = FIRST[FIRST.index("  - species:") : FIRST.index("checks:")]
# "1 days"; a date, a share of words ("31 days"), a fraction ("1/4") and "day 1" stay.
ONE_OF_MANY = re.compile(
    r"(?<![\d.,/:-])1 (?:other |more |such |kinds? of )?(?:days|hours|minutes|eggs|boxes|kinds|litres|cups|quarts|holes|plans|rules|notes|"
    r"times|parts|clutches|weeks|bottles|sheets|checks)\b"
)
SLIPS = re.compile(
    r"\(nothing found\.\)|(?<!\.)\.\.(?!\.)| ,| \.\)|\bNone\b|\bnan\b|\binf\b|(?<![\d-])-0\b(?!\.)|must be from"
)


def variants() -> dict[str, str]:
    """Plans written from the first one: units, counts of one, many clutches, and drawn mixtures of them."""
    dice = random.Random(5)
    one = FIRST.replace("count: 2", "count: 1").replace("eggs: 14", "eggs: 1")
    many = FIRST.replace(CLUTCH, CLUTCH * 5)
    box = FIRST[FIRST.index("  - name: eggs") : FIRST.index("  - name: probe")]
    plans = {
        "one egg": one,
        "five clutches": many,
        "nine kinds": FIRST.replace(
            box, "".join(box.replace("name: eggs", f"name: {name}") for name in ("eggs", *"abcdefg"))
        ),
        "one thermometer": FIRST.replace("thermometers: 2", "thermometers: 1"),
    }
    choices = {
        "place: lid": ("place: lid", "place: floor"),
        "thermostat: pulse": ("thermostat: pulse", "thermostat: on-off\n  switching_band: 1 °C"),
        "power: 14 W": ("power: 14 W", "power: 60 W", "power: 5 W"),
        "set_to: 28 °C": ("set_to: 28 °C", "set_to: 31 °C", "set_to: 24 °C"),
        "medium: 4, water: 1, by: volume": ("medium: 4, water: 1, by: volume", "medium: 1, water: 1, by: volume", "medium: 3, water: 1, by: mass"),
        "count: 5, diameter": ("count: 5, diameter", "count: 1, diameter"),
        "eggs: 14": ("eggs: 14", "eggs: 1"),
        "days: 7": ("days: 7", "days: 1"),
    }  # fmt: skip
    for number in range(6):
        text = many if number % 3 == 2 else FIRST
        for old, new in choices.items():
            text = text.replace(old, dice.choice(new))
        plans[f"drawn {'abcdef'[number]}"] = text
    return plans


# Every number of boxes, eggs, holes, days, thermometers and hours becomes one.
NUMBERS = re.compile(r"\b(count|eggs|thermometers|days|to_day): \d+\b")
SPANS = re.compile(r"\b(every:? )\d+ (d|h|min)[a-z]*\b")


def of_one(text: str) -> str:
    """The plan with one egg, one box, one hole, one day, looked for every hour."""
    return SPANS.sub(
        lambda found: f"{found[1]}1 {dict(d='day', h='h', min='min')[found[2]]}", NUMBERS.sub(r"\1: 1", text)
    )


VARIANTS = variants()
VARIANTS |= {
    f"one of all, {path.stem}": of_one(path.read_text("utf-8")) for path in (*EXAMPLES, *SOUND[1::8])
}
ALL = [*EXAMPLES, *SOUND[::3], *VARIANTS]


def words(*arguments: str) -> str:
    result = CliRunner().invoke(main, list(arguments))
    assert result.exit_code in (0, 1), result.output
    return result.stdout


def shown(page: str) -> str:
    """The text of an HTML page; what stands in inline elements is not parted from the sign behind it."""
    page = re.sub(r"<(style|title)\b.*?</\1>|</?(?:code|strong|em|a|b|i)\b[^>]*>", "", page, flags=re.DOTALL)
    return html.unescape(re.sub(r"<[^>]+>", " ", page))


@cache
def printed(name: str | Path, us: bool, folder: Path) -> dict[str, str]:
    """What each command prints for a plan, spaces as one."""
    text = name.read_text("utf-8") if isinstance(name, Path) else VARIANTS[name]
    if us:
        text = (
            re.sub(r"(?m)^units: .*$", "units: us", text)
            if "\nunits:" in text
            else text.replace("format: 1", "format: 1\nunits: us", 1)
        )
    plan = folder / f"{(name.stem if isinstance(name, Path) else name).replace(' ', '-')}-{us}.yaml"
    plan.write_text(text, "utf-8")
    cards = plan.with_suffix(".md")
    words("cards", str(plan), "-o", str(cards), "--force", "--date", "2027-04-01")
    told = {
        "check": words("check", str(plan)),
        "numbers": words("check", str(plan), "--numbers"),
        "checklist": words("checklist", str(plan), "--date", "2027-04-01"),
        "cards": cards.read_text("utf-8"),
        "many": words("check", str(plan.parent / plan.name), str(plan)),
    }
    return told


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("words")


CASES = [
    pytest.param(name, us, id=f"{getattr(name, 'stem', name)}-{'us' if us else 'metric'}")
    for name, us in product(ALL, (False, True))
]


@pytest.mark.parametrize(("name", "us"), CASES)
def test_one_is_singular(name: str | Path, us: bool, folder: Path) -> None:
    for what, text in printed(name, us, folder).items():
        flat = " ".join(text.split())
        found = [flat[max(hit.start() - 40, 0) : hit.end() + 20] for hit in ONE_OF_MANY.finditer(flat)]
        assert not found, (what, found)


@pytest.mark.parametrize(("name", "us"), CASES)
def test_nothing_reads_as_a_slip_of_the_program(name: str | Path, us: bool, folder: Path) -> None:
    for what, text in printed(name, us, folder).items():
        flat = " ".join(text.split())
        found = [flat[max(hit.start() - 40, 0) : hit.end() + 20] for hit in SLIPS.finditer(flat)]
        assert not found, (what, found)


@pytest.mark.parametrize(("name", "us"), CASES)
def test_one_cause_is_told_once(name: str | Path, us: bool, folder: Path) -> None:
    """No two findings of a report, and no two items of a list, say the same."""
    told = printed(name, us, folder)
    heads = re.findall(r"(?ms)^(?:STOP|FIX|WATCH|NOTE) {2,}(.*?)\n {8}line", told["check"])
    twice = [head for head, count in Counter(" ".join(head.split()) for head in heads).items() if count > 1]
    assert not twice
    items = [" ".join(line.split()) for line in told["checklist"].splitlines() if line.startswith("- [ ]")]
    assert not [item for item, count in Counter(items).items() if count > 1 and len(item) > 40]


@pytest.mark.parametrize(("name", "us"), CASES)
def test_no_share_is_finer_than_a_hundredth_of_its_range(name: str | Path, us: bool, folder: Path) -> None:
    """ "4.2 % (0.00084 to 28)": the digits of a figure against the width that stands behind it."""
    pattern = re.compile(r"about (-?[\d.]+) (?:[^\d()]{1,14}) \((-?[\d.]+) to (-?[\d.]+)\)")
    for what, text in printed(name, us, folder).items():
        for value, low, high in pattern.findall(" ".join(text.split())):
            width = float(high) - float(low)
            assert float(low) <= float(value) <= float(high), (what, value, low, high)
            for number in (value, low, high):
                decimals = number.partition(".")[2]
                place = 0.5 if decimals == "5" else 10.0 ** -len(decimals)  # temperatures come in halves
                assert not decimals or place >= width / 101, (what, value, low, high)


@pytest.mark.parametrize("units", ["metric", "us"])
@pytest.mark.parametrize(
    "species", ["pantherophis-guttatus", "eublepharis-macularius", "testudo-graeca", "python-regius"]
)
def test_the_lesson_has_no_slip_either(species: str, units: str, folder: Path) -> None:
    """All pages and plan files of a pack: one is singular, nothing reads as a slip of the program."""
    for seed in ("1", "4"):
        pack = folder / f"{species}-{units}-{seed}"
        words(
            "lesson",
            "-o",
            str(pack),
            "--species",
            species,
            "--units",
            units,
            "--seed",
            seed,
            "--date",
            "2027-04-01",
        )
        files = sorted(pack.iterdir())
        assert len(files) >= 11
        for path in files:
            text = path.read_text("utf-8")
            if path.suffix == ".html":
                text = shown(text)
            flat = " ".join(text.split())
            found = [
                flat[max(hit.start() - 40, 0) : hit.end() + 20]
                for pattern in (ONE_OF_MANY, SLIPS)
                for hit in pattern.finditer(flat)
            ]
            assert not found, (path.name, found)


@pytest.mark.parametrize("name", ALL, ids=lambda name: getattr(name, "stem", name))
def test_a_plan_in_its_keepers_words_counts_right(name: str | Path) -> None:
    """The rows that describe a set-up of the lesson, for plans of which the lesson has none."""
    text = name.read_text("utf-8") if isinstance(name, Path) else VARIANTS[name]
    plan, _ = read_document(parse_yaml(text.encode(), "plan.yaml"))
    if not plan.clutches or not plan.egg_boxes:
        return
    species = load_species(plan.clutches[0].species)
    for row in described(plan, species, Show(plan.units)):
        assert not ONE_OF_MANY.search(row.says) and not SLIPS.search(row.says), row.says
