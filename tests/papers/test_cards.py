"""Mixing cards, labels and record sheets: this plan's amounts, a label per box, the check days filled in."""

import datetime
import re
from pathlib import Path

import pytest
import yaml

from advisor.forecast.egg_box.medium import BoxContents, contents_of
from advisor.model.figures import Figure
from advisor.model.papers import MixAmounts
from advisor.papers.cards import LATE, MOST_LABELS, MOST_SHEETS
from advisor.show import Show
from advisor.wording import weekday_words
from tests.papers.pages import EXAMPLES, ODD, example, html_of, markdown_of, papers_of, plan_file
from tests.support import ROOT

NAMES = [path.stem for path in EXAMPLES]


def test_the_mixing_card_holds_litres_grams_dry_and_wet_mass() -> None:
    """Reference: 20 x 14 x 5 cm of medium is 1.4 litres; 4 parts to 1 by volume is 350 ml, which weighs 350 g."""
    card = example("first-season").cards.mixes[0]
    assert card.box == "eggs" and card.boxes == "2 boxes"
    volume, dry, water, wet = card.rows
    assert (volume.one, volume.all) == ("1.4 litres", "2.8 litres")
    assert (water.one, water.all) == ("350 g (350 ml)", "700 g (700 ml)")
    contents = contents_of(example("first-season").assessment.situation.plan.egg_boxes[0], "egg_boxes[0]")
    assert isinstance(contents, BoxContents)
    grams = 1000 * contents.dry_mass.typical
    assert dry.one.startswith(f"about {grams:.0f} g") and dry.all.startswith(f"about {2 * grams:.0f} g")
    assert wet.one.startswith(f"about {grams + 350:.0f} g")


def test_a_mix_by_mass_says_the_mass_first(tmp_path: Path) -> None:
    papers = papers_of(plan_file(tmp_path / "plan.yaml", ODD["bath"]))
    (card,) = papers.cards.mixes
    assert "mass" in card.rows[0].what and "loosely filled" in card.rows[1].what
    (mix,) = papers.figures.mixes
    assert isinstance(mix, MixAmounts)
    # One part to one by mass: as much water as dry medium, whatever its density.
    assert (mix.water.low, mix.water.value, mix.water.high) == (mix.dry.low, mix.dry.value, mix.dry.high)
    assert mix.wet.value == pytest.approx(2 * mix.dry.value, rel=1e-12)


def test_all_boxes_take_as_many_times_one(tmp_path: Path) -> None:
    figures = papers_of(plan_file(tmp_path / "plan.yaml", ODD["bath"])).figures
    one, all_boxes = figures.mixes[0], figures.mixes_in_all[0]
    assert isinstance(one, MixAmounts) and isinstance(all_boxes, MixAmounts)
    for mine, ours in ((one.dry, all_boxes.dry), (one.water, all_boxes.water), (one.wet, all_boxes.wet)):
        assert (ours.low, ours.value, ours.high) == pytest.approx(
            (7 * mine.low, 7 * mine.value, 7 * mine.high), rel=1e-12
        )


@pytest.mark.parametrize("name", NAMES)
def test_there_is_a_label_for_each_box(name: str) -> None:
    papers = example(name)
    boxes = papers.assessment.situation.plan.egg_boxes
    assert len(papers.cards.labels) == sum(box.count or 1 for box in boxes)
    assert len({label.name for label in papers.cards.labels}) == len(papers.cards.labels)


def test_clutches_that_have_just_their_own_boxes_are_each_on_its_own_label(tmp_path: Path) -> None:
    """Three clutches in three boxes: a label that lists all three tells nobody which eggs lie in the box."""
    season = yaml.load((ROOT / "examples" / "first-season.yaml").read_text("utf-8"), Loader=yaml.BaseLoader)
    clutches = [
        {
            **season["clutches"][0],
            "eggs": 6,
            "laying": {"expected": f"2027-05-{day:02d} to 2027-05-{day + 5:02d}"},
        }
        for day in (3, 10, 17)
    ]
    boxes = [{**season["egg_boxes"][0], "count": 3}, season["egg_boxes"][1]]
    papers = papers_of(plan_file(tmp_path / "plan.yaml", {"egg_boxes": boxes, "clutches": clutches}))
    named = [[row.value for row in label.rows if row.words == "Species"] for label in papers.cards.labels]
    assert [len(names) for names in named] == [1, 1, 1, 0]
    assert len({names[0] for names in named[:3]}) == 3


