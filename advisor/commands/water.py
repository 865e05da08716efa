"""`advisor mix` and `advisor weigh`: a keeper's own questions about water."""

import re
from pathlib import Path
from typing import TYPE_CHECKING

import click

from advisor.commands.common import (
    asked_for,
    guarded,
    own_species,
    plan_argument,
    print_json,
    print_lines,
    screen_width,
)
from advisor.reading.problems import printable

if TYPE_CHECKING:
    from advisor.model.plan import Mix

MATERIALS = ("vermiculite", "perlite", "sphagnum moss", "coconut fibre", "peat", "sand", "soil")
GRADES = ("coarse", "medium", "fine", "superfine", "unknown")
RATIO = re.compile(r"^\s*(\d+(?:\.\d+)?)\s*(?::|to)\s*(\d+(?:\.\d+)?)\s*$")

units_option = click.option(
    "--units", type=click.Choice(["metric", "us"]), help="How amounts are shown. For weigh: as the plan says."
)
json_option = click.option("--json", "as_json", is_flag=True, help="Print the answer as JSON.")


@click.command()
@click.option(
    "--ratio",
    callback=asked_for("say the parts of medium and of water, for example: --ratio 4:1"),
    metavar="M:W",
    help="Parts of medium to parts of water, for example 4:1.  [required]",
)
@click.option(
    "--by",
    type=click.Choice(["volume", "mass", "weight"]),
    default="volume",
    show_default=True,
    help="What the parts are measured by; weight is the same as mass.",
)
@click.option(
    "--medium-amount",
    "amount",
    metavar="AMOUNT",
    help="Dry medium by volume or mass: '3 litres', '250 g', '2 cups'. One litre or one quart if left out.",
)
@click.option(
    "--material", type=click.Choice(MATERIALS), default="vermiculite", show_default=True, help="The medium."
)
@click.option(
    "--grade", type=click.Choice(GRADES), default="unknown", show_default=True, help="Grade of vermiculite."
)
@click.option(
    "--litre-mass", metavar="MASS", help="Your own weighing of one litre of it, dry, for example '80 g'."
)
@units_option
@json_option
@guarded
def mix(
    ratio: str,
    by: str,
    amount: str | None,
    material: str,
    grade: str,
    litre_mass: str | None,
    units: str | None,
    as_json: bool,
) -> None:
    """Tell what a mix needs and how wet it is.

    \b
    Examples:  advisor mix --ratio 4:1 --medium-amount "3 litres" --grade medium
               advisor mix --ratio 1:1 --by mass --medium-amount "2 cups" --litre-mass "80 g" --units us
    """
    from advisor.forecast.edge import in_range
    from advisor.forecast.egg_box.mix import mix_answer
    from advisor.model.figures import Unknown
    from advisor.model.plan import Medium
    from advisor.report.mix import mix_data, mix_lines
    from advisor.show import Show

    us = units == "us"
    kind, size = _amount(amount if amount is not None else "1 quart" if us else "1 litre")
    own = _quantity("--litre-mass", litre_mass, "mass", "5 g", "2.5 kg") if litre_mass is not None else None
    words = Medium(material, grade, own, None, _mix(ratio, by))
    answer = in_range(
        lambda: mix_answer(words, size if kind == "volume" else None, size if kind == "mass" else None)
    )
    if isinstance(answer, Unknown):
        raise click.UsageError(f"{printable(answer.reason)}. Give --litre-mass, or another --ratio.")
    if as_json:
        print_json(mix_data(answer))
    else:
        print_lines(mix_lines(answer, Show("us" if us else "metric"), screen_width()))


