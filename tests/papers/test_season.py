"""The papers of a season: ten clutches that follow one another, told in their order and not ten times over."""

import itertools
import re
import subprocess
from collections import Counter
from pathlib import Path

import icalendar
import pytest
from click.testing import CliRunner

from advisor.advice.remedies import advised
from advisor.cli import main
from advisor.drawings.canvas import Drawing
from advisor.drawings.season import season
from advisor.model.forecast import BoxUse
from advisor.papers.refused import for_paper
from advisor.papers.rounds import rounds_of, spells_of
from advisor.wording import middle_day
from tests.papers.browser import CHROMIUM, FLAGS, need
from tests.papers.pages import DAY, Papers, papers_of
from tests.support import ROOT

SEASONS = {
    name: ROOT / "tests" / "setups" / "sound" / f"{name}.yaml"
    for name in ("ten-gecko-clutches", "two-tortoises-one-season")
}


@pytest.fixture(scope="module", params=SEASONS)
def papers(request: pytest.FixtureRequest) -> Papers:
    return papers_of(SEASONS[request.param])


def test_no_clutch_waits_longer_for_a_look_than_its_rhythm_asks(papers: Papers) -> None:
    clutches = papers.assessment.situation.forecast.clutches
    rounds = rounds_of(clutches)
    for place, clutch in enumerate(clutches):
        assert clutch.laying_window and clutch.late_check_days
        laid = middle_day(clutch.laying_window).toordinal()
        looks = [day for one in rounds for at, day in one.looks if at == place]
        assert looks == [
            one.day.toordinal() - laid for one in rounds if any(at == place for at, _ in one.looks)
        ]
        planned = (0, *clutch.check_days)
        for before, after in itertools.pairwise((0, *looks)):
            gaps = [late - early for early, late in itertools.pairwise(planned) if before < late]
            assert after - before <= (gaps or [planned[-1] - planned[-2]])[0]
        assert looks[-1] >= clutch.late_check_days[-1]


def test_the_rounds_are_drawn_together_without_losing_a_day(papers: Papers) -> None:
    rounds = rounds_of(papers.assessment.situation.forecast.clutches)
    days = [
        one.first.toordinal() + number * one.every for one in spells_of(rounds) for number in range(one.times)
    ]
    assert days == [one.day.toordinal() for one in rounds]


def test_the_calendar_has_at_most_sixty_entries_and_its_rounds_repeat(papers: Papers, tmp_path: Path) -> None:
    plan, out = papers.assessment.document.file, tmp_path / "season.ics"
    result = CliRunner().invoke(main, ["calendar", str(plan), "-o", str(out), "--date", DAY.isoformat()])
    assert result.exit_code == 0, result.output
    events = icalendar.Calendar.from_ical(out.read_bytes()).walk("VEVENT")
    assert len(events) <= 60
    rounds = [event for event in events if str(event["summary"]).startswith("Round of all egg boxes")]
    counts = [re.search(r"COUNT=(\d+)", event.to_ical().decode()) for event in rounds]
    days = sum(int(count[1]) if count else 1 for count in counts)
    told = for_paper(advised(papers.assessment, None)).situation  # without what the check wants changed
    assert days == len(rounds_of(told.forecast.clutches))
    # A female has one lay box, and is overdue only before her first eggs.
    entries = {clutch.entry for clutch in papers.assessment.situation.plan.clutches}
    assert sum("lay box" in str(event["summary"]) for event in events) == len(entries)


def test_each_clutch_has_a_label_and_a_box_of_its_own(papers: Papers) -> None:
    situation = papers.assessment.situation
    names = [row.value for label in papers.cards.labels for row in label.rows if row.words == "Species"]
    (use, *_) = situation.forecast.box_use
    assert isinstance(use, BoxUse) and use.by_turns
    assert (
        len(names)
        == len(set(names))
        == len(situation.plan.clutches)
        == sum(len(stay.boxes) for stay in use.stays)
    )


def test_the_front_tells_all_clutches_of_a_female_in_one_line(papers: Papers) -> None:
    entries = {clutch.entry for clutch in papers.assessment.situation.plan.clutches}
    assert len(papers.checklist.clutches) == len(entries)
    assert all("clutches of" in row.name for row in papers.checklist.clutches)


def test_egg_days_stand_in_their_order_each_with_its_box(papers: Papers) -> None:
    (told,) = [
        item.why
        for stage in papers.checklist.stages
        for item in stage.items
        if item.action.startswith("Write the due")
    ]
    situation = papers.assessment.situation
    first = [clutch.laying_window for clutch in situation.forecast.clutches]
    order = sorted(range(len(first)), key=lambda place: first[place] or (DAY, DAY))
    places = [told.index(f"Clutch {place + 1}: ") for place in order]
    assert places == sorted(places)
    assert told.count(", box ") == told.count("Clutch ") == len(first)


def test_the_picture_has_a_row_for_each_box(papers: Papers) -> None:
    situation = papers.assessment.situation
    names = tuple(situation.species[clutch.species].name for clutch in situation.plan.clutches)
    drawing = season(situation.plan, situation.forecast, names)
    assert isinstance(drawing, Drawing)
    (use, *_) = situation.forecast.box_use
    assert isinstance(use, BoxUse)
    for number in {number for stay in use.stays for number in stay.boxes}:
        clutches = [str(stay.clutch + 1) for stay in use.stays if number in stay.boxes]
        assert f"{number}: clutches {', '.join(clutches)}" in drawing.description
    outlined = [shape for shape in drawing.shapes if shape.startswith("<rect") and 'fill="#fff"' in shape]
    assert len(outlined) >= len(use.stays)


def test_a_note_on_all_clutches_of_a_female_is_told_once(papers: Papers) -> None:
    entries = {clutch.entry for clutch in papers.assessment.situation.plan.clutches}
    found = Counter((one.rule, one.path, one.message) for one in papers.assessment.report.findings)
    assert max(found.values()) <= len(entries)


@pytest.mark.browser
def test_the_long_checklist_of_ten_clutches_takes_nine_pages_at_most(tmp_path: Path) -> None:
    need("chromium", "pdfinfo")
    page, pdf = tmp_path / "list.html", tmp_path / "list.pdf"
    plan = SEASONS["ten-gecko-clutches"]
    CliRunner().invoke(main, ["checklist", "--long", str(plan), "-o", str(page), "--date", DAY.isoformat()])
    subprocess.run(
        [CHROMIUM, *FLAGS, f"--print-to-pdf={pdf}", page.as_uri()], check=True, capture_output=True
    )
    told = subprocess.run(["pdfinfo", str(pdf)], check=True, capture_output=True, text=True).stdout
    assert int(told.partition("Pages:")[2].split()[0]) <= 9
