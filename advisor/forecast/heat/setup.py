"""A plan's words as the set-up that the heat physics takes, and what is uncertain about it."""

import math
from collections.abc import Mapping
from typing import Any, cast

from msgspec import Struct
from msgspec.structs import replace

from advisor.forecast.edge import reason_of
from advisor.forecast.heat.layers import MIXED_LAYER, gap_under_shelf, tiers_of
from advisor.forecast.heat.parts import (
    air_speed,
    fan_always,
    fan_with_heater,
    panes_of,
    vent_factor,
    vents_of,
)
from advisor.forecast.heat.shell import shell, wall_of
from advisor.forecast.heat.vapour_to_room import AIR_CHANGES, vapour_to_room
from advisor.forecast.ranges import Uncertainty
from advisor.formulas.air.moist_air import NoSolution, saturation_vapour_density
from advisor.formulas.heat.box_setup import UNCERTAIN_RANGES, BoxSetup, Uncertain, open_tiers
from advisor.formulas.heat.insulated_box import VAPOUR_RESISTANCE, BoxSize, InsulatingWall, inside_size
from advisor.model.figures import Unknown
from advisor.model.plan import Area, EggBox, Plan
from advisor.model.shelves import USUAL_RACK

POINT_SOURCES = ("bulb", "ceramic emitter")
# Places of a probe that does not feel what the eggs feel, as they stand in a sentence.
MISLEADING_PLACES = {"on heater": "on the heater", "outside the box": "outside the box"}
WIDEST_RUNS = 0.10  # m between two runs of a cable; further apart they warm stripes, not a face; judgement
ROUNDING = 1.0 + 1e-9

TIERS = ("lower", "upper")
# Tiers that a word of the plan may mean; a box in one tier stands below those that are stacked on others.
MEANT = {"one": ("lower",), "lower": ("lower",), "upper": ("upper",)}

# What each uncertain input is; how a figure that it widens is measured stands at the figure (`WATCH_IT` and the like).
FIND_OUT = {
    "wall_conductivity": "the foam itself",
    "thickness_factor": "how thick the wall truly is",
    "convection_factor": "how the air moves in the box",
    "surface_resistance_factor": "draught round the box",
    "medium_factor": "how well the medium conducts",
    "air_changes": "the fit of the outer lid",
    "mixing": "how much the air mixes",
    "contact": "how flat the boxes stand",
    "headspace_factor": "the air in the egg box",
    "edge": "the heater's edges",
    "swept": "the air over the heater",
    "excess": "the air over the heater",
    "air_speed": "how much air the fan moves",
    "vent_factor": "how much air the vents let through",
    "radiant_share": "the kind of bulb",
    "vapour_exchange": "how fast the damp air of the box leaks out",
    "probe_tier": "which layer the probe stands in: write it as `tier` under `probe`",
}
WATCH_IT = "note how long the heater is on in an hour, and write it at `measured.heater_on`"
TAPE_IT = "tape a thermometer to the face of the heater in the trial run, and write what it shows at `measured.heater_face`"
BOTH_TIERS = "put thermometers into a lower and an upper box in the trial run, and write what they show at `measured.boxes`"
UNDER_LID = (
    "tape a thermometer under a lid in the trial run, and write what it shows as `lid` at `measured.boxes`"
)


class HeatSetup(Struct, frozen=True):
    """The set-up at typical values, its wall, room range [°C], and the inputs that are uncertain."""

    base: BoxSetup
    wall: InsulatingWall
    room_low: float
    room_high: float
    inputs: tuple[Uncertainty, ...]

    def at(self, values: Mapping[str, float], room: float) -> BoxSetup:
        """The set-up with uncertain inputs at the given values and the room at a temperature [°C]."""
        values = dict(values)
        conductivity = values.pop("wall_conductivity", self.base.wall_conductivity)
        upper_probe = values.pop("probe_tier", float(self.base.probe_tier == "upper")) > 0.5
        return replace(
            self.base,
            room=room,
            wall_conductivity=conductivity,
            probe_tier="upper" if upper_probe else "lower",
            uncertain=replace(self.base.uncertain, **values),
        )


