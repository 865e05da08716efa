"""`advisor lesson`: the pack for a club night."""

from pathlib import Path
from typing import Any

import click

from advisor.commands.common import NamedPath, date_option, guarded, output_option, paper_option, printed_on
from advisor.reading.problems import printable

OFF_BY = (-1.0, 0.0, 1.0)  # K; what a thermostat that nobody checked is off by; judgement


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
    type=click.IntRange(0, 999_999),
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
    paper: str,
    day: str | None,
    force: bool,
) -> None:
    """Write a pack for a 30-minute session with beginners.

    \b
    Example:  advisor lesson -o club-night --species "leopard gecko" --seed 7

    In the folder: a talk plan, heat from the lid against heat from the floor, four faulty set-ups to judge, the
    answers worked out by the rules, a sheet to take home, the plans themselves, and where temperature sets the sex a page on that.
    """
    from advisor.papers.folder import write_folder
    from advisor.papers.page import render
    from advisor.reading.quantities import Refusal
    from advisor.reading.species import load_species
    from advisor.reading.species_by_name import species_named

    try:
        identifier = species_named(named, own)
    except Refusal as refusal:
        raise click.UsageError(
            f"--species: {printable(refusal.message)}. {printable(refusal.hint, 600)}"
        ) from None
    pack, take_home, pictures, plans = _pack(load_species(identifier, own), own, seed, units, printed_on(day))
    files = {
        f"{number}-{name}.html": render(f"lesson/{name}.html", paper, list=content, pictures=pictures)
        for number, (name, content) in enumerate(
            [
                ("talk", pack),
                ("comparison", pack),
                ("set-ups", pack),
                ("answers", pack),
                ("take-home", take_home),
                *([("sexes", pack)] if pack.sexes else []),
            ],
            start=1,
        )
    }
    write_folder(output, {**files, **plans}, force)
    click.echo(f"Wrote {len(files) + len(plans)} files to {printable(str(output))}.")
    click.echo(f"Start with {printable(str(output / '1-talk.html'))}.")


def _pack(
    species: Any, own: Path | None, seed: int, units: str, today: Any
) -> tuple[Any, Any, tuple[str, ...], dict[str, str]]:
    """The pages of the pack, the list to take home with its pictures, and the plan files by name."""
    from msgspec.structs import replace

    from advisor.assess import Assessment, situation_for
    from advisor.forecast.clutch.curves import expected_at
    from advisor.forecast.for_papers import paper_figures
    from advisor.lesson.faults import SET_UPS, Fault, set_ups, with_faults
    from advisor.lesson.pages import Judged, Lesson, about_the_box, pack_of, take_home_pictures
    from advisor.lesson.sound_plan import plan_yaml, sound_plan, without_dates
    from advisor.model.findings import Report
    from advisor.papers.checklist.checklist import checklist_of
    from advisor.reading.plan import read_document
    from advisor.reading.yaml_text import parse_yaml
    from advisor.rules import rule_modules
    from advisor.rules.engine import judge
    from advisor.show import Show

    def judged(data: dict[str, Any], name: str) -> Assessment:
        text = plan_yaml(data, name)
        plan, document = read_document(parse_yaml(text.encode(), name), own_species=own)
        situation = situation_for(plan, own)
        return Assessment(document, situation, about_the_box(judge(situation, rule_modules())))

    def figures(assessment: Assessment) -> Any:
        situation = assessment.situation
        return paper_figures(situation.plan, situation.species, situation.forecast)

    sound = sound_plan(species, units, today, judged, own)
    if sound is None:
        raise click.UsageError(
            f"--species: the profile of {species.name} does not allow a sound plan. Choose another species."
        )
    data, lid = sound
    usual = frozenset(finding.rule for finding in lid.report.findings)
    drawn = figures(lid).egg_sizes[0] is not None
    found = set_ups(data, species, seed, today, judged, usual, drawn)
    if len(found) < SET_UPS:
        raise click.UsageError(
            f"--species: for {species.name} the rules cannot judge enough faults. Choose another species."
        )
    below = with_faults(
        data, (Fault("heat-from-below-wet-medium", {"heat.place": "floor"}),), "Heat from the floor"
    )
    floor = judged(below, "floor-heat")
    set_to = lid.situation.plan.control.set_to
    by_warmth = species.sex.set_by not in ("chromosomes", None)
    around = [set_to + off for off in OFF_BY] if by_warmth and set_to is not None else []
    pack = pack_of(
        Lesson(
            species,
            Show(units),
            seed,
            today,
            Judged(lid, figures(lid)),
            Judged(floor, figures(floor)),
            tuple((set_up, figures(set_up.assessment)) for set_up in found),
            tuple(expected_at(species, celsius) for celsius in around),
        )
    )
    home = judged(without_dates(data), "take-home")
    quiet = replace(home, report=Report((), (), (), ()))
    told = [
        ("sound-box.yaml", data, "The sound box of the club night."),
        ("floor-heat.yaml", below, "The same box with the heat from the floor."),
        *(
            (f"set-up-{set_up.letter.lower()}.yaml", set_up.data, "What is wrong with this set-up?")
            for set_up in found
        ),
    ]
    plans = {
        name: plan_yaml(plan, f"{about} Run: advisor check {name}{pack.also}") for name, plan, about in told
    }
    shown = take_home_pictures(Judged(home, figures(home)), Show(units))
    return pack, checklist_of(quiet, figures(home), today), shown, plans
