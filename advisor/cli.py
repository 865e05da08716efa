"""The command `advisor`: connects reading, judging and writing; heavy imports stay inside the commands."""

import datetime
import sys
from collections.abc import Callable
from functools import wraps
from pathlib import Path
from typing import Any

import click

from advisor import __version__
from advisor.reading.problems import InputError, inert, problem_lines

COLOURS = {"stop": "red", "fix": "yellow", "watch": "cyan", "note": "blue", "head": None, "quiet": None}
FAIL_ON = ("stop", "fix", "watch", "never")

own_species = click.option(
    "--species",
    "own",
    type=click.Path(path_type=Path),
    metavar="FOLDER",
    help="A folder with your own species profiles; they go before the shipped ones.",
)


def guarded(command: Callable[..., Any]) -> Callable[..., Any]:
    """Faults of the input end with status 2 and one line each; our own faults with status 3 and a request to report."""

    @wraps(command)
    def run(*args: Any, **kwargs: Any) -> Any:
        try:
            return command(*args, **kwargs)
        except InputError as error:
            for line in problem_lines(error.problems):
                click.echo(line, err=True)
            sys.exit(2)
        except (click.exceptions.ClickException, click.exceptions.Exit, click.Abort, BrokenPipeError):
            raise
        except Exception as error:
            last = error.__traceback__
            while last is not None and last.tb_next is not None:
                last = last.tb_next
            where = (
                f"{Path(last.tb_frame.f_code.co_filename).name}:{last.tb_lineno}" if last else "unknown place"
            )
            click.echo(
                f"advisor {__version__} made a mistake of its own ({type(error).__name__} at {where}). Nothing was written. "
                "Please report it together with your input file.",
                err=True,
            )
            sys.exit(3)

    return run


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, message="clutch-advisor %(version)s")
def main() -> None:
    """Checks a planned reptile-egg incubator before the eggs arrive.

    \b
    Start with:  advisor check examples/first-season.yaml
    """


@main.command()
@click.argument("plan", type=click.Path(path_type=Path))
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
def check(plan: Path, as_json: bool, own: Path | None, fail_on: str) -> None:
    """Judge a planned set-up.

    \b
    Example:  advisor check examples/first-season.yaml

    Status 0: nothing as bad as --fail-on. 1: such a finding. 2: the input is wrong. 3: our own fault.
    """
    from advisor.assess import assess
    from advisor.model.findings import SEVERITIES

    assessment = assess(plan, own)
    if as_json:
        from advisor.writing.json_out import report_json

        click.echo(report_json(assessment))
    else:
        from advisor.writing.screen import report_lines

        _print(report_lines(assessment))
    if fail_on != "never":
        limit = SEVERITIES.index(fail_on)
        if any(SEVERITIES.index(finding.severity) <= limit for finding in assessment.report.findings):
            sys.exit(1)


def _print(lines: Any) -> None:
    """Prints styled lines; every character that could steer a terminal is shown as an escape."""
    for line in lines:
        text = inert(line.text, 10_000)
        bold = line.style in ("head", "stop", "fix")
        click.echo(
            click.style(text, fg=COLOURS.get(line.style), bold=bold, dim=line.style == "quiet")
            if line.style
            else text
        )


@main.group()
def rules() -> None:
    """Show the rules."""


@rules.command("list")
@guarded
def rules_list() -> None:
    """List every rule with its title."""
    from advisor.rules import rule_modules

    for module in rule_modules():
        click.echo(f"{module.RULE.id:<42}{module.RULE.title}")