def outer_inside(plan: Plan) -> BoxSize | Unknown:
    """The inside size of the outer box, from inside or outside dimensions; never guessed which is meant."""
    box = plan.outer_box
    if box.inside is not None:
        return BoxSize(box.inside.length, box.inside.width, box.inside.height)
    if box.outside is None:
        return Unknown("the size of the outer box is not told", ("outer_box.inside",))
    if box.wall.thickness is None:
        entry = "outer_box.inside" if box.ready_built else "outer_box.wall.thickness"
        return Unknown("the wall thickness is not told", (entry,))
    try:
        return inside_size(
            BoxSize(box.outside.length, box.outside.width, box.outside.height), box.wall.thickness
        )
    except NoSolution as error:
        return Unknown(reason_of(error))


def heater_wall(plan: Plan) -> tuple[float, float] | None:
    """Length and width [m] of what a mat or cable lies on.

    None where the plan does not tell, for other heaters, and for heat on all sides, which comes from several pieces.
    """
    size, heat = outer_inside(plan), plan.heat
    if isinstance(size, Unknown) or heat.source not in ("mat", "cable"):
        return None
    walls = {
        "lid": (size.length, size.width),
        "floor": (size.length, size.width),
        "one side": (max(size.length, size.width), size.height),
    }
    return walls.get(heat.place or "")


def heated_area(plan: Plan) -> Area | None:
    """The heated area of all heaters [m x m]: as told, or that of a cable, its length times the distance between its runs.

    Without a distance a cable lies evenly over what carries it, with runs no further apart than `WIDEST_RUNS`. None
    where the plan does not tell.
    """
    heat, inside = plan.heat, outer_inside(plan)
    if heat.size is not None:
        return side_by_side(heat.size, heat.count, heater_wall(plan))
    if heat.source != "cable" or heat.length is None or isinstance(inside, Unknown):
        return None
    area = heat.length * (heat.spacing or WIDEST_RUNS)
    face = heater_wall(plan)
    if face is None:
        around = 2 * (inside.length + inside.width)
        return Area(around, min(area / around, inside.height)) if heat.place == "all sides" else None
    share = min(math.sqrt(area / (face[0] * face[1])), 1.0)
    return Area(face[0] * share, face[1] * share)