def test_a_label_has_species_days_and_a_blank_for_the_empty_box() -> None:
    rows = {row.words: row.value for row in example("first-season").cards.labels[0].rows}
    assert rows["Species"] == "corn snake"
    (clutch,) = example("first-season").assessment.situation.forecast.clutches
    assert clutch.hatch_window is not None
    # Before laying nobody knows the date: the days to count, and lines for both dates.
    days = clutch.incubation_days
    assert isinstance(days, Figure)
    assert rows["Hatching"] == f"{days.low:.0f} to {days.high:.0f} days from laying"
    assert rows["Empty box with lid (tare)"] == rows["Laid on"] == rows["Due on"] == ""
    assert rows["Wet medium"].startswith("about 459 g")  # 109.2 g of dry medium and 350 g of water
    probe = {row.words: row.value for row in example("first-season").cards.labels[-1].rows}
    assert "no eggs" in probe["For"] and probe["Thermostat set to"] == "28 °C"


def test_the_record_sheet_has_the_check_days_and_a_blank_beside_the_expected_mass() -> None:
    papers = example("first-season")
    (sheet,) = papers.cards.sheets
    (clutch,) = papers.assessment.situation.forecast.clutches
    masses = dict(papers.assessment.situation.forecast.egg_boxes[0].water.mass_by_day)
    days = [int(row.day) for row in sheet.rows]
    assert set(clutch.check_days) <= set(days) and days[0] == 0
    assert sheet.boxes == ("box 1", "box 2")
    added = {
        top_up.day: top_up.water for top_up in papers.assessment.situation.forecast.egg_boxes[0].water.top_ups
    }
    assert added
    late = [row for row in sheet.rows if row.expect == LATE]
    assert [int(row.day) for row in late] == list(clutch.late_check_days)
    assert clutch.hatch_window and clutch.laying_window
    longest = (clutch.hatch_window[1] - clutch.laying_window[1]).days
    assert int(late[-1].day) >= longest
    for row in sheet.rows[: -len(late)]:
        after, water = masses[int(row.day)].value, added.get(int(row.day))
        assert row.expect == f"{1000 * (after - (water or 0)):.0f} g"
        assert row.add == (f"{1000 * water:.0f} g" if water else "")
        assert row.after == (f"{1000 * after:.0f} g" if water else "")
    assert "weigh first" in " ".join(sheet.notes)
    html = html_of(papers, "cards")
    assert html.count('class="record"') == 1
    assert len(re.findall(r"<td[^>]*></td>", html)) >= 5 * len(sheet.rows)
    assert "Low °C" in html and "High °C" in html and "Remarks" in html


def test_before_a_top_up_the_scale_reads_what_it_reads_without_one(tmp_path: Path) -> None:
    """Up to the first top-up a box is the same box, whether water is added then or never."""
    dry = papers_of(plan_file(tmp_path / "plan.yaml", {"egg_boxes": _never_topped_up()}))
    mine, never = example("first-season").figures, dry.figures
    reading = next(reading for reading in mine.readings[0] if reading.after is not None)
    other = next(found for found in never.readings[0] if found.day == reading.day)
    assert not any(found.after for found in never.readings[0])
    # The one is a day of a run with top-ups, the other of a run without: the steps of time differ a little.
    for end in ("low", "value", "high"):
        assert getattr(reading.mass, end) == pytest.approx(getattr(other.mass, end), rel=1e-6)
    course = [water for day, water in mine.water_courses[0] if day == reading.day]
    (without,) = [water for day, water in never.water_courses[0] if day == reading.day]
    assert len(course) == 2
    assert course[0].value == pytest.approx(without.value, rel=1e-6) and course[1].value > course[0].value


def _boxes(**entries: str) -> list[dict[str, object]]:
    data = yaml.load((ROOT / "examples" / "first-season.yaml").read_text("utf-8"), Loader=yaml.BaseLoader)
    return [{**box, **entries} for box in data["egg_boxes"]]


def _never_topped_up() -> list[dict[str, object]]:
    return _boxes(top_up="none")


def test_a_top_up_between_two_checks_has_its_row(tmp_path: Path) -> None:
    boxes = [{**box, "top_up": {"every": "16 days"}} for box in _never_topped_up()]
    papers = papers_of(plan_file(tmp_path / "plan.yaml", {"egg_boxes": boxes}))
    top_ups = papers.assessment.situation.forecast.egg_boxes[0].water.top_ups
    (clutch,) = papers.assessment.situation.forecast.clutches
    assert {top_up.day for top_up in top_ups} - set(clutch.check_days)
    (sheet,), (table,) = papers.cards.sheets, papers.checklist.scale
    assert [int(row.day) for row in sheet.rows if row.add] == [top_up.day for top_up in top_ups]
    assert [int(row.day) for row in table.readings if row.add] == [top_up.day for top_up in top_ups]


