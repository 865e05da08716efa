"""`advisor species`: list, show and check profiles."""

from pathlib import Path
from typing import Any

import click

from advisor.commands.common import (
    NamedPath,
    asked_for,
    check_ending,
    date_option,
    force_option,
    guarded,
    own_species,
    paper_option,
    print_lines,
    printed_on,
    screen_width,
    write_told,
)
from advisor.reading.problems import InputError, printable


@click.group()
def species() -> None:
    """List, show and check species profiles."""


@species.command("list")
@own_species
@guarded
def species_list(own: Path | None) -> None:
    """List the species with a profile."""
    from advisor.reading.names import listed_names

    for identifier, names in listed_names(own):
        click.echo(printable(f"{identifier:<32}{names}", 200))


units_option = click.option(
    "--units",
    type=click.Choice(["metric", "us"]),
    default="metric",
    show_default=True,
    help="Units to show.",
)

html_option = click.option(
    "-o",
    "--output",
    type=NamedPath(),
    metavar="FILE.html",
    help="Write the HTML page to a file.",
)


@species.command("show")
@click.argument(
    "identifier",
    metavar="ID",
    required=False,
    callback=asked_for(
        "name a species, for example: {command} pantherophis-guttatus. `advisor species list` shows all."
    ),
)
@click.option("--html", "as_html", is_flag=True, help="Print one HTML page with drawn curves.")
@html_option
@units_option
@paper_option
@force_option
@date_option
@own_species
@guarded
def species_show(
    identifier: str,
    as_html: bool,
    output: Path | None,
    units: str,
    paper: str | None,
    force: bool,
    day: str | None,
    own: Path | None,
) -> None:
    """Show one profile as a page for keepers.

    \b
    Example:  advisor species show pantherophis-guttatus
              advisor species show chrysemys-picta --html -o chrysemys-picta.html
    """
    from advisor.forecast.clutch.curves import days_curve, expected_in_band, sexes_curve
    from advisor.reading.sources import sources_for
    from advisor.show import Show
    from advisor.species_pages.page import species_page

    check_ending(output, ".html")
    found, show = _profile(identifier, own), Show(units)
    page = species_page(
        found, days_curve(found), sexes_curve(found), expected_in_band(found), sources_for(own), show
    )
    if not as_html and output is None:
        from advisor.species_pages.screen import species_lines

        print_lines(species_lines(page, show, screen_width()))
        return
    from advisor.papers.page import paper_of
    from advisor.species_pages.html import species_html

    html = species_html(page, show, printed_on(day), paper_of(paper, units))
    if output is None:
        click.echo(html.encode("utf-8"), nl=False)
        return
    write_told(output, html, force)


@species.command("compare")
@click.argument("identifiers", metavar="ID ID...", nargs=-1)
@html_option
@units_option
@paper_option
@force_option
@date_option
@own_species
@guarded
def species_compare(
    identifiers: tuple[str, ...],
    output: Path | None,
    units: str,
    paper: str | None,
    force: bool,
    day: str | None,
    own: Path | None,
) -> None:
    """Tell at which set points several species could share a box.

    \b
    Example:  advisor species compare pantherophis-guttatus pogona-vitticeps
              advisor species compare testudo-hermanni testudo-graeca -o tortoises.html
    """
    from advisor.forecast.clutch.species_compared import compared
    from advisor.show import Show

    check_ending(output, ".html")
    names = tuple(dict.fromkeys(identifiers))
    if len(names) < 2:
        raise click.UsageError(
            "name at least two species, for example pantherophis-guttatus pogona-vitticeps."
        )
    found, show = compared([_profile(name, own) for name in names]), Show(units)
    if output is None:
        from advisor.species_pages.comparison import comparison_lines

        print_lines(comparison_lines(found, show, screen_width()))
        return
    from advisor.papers.page import paper_of
    from advisor.species_pages.html import comparison_html

    write_told(output, comparison_html(found, show, printed_on(day), paper_of(paper, units)), force)


