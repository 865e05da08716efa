"""Heat that comes from under wet medium."""

from collections.abc import Iterator

from advisor.constants import DAY
from advisor.model.figures import Figure, Unknown
from advisor.model.findings import NOTE, WATCH, Finding
from advisor.rules.engine import EGG_BOX, Case, Lacking, Rule
from advisor.rules.shared import graded, is_dry, water_a_day

# Where the plan does not allow a forecast: water that condenses on the lid of one egg box [kg/s], by where the box
# stands. Derived with this project's heat network for a usual box (60 x 40 x 25 cm, 30 mm foam, room 20 °C, medium
# 29 °C, egg box 20 x 15 x 9 cm); the sign is sure, the size only to a factor of 2. On a rack 0.8 to 1.3 g, on the heater
# up to 5.5 g, over a water bath 0.1 to 0.7 g.
ON_RACK, ON_HEATER, OVER_BATH = 1e-3 / DAY, 5e-3 / DAY, 0.7e-3 / DAY
BARE = ("solid plastic", "glass", "acrylic")  # walls that a bath loses most of its heat through
WRAP = "Put foam round the tub and on its lid, with a heater to match: the water then runs cooler, and less settles."
NOT_COMPUTED = "How much it is here could not be computed."

RULE = Rule(
    id="heat-from-below-wet-medium",
    title="The heat comes from under the wet medium",
    explanation=(
        "Wet medium that is warmed from below gives off vapour, and the lid above it stays cooler than the medium. "
        "Water condenses on the lid within hours and drips on the eggs, day after day. Wet eggs get less air through "
        "the shell and mould sooner. The bottom of the medium dries out at the same time."
    ),
    remedy="Move the heater to the lid of the outer box, so that the egg-box lids are warmer than the medium.",
    sources=("practice",),
    about=EGG_BOX,
    levers=("heat.place", "box.foam_on_lid", "heat"),
    good="""\
heat: {place: lid}
egg_boxes: [{name: eggs, holds: eggs, medium: {mix: {medium: 4, water: 1, by: volume}}}]""",
    bad="""\
heat: {place: floor}
egg_boxes: [{name: eggs, holds: eggs, medium: {mix: {medium: 4, water: 1, by: volume}}}]""",
)


def check(case: Case) -> Iterator[Finding]:
    """Floor heat is sure to condense; over a water bath the sign of the difference is less sure. An open tray has no lid to drip."""
    heat, box = case.plan.heat, case.box
    bath = heat.source == "water bath" or heat.place == "in water"
    if (not bath and heat.place not in ("floor", None)) or is_dry(box) or not box.lid.fitted:
        return
    missing = [
        entry
        for entry, lacking in (
            ("heat.place", not bath and heat.place is None),
            ("box.medium.mix", box.medium.mix is None),
            ("box.holds", box.holds is None and not case.clutches_in_box),
        )
        if lacking
    ]
    if missing:
        raise Lacking(*missing)
    water = case.box_forecast.heat.condensation
    touching = not bath and box.stands in ("on the heater", "on the floor")
    what = "The water bath warms the wet medium from below" if bath else "The heater is under the wet medium"
    what += f" and the box stands {box.stands}" if box.stands and not bath else ""
    if isinstance(water, Unknown):
        severity = WATCH  # that it drips is sure over floor heat, how much is not
        message = f"{what}: in a usual box {_usually(case, bath, touching)}. {NOT_COMPUTED}"
    else:
        severity = graded(water, box, heat) or NOTE
        message = f"{what}: {water_a_day(case, water)} drips from each lid."
    yield Finding(
        severity,
        message,
        "heat.place",
        WRAP if bath and case.plan.outer_box.wall.material in BARE else "",
        figures=(("condensation", water),) if isinstance(water, Figure) else (),
    )


def _usually(case: Case, bath: bool, touching: bool) -> str:
    """What drips in a usual box, for a plan that does not allow a forecast."""
    usual = OVER_BATH if bath else ON_HEATER if touching else ON_RACK
    amount = water_a_day(case, Figure(usual, usual, usual, "mass per day"))
    if bath:
        return f"up to {amount} may drip from each lid"
    if touching:
        return f"up to {amount} drips from each lid"
    return f"{amount}{'' if case.box.stands else ' or more'} drips from each lid"
