"""An egg box that stands on the heater."""

from collections.abc import Iterator

from advisor.model.findings import FIX, WATCH, Finding, NotJudged
from advisor.rules.engine import EGG_BOX, Case, Rule

# K that a box standing on a floor mat runs warmer than the other tier. Derived with this project's heat network for a
# usual box (60 x 40 x 25 cm, 30 mm foam, room 20 °C, set point 29 °C); the contact is known to a factor of 2 only.
WARMER = 2.5
LIFT = 0.02  # m between the heater and the egg box, so that air moves between them; judgement
ROUNDING = 1e-3  # m, so that a height in fractions of an inch counts

RULE = Rule(
    id="heat-egg-box-on-heater",
    title="An egg box stands on the heater",
    explanation=(
        "The heater is much warmer than the set point, and the box takes that heat straight through its floor. "
        "The eggs at the bottom get too warm while the lid stays cool and drips. Other boxes stay colder than the "
        "thermostat says. A covered heater also gets hotter itself. The harm builds up over days."
    ),
    remedy="Stand the egg boxes on a rack, with air between them and the heater.",
    sources=("practice",),
    about=EGG_BOX,
    needs=("box.stands",),
    levers=("box.stands", "heat.place", "heat.floor_heater"),
    good="egg_boxes: [{name: eggs, holds: eggs, stands: on a rack}]",
    bad="egg_boxes: [{name: eggs, holds: eggs, stands: on the heater}]",
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """On the heater for certain, or on the same floor as the heater and so perhaps on it."""
    stands, show = case.box.stands, case.show
    place = "floor" if case.plan.heat.floor_heater else case.plan.heat.place
    if stands == "on the heater":
        yield Finding(
            FIX,
            f"This box stands on the heater. Boxes there run about {show.step(WARMER)} warmer than the others.",
            "box.stands",
        )
    elif stands == "on the floor" and place is None:
        yield NotJudged(("heat.place",))
    elif stands == "on the floor" and place == "floor":
        yield Finding(
            WATCH,
            "The box stands on the floor and the heater lies there too: where it touches the heater it runs about "
            f"{show.step(WARMER)} warmer than other boxes.",
            "box.stands",
        )
    elif stands == "on a rack" and place == "floor" and (case.box.shelf_height or LIFT) < LIFT - ROUNDING:
        assert case.box.shelf_height is not None
        yield Finding(
            WATCH,
            f"The rack is {show.length(case.box.shelf_height)} high over a heater on the floor: so little air carries the heat "
            "straight into the medium.",
            "box.shelf_height",
            levers=("box.shelf_height", "heat.place", "heat.floor_heater"),
        )
