"""Every figure of a paper, read back from it and held against the JSON report of the same plan."""

import datetime
import json
import re
import tempfile
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import html5lib
import pytest
from click.testing import CliRunner

from advisor.cli import main
from tests.papers.pages import EXAMPLES
from tests.support import ROOT

MONTHS = {
    name: number
    for number, name in enumerate(
        ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"], 1
    )
}
PLANS = ("first-season", "late-start", "chameleon-short-mix", "floor-heat")


@cache
def report(name: str) -> dict[str, Any]:
    done = CliRunner().invoke(main, ["check", str(ROOT / "examples" / f"{name}.yaml"), "--json"])
    data: dict[str, Any] = json.loads(done.stdout)
    return data


@cache
def paper(name: str, command: str, ending: str, *options: str) -> str:
    """What a command writes for an example plan; empty where the plan has not enough for that paper."""
    plan = ROOT / "examples" / f"{name}.yaml"
    with tempfile.TemporaryDirectory() as folder:
        target = Path(folder) / f"paper{ending}"
        done = CliRunner().invoke(
            main, [command, str(plan), "-o", str(target), "--date", "2027-04-01", *options]
        )
        assert done.exit_code == 0 or "no dates yet" in done.output, done.output
        return target.read_bytes().decode() if target.exists() else ""


@cache
def page(name: str, *options: str) -> Any:
    return html5lib.parse(paper(name, "checklist", ".html", *options), namespaceHTMLElements=False)


def text_of(element: Any) -> str:
    return " ".join(" ".join(element.itertext()).replace("\u00a0", " ").split())


@pytest.mark.parametrize("name", PLANS)
def test_the_masses_on_the_back_are_those_of_the_report(name: str) -> None:
    (box, *_) = report(name)["forecast"]["egg_boxes"]
    section = next(found for found in page(name).iter("section") if found.attrib.get("id") == "scale")
    rows = [[text_of(cell) for cell in row.iter("td")] for row in section.iter("tr")]
    rows = [row for row in rows if row]
    if not rows:
        assert "is not known" in text_of(section)
        return
    topped = len(rows[0]) == 4
    masses = {
        entry["day"]: entry["mass"]
        for entry in box["box_mass_by_day" if topped else "box_mass_if_none_added"]
    }
    added = {entry["day"]: entry["grams"] for entry in box["top_ups"]} if topped else {}
    for row in rows:
        day = int(row[0].split(",")[0])
        value, low, high = map(int, re.findall(r"\d+", row[1]))
        less = added.get(day, 0.0)
        for told, end in ((value, "value"), (low, "low"), (high, "high")):
            assert told == pytest.approx(1000 * masses[day][end] / _grams(masses[day]) - less, abs=0.6), (
                name,
                day,
            )
        if less:
            amount, after = map(int, re.findall(r"\d+", row[3]))
            assert amount == round(less)
            assert after == pytest.approx(1000 * masses[day]["value"] / _grams(masses[day]), abs=0.6)
    assert int(rows[-1][0].split(",")[0]) == max(masses)


def _grams(mass: dict[str, Any]) -> float:
    return {"g": 1000.0, "kg": 1.0}[mass["unit"]]


@pytest.mark.parametrize("name", PLANS)
def test_windows_and_days_on_the_front_are_those_of_the_report(name: str) -> None:
    clutches = report(name)["forecast"]["clutches"]
    told = [
        text_of(found) for found in page(name).iter("p") if "eggs" in found.attrib.get("class", "").split()
    ]
    assert len(told) == len(clutches)
    for text, clutch in zip(told, clutches, strict=True):
        if clutch["hatch_window"] is None:
            continue
        days = clutch["incubation_days"]
        length = re.findall(r"(\d+) to (\d+) days from laying", text)
        assert length or name == "floor-heat"  # there they rest on what is refused
        assert all((int(a), int(b)) == (round(days["low"]), round(days["high"])) for a, b in length)
        first, last = (datetime.date.fromisoformat(day) for day in clutch["hatch_window"])
        hatching = text.partition("Hatching:")[2]
        words = re.findall(r"(\d+)(?: ([A-Z][a-z]+))?(?: (\d{4}))?", hatching.partition(" days")[0])
        assert int(words[0][0]) == first.day and str(last.year) in hatching
        assert any(
            int(day) == last.day and MONTHS[month[:3]] == last.month for day, month, _ in words if month
        )


