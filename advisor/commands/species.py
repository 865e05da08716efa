"""`advisor species`: list, show and check profiles."""

from pathlib import Path

import click

from advisor.commands.common import date_option, force_option, guarded, own_species, print_lines, printed_on
from advisor.reading.problems import InputError, inert


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
    print_lines(species_lines(load_species(identifier, own)))


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


@species.command("new")
@click.argument("identifier", metavar="ID", required=False)
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path),
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
    from advisor.reading.names import profile_files
    from advisor.writing.files import write_file
    from advisor.writing.new_species import profile_check, profile_text, species_questions

    questions = species_questions()
    if listed:
        print_questions(questions)
        return
    if identifier is None:
        raise click.UsageError("name the species, for example lacerta-agilis.")
    if not re.fullmatch(r"[a-z]+(-[a-z]+)+", identifier):
        raise click.UsageError(
            f"'{inert(identifier, 60)}' is not an id: write the scientific name in small letters with hyphens, "
            "for example lacerta-agilis."
        )
    target = output if output is not None else Path(f"{identifier}.yaml")
    if target.name != f"{identifier}.yaml":
        raise click.UsageError(f"the file of {identifier} has to be named {identifier}.yaml.")
    keep_existing(target, force)
    if identifier in profile_files():
        click.echo(f"There is a profile of {identifier} already: advisor species show {identifier}", err=True)
    reviewed = printed_on(day)
    check = profile_check(identifier, reviewed)
    answers = answers_to(questions, check)
    check(answers)
    write_file(target, profile_text(identifier, answers, reviewed), force)
    known = sum(any(path.startswith(question.path) for path in answers) for question in questions)
    click.echo(
        f"Wrote {inert(str(target))}: {known} of {len(questions)} questions answered, the rest is unknown."
    )
    click.echo(f"Run next:  advisor species check {show_path(target)}")