@rules.command("show")
@click.argument("rule_id", metavar="RULE")
@guarded
def rules_show(rule_id: str) -> None:
    """Show one rule: what it finds, why it matters, what to do, how we know.

    \b
    Example:  advisor rules show air-no-holes
    """
    from advisor.rules import RULE_IDS, rule_by_id
    from advisor.writing.rule_page import rule_text

    try:
        rule = rule_by_id(rule_id)
    except KeyError:
        import difflib

        near = difflib.get_close_matches(rule_id, RULE_IDS, n=2)
        hint = f" Did you mean {' or '.join(near)}?" if near else " `advisor rules list` shows all."
        raise click.UsageError(f"there is no rule '{inert(rule_id, 60)}'.{hint}") from None
    click.echo(rule_text(rule), nl=False)


@main.group()
def species() -> None:
    """List, show and check species profiles."""


@species.command("list")
@own_species
@guarded
def species_list(own: Path | None) -> None:
    """List the species with a profile."""
    from advisor.reading.names import listed_names

    for identifier, names in listed_names(own):
        click.echo(inert(f"{identifier:<32}{names}", 200))


@species.command("show")
@click.argument("identifier", metavar="ID")
@own_species
@guarded
def species_show(identifier: str, own: Path | None) -> None:
    """Show one profile as a page for keepers.

    \b
    Example:  advisor species show pantherophis-guttatus
    """
    from advisor.reading.names import profile_files
    from advisor.reading.species import closest_ids, load_species
    from advisor.writing.species_page import species_lines

    files = profile_files(own)
    if identifier not in files:
        near = closest_ids(identifier, files)
        hint = f" Did you mean {' or '.join(near)}?" if near else " `advisor species list` shows all."
        raise click.UsageError(f"there is no profile of '{inert(identifier, 60)}'.{hint}")
    _print(species_lines(load_species(identifier, own)))


@species.command("check")
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path))
@guarded
def species_check(files: tuple[Path, ...]) -> None:
    """Hold profiles against the schema and the lints.

    \b
    Example:  advisor species check species/pantherophis-guttatus.yaml
    """
    from advisor.reading.species_lints import check_profile

    problems = []
    for path in files:
        try:
            found = check_profile(path)
            click.echo(inert(f"{path}: {found.scientific}, no fault found"))
        except InputError as error:
            problems += error.problems
    if problems:
        raise InputError(problems)


@main.command()
@click.argument("plan", type=click.Path(path_type=Path))
@click.option(
    "-o", "--output", type=click.Path(path_type=Path), metavar="FILE", help="Write to FILE.html or FILE.md."
)
@click.option(
    "--paper",
    type=click.Choice(["a4", "letter"]),
    default="a4",
    show_default=True,
    help="Size of the printed page.",
)
@click.option("--force", is_flag=True, help="Replace FILE when it exists.")
@click.option(
    "--date",
    "day",
    metavar="DATE",
    help="Date printed on the paper, for example 2027-04-01. Today if left out.",
)
@own_species
@guarded
def checklist(
    plan: Path, output: Path | None, paper: str, force: bool, day: str | None, own: Path | None
) -> None:
    """Write the preparation checklist of a plan.

    \b
    Example:  advisor checklist examples/first-season.yaml -o checklist.html

    Without -o the checklist is printed as Markdown.
    """
    from advisor.assess import assess
    from advisor.writing.checklist import checklist_of
    from advisor.writing.files import write_file
    from advisor.writing.page import render

    if output is not None and output.suffix not in (".html", ".md"):
        raise click.UsageError(f"'{inert(output.name)}' ends neither in .html nor in .md.")
    content = checklist_of(assess(plan, own), _printed_on(day))
    if output is None:
        click.echo(render("checklist.md", paper, list=content), nl=False)
        return
    write_file(output, render(f"checklist{output.suffix}", paper, list=content), force)
    click.echo(f"Wrote {inert(str(output))}.")


def _printed_on(day: str | None) -> datetime.date:
    from advisor.reading.quantities import Refusal, read_date

    if day is None:
        return datetime.date.today()
    try:
        return read_date(day)
    except Refusal as refusal:
        raise click.UsageError(f"--date: {inert(refusal.message)}. {inert(refusal.hint)}") from None
