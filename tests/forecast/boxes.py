"""Plans for the heat tests: the box of the figures worked beside the program, and random boxes that somebody might build."""

import random
from typing import Any

from msgspec.structs import replace

from advisor.formulas.heat.insulated_box import InsulatingWall, wall_named
from advisor.model.plan import Plan
from tests.changes import changed
from tests.support import situation_of

# The box of the reference solutions: 60 x 40 x 25 cm inside, 30 mm foam, mat of 0.12 m2, two layers of two egg boxes,
# medium 4 cm deep, probe in the lower medium at 29 °C, room 20 °C.
REFERENCE: dict[str, Any] = {
    "room": {"temperature": "20 °C", "humidity": "50 %"},
    "outer_box": {
        "inside": "60 x 40 x 25 cm",
        "wall": {"material": "expanded polystyrene", "thickness": "30 mm"},
        "lid_fits": "well",
        "stands_on": "shelf",
    },
    "heat": {"source": "mat", "place": "lid", "power": "15 W", "size": "40 x 30 cm"},
    "control": {
        "thermostat": "on-off",
        "switching_band": "0.5 °C",
        "set_to": "29 °C",
        "probe": {"sits_in": "egg box medium"},
    },
    "power_cut": {"prepared": "nothing"},
    "egg_boxes": [
        {
            "name": "eggs",
            "count": "4",
            "holds": "eggs",
            "inside": "20 x 15 x 9 cm",
            "stands": "on a rack",
            "tier": "two",
            "lid": {"fit": "clip", "thickness": "1 mm"},
            "medium": {
                "material": "vermiculite",
                "grade": "medium",
                "depth": "4 cm",
                "mix": {"medium": "1", "water": "1", "by": "mass"},
            },
        }
    ],
    "clutches": [{"species": "pantherophis-guttatus", "box": "eggs"}],
}


def fragment_with(changes: dict[str, str | None]) -> Any:
    """The reference plan as written by a keeper, with entries changed or, for None, left out."""
    fragment: Any = REFERENCE
    for path, value in changes.items():
        fragment = changed(fragment, path, value)
    return fragment


def plan_with(changes: dict[str, str | None] | None = None) -> Plan:
    """The reference plan as it is read, with entries changed or, for None, left out."""
    return situation_of(fragment_with(changes or {})).plan


def reference_foam(name: str) -> InsulatingWall:
    """The wall material with the conductivity of the reference solutions, 0.035 W/(m K): a plan cannot name it."""
    wall = wall_named(name)
    return replace(wall, conductivity=0.035) if name == "expanded polystyrene" else wall


WALLS = ("expanded polystyrene", "extruded polystyrene", "polyurethane foam", "plywood", "solid plastic")


def random_changes(draw: random.Random, place: str) -> dict[str, str | None]:
    """Entries of a box that somebody might build, heated from the lid or the floor."""
    wall = draw.choice(WALLS)
    thickness = draw.uniform(3, 15) if wall in ("plywood", "solid plastic") else draw.uniform(15, 60)
    length, width, height = draw.uniform(45, 90), draw.uniform(35, 60), draw.uniform(22, 50)
    kind = draw.choice(("inside", "outside"))
    extra = 2 * thickness / 10 if kind == "outside" else 0.0
    box_length, box_width = draw.uniform(12, 20), draw.uniform(10, 15)
    tier = draw.choice(("one", "two"))
    box_height = draw.uniform(7, min(18, (height - 4) / (2 if tier == "two" else 1)))
    on_floor = (
        ("on a rack", "on the floor", "on the heater") if place == "floor" else ("on a rack", "on the floor")
    )
    return {
        "room.temperature": f"{draw.uniform(12, 21):.1f} to {draw.uniform(21, 24):.1f} °C",
        "outer_box.inside": None,
        f"outer_box.{kind}": f"{length + extra:.1f} x {width + extra:.1f} x {height + extra:.1f} cm",
        "outer_box.wall.material": wall,
        "outer_box.wall.thickness": f"{thickness:.1f} mm",
        "outer_box.lid_fits": draw.choice(("well", "poorly")),
        "outer_box.stands_on": draw.choice(("shelf", "insulated floor", "bare floor")),
        "heat.source": draw.choice(("mat", "cable")),
        "heat.place": place,
        "heat.power": f"{10 ** draw.uniform(0.5, 2.5):.1f} W",
        "heat.size": f"{draw.uniform(0.3, 0.95) * length:.1f} x {draw.uniform(0.3, 0.95) * width:.1f} cm",
        "control.thermostat": draw.choice(("on-off", "pulse", "dimming")),
        "control.set_to": f"{draw.uniform(26, 33):.1f} °C",
        "control.switching_band": f"{draw.uniform(0, 2):.1f} °C",
        "control.probe.sits_in": draw.choice(("egg box medium", "probe box medium", "air")),
        "power_cut.prepared": draw.choice(("nothing", "battery supply")),
        "egg_boxes[0].count": str(draw.randint(1, 8)),
        "egg_boxes[0].inside": f"{box_length:.1f} x {box_width:.1f} x {box_height:.1f} cm",
        "egg_boxes[0].tier": tier,
        "egg_boxes[0].stands": draw.choice(on_floor),
        "egg_boxes[0].medium.depth": f"{draw.uniform(2, box_height - 2):.1f} cm",
    }
