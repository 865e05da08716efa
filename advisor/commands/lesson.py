"""`advisor lesson`: the pack for a club night."""

from pathlib import Path

import click

from advisor.commands.common import NamedPath, date_option, guarded, output_option, paper_option, printed_on
from advisor.lesson import MOST_SEED
from advisor.reading.problems import printable


@click.command()
@output_option("FOLDER")
@click.option(
    "--species",
    "named",
    default="pantherophis-guttatus",
    show_default=True,
    metavar="NAME",
    help="The species of the night, by id or by name.",
)
@click.option(
    "--profiles",
    "own",
    type=NamedPath(),
    metavar="FOLDER",
    help="A folder with your own species profiles; they go before the shipped ones. Other commands call it --species.",
)
@click.option(
    "--seed",
    type=click.IntRange(0, MOST_SEED),
    default=1,
    show_default=True,
    help="Which faults are planted. The same number gives the same pack.",
)
@click.option(
    "--units",
    type=click.Choice(["metric", "us"]),
    default="metric",
    show_default=True,
    help="How numbers are shown.",
)
@paper_option
@date_option
@click.option("--force", is_flag=True, help="Replace files that exist.")
@guarded
def lesson(
    output: Path,
    named: str,
    own: Path | None,
    seed: int,
    units: str,
    paper: str | None,
    day: str | None,
    force: bool,
) -> None:
    """Write a pack for a 30-minute session with beginners.

    \b
    Example:  advisor lesson -o club-night --species "leopard gecko" --seed 7

    In the folder: a talk plan, heat from the lid against heat from the floor, four faulty set-ups to judge, the
    answers worked out by the rules, a sheet to take home, the plans themselves, and where temperature sets the sex a page on that.
    """
    from advisor.lesson.night import night_of
    from advisor.papers.folder import write_folder
    from advisor.papers.page import paper_of
    from advisor.reading.quantities import Refusal
    from advisor.reading.species import load_species
    from advisor.reading.species_by_name import species_named

    try:
        species = load_species(species_named(named, own), own)
        night = night_of(species, seed, units, printed_on(day), own)
    except Refusal as refusal:
        raise click.UsageError(
            f"--species: {printable(refusal.message)}. {printable(refusal.hint, 600)}"
        ) from None
    files = night.files(paper_of(paper, units))
    write_folder(output, files, force)
    click.echo(f"Wrote {len(files)} files to {printable(str(output))}.")
    click.echo(f"Start with {printable(str(output / '1-talk.html'))}.")
