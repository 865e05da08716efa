"""`advisor check`: judge a plan, or many."""

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from advisor.commands.common import (
    guarded,
    known_rule,
    own_species,
    plan_argument,
    print_json,
    print_lines,
    screen_width,
)
from advisor.reading.problems import InputError, file_problem, printable, problem_lines

if TYPE_CHECKING:
    from advisor.assess import Assessment
    from advisor.model.findings import Report

FAIL_ON = ("stop", "fix", "watch", "never")


@click.command()
@plan_argument("plans", -1)
@click.option("--json", "as_json", is_flag=True, help="Print the report as JSON.")
@click.option("--numbers", is_flag=True, help="Print the forecast: every figure with its range.")
@click.option("--why", metavar="RULE", help="Show the working of one rule: inputs, formulas, sources.")
@own_species
@click.option(
    "--fail-on",
    type=click.Choice(FAIL_ON),
    default="fix",
    show_default=True,
    help="End with status 1 when a finding is this bad or worse.",
)
@guarded
def check(
    plans: tuple[Path, ...], as_json: bool, numbers: bool, why: str | None, own: Path | None, fail_on: str
) -> None:
    """Judge a planned set-up, or several: plan files and folders of them.

    \b
    Example:  advisor check examples/first-season.yaml
              advisor check examples/first-season.yaml --numbers
              advisor check examples

    Status 0: nothing as bad as --fail-on. 1: such a finding. 2: the input is wrong. 3: our own fault.
    """
    if sum((as_json, numbers, why is not None)) > 1:
        raise click.UsageError("choose one of --json, --numbers and --why.")
    if why is not None:
        known_rule(why)
    if len(plans) > 1 or plans[0].is_dir():
        if numbers or why is not None:
            raise click.UsageError("--numbers and --why work on one plan.")
        _check_many(plans, as_json, own, fail_on)
        return
    assessment = _assessed(plans[0], own, advised=not numbers)
    if as_json:
        from advisor.report.json_report import report_data

        print_json(report_data(assessment))
    elif numbers:
        from advisor.report.numbers import number_lines

        print_lines(number_lines(assessment, screen_width()))
    elif why is not None:
        from advisor.report.working import working_lines

        print_lines(working_lines(assessment, why, screen_width()))
    else:
        from advisor.report.screen import report_lines

        print_lines(report_lines(assessment, screen_width()))
    if fails(assessment.report, fail_on):
        sys.exit(1)


def _assessed(path: Path, own: Path | None, advised: bool) -> "Assessment":
    """The plan, judged; with the remedies tried where they are shown."""
    from advisor.advice.judged import advised_assessment
    from advisor.assess import assess

    return advised_assessment(path, own) if advised else assess(path, own)


def fails(report: "Report", fail_on: str) -> bool:
    """Whether a finding is as bad as `fail_on`."""
    from advisor.model.findings import SEVERITIES

    if fail_on == "never":
        return False
    limit = SEVERITIES.index(fail_on)
    return any(SEVERITIES.index(finding.severity) <= limit for finding in report.findings)


def _plan_files(plans: tuple[Path, ...]) -> Iterator[Path]:
    for path in plans:
        if not path.is_dir():
            yield path
            continue
        found = sorted(file for pattern in ("*.yaml", "*.yml") for file in path.glob(pattern))
        if not found:
            raise file_problem(
                path,
                "is a folder without plan files",
                "Name a plan file, or a folder of files that end in .yaml.",
            )
        yield from found


def _check_many(plans: tuple[Path, ...], as_json: bool, own: Path | None, fail_on: str) -> None:
    """Judges every plan; faulty files are told and the others judged all the same."""
    from advisor.report.json_report import report_data
    from advisor.report.summary import Summary, summary_lines, summary_of

    files = list(_plan_files(plans))
    rows: list[Summary] = []
    reports: list[object] = []
    failed = faulty = False
    with click.progressbar(
        files, label="Checking", file=sys.stderr, hidden=not sys.stderr.isatty() or len(files) < 10
    ) as shown:
        for path in shown:
            try:
                assessment = _assessed(path, own, advised=as_json)
            except InputError as error:
                faulty = True
                rows.append(Summary(printable(str(path)), None))
                for line in problem_lines(error.problems):
                    click.echo(line, err=True)
                continue
            failed |= fails(assessment.report, fail_on)
            rows.append(summary_of(str(path), assessment.report))
            if as_json:
                reports.append(report_data(assessment))
    if as_json:
        print_json(reports)
    else:
        print_lines(summary_lines(rows))
    if faulty:
        sys.exit(2)
    if failed:
        sys.exit(1)
