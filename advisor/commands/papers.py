"""The commands that write papers from a plan."""

from pathlib import Path

import click

from advisor.commands.common import date_option, force_option, guarded, own_species, paper_option, printed_on
from advisor.reading.problems import inert


@click.command()
@click.argument("plan", type=click.Path(path_type=Path))
@click.option(
    "-o", "--output", type=click.Path(path_type=Path), metavar="FILE", help="Write to FILE.html or FILE.md."
)
@paper_option
@force_option
@date_option
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
    content = checklist_of(assess(plan, own), printed_on(day))
    if output is None:
        click.echo(render("checklist.md", paper, list=content), nl=False)
        return
    write_file(output, render(f"checklist{output.suffix}", paper, list=content), force)
    click.echo(f"Wrote {inert(str(output))}.")
