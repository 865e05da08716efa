"""The checklist as data: every finding first, every stage in its size, this plan's numbers and dates."""

import datetime
import re
from pathlib import Path
from typing import Any

import pytest
import yaml

from advisor import __version__
from advisor.advice.remedies import advised
from advisor.assess import assess
from advisor.model.figures import Figure, Unknown
from advisor.model.findings import NOTE, SEVERITIES
from advisor.papers.checklist.checklist import checklist_of
from advisor.papers.checklist.stages import FEWEST_ITEMS, MOST_ITEMS, Item
from advisor.show import Show
from advisor.wording import about_scale, day_words, glued, short_day, window_words, with_plain_dates
from tests.papers.pages import DAY, EXAMPLES, ODD, Papers, example, html_of, markdown_of, papers_of, plan_file
from tests.support import ROOT

NAMES = [path.stem for path in EXAMPLES]


def items(papers: Papers) -> list[Item]:
    return [item for stage in papers.checklist.stages for item in stage.items]


def texts(papers: Papers) -> str:
    return " ".join(f"{item.action} {item.passes} {item.why}" for item in items(papers))


@pytest.fixture(scope="module")
def odd(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Papers]:
    folder = tmp_path_factory.mktemp("odd")
    return {
        name: papers_of(plan_file(folder / f"{name}.yaml", {**changes, "units": "us"}))
        for name, changes in ODD.items()
    }


@pytest.mark.parametrize("name", NAMES)
def test_every_stage_has_five_to_nine_items(name: str) -> None:
    sizes = {stage.name: len(stage.items) for stage in example(name).checklist.stages}
    assert all(FEWEST_ITEMS <= size <= MOST_ITEMS for size in sizes.values()), sizes


@pytest.mark.parametrize("name", ODD)
def test_every_stage_of_an_odd_plan_has_five_to_nine_items(name: str, odd: dict[str, Papers]) -> None:
    sizes = {stage.name: len(stage.items) for stage in odd[name].checklist.stages}
    assert all(FEWEST_ITEMS <= size <= MOST_ITEMS for size in sizes.values()), sizes


def shortened() -> list[tuple[str, ...]]:
    """Paths of the entries of the sound example, two levels deep."""
    data = yaml.load((ROOT / "examples" / "first-season.yaml").read_text("utf-8"), Loader=yaml.BaseLoader)
    found: list[tuple[str, ...]] = []
    for key, value in data.items():
        if key in ("format", "clutches", "title"):
            continue
        found.append((key,))
        found += [(key, inner) for inner in value] if isinstance(value, dict) else []
    return found


@pytest.mark.parametrize("path", shortened(), ids=".".join)
def test_a_plan_with_an_entry_left_out_makes_a_whole_checklist(path: tuple[str, ...], tmp_path: Path) -> None:
    changes: dict[str, Any] = {path[0]: None} if len(path) == 1 else {path[0]: {path[1]: None}}
    if path == ("egg_boxes",):
        changes["clutches"] = [{"species": "pantherophis-guttatus"}]
    if path == ("control", "cut_out") or path[0] == "outer_box":
        changes = {path[0]: {path[1]: None}} if len(path) == 2 else {path[0]: None}
    papers = papers_of(plan_file(tmp_path / "plan.yaml", changes))
    assert all(FEWEST_ITEMS <= len(stage.items) <= MOST_ITEMS for stage in papers.checklist.stages)
    assert "None" not in texts(papers) + markdown_of(papers, "checklist") + markdown_of(papers, "cards")
    html_of(papers, "checklist")
    html_of(papers, "cards")


@pytest.mark.parametrize("name", NAMES)
def test_the_findings_are_the_first_items_worst_first(name: str) -> None:
    papers = example(name)
    findings = papers.assessment.report.findings
    first = items(papers)[: len(findings)]
    assert [item.severity for item in first] == [finding.severity for finding in findings]
    order = [SEVERITIES.index(item.severity) for item in first]
    assert order == sorted(order)
    assert not any(item.severity for item in items(papers)[len(findings) :])


@pytest.mark.parametrize("name", NAMES)
def test_each_finding_is_an_item_and_has_its_reason(name: str) -> None:
    papers = example(name)
    for finding, item in zip(papers.assessment.report.findings, items(papers), strict=False):
        number = with_plain_dates(finding.message).split("`")[0]
        assert item.why.startswith(number)
        # A note says in its item all there is to say.
        told = any(item.number in reason.items for reason in papers.checklist.reasons)
        assert told == (finding.severity != NOTE)


@pytest.mark.parametrize("name", NAMES)
def test_no_item_needs_the_screen(name: str) -> None:
    shown = texts(example(name)) + " ".join(
        f"{case.condition} {case.sign} {' '.join(case.actions)}"
        for case in example(name).checklist.emergencies
    )
    assert not re.search(r"advisor\b|https?:|www\.|\bclick|\bscreen|\.yaml|`|\[\d\]|\bcommand\b|--\w", shown)


