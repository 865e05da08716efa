"""`advisor trial` and `advisor follow`: judge the log of a trial run, and one with eggs inside."""

import sys
from collections.abc import Callable
from datetime import UTC
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from advisor.commands.check import FAIL_ON, fails
from advisor.commands.common import (
    NamedPath,
    asked_for,
    check_ending,
    date_option,
    force_option,
    guarded,
    output_option,
    own_species,
    paper_option,
    plan_argument,
    print_json,
    print_lines,
    printed_on,
    screen_width,
    write_told,
)
from advisor.reading.problems import printable

if TYPE_CHECKING:
    from advisor.reading.logs.columns import Asked

UNWRAPPED = 1_000_000  # columns of a line that a page breaks itself


def log_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """The plan, the log, how it is read, and where the report goes."""
    options = (
        plan_argument(),
        click.argument(
            "log",
            type=NamedPath(),
            metavar="LOG",
            required=False,
            callback=asked_for("name the log behind the plan, for example: {command} my-box.yaml log.csv"),
        ),
        click.option(
            "--sensor",
            "sensors",
            multiple=True,
            metavar="NAME=PLACE",
            help='Where a sensor of the log lies, for example --sensor "T1=egg box medium". The plan can tell it too: watching.sensors.',
        ),
        click.option(
            "--dates",
            "order",
            type=click.Choice(["dmy", "mdy", "ymd"]),
            help="Order of day, month and year, where the log leaves two.",
        ),
        click.option(
            "--starts",
            type=click.DateTime(["%Y-%m-%d %H:%M"]),
            metavar="'YYYY-MM-DD HH:MM'",
            help="When the log begins, where its first column counts seconds, minutes or hours from there.",
        ),
        click.option(
            "--degrees",
            type=click.Choice(["C", "F"], case_sensitive=False),
            help="Unit of the log, where it tells none.",
        ),
        output_option("FILE.html", required=False),
        paper_option,
        force_option,
        date_option,
        click.option("--json", "as_json", is_flag=True, help="Print the report as JSON."),
        own_species,
        click.option(
            "--fail-on",
            type=click.Choice(FAIL_ON),
            default="fix",
            show_default=True,
            help="End with status 1 when a finding is this bad or worse.",
        ),
    )
    for option in reversed(options):
        command = option(command)
    return command


@click.command()
@log_options
@click.option("--write", "in_place", is_flag=True, help="Write what was measured into PLAN, under measured.")
@guarded
def trial(plan: Path, log: Path, own: Path | None, in_place: bool, **how: Any) -> None:
    """Judge a trial run by its log: the CSV file of any temperature logger.

    \b
    Example:  advisor trial my-box.yaml log.csv --sensor "T1=egg box medium" --sensor T2=room

    Places: egg box medium, probe box medium, air above, air below, heater (its surface), room, heater on (a column with
    its switch), heater power (a column with its watts). The log is only read.

    --write takes the place of what stands under measured in the plan; its comments and all else stay.

    Status 0: nothing as bad as --fail-on. 1: such a finding. 2: the input is wrong. 3: our own fault.
    """
    from advisor.assess_log import assess_trial
    from advisor.report.trial import trial_data, trial_lines, trial_marks

    asked = _asked(how)
    assessed = assess_trial(plan, log, asked, own)
    if in_place:
        _write_measured(plan, assessed, own)
    _tell("Trial run", assessed, (trial_data, trial_lines, trial_marks), how)


@click.command()
@log_options
@click.option(
    "--happened",
    type=NamedPath(),
    metavar="FILE.yaml",
    help="What you noted. See docs/happened-format.md.",
)
@click.option(
    "--calendar",
    type=NamedPath(),
    metavar="FILE.ics",
    help="Write the dates from where the eggs are now, as `advisor calendar` does from the plan.",
)
@guarded
def follow(
    plan: Path, log: Path, own: Path | None, happened: Path | None, calendar: Path | None, **how: Any
) -> None:
    """Follow the eggs by the log of the box they lie in: how far they are, when they hatch, what happened.

    \b
    Example:  advisor follow my-box.yaml log.csv --sensor "T1=egg box medium" --sensor T2=room
              advisor follow my-box.yaml log.csv --happened happened.yaml -o follow.html

    The plan tells the laying day (laying: {laid_on: 2027-05-11}), or the file of what happened. Places of sensors as for
    `advisor trial`. The log is only read. Once eggs have hatched (what: hatched) it tells how good the forecast was, and
    writes a record for the species profile.

    Status 0: nothing as bad as --fail-on. 1: such a finding. 2: the input is wrong. 3: our own fault.
    """
    from advisor.assess_log import assess_follow, moved_by
    from advisor.commands.papers import write_calendar
    from advisor.papers.files import check_target
    from advisor.report.follow import follow_data, follow_lines, follow_marks

    asked = _asked(how)
    if calendar is not None:
        check_ending(calendar, ".ics")
        check_target(calendar, how["force"])
    assessed = assess_follow(plan, log, asked, happened, own)
    if calendar is not None:
        write_calendar(lambda: moved_by(assessed), calendar, how["force"], how["day"], as_json=how["as_json"])
    _tell("Eggs", assessed, (follow_data, follow_lines, follow_marks), how)