def test_a_heavy_box_is_told_to_the_gram(tmp_path: Path) -> None:
    """A kitchen scale shows 1028 g; "1.03 kg" hides what a box loses from check to check."""
    papers = papers_of(plan_file(tmp_path / "plan.yaml", {"egg_boxes": _boxes(inside="30 x 20 x 12 cm")}))
    (sheet,) = papers.cards.sheets
    told = [row.expect for row in sheet.rows if row.expect != LATE]
    assert all(expect.endswith(" g") for expect in told) and int(told[0][:-2]) > 1000


def test_the_mass_of_the_empty_box_is_added_where_the_plan_tells_it(tmp_path: Path) -> None:
    papers = papers_of(plan_file(tmp_path / "plan.yaml", {"egg_boxes": _boxes(tare="142 g")}))
    (sheet,), (table,) = papers.cards.sheets, papers.checklist.scale
    plain = example("first-season").cards.sheets[0]
    for row, other in zip(sheet.rows, plain.rows, strict=True):
        if other.expect != LATE:
            assert int(row.expect[:-2]) == pytest.approx(int(other.expect[:-2]) + 142, abs=1)
    assert sheet.tare == table.tare == "142 g"
    assert int(table.readings[0].mine[:-2]) == int(sheet.rows[0].expect[:-2])
    assert all(not reading.mine for reading in example("first-season").checklist.scale[0].readings)


def test_a_known_laying_day_puts_dates_on_sheets_and_labels(tmp_path: Path) -> None:
    papers = papers_of(plan_file(tmp_path / "plan.yaml", ODD["tall"]))
    (sheet,) = papers.cards.sheets
    laid = datetime.date(2027, 5, 11)
    assert all(row.date == weekday_words(laid + datetime.timedelta(days=int(row.day))) for row in sheet.rows)
    assert {row.words: row.value for row in papers.cards.labels[0].rows}["Laid on"] == "Tue 11 May 2027"


def test_an_unknown_plan_still_gives_a_sheet_to_write_on(tmp_path: Path) -> None:
    papers = papers_of(
        plan_file(tmp_path / "plan.yaml", {"control": None, "egg_boxes": [{"name": "eggs"}], "room": None})
    )
    (sheet,) = papers.cards.sheets
    assert len(sheet.rows) >= 10 and all(row.expect == "" for row in sheet.rows)
    assert "not known" in papers.cards.mixes[0].reason


def test_check_days_are_filled_in_where_masses_are_not_known(tmp_path: Path) -> None:
    papers = papers_of(plan_file(tmp_path / "plan.yaml", {"room": None}))
    (sheet,) = papers.cards.sheets
    (clutch,) = papers.assessment.situation.forecast.clutches
    assert [int(row.day) for row in sheet.rows] == [0, *clutch.check_days, *clutch.late_check_days]
    assert all(row.expect in ("", LATE) for row in sheet.rows)


def test_too_many_labels_are_left_out_and_counted(tmp_path: Path) -> None:
    papers = papers_of(plan_file(tmp_path / "plan.yaml", ODD["crowd"]))
    wanted = sum(range(1, 13))
    assert len(papers.cards.labels) == MOST_LABELS and len(papers.cards.sheets) == MOST_SHEETS
    assert f"{wanted - MOST_LABELS} more labels are left out" in html_of(papers, "cards")


@pytest.mark.parametrize("name", NAMES)
def test_markdown_and_html_carry_the_same_amounts(name: str) -> None:
    papers = example(name)
    html, markdown = html_of(papers, "cards").replace("\u00a0", " "), markdown_of(papers, "cards")
    for card in papers.cards.mixes:
        for row in card.rows:
            assert row.one in html and row.one in markdown and row.all in html and row.all in markdown
    assert markdown.count("**Box '") == len(papers.cards.mixes) + len(papers.cards.labels)
    assert html.count('class="label"') == len(papers.cards.labels)
    assert "End of the cards" in html and "End of the cards" in markdown


def test_shopping_is_told_with_its_spare_part() -> None:
    shopping = example("first-season").assessment.situation.forecast.shopping
    assert isinstance(shopping.medium, Figure)
    assert Show().volume(shopping.medium.value) in example("first-season").cards.shopping