@pytest.mark.parametrize("name", NAMES)
def test_each_item_is_one_action_that_begins_with_a_capital(name: str) -> None:
    for item in items(example(name)):
        assert re.match(r"[A-Z0-9]", item.action), item
        assert item.action.rstrip().endswith((".", "_")), item
        assert not item.passes or item.passes.endswith("."), item
        # Findings speak with the words of their rules; the papers' own items are one sentence.
        assert item.severity or not re.search(r"[.!?] ", item.action), item


def test_stages_follow_the_season() -> None:
    names = [stage.name.split(":")[0] for stage in example("first-season").checklist.stages]
    assert list(dict.fromkeys(names)) == [
        "Put right now",
        "Gather",
        "Build",
        "Trial run",
        "Lay box",
        "Egg day",
        "Checks",
        "Hatching",
    ]


def test_dates_come_from_the_schedule() -> None:
    papers = example("first-season")
    (clutch,) = papers.assessment.situation.forecast.clutches
    assert clutch.laying_window and clutch.hatch_window
    whens = {stage.name: stage.when for stage in papers.checklist.stages}
    assert whens["Egg day"] == f"likely {window_words(clutch.laying_window)}"
    assert whens["Hatching"] == f"likely {window_words(clutch.hatch_window)}"
    assert whens["Lay box"] == "from Sun 25 April 2027"
    assert whens["Trial run: tests"] == "20 to 26 April 2027"  # seven days from the 20th
    # More days than find room in a line stand on the check sheet, those after the likely hatching too.
    shown = [row.days for row in papers.checklist.writing.checks]
    assert shown == [str(day) for day in (*clutch.check_days, *clutch.late_check_days)]
    assert "check sheet" in whens["Checks"]


def test_what_to_buy_is_what_the_forecast_says() -> None:
    papers = example("first-season")
    shopping = papers.assessment.situation.forecast.shopping
    assert isinstance(shopping.medium, Figure) and isinstance(shopping.medium_mass, Figure)
    assert isinstance(shopping.water, Figure)
    show, mass = Show(), shopping.medium_mass
    assert f"{show.volume(shopping.medium.value)} of vermiculite" in texts(papers)
    assert show.about(mass.quantity, mass.value, mass.low, mass.high) in texts(papers)
    assert f"{show.volume(shopping.water.value)} of clean water" in texts(papers)


def test_amounts_stand_in_the_keepers_units(tmp_path: Path) -> None:
    papers = papers_of(plan_file(tmp_path / "plan.yaml", {"units": "us"}))
    shown = texts(papers) + " ".join(
        " ".join(case.actions) + case.sign for case in papers.checklist.emergencies
    )
    assert "°F" in shown and " oz" in shown and "cups" in shown
    assert not re.search(r"\d °C|\d g\b|\d cm\b|\d ml\b|\d litres?\b", shown)


def test_the_scale_table_holds_the_forecast_masses() -> None:
    papers = example("first-season")
    (table,) = papers.checklist.scale
    masses = dict(papers.assessment.situation.forecast.egg_boxes[0].water.mass_by_day)
    assert 5 <= len(table.readings) <= 10
    tops = {
        top_up.day: top_up.water for top_up in papers.assessment.situation.forecast.egg_boxes[0].water.top_ups
    }
    for reading in table.readings:
        day = int(reading.day.split(",")[0])
        told = reading.after if day in tops else reading.expect
        assert told == (
            f"{1000 * masses[day].value:.0f} g"
            if day in tops
            else about_scale(masses[day], Show()).removeprefix("about ")
        )
        assert bool(reading.after) == (day in tops)
        assert reading.expect.startswith(f"{1000 * (masses[day].value - tops.get(day, 0.0)):.0f} g ")
    assert [reading.add for reading in table.readings if reading.add] == [
        f"{1000 * water:.0f} g" for water in tops.values()
    ]


def test_of_many_top_ups_some_rows_are_told_and_what_to_do_between(tmp_path: Path) -> None:
    (table,) = papers_of(plan_file(tmp_path / "plan.yaml", ODD["often"])).checklist.scale
    assert len(table.readings) <= 14 and table.note
    assert len({reading.add for reading in table.readings if reading.add}) == 1  # the row before tells it
    (told,) = example("first-season").checklist.scale
    assert not told.note


