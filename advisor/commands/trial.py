"""`advisor trial`: judge the log of a trial run."""

import sys
from pathlib import Path

import click

from advisor.commands.check import FAIL_ON, fails
from advisor.commands.common import (
    NamedPath,
    asked_for,
    guarded,
    own_species,
    plan_argument,
    print_json,
    print_lines,
    screen_width,
)


@click.command()
@plan_argument()
@click.argument(
    "log",
    type=NamedPath(),
    metavar="LOG",
    required=False,
    callback=asked_for("name the log behind the plan, for example: {command} my-box.yaml log.csv"),
)
@click.option(
    "--sensor",
    "sensors",
    multiple=True,
    metavar="NAME=PLACE",
    help='Where a sensor of the log lies, for example --sensor "T1=egg box medium". The plan can tell it too: watching.sensors.',
)
@click.option(
    "--dates",
    "order",
    type=click.Choice(["dmy", "mdy", "ymd"]),
    help="Order of day, month and year, where the log leaves two.",
)
@click.option(
    "--degrees",
    type=click.Choice(["C", "F"], case_sensitive=False),
    help="Unit of the log, where it tells none.",
)
@click.option("--json", "as_json", is_flag=True, help="Print the report as JSON.")
@own_species
@click.option(
    "--fail-on",
    type=click.Choice(FAIL_ON),
    default="fix",
    show_default=True,
    help="End with status 1 when a finding is this bad or worse.",
)
@guarded
def trial(
    plan: Path,
    log: Path,
    sensors: tuple[str, ...],
    order: str | None,
    degrees: str | None,
    as_json: bool,
    own: Path | None,
    fail_on: str,
) -> None:
    """Judge a trial run by its log: the CSV file of any temperature logger.

    \b
    Example:  advisor trial my-box.yaml log.csv --sensor "T1=egg box medium" --sensor T2=room

    Places: egg box medium, probe box medium, air above, air below, heater (its surface), room, heater on (a column with
    its switch), heater power (a column with its watts). The log is only read.

    Status 0: nothing as bad as --fail-on. 1: such a finding. 2: the input is wrong. 3: our own fault.
    """
    from advisor.assess_trial import assess_trial
    from advisor.reading.logs.columns import Asked

    places = _places(sensors)
    asked = Asked(places, frozenset(places), order, degrees.upper() if degrees else None, _tell_rows)
    assessed = assess_trial(plan, log, asked, own)
    if as_json:
        from advisor.report.trial import trial_data

        print_json(trial_data(assessed))
    else:
        from advisor.report.trial import trial_lines

        print_lines(trial_lines(assessed, screen_width()))
    if fails(assessed.assessment.report, fail_on):
        sys.exit(1)


def _tell_rows(rows: int) -> None:
    """Says on a terminal how far a long log has been read; the next line of text goes over it."""
    if sys.stderr.isatty():
        click.echo(f"\rReading the log: {rows} rows\r", err=True, nl=False)


def _places(sensors: tuple[str, ...]) -> dict[str, str]:
    """Places by name; raises `UsageError` for what is none."""
    from advisor.model.logs import PLACES
    from advisor.reading.problems import printable

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
