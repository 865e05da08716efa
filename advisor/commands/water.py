"""`advisor mix` and `advisor weigh`: a keeper's own questions about water."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

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

MATERIALS = ("vermiculite", "perlite", "sphagnum moss", "coconut fibre", "peat", "sand", "soil")
GRADES = ("coarse", "medium", "fine", "superfine", "unknown")

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
    from advisor.assess_water import mix_told
    from advisor.model.figures import Unknown
    from advisor.report.mix import mix_data, mix_lines
    from advisor.show import Show

    us = units == "us"
    with _understood():
        answer = mix_told(ratio, by, amount, material, grade, litre_mass, us)
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
    from advisor.assess_water import weighing_told
    from advisor.model.figures import Unknown
    from advisor.reading.plan import read_plan
    from advisor.reading.species_by_name import profiles_of
    from advisor.report.weighing import weighing_data, weighing_lines
    from advisor.show import Show

    planned, _ = read_plan(plan, own_species=own)
    masses = {
        "mass": mass,
        "tare": tare,
        "start-mass": start_mass or None,
        "added": added,
        "egg-mass-now": egg_mass_now or None,
        "scale-step": scale_step,
    }
    with _understood():
        answer = weighing_told(planned, profiles_of(planned.clutches, own), box, day, masses, eggs)
    if isinstance(answer, Unknown):
        needs = f" Add to the plan: {', '.join(answer.needs)}." if answer.needs else ""
        raise click.UsageError(f"the weighing cannot be read: {printable(answer.reason)}.{printable(needs)}")
    if as_json:
        print_json(weighing_data(answer))
    else:
        print_lines(weighing_lines(answer, Show(units or planned.units), screen_width()))


@contextmanager
def _understood() -> Iterator[None]:
    """Turns the refusal of an option's text into the usage error of the command."""
    from advisor.reading.quantities import Refusal

    try:
        yield
    except Refusal as refusal:
        raise click.UsageError(f"--{printable(refusal.message)}. {printable(refusal.hint)}") from None