def _profile(identifier: str, own: Path | None) -> Any:
    """The profile of an id or a name; a misspelt one is asked back."""
    from advisor.reading.quantities import Refusal
    from advisor.reading.species import load_species
    from advisor.reading.species_by_name import species_named

    try:
        found = species_named(identifier, own)
    except Refusal as refusal:
        raise click.UsageError(f"{refusal.message}. {refusal.hint}") from None
    return load_species(found, own)


@species.command("check")
@click.argument("files", nargs=-1, type=NamedPath())
@guarded
def species_check(files: tuple[Path, ...]) -> None:
    """Hold profiles against the schema and the lints.

    \b
    Example:  advisor species check species/pantherophis-guttatus.yaml

    A folder stands for every profile in it, and sources.yaml for the bibliography. Without FILES the shipped
    profiles are checked.
    """
    from advisor.paths import species_folder
    from advisor.reading.names import NO_PROFILES
    from advisor.reading.species_lints import check_bibliography, check_profile

    problems = []
    whole = [
        path
        for named in files or (species_folder(),)
        for path in (sorted(named.glob("*.yaml")) if named.is_dir() else [named])
        if path.name not in NO_PROFILES or path.name == "sources.yaml"
    ]
    for path in whole:
        try:
            if path.name == "sources.yaml":
                click.echo(printable(f"{path}: {check_bibliography(path)} sources, no fault found"))
            else:
                click.echo(printable(f"{path}: {check_profile(path).scientific}, no fault found"))
        except InputError as error:
            problems += error.problems
    if problems:
        raise InputError(problems)
    if not whole:
        raise click.UsageError("no profile is there. Name a file or a folder with profiles.")


@species.command("new")
@click.argument("identifier", metavar="ID", required=False)
@click.option(
    "-o",
    "--output",
    type=NamedPath(),
    metavar="FILE",
    help="Write to FILE instead of ID.yaml.",
)
@click.option("--questions", "listed", is_flag=True, help="Print the questions, ask nothing.")
@force_option
@date_option
@guarded
def species_new(
    identifier: str | None, output: Path | None, listed: bool, force: bool, day: str | None
) -> None:
    """Ask what is known of a species and write a profile.

    \b
    Example:  advisor species new lacerta-agilis

    ID is the scientific name in small letters with hyphens. Every question has help and an example, and `unknown`
    is an answer: press Enter alone. Answers can also come from a pipe, one a line, in the order of --questions.
    Nothing is written when you break off.
    """
    import re

    from advisor.commands.asking import answers_to, keep_existing, print_questions, show_path
    from advisor.interview.new_species import ID, profile_check, profile_text, species_questions
    from advisor.papers.files import write_file
    from advisor.reading.names import profile_files
    from advisor.reading.sources import sources_for

    questions = species_questions()
    if listed:
        print_questions(questions)
        return
    if identifier is None:
        raise click.UsageError("name the species, for example lacerta-agilis.")
    if not re.fullmatch(ID, identifier):
        raise click.UsageError(
            f"'{printable(identifier, 60)}' is not an id: write the scientific name in small letters with hyphens, "
            "for example lacerta-agilis."
        )
    target = output if output is not None else Path(f"{identifier}.yaml")
    if target.name != f"{identifier}.yaml":
        raise click.UsageError(f"the file of {identifier} has to be named {identifier}.yaml.")
    keep_existing(target, force)
    if identifier in profile_files():
        click.echo(f"There is a profile of {identifier} already: advisor species show {identifier}", err=True)
    reviewed = printed_on(day)
    check = profile_check(identifier, reviewed, sources_for(target.parent))
    answers, answered = answers_to(questions, check)
    check(answers)
    write_file(target, profile_text(identifier, answers, reviewed), force)
    click.echo(
        f"Wrote {printable(str(target))}: {len(answered)} of {len(questions)} questions answered, the rest is unknown."
    )
    click.echo(f"Run next:  advisor species check {show_path(target)}")