def test_what_a_stuck_heater_reaches_stands_on_the_ladder() -> None:
    (label,) = [
        text_of(found)
        for found in page("first-season").iter()
        if str(found.tag).endswith("text") and "stuck on" in text_of(found)
    ]
    figure = report("first-season")["forecast"]["heat"]["stuck_on_temperature"]
    numbers = re.findall(r"\d+(?:\.\d+)?", label)
    for told, end in zip(numbers, ("value", "low", "high"), strict=True):
        assert float(told) == pytest.approx(figure[end], abs=0.26), end  # told to half a degree


@pytest.mark.parametrize(
    ("pattern", "entry"),
    [
        (r"The coldest room needs about ([\d.]+) W \(([\d.]+) to ([\d.]+)\)", "watts_needed"),
        (r"At full power it reaches about ([\d.]+) °C \(([\d.]+) to ([\d.]+)\)", "heater_surface_full"),
        (r"the medium is warm after about ([\d.]+) h \(([\d.]+) to ([\d.]+)\)", "warm_up_hours"),
        (r"Harm is possible after about ([\d.]+) days \(([\d.]+) to ([\d.]+)\)", "hours_to_harm"),
    ],
)
def test_heat_on_the_long_lists_is_that_of_the_report(pattern: str, entry: str) -> None:
    found = re.search(pattern, text_of(page("first-season", "--long")))
    figure = report("first-season")["forecast"]["heat"][entry]
    assert found is not None
    factor = 24.0 if entry == "hours_to_harm" else 1.0  # told in days
    for told, end in zip(found.groups(), ("value", "low", "high"), strict=True):
        assert float(told) == pytest.approx(figure[end] / factor, rel=0.09), (entry, end)


MANY = [path.stem for path in EXAMPLES]
NUMBER = r"(-?\d+(?:\.\d+)?)"
TRIPLE = re.compile(rf"(?<!after ){NUMBER} (g|kg|W|°C|%|h|days) \({NUMBER} to {NUMBER}( %)?\)")
# What these figures are measured in, in the report, and how many of the paper's units one of the report's is.
UNITS = {
    "g": {"g": 1.0, "kg": 1000.0, "g/day": 1.0},
    "kg": {"kg": 1.0, "g": 0.001},
    "W": {"W": 1.0},
    "°C": {"°C": 1.0, "K": 1.0},
    "%": {"share": 100.0, "%": 1.0, "": 100.0},
    "h": {"h": 1.0},
    "days": {"days": 1.0, "h": 1 / 24},
}
# Figures that papers alone have: what the mix of one box takes, how the box cools by the hour, the curve of the sexes.
ALONE = r"dry vermiculite|Its mass, dry|Wet medium|wet medium|A power cut|Males and females"


def plain(name: str, kind: str) -> str:
    """The words of a paper, one line a paragraph."""
    if kind == "calendar":
        text = paper(name, "calendar", ".ics").replace("\r\n ", "")
        return text.replace("\\,", ",").replace("\\;", ";").replace("(likely ", "(")
    return paper(name, kind, ".md", *(["--long"] if kind == "checklist" else [])).replace("\\", "")


def figures(node: Any) -> Iterator[dict[str, Any]]:
    """Every figure with its range in a report."""
    inside = node.values() if isinstance(node, dict) else node if isinstance(node, list) else ()
    if isinstance(node, dict) and {"value", "low", "high"} <= set(node):
        yield node
    for one in inside:
        yield from figures(one)


@pytest.mark.parametrize("kind", ["checklist", "cards", "calendar"])
@pytest.mark.parametrize("name", MANY)
def test_every_figure_with_a_range_is_one_of_the_report(name: str, kind: str) -> None:
    known = list(figures(report(name)["forecast"]))
    checked = 0
    # What a finding says stands in the report as it is.
    said = " ".join(finding["message"] + finding["remedy"] for finding in report(name)["findings"])
    for line in plain(name, kind).splitlines():
        for found in TRIPLE.finditer("" if re.search(ALONE, line) else line):
            value, unit, low, high = found.groups()[:4]
            told = (value, low, high)
            checked += 1
            assert found[0] in said or any(_is(told, unit, figure) for figure in known), (found[0], line)
    assert checked or name in ("nearly-empty", "two-species") or kind != "checklist"


