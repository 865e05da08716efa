"""The commands that write papers from a plan."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from advisor.commands.common import (
    check_ending,
    date_option,
    force_option,
    guarded,
    output_option,
    own_species,
    paper_option,
    plan_argument,
    printed_on,
    write_told,
)
from advisor.reading.problems import printable


@click.command()
@plan_argument()
@output_option("FILE", required=False)
@paper_option
@click.option("--long", is_flag=True, help="Add the full lists, sheets to write on, pictures and reasons.")
@force_option
@date_option
@own_species
@guarded
def checklist(
    plan: Path,
    output: Path | None,
    paper: str | None,
    long: bool,
    force: bool,
    day: str | None,
    own: Path | None,
) -> None:
    """Write the sheet for the wall beside the box: one leaf, two sides.

    The front has what the box is set to, its temperatures on one scale, and three pause points to confirm before you
    go on. The back says what to do when something goes wrong, and what the scale should read.

    \b
    Example:  advisor checklist examples/first-season.yaml -o checklist.html

    Without -o the checklist is printed as Markdown.
    """
    from advisor.papers.checklist.checklist import checklist_of
    from advisor.papers.page import paper_of

    check_ending(output, ".html", ".md")
    judged = _judged(plan, own)
    content = checklist_of(*judged, printed_on(day), long)
    _write("checklist", content, output, paper_of(paper, judged[0].situation.plan.units), force)


@click.command()
@plan_argument()
@output_option("FILE")
@paper_option
@force_option
@date_option
@own_species
@guarded
def cards(
    plan: Path, output: Path, paper: str | None, force: bool, day: str | None, own: Path | None
) -> None:
    """Write mixing cards, box labels and record sheets of a plan.

    \b
    Example:  advisor cards examples/first-season.yaml -o cards.html
    """
    from advisor.papers.cards import cards_of
    from advisor.papers.page import paper_of

    check_ending(output, ".html", ".md")
    judged = _judged(plan, own)
    content = cards_of(*judged, printed_on(day))
    _write("cards", content, output, paper_of(paper, judged[0].situation.plan.units), force)


def _judged(plan: Path, own: Path | None) -> tuple[Any, Any]:
    """The judged plan as papers take it."""
    from advisor.advice.judged import advised_assessment
    from advisor.papers.refused import with_figures

    return with_figures(advised_assessment(plan, own))


def _write(template: str, content: Any, output: Path | None, paper: str, force: bool) -> None:
    """Prints a paper as Markdown, or writes it to a file by its ending."""
    from advisor.papers.page import render

    if output is None:
        click.echo(render(f"{template}.md", paper, list=content), nl=False)
        return
    write_told(output, render(f"{template}{output.suffix.lower()}", paper, list=content), force)


@click.command()
@plan_argument()
@output_option("FILE.ics")
@force_option
@date_option
@own_species
@guarded
def calendar(plan: Path, output: Path, force: bool, day: str | None, own: Path | None) -> None:
    """Write the dates of a plan as a calendar file.

    \b
    Example:  advisor calendar examples/first-season.yaml -o season.ics

    Import the file into your calendar. When a date changes, change the plan, write the file again and import it
    again: the entries are replaced as long as the plan keeps its title and its file name.

    When you replace the file of before with --force, entries that have gone from the plan are written as cancelled.
    Most calendars then strike them out or remove them; delete what is left by hand.
    """
    from advisor.advice.judged import advised_assessment

    write_calendar(lambda: advised_assessment(plan, own), output, force, day)


def write_calendar(
    judged: Callable[[], Any], output: Path, force: bool, day: str | None, as_json: bool = False
) -> None:
    """Writes the dates of a judged plan, and tells what was written and what has no date."""
    from advisor.papers.calendar.file import calendar_bytes, calendar_season
    from advisor.papers.files import read_old, write_file

    check_ending(output, ".ics")
    written_on = printed_on(day)
    assessment = judged()
    season = calendar_season(assessment)
    old = read_old(output) if force else None
    content, cancelled = calendar_bytes(season, assessment.document.file, written_on, old)
    write_file(output, content, force)
    first, last = season.entries[0].first, max(entry.end for entry in season.entries)
    click.echo(
        f"Wrote {printable(str(output))}: {len(season.entries)} entries from {first.day} {first:%B %Y} to "
        f"{last.day} {last:%B %Y}.",
        err=as_json,
    )
    if cancelled:
        click.echo(f"Marked as cancelled, since they have gone from the plan: {cancelled}.", err=as_json)
    for missing in season.left_out:
        place = f" ({missing.path})" if missing.path else ""
        click.echo(printable(f"Not in it: {missing.what}{place}: {missing.add}."), err=True)
