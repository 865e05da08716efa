"""`advisor species`: list, show and check profiles."""

from pathlib import Path

import click

from advisor.commands.common import guarded, own_species, print_lines
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