def _is(told: tuple[str, ...], unit: str, figure: dict[str, Any]) -> bool:
    """Whether a paper's figure is this one, to the rounding of the papers: half degrees, else the last of two digits."""
    factor = UNITS[unit].get(figure["unit"])
    if factor is None:
        return False
    for one, end in zip(told, ("value", "low", "high"), strict=True):
        step = 0.26 if unit == "°C" else 0.06 if "." in one else 0.51
        if abs(float(one) - factor * figure[end]) > max(step, 0.05 * float(one)):
            return False
    return True


@pytest.mark.parametrize("name", PLANS)
def test_the_masses_of_record_sheets_and_checks_are_those_of_the_report_day_by_day(name: str) -> None:
    (box, *_) = report(name)["forecast"]["egg_boxes"]
    tops = {entry["day"]: entry["grams"] for entry in box["top_ups"]}
    made = "then" in plain(name, "cards").split("Record")[-1]
    masses = {
        entry["day"]: entry["mass"] for entry in box["box_mass_by_day" if made else "box_mass_if_none_added"]
    }
    record = re.findall(
        r"^\| (\d+) \|[^|]*\| (\d+) g \((\d+) to (\d+)\) ", plain(name, "cards"), re.MULTILINE
    )
    checks = re.findall(
        r"day (\d+)(?:(?!SUMMARY)[\s\S])*?weigh about (\d+) g \((\d+) to (\d+)\), without",
        plain(name, "calendar"),
    )
    assert (
        (len(record) > 10) == (len(checks) > 5) == (name != "floor-heat")
    )  # there they rest on what is refused
    for day, *told in (*record, *checks):
        less = tops.get(int(day), 0.0) if made else 0.0
        for one, end in zip(told, ("value", "low", "high"), strict=True):
            expected = masses[int(day)][end] * _grams(masses[int(day)]) / 1000 - less
            assert float(one) == pytest.approx(expected, abs=0.6), (day, end)


@pytest.mark.parametrize("name", MANY)
def test_the_days_of_the_calendar_are_those_of_the_report(name: str) -> None:
    clutches = report(name)["forecast"]["clutches"]
    events = re.findall(
        r"DTSTART;VALUE=DATE:(\d{8})\r\nDTEND;VALUE=DATE:(\d{8})[\s\S]*?END:VEVENT",
        paper(name, "calendar", ".ics"),
    )
    days = {
        (datetime.date.fromisoformat(first), datetime.date.fromisoformat(end) - datetime.timedelta(days=1))
        for first, end in events
    }
    for clutch in clutches:
        window = clutch["hatch_window"]
        hatching = tuple(map(datetime.date.fromisoformat, window)) if window else None
        if hatching is None or not _kept(name):
            continue
        assert hatching in days and (hatching[1], hatching[1]) in days  # the window, and its last day
        assert max(last for _, last in days) == max(
            datetime.date.fromisoformat(one["hatch_window"][1]) for one in clutches
        )


def _kept(name: str) -> bool:
    """Whether the hatch window rests on nothing that is refused."""
    return "hatching likely" in plain(name, "calendar")


@pytest.mark.parametrize("name", PLANS)
def test_top_ups_on_the_screen_are_what_a_scale_shows_as_on_paper(name: str) -> None:
    plan = str(ROOT / "examples" / f"{name}.yaml")
    screen = CliRunner().invoke(main, ["check", plan, "--numbers"]).stdout
    boxes = report(name)["forecast"]["egg_boxes"]
    expected = [(f"{entry['grams']:.0f} g", entry["day"]) for box in boxes for entry in box["top_ups"]]
    told = re.findall(r"Top-up for one box\s+(.+?) on day (\d+)", screen)
    assert [(mass, int(day)) for mass, day in told] == expected
