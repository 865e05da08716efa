"""Every figure of the sheet, read back from the page and held against the JSON report of the same plan."""

import datetime
import json
import re
from functools import cache
from typing import Any

import html5lib
import pytest
from click.testing import CliRunner

from advisor.cli import main
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
def page(name: str, *options: str) -> Any:
    with CliRunner().isolated_filesystem():
        plan = str(ROOT / "examples" / f"{name}.yaml")
        done = CliRunner().invoke(
            main, ["checklist", plan, "-o", "page.html", "--date", "2027-04-01", *options]
        )
        assert done.exit_code == 0, done.output
        with open("page.html", encoding="utf-8") as file:
            return html5lib.parse(file.read(), namespaceHTMLElements=False)


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
