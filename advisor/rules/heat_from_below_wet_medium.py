"""Heat that comes from under wet medium."""

from collections.abc import Iterator

from advisor.model.findings import FIX, WATCH, Finding, NotJudged
from advisor.rules.engine import EGG_BOX, Case, Rule

# Water that condenses on the lid of one egg box [kg/day], by where the box stands. Derived with this project's heat
# network for a usual box (60 x 40 x 25 cm, 30 mm foam, room 20 °C, medium 29 °C, egg box 20 x 15 x 9 cm); the sign is
# sure, the size only to a factor of 2. On a rack 0.8 to 1.3 g, on the heater up to 5.5 g, over a water bath 0.1 to 0.7 g.
ON_RACK, ON_HEATER, OVER_BATH = 1e-3, 5e-3, 0.7e-3

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
    needs=(),
    good="""\
heat: {place: lid}
egg_boxes: [{name: eggs, holds: eggs, medium: {mix: {medium: 4, water: 1, by: volume}}}]""",
    bad="""\
heat: {place: floor}
egg_boxes: [{name: eggs, holds: eggs, medium: {mix: {medium: 4, water: 1, by: volume}}}]""",
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """Floor heat is sure to condense; over a water bath the sign of the difference is less sure."""
    heat, box, show = case.plan.heat, case.box, case.show
    bath = heat.source == "water bath" or heat.place == "in water"
    if not bath and heat.place not in ("floor", None):
        return
    if box.medium.material == "none" or (box.medium.mix is not None and box.medium.mix.water == 0):
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
        yield NotJudged(tuple(missing))
    elif bath:
        yield Finding(
            WATCH,
            "The water bath warms the wet medium from below: in a usual box up to "
            f"{show.mass(OVER_BATH)} of water a day may drip from each egg-box lid. Baths are the least sure part of this.",
            "heat.place" if heat.place else "heat.source",
            "Lay a sheet of foam on each egg-box lid, and look for drops under the lids in the trial run.",
        )
    else:
        touching = box.stands in ("on the heater", "on the floor")
        amount = f"up to about {show.mass(ON_HEATER)}" if touching else f"about {show.mass(ON_RACK)}"
        amount += "" if box.stands else " or more"
        where = f" and the box stands {box.stands}" if box.stands else ""
        rack = "stand the boxes on a rack and " if touching else ""
        yield Finding(
            FIX,
            f"The heater is under the wet medium{where}: in a usual box {amount} of water a day drips from the lid.",
            "heat.place",
            "Move the heater to the lid of the outer box. If it has to stay below, "
            f"{rack}lay a sheet of foam on each egg-box lid.",
        )