def side_by_side(each: Area, count: int, face: tuple[float, float] | None) -> Area:
    """The sheet [m x m] that so many alike make, in the rows nearest to a square that lie flat on a face [m]; else in one row."""
    sheets = [
        Area(rows * sides[0], count // rows * sides[1])
        for rows in range(1, count + 1)
        if count % rows == 0
        for sides in ((each.length, each.width), (each.width, each.length))
    ]
    flat = [sheet for sheet in sheets if face is None or lies_flat(sheet, face)]
    return min(flat or sheets[:1], key=lambda sheet: (max(sheet.length, sheet.width), -sheet.length))


def lies_flat(heater: Area | None, wall: tuple[float, float]) -> bool:
    """Whether a heater of known size lies on the wall [m] without a fold, its sides along those of the wall."""
    if heater is None:
        return True
    sides = zip(sorted((heater.length, heater.width)), sorted(wall), strict=True)
    return all(ours <= theirs * ROUNDING for ours, theirs in sides)


def missing_for_box(plan: Plan) -> tuple[str, ...]:
    """Plan entries that the heat loss of the outer box needs and that are not there."""
    box = shell(plan)
    wanted = {
        "outer_box.inside": box.inside or box.outside,
        "outer_box.wall.material": box.wall.material or box.ready_built or None,
        "outer_box.wall.thickness": box.wall.thickness,
        "outer_box.lid_fits": box.lid_fits,
        "outer_box.stands_on": box.stands_on,
    }
    return tuple(entry for entry, value in wanted.items() if value is None)


def _missing_for_network(plan: Plan) -> tuple[str, ...]:
    wanted: dict[str, object] = {
        "room.temperature": plan.room.temperature,
        "heat.source": plan.heat.source,
        "heat.place": plan.heat.place,
        "control.set_to": plan.control.set_to,
        "control.probe.sits_in": plan.control.probe.sits_in,
        "egg_boxes": plan.egg_boxes or None,
    }
    if plan.heat.source != "water bath":
        wanted["heat.length" if plan.heat.source == "cable" else "heat.size"] = heated_area(plan)
    for index, box in enumerate(plan.egg_boxes):
        for entry, value in (
            ("count", box.count),
            ("inside", box.inside),
            ("stands", box.stands),
            ("tier", box.tier),
            ("medium.depth", 0.0 if box.medium.material == "none" else box.medium.depth),
        ):
            wanted[f"egg_boxes[{index}].{entry}"] = value
        if not box.lid.fitted:
            wanted["room.humidity"] = plan.room.humidity
    return (*missing_for_box(plan), *(entry for entry, value in wanted.items() if value is None))


def _misled(plan: Plan) -> Unknown | None:
    """Why the probe does not tell how warm the eggs get; None where it does."""
    probe = plan.control.probe.sits_in
    if probe in MISLEADING_PLACES:
        return Unknown(f"the probe sits {MISLEADING_PLACES[probe]}: nobody can say how warm the eggs get")
    if probe == "water" and plan.heat.source != "water bath":
        return Unknown(
            "the probe sits in water, and no water bath heats the box: nobody can say how warm the eggs get"
        )
    return None


def heat_setup(plan: Plan) -> HeatSetup | Unknown:
    """The plan as a `HeatSetup`, or what is missing or cannot be solved."""
    missing = _missing_for_network(plan)
    if missing:
        return Unknown("the plan leaves out what the heat forecast needs", missing)
    probe = plan.control.probe.sits_in
    if (misled := _misled(plan)) is not None:
        return misled
    if any(box.medium.material == "none" for box in plan.egg_boxes):
        return Unknown("the heat forecast knows no egg boxes without medium")
    size = outer_inside(plan)
    if isinstance(size, Unknown):
        return size
    face = heater_wall(plan)
    heater, second = heated_area(plan), plan.heat.floor_heater
    floor = (size.length, size.width)
    if (face is not None and not lies_flat(heater, face)) or (second and not lies_flat(second.size, floor)):
        return Unknown("the heater is larger than what it lies on")
    try:
        panes = panes_of(plan, size)
    except NoSolution as error:
        return Unknown(reason_of(error))
    room, heat, box = plan.room.temperature, plan.heat, shell(plan)
    assert room is not None and plan.control.set_to is not None and box.wall.thickness is not None
    wall = wall_of(plan)
    lower, upper = tiers_of(plan.egg_boxes)
    if isinstance(lower, Unknown) or isinstance(upper, Unknown):
        return MIXED_LAYER
    tiers = [tier for tier in (lower, upper) if tier is not None]
    if any(tier.count * tier.length * tier.width > size.length * size.width * ROUNDING for tier in tiers):
        return Unknown("the egg boxes do not fit on the floor of the outer box")
    area = heater.length * heater.width if heater is not None else size.length * size.width
    flat = heater is not None and face is not None
    base = BoxSetup(
        inside=size,
        wall_thickness=box.wall.thickness,
        wall_conductivity=wall.conductivity,
        room=room.low,
        set_point=plan.control.set_to,
        heat_source=cast(Any, heat.source),
        heat_place=cast(Any, heat.place),
        heater_area=area,
        lower=lower,
        upper=upper,
        boxes_stand=cast(Any, _stands(plan.egg_boxes)),
        probe=cast(Any, probe if probe in ("air", "water") else "medium"),
        stands_on=cast(Any, box.stands_on),
        lid_fits=cast(Any, box.lid_fits),
        heater_length=_along(heater, face) if flat else None,
        rack_height=min(
            [box.shelf_height for box in plan.egg_boxes if box.shelf_height and box.stands == "on a rack"],
            default=USUAL_RACK,
        ),
        floor_share=heat.floor_share,
        floor_heater_area=second.size.length * second.size.width if second is not None else 0.0,
        tier_gap=gap_under_shelf(plan, lower),
        uncertain=Uncertain(air_speed=air_speed(plan)[1]),
        panes=panes,
        vents=vents_of(plan),
        fan_power=fan_always(plan),
        fan_share=fan_with_heater(plan),
    )
    if open_tiers(base):
        base = _losing_vapour(plan, base, wall)
    probes = probe_tiers(plan) if upper is not None else ("lower",)
    base = replace(base, probe_tier=cast(Any, probes[0]))
    inputs = (*_inputs(base, wall, len(probes) == 1), *_of_fan(plan))
    return HeatSetup(base, wall, room.low, room.high, inputs)


def _losing_vapour(plan: Plan, base: BoxSetup, wall: InsulatingWall) -> BoxSetup:
    """The set-up with what its open trays lose to the room, at typical values."""
    room, humidity = plan.room.temperature, plan.room.humidity
    assert room is not None and humidity is not None
    usual = max(room.middle, 0.0)
    return replace(
        base,
        room_vapour=humidity.middle * saturation_vapour_density(usual),
        vapour_exchange=vapour_to_room(
            base.inside,
            base.wall_thickness,
            AIR_CHANGES[base.lid_fits][1],
            VAPOUR_RESISTANCE[wall.name][1],
            (base.set_point + usual) / 2.0,
            vents=0.0,  # the network adds what passes these
        ),
    )


def _along(heater: Area | None, face: tuple[float, float] | None) -> float:
    """The side of a heater that lies along the longer side of the box [m]: as it was told, or turned if it fits only so."""
    assert heater is not None and face is not None
    across = min(face) if face[0] >= face[1] else face[1]
    return heater.length if heater.width <= across * ROUNDING else heater.width


def probe_tiers(plan: Plan) -> tuple[str, ...]:
    """Tiers of boxes that the probe may be in, as far as the plan tells."""
    place, told = plan.control.probe.sits_in, MEANT.get(plan.control.probe.tier or "")
    if told is not None:
        return told
    boxes = [
        box
        for box in plan.egg_boxes
        if (place == "probe box medium") == (box.holds == "probe")
        and place in ("probe box medium", "egg box medium")
    ]
    tiers = {tier for box in boxes for tier in MEANT.get(box.tier or "", TIERS)}
    return tuple(sorted(tiers)) or TIERS


def _of_fan(plan: Plan) -> tuple[Uncertainty, ...]:
    low, typical, high = air_speed(plan)
    return (Uncertainty("air_speed", typical, low, high, FIND_OUT["air_speed"]),) if plan.fan else ()


def _inputs(base: BoxSetup, wall: InsulatingWall, probe_known: bool = True) -> tuple[Uncertainty, ...]:
    touching = base.boxes_stand in ("on the floor", "on the heater")
    point = base.heat_source in POINT_SOURCES
    skipped = {"conductivity_factor", "edge" if point else "radiant_share"}
    if not touching:
        skipped.add("contact")
    if not open_tiers(base):
        skipped.add("vapour_exchange")
    if point or base.heat_place == "lid":
        skipped |= {"excess", "swept"}
    elif base.heat_place not in ("floor", "in water"):
        skipped.add("swept")
    skipped.add("vent_factor")
    inputs = [
        Uncertainty(
            entry.name, getattr(base.uncertain, entry.name), entry.low, entry.high, FIND_OUT[entry.name]
        )
        for entry in UNCERTAIN_RANGES
        if entry.name not in skipped
    ]
    if base.vents is not None:
        low, typical, high = vent_factor(base.uncertain.air_speed > 0.0)
        inputs.append(Uncertainty("vent_factor", typical, low, high, FIND_OUT["vent_factor"]))
    inputs.append(
        Uncertainty(
            "wall_conductivity",
            wall.conductivity,
            wall.conductivity_low,
            wall.conductivity_high,
            FIND_OUT["wall_conductivity"],
        )
    )
    if not probe_known:
        inputs.append(Uncertainty("probe_tier", 0.0, 0.0, 1.0, FIND_OUT["probe_tier"]))
    return tuple(inputs)


def _stands(boxes: tuple[EggBox, ...]) -> str:
    """What the lower tier stands on: the warmest contact that any box has."""
    words = {box.stands for box in boxes}
    return next((word for word in ("on the heater", "on the floor") if word in words), "on a rack")