@click.command()
@plan_argument()
@click.option(
    "--box",
    callback=asked_for("name the egg box as the plan does, for example: --box eggs"),
    metavar="NAME",
    help="Name of the egg box in the plan.  [required]",
)
@click.option(
    "--day",
    callback=asked_for("say the day since laying, for example: --day 20"),
    type=click.IntRange(1, 600),
    help="Day of incubation; laying is day 0.  [required]",
)
@click.option(
    "--mass",
    callback=asked_for("say what the scale reads, for example: --mass '640 g'"),
    metavar="MASS",
    help="The whole box with lid and eggs, for example '640 g'.  [required]",
)
@click.option(
    "--tare", metavar="MASS", help="The empty box with its lid. Without it --mass is what is in the box."
)
@click.option(
    "--start-mass", metavar="MASS", help="The whole box on laying day, if you weighed it: the best measure."
)
@click.option("--egg-mass-now", metavar="MASS", help="One egg now, the mean of two or three marked ones.")
@click.option(
    "--added",
    metavar="MASS",
    help="Water added to the box so far, '0 g' for none.  [default: as the plan tops up]",
)
@click.option(
    "--eggs", type=click.IntRange(1, 1000), help="Eggs in this box. As the plan spreads them if left out."
)
@click.option(
    "--scale-step", metavar="MASS", default="1 g", show_default=True, help="Smallest step of the scale."
)
@units_option
@json_option
@own_species
@guarded
def weigh(
    plan: Path,
    box: str,
    day: int,
    mass: str,
    tare: str | None,
    start_mass: str | None,
    egg_mass_now: str | None,
    added: str | None,
    eggs: int | None,
    scale_step: str,
    units: str | None,
    as_json: bool,
    own: Path | None,
) -> None:
    """Tell from a weighing what the medium holds now, how leaky the lid is and what to add.

    \b
    Example:  advisor weigh examples/first-season.yaml --box eggs --day 20 --mass "612 g" --tare "90 g"

    Eggs take up water without changing the mass of the box: that is counted in.
    """
    from advisor.forecast.edge import in_range
    from advisor.forecast.egg_box.weighing import forecast_weighing
    from advisor.model.figures import Unknown
    from advisor.model.water_answers import Weighed
    from advisor.reading.plan import read_plan
    from advisor.reading.species_by_name import profiles_of
    from advisor.report.weighing import weighing_data, weighing_lines
    from advisor.show import Show

    planned, _ = read_plan(plan, own_species=own)
    names = [egg_box.name for egg_box in planned.egg_boxes]
    if box not in names:
        known = ", ".join(names) or "none"
        raise click.UsageError(
            f"--box: there is no egg box '{printable(box, 60)}'. Boxes in this plan: {printable(known)}."
        )
    weighed = Weighed(
        day=day,
        mass=_quantity("--mass", mass, "mass", "1 g", "100 kg"),
        tare=_quantity("--tare", tare or "0 g", "mass", "0 g", "20 kg"),
        start_mass=_quantity("--start-mass", start_mass, "mass", "1 g", "100 kg") if start_mass else None,
        added=_quantity("--added", added, "mass", "0 g", "10 kg") if added is not None else None,
        egg_mass=_quantity("--egg-mass-now", egg_mass_now, "mass", "10 mg", "1 kg") if egg_mass_now else None,
        scale_step=_quantity("--scale-step", scale_step, "mass", "0 g", "100 g"),
    )
    species = profiles_of(planned.clutches, own)
    answer = in_range(lambda: forecast_weighing(planned, species, names.index(box), weighed, eggs))
    if isinstance(answer, Unknown):
        needs = f" Add to the plan: {', '.join(answer.needs)}." if answer.needs else ""
        raise click.UsageError(f"the weighing cannot be read: {printable(answer.reason)}.{printable(needs)}")
    if as_json:
        print_json(weighing_data(answer))
    else:
        print_lines(weighing_lines(answer, Show(units or planned.units), screen_width()))


def _mix(ratio: str, by: str) -> "Mix":
    from advisor.model.plan import Mix

    found = RATIO.match(ratio)
    if not found or not float(found[1]) or not float(found[2]):
        raise click.UsageError(
            f"--ratio: '{printable(ratio, 60)}' is no ratio. Write parts of medium to parts of water, for example 4:1."
        )
    return Mix(float(found[1]), float(found[2]), "mass" if by == "weight" else by)


def _amount(text: str) -> tuple[str, float]:
    """Whether an amount is a volume or a mass, and its SI number."""
    from advisor.reading.quantities import Kind, Refusal, read_quantity

    try:
        return "mass", read_quantity(text, Kind("mass", least="1 g", most="1000 kg", example="250 g"))[0]
    except Refusal:
        return "volume", _quantity("--medium-amount", text, "volume", "1 ml", "1000 l")


def _quantity(option: str, text: str, kind: str, least: str, most: str) -> float:
    """The SI number of an option's text; a fault is told in one message."""
    from advisor.reading.quantities import Kind, Refusal, read_quantity

    example = "80 g" if kind == "mass" else "3 litres"
    try:
        return read_quantity(text, Kind(kind, least=least, most=most, example=example))[0]
    except Refusal as refusal:
        raise click.UsageError(f"{option}: {printable(refusal.message)}. {printable(refusal.hint)}") from None