def test_a_known_laying_day_puts_dates_on_the_scale_table(tmp_path: Path) -> None:
    clutch = {
        "species": "pantherophis-guttatus",
        "eggs": 14,
        "egg_mass": "11 g",
        "box": "eggs",
        "laying": {"laid_on": "2027-05-11"},
    }
    papers = papers_of(plan_file(tmp_path / "plan.yaml", {"clutches": [clutch]}))
    (table,) = papers.checklist.scale
    assert table.readings[0].day == "0, 11 May"
    day = int(table.readings[3].day.split(",")[0])
    assert short_day(datetime.date(2027, 5, 11) + datetime.timedelta(days=day)) in table.readings[3].day


@pytest.mark.parametrize("name", NAMES)
def test_markdown_and_html_carry_the_same_items(name: str) -> None:
    papers = example(name)
    html, markdown = html_of(papers, "checklist"), markdown_of(papers, "checklist")
    killers = sum(len(pause.items) for pause in papers.checklist.pauses)
    assert html.count('<li id="item-') == len(items(papers)) == markdown.count("- [ ] ") - killers
    for item in items(papers):
        assert markdown.count(f"- [ ] {item.number} ") == 1
        assert html.count(f'<span class="number">{item.number}</span>') == 1
    for case in papers.checklist.emergencies:
        assert case.condition in html and f"**{case.condition}**" in markdown


@pytest.mark.parametrize("name", NAMES)
def test_cautions_end_marks_plan_and_date_stand_on_the_paper(name: str) -> None:
    html, markdown = html_of(example(name), "checklist"), markdown_of(example(name), "checklist")
    for text in (html, markdown):
        for word in (
            "Electricity and fire",
            "Infection",
            "Animals",
            "Law",
            "licensed electrician",
            "veterinarian",
        ):
            assert word in text
        for word in ("wildlife authority", "local electrical code", "IEC 60335-2-71", "Salmonella"):
            assert word in text
        assert "End of the checklist" in text and "Thu 1 April 2027" in text and __version__ in text


def test_what_could_not_be_judged_is_said_in_plain_words() -> None:
    missing = example("nearly-empty").checklist.not_judged
    shown = " ".join(f"{entry.subject}: {'; '.join(entry.entries)}" for entry in missing)
    assert "how well the lid of the outer box closes" in shown
    assert not re.search(r"[a-z]_[a-z]|\[\d+\]|`", shown)
    needed = {
        need for answer in example("nearly-empty").assessment.report.not_judged for need in answer.needs
    }
    assert sum(len(entry.entries) for entry in missing) == len(needed)


def test_a_planned_cool_period_is_an_item(tmp_path: Path) -> None:
    clutch = {"species": "stigmochelys-pardalis", "cool_period": {"at": "18 °C", "days": "28"}}
    papers = papers_of(plan_file(tmp_path / "plan.yaml", {"clutches": [clutch]}))
    assert "Keep clutch 1 at 18 °C for 28 days in its cool period." in texts(papers)


def test_a_cool_period_that_would_kill_the_eggs_is_no_item(tmp_path: Path) -> None:
    clutch = {"species": "pantherophis-guttatus", "cool_period": {"at": "8 °C", "days": "45"}}
    told = texts(papers_of(plan_file(tmp_path / "plan.yaml", {"clutches": [clutch]}), advise=True))
    assert "Keep clutch 1 at" not in told and "Leave the cool period out." in told


def test_an_accepted_risk_stays_in_sight(tmp_path: Path) -> None:
    changes = {
        "people": {"residual_current_device": "no"},
        "accept": [{"rule": "people-no-residual-current-device", "because": "it comes on Monday"}],
    }
    papers = papers_of(plan_file(tmp_path / "plan.yaml", changes))
    assert any("it comes on Monday" in risk for risk in papers.checklist.accepted)
    assert "it comes on Monday" in html_of(papers, "checklist")
    assert "it comes on Monday" in markdown_of(papers, "checklist")


@pytest.mark.parametrize("kind", ["checklist", "cards"])
def test_same_plan_and_date_give_the_same_bytes(kind: str) -> None:
    path = ROOT / "examples" / "wrong-sexes.yaml"
    assert html_of(papers_of(path), kind) == html_of(papers_of(path), kind)
    assert markdown_of(papers_of(path), kind) == markdown_of(papers_of(path), kind)


def test_dates_are_words_that_nobody_mixes_up() -> None:
    day = datetime.date(2027, 5, 9)
    assert day_words(day) == "Sun 9 May 2027"  # a Sunday by any calendar of 2027
    assert short_day(day) == "9 May"
    assert window_words((day, datetime.date(2027, 5, 16))) == "9 to 16 May 2027"
    assert window_words((day, datetime.date(2027, 6, 1))) == "9 May to 1 June 2027"
    assert window_words((datetime.date(2027, 12, 30), datetime.date(2028, 1, 2))) == (
        "30 December 2027 to 2 January 2028"
    )
    assert with_plain_dates("from 2027-05-09 to 2027-99-99") == "from Sun 9 May 2027 to 2027-99-99"