def _write_measured(plan: Path, assessed: Any, own: Path | None) -> None:
    """Writes what was measured into the plan, once the changed plan was read as a plan."""
    from advisor.advice.measured_text import with_measured
    from advisor.papers.files import write_file
    from advisor.reading.plan import read_document
    from advisor.reading.yaml_text import parse_yaml

    units = assessed.assessment.situation.plan.units
    text, entries = with_measured(plan.read_text("utf-8-sig"), assessed.taken, units)
    if not entries:
        click.echo("Nothing was written: this log measures nothing that the plan can hold.", err=True)
        return
    read_document(parse_yaml(text.encode(), str(plan)), own_species=own)
    write_file(plan, text, force=True)
    click.echo(f"Wrote {', '.join(entries)} into {printable(str(plan))}.", err=True)


def _asked(how: dict[str, Any]) -> "Asked":
    """How the log is to be read; what cannot be written in the end is refused before anything is."""
    from advisor.papers.files import check_target
    from advisor.reading.logs.columns import Asked

    check_ending(how["output"], ".html")
    printed_on(how["day"])
    if how["output"] is not None:
        check_target(how["output"], how["force"])
    places = _places(how["sensors"])
    degrees = how["degrees"]
    starts = None if how["starts"] is None else how["starts"].replace(tzinfo=UTC).timestamp()
    unit = degrees.upper() if degrees else None
    return Asked(places, frozenset(places), how["order"], unit, starts, _tell_rows)


def _tell(name: str, assessed: Any, report: tuple[Callable[..., Any], ...], how: dict[str, Any]) -> None:
    """Prints the report, or writes its page; ends with status 1 for a finding as bad as asked."""
    from advisor.drawings.log_course import log_picture, picture_lines

    data, lines, marks = report
    situation = assessed.assessment.situation
    if how["as_json"]:
        print_json(data(assessed))
    if not how["as_json"] or how["output"]:
        picture = log_picture(assessed.log, situation, marks(assessed))
    if how["output"]:
        from advisor.papers.log_page import log_page
        from advisor.papers.page import paper_of

        told = lines(assessed, UNWRAPPED)
        paper = paper_of(how["paper"], situation.plan.units)
        page = log_page(name, situation.plan.title, picture, told, printed_on(how["day"]), paper)
        write_told(how["output"], page, how["force"], err=how["as_json"])
    elif not how["as_json"]:
        print_lines(lines(assessed, screen_width(), picture_lines(picture)))
    if fails(assessed.assessment.report, how["fail_on"]):
        sys.exit(1)


def _tell_rows(rows: int) -> None:
    """Says on a terminal how far a long log has been read; the next line of text goes over it."""
    if sys.stderr.isatty():
        click.echo(f"\rReading the log: {rows} rows\r", err=True, nl=False)


def _places(sensors: tuple[str, ...]) -> dict[str, str]:
    """Places by name; raises `UsageError` for what is none."""
    from advisor.model.logs import PLACES

    places: dict[str, str] = {}
    for told in sensors:
        name, sign, place = (part.strip() for part in told.rpartition("="))
        if not sign or not name:
            raise click.UsageError(
                f'--sensor {printable(told, 60)}: write name and place, for example --sensor "T1=egg box medium".'
            )
        if place not in PLACES:
            raise click.UsageError(
                f"--sensor {printable(name, 40)}: '{printable(place, 40)}' is no place. Places: {', '.join(PLACES)}."
            )
        if name in places:
            raise click.UsageError(f"--sensor {printable(name, 40)} is given twice.")
        places[name] = place
    return places