def test_a_number_stays_beside_its_unit() -> None:
    assert glued("28 °C, 5 eggs, 12 g, 5 good") == "28\u00a0°C, 5 eggs, 12\u00a0g, 5 good"


def test_pictures_say_why_there_is_none() -> None:
    (sexes,) = [p for p in example("first-season").checklist.pictures if p.title.startswith("Males")]
    assert not sexes.svg and "does not set the sex" in " ".join(sexes.notes)
    assert isinstance(example("first-season").figures.share_curves[0], Unknown)
    assert any(p.svg for p in example("wrong-sexes").checklist.pictures if p.title.startswith("Males"))


def test_a_heater_that_the_check_refuses_is_neither_gathered_nor_fixed() -> None:
    papers = example("bulb-in-foam")
    later = " ".join(item.action for item in items(papers) if not item.severity)
    assert "bulb" not in later and "Fix no heater before" in later
    assert papers.checklist.mark.startswith("STOP")
    assert "print this paper again" in html_of(papers, "checklist")
    assert "print this paper again" in markdown_of(papers, "checklist")


def test_a_sound_plan_is_not_asked_to_change() -> None:
    papers = example("first-season")
    assert not papers.checklist.mark
    assert "print this paper again" not in html_of(papers, "checklist") + markdown_of(papers, "checklist")


def test_the_same_finding_about_many_clutches_is_one_item(tmp_path: Path) -> None:
    papers = papers_of(plan_file(tmp_path / "plan.yaml", ODD["crowd"]))
    findings = papers.assessment.report.findings
    thin = [finding for finding in findings if finding.rule == "profile-thin-evidence"]
    assert len(thin) == 12
    (item,) = [
        item
        for item in items(papers)
        if item.severity
        and item.action.startswith("Ask keepers of the species, start to look for young early")
    ]
    assert item.why.endswith("It is about clutch 1 (corn snake) and 11 more.")


def test_a_fault_that_no_change_clears_says_what_stands_in_the_way(tmp_path: Path) -> None:
    # Females of the Japanese gecko hatch near 31.5 °C, where this thermostat leaves it open what hatches.
    sound = (ROOT / "tests/setups/sound/glued-gecko-on-bark.yaml").read_text("utf-8")
    path = tmp_path / "plan.yaml"
    path.write_text(sound.replace("wanted: any", "wanted: females"), "utf-8")
    assessment = advised(assess(path))
    checklist = checklist_of(assessment, papers_of(path).figures, DAY, True)
    found = [item for item in checklist.stages[0].items if item.why.startswith("You want females")]
    assert len(found) == 1 and "No change was found" in found[0].action


@pytest.mark.parametrize(
    ("eggs", "boxes", "words"),
    [(14, 2, "7 in each"), (15, 2, "7 or 8 in each"), (2, 3, "1 in each of 2"), (1, 2, "in one of them")],
)
def test_eggs_are_told_out_to_the_boxes(eggs: int, boxes: int, words: str, tmp_path: Path) -> None:
    data = yaml.load((ROOT / "examples" / "first-season.yaml").read_text("utf-8"), Loader=yaml.BaseLoader)
    changes = {
        "egg_boxes": [{**data["egg_boxes"][0], "count": boxes}, data["egg_boxes"][1]],
        "clutches": [{**data["clutches"][0], "eggs": eggs}],
    }
    papers = papers_of(plan_file(tmp_path / "plan.yaml", changes))
    assert f"into the {boxes} boxes 'eggs', {words}, half buried" in texts(papers)


def test_holes_come_in_the_sizes_of_drills(tmp_path: Path) -> None:
    papers = papers_of(plan_file(tmp_path / "plan.yaml", {"units": "us"}))
    assert "Make 5 holes of 5/64 in in each box" in texts(papers)  # 2 mm is 5.04 sixty-fourths of an inch
    assert "Make 5 holes of 2 mm in each box" in texts(example("first-season"))


@pytest.mark.parametrize("path", sorted((ROOT / "tests/setups/sound").glob("*bath*.yaml")), ids=lambda path: path.stem)  # fmt: skip
def test_no_point_over_a_bath_asks_for_what_a_bath_forbids(path: Path) -> None:
    """Its heater is always covered, by water; and where drops are forecast a pause that none hang there lets nobody go on."""
    papers = papers_of(path)
    told = [item for pause in papers.checklist.pauses for item in pause.items]
    told += [f"{item.action} {item.passes}" for item in items(papers)]
    assert not [one for one in told if re.search(r"[Nn]othing [\w, ]*covers", one)]
    assert len([one for one in told if "up to its mark" in one]) == 2
    assert "No drops hang under the egg-box lids." not in told
