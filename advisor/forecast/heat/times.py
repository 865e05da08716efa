"""What takes time: the lumps of a box, swing under the thermostat, warm-up."""

from collections.abc import Mapping

from msgspec import Struct

from advisor.constants import WATER_DENSITY
from advisor.forecast.edge import reason_of, together, untold
from advisor.forecast.egg_box.medium import contents_of
from advisor.forecast.heat.parts import fan_always, fan_with_heater, with_fan
from advisor.forecast.heat.setup import MISLEADING_PLACES, HeatSetup, outer_inside
from advisor.forecast.heat.shell import shell
from advisor.forecast.ranges import Spread, Uncertainty
from advisor.formulas.air.moist_air import NoSolution
from advisor.formulas.heat.insulated_box import inner_area, outer_area, wall_named
from advisor.formulas.heat.thermostat import SwitchedBox, proportional_ripple, switching
from advisor.formulas.heat.warming_and_cooling import (
    EGG_HEAT,
    LONGEST,
    WATER_HEAT,
    ThreeNodeBox,
    box_heat_capacity,
    hours_until_share,
    medium_course,
    medium_heat_capacity,
)
from advisor.model.figures import Figure, Result, Unknown
from advisor.model.plan import EggBox, Plan

LIGHT_WALL = "expanded polystyrene"  # where no material is told: it stores the least heat
BATH = Unknown(
    "the water of the bath stores heat, and the plan does not tell how much it is", ("heat.bath_water",)
)
NEVER_WARM = Unknown("at full power the medium never gets that warm in the coldest room")
BATH_SWINGS = Unknown("how far the water of a bath lets the eggs swing is not forecast")
# On heat capacities: mass and heat of the medium are known to 25 %; judgement.
TIME_FACTOR = (0.75, 1.0, 1.25)
# W/(m2 K) from the air to an egg box, outside, and to bottles; set on cool-downs computed by a 2-D finite-volume model,
# which tests/formulas/heat/test_warming_and_cooling.py holds. With their ranges; judgement.
TO_EGG_BOX, TO_BOTTLE = (3.0, 5.0, 6.0), (6.0, 7.5, 10.0)
# From the water of a bath to the air, with what evaporates: 28 to 31 in this project's heat network, rooms of 5 to 24 °C.
TO_BATH = 29.0
BOTTLE_SURFACE = 50.0  # m2 a m3 of water: 0.10 m2 of a 2-litre bottle (by its measures)
# Plastic of an egg box: 1 mm of polypropylene, 910 kg/m3 and 1800 J/(kg K) (ISO 10456, from memory), J/(m2 K) a m.
PLASTIC_HEAT = 910.0 * 1800.0
PLASTIC = 0.001  # m, where no thickness is told; judgement
# Warm-up over that of three lumps, whose air is mixed: a network of air layers under a warm lid takes 1.24 h for 0.96 h,
# and 2.19 h for 1.44 h with a bottle; range judgement.
WARM_UP_FACTOR = (0.9, 1.3, 1.7)
NEAR = 0.5  # K from the set point at which the box counts as warm; judgement
SENSOR_TIMES = (30.0, 60.0, 300.0)  # s, lag of the probe; judgement
READY_BUILT_SWING = (0.2, 1.0, 3.0)  # K, of a thermostat that nobody can look at; judgement
LOG_IT = "the thermostat: log the medium in the trial run, and write how far it swings at `measured.swing`"
LEAST_BAND = 0.05  # K, the narrowest switching band of the step-by-step model; judgement
PULSE_CYCLE = 10.0  # s, of a pulse thermostat; common practice, no source
# K, most that pulses leave: the ripple of a mat, which the medium does not feel; judgement
PULSED = 0.2


class Capacity(Struct, frozen=True):
    """Heat capacities [J/K] of egg boxes with all in them, of bottles, of the empty box; surfaces [m2] of egg boxes, bottles
    and of the water of a bath, which counts to the bottles.
    """

    medium: float
    bottles: float
    box: float
    egg_box_surface: float
    bottle_surface: float
    bath_surface: float = 0.0

    @property
    def link(self) -> float:
        """Link from the air to the egg boxes [W/K]."""
        return TO_EGG_BOX[1] * self.egg_box_surface

    def lumps(self, values: Mapping[str, float]) -> ThreeNodeBox:
        """The box as three lumps; values: conductance [W/K], capacity [factor], egg_box and bottle [W/(m2 K)]."""
        return ThreeNodeBox(
            conductance=values["conductance"],
            to_medium=values["egg_box"] * self.egg_box_surface,
            to_bottles=values["bottle"] * self.bottle_surface + TO_BATH * self.bath_surface,
            air_capacity=self.box,
            medium_capacity=self.medium * values["capacity"],
            bottle_capacity=self.bottles,
            heated_bottles=self.bath_surface > 0.0,
        )


def lump_inputs(conductance: Figure) -> tuple[Uncertainty, ...]:
    """The uncertain inputs of `Capacity.lumps`."""
    boxes = "how the air reaches the boxes"
    return (
        Uncertainty(
            "conductance", conductance.value, conductance.low, conductance.high, conductance.matters_most
        ),
        _uncertain("capacity", TIME_FACTOR, "the mass of the wet medium"),
        _uncertain("egg_box", TO_EGG_BOX, boxes),
        _uncertain("bottle", TO_BOTTLE, boxes),
    )


def _uncertain(name: str, ends: tuple[float, float, float], find_out: str) -> Uncertainty:
    low, typical, high = ends
    return Uncertainty(name, typical, low, high, find_out)


def has_bath(plan: Plan) -> bool:
    """Whether the heater works in water."""
    return plan.heat.source == "water bath" or plan.heat.place == "in water"


def untold_bath(plan: Plan) -> bool:
    """Whether the heater works in water and the plan does not tell how much that is."""
    return has_bath(plan) and plan.heat.bath_water is None


def heat_capacity(plan: Plan) -> Capacity | Unknown:
    """What stores heat in the box, or what the plan leaves out about it."""
    lacking: list[Unknown] = []
    if not plan.egg_boxes:
        lacking.append(Unknown("the plan has no egg boxes", ("egg_boxes",)))
    if plan.power_cut.prepared is None:
        lacking.append(
            Unknown("it is not told what stands in the box for a power cut", ("power_cut.prepared",))
        )
    if plan.power_cut.prepared == "water bottles" and plan.power_cut.water is None:
        lacking.append(Unknown("the water in the bottles is not told", ("power_cut.water",)))
    thickness = shell(plan).wall.thickness
    if thickness is None:
        lacking.append(Unknown("the wall thickness is not told", ("outer_box.wall.thickness",)))
    size = outer_inside(plan)
    medium = _medium_capacity(plan)
    missing = together(*lacking, size, medium)
    if missing is not None:
        return missing
    assert not isinstance(size, Unknown) and not isinstance(medium, Unknown) and thickness is not None
    capacity, surface = medium
    # Of a female's clutches that follow one another only one is sure to lie in.
    eggs = sum((one.eggs or 0) * (one.egg_mass or 0.0) for one in plan.clutches if not one.nth)
    water = plan.power_cut.water or 0.0
    wall = wall_named(plan.outer_box.wall.material or LIGHT_WALL)
    wall_volume = (inner_area(size) + outer_area(size, thickness)) / 2 * thickness
    try:
        empty = box_heat_capacity(
            size.length * size.width * size.height, wall_volume, wall.density, wall.heat
        )
    except NoSolution as error:
        return Unknown(reason_of(error))
    bath = (plan.heat.bath_water or 0.0) if has_bath(plan) else 0.0
    bottles = (water + bath) * WATER_DENSITY * WATER_HEAT
    open_water = size.length * size.width if bath else 0.0
    medium_and_eggs = capacity + eggs * EGG_HEAT
    return Capacity(medium_and_eggs, bottles, empty, surface, water * BOTTLE_SURFACE, open_water)


def _medium_capacity(plan: Plan) -> tuple[float, float] | Unknown:
    """Heat capacity [J/K] of all egg boxes with their wet medium, and their outside [m2]."""
    capacity = surface = 0.0
    lacking: list[Unknown] = []
    for index, box in enumerate(plan.egg_boxes):
        if box.count is None:
            lacking.append(Unknown("the number of boxes is not told", (f"egg_boxes[{index}].count",)))
        contents = contents_of(box, f"egg_boxes[{index}]")
        if isinstance(contents, Unknown):
            lacking.append(contents)
            continue
        content = contents.water_content.typical
        wet = contents.dry_mass.typical * (1 + content)
        try:
            one = medium_heat_capacity(wet, content, contents.medium.heat_capacity)
        except NoSolution as error:
            lacking.append(Unknown(reason_of(error)))
            continue
        outside, count = _outside(box), box.count or 0
        capacity += count * (one + PLASTIC_HEAT * outside * (box.lid.thickness or PLASTIC))
        surface += count * outside
    return together(*lacking) or (capacity, surface)


def _outside(box: EggBox) -> float:
    """The outside of an egg box with its lid [m2]."""
    assert box.inside is not None
    walls = 2 * (box.lid.thickness or PLASTIC)
    length, width, height = (
        side + walls for side in (box.inside.length, box.inside.width, box.inside.height)
    )
    return 2 * (length * width + length * height + width * height)


def forecast_swing(plan: Plan, conductance: Result) -> Result:
    """Swing of the medium [K], from lowest to highest, that the thermostat's switching makes in the coldest room."""
    control = plan.control
    if control.thermostat is None and plan.outer_box.ready_built:
        low, usual, high = READY_BUILT_SWING
        return Figure(usual, low, high, "step", "what ready-built incubators do (judgement)", LOG_IT)
    if control.thermostat is None:
        return Unknown("the kind of thermostat is not told", ("control.thermostat",))
    if control.thermostat == "none":
        return Unknown("there is no thermostat")
    capacity = heat_capacity(plan)
    proportional = control.thermostat in ("pulse", "dimming")
    wanted: dict[str, object] = {"heat.power": plan.heat.power}
    if not proportional:
        wanted |= {
            "control.set_to": control.set_to,
            "control.switching_band": control.switching_band,
            "control.probe.sits_in": control.probe.sits_in,
            "room.temperature": plan.room.temperature,
        }
    found = untold("the control is not told in full", wanted)
    lacking = together(found, capacity, None if proportional else conductance)
    if lacking is not None:
        return lacking
    assert isinstance(capacity, Capacity) and plan.heat.power is not None
    if proportional:
        ripple = proportional_ripple(plan.heat.power, 0.5, PULSE_CYCLE, capacity.medium)
        basis = "a pulse or dimming thermostat: the medium hardly feels it"
        return Figure(ripple, 0.0, max(ripple, PULSED), "step", basis, formulas=(proportional_ripple,))
    if control.probe.sits_in in MISLEADING_PLACES:
        return Unknown(
            f"the probe sits {MISLEADING_PLACES[control.probe.sits_in]}: nobody can say how far the eggs swing"
        )
    if has_bath(plan):
        return BATH_SWINGS
    assert isinstance(conductance, Figure)
    return _on_off_swing(plan, conductance.value, capacity)


def _on_off_swing(plan: Plan, conductance: float, capacity: Capacity) -> Result:
    control, room, power = plan.control, plan.room.temperature, plan.heat.power
    assert control.set_to is not None and control.switching_band is not None
    assert room is not None and power is not None
    swings = []
    for sensor_time, factor in zip(SENSOR_TIMES, reversed(TIME_FACTOR), strict=True):
        box = SwitchedBox(
            conductance=conductance, medium_capacity=capacity.medium * factor, air_to_medium=capacity.link
        )
        try:
            found = switching(
                box,
                "air" if control.probe.sits_in == "air" else "medium",
                power * (1.0 + fan_with_heater(plan)),
                room.low + fan_always(plan) / conductance,
                control.set_to,
                max(control.switching_band, LEAST_BAND),
                sensor_time,
            )
        except NoSolution as error:
            return Unknown(reason_of(error))
        swings.append(found.medium_high - found.medium_low)
    low, value, high = sorted(swings)
    return Figure(
        value,
        low,
        high,
        "step",
        f"step-by-step model, probe in the {'air' if control.probe.sits_in == 'air' else 'medium'}",
        "the lag of the probe: log the medium in the trial run, and write how far it swings at `measured.swing`",
        (switching,),
    )


def forecast_warm_up(plan: Plan, need: Spread, setup: HeatSetup) -> Result:
    """Hours at full power from the coldest room until the medium is within half a degree of the set point."""
    if untold_bath(plan):
        return BATH
    capacity = heat_capacity(plan)
    missing = [] if plan.heat.power else [Unknown("the heater's power is not told", ("heat.power",))]
    lacking = together(*missing, capacity)
    if lacking is not None:
        return lacking
    assert isinstance(capacity, Capacity) and plan.heat.power is not None
    aim, room = setup.base.set_point - NEAR, setup.room_low
    if aim <= room:
        return Figure(0.0, 0.0, 0.0, "hours", "the room is as warm already")
    hours = []
    for power, factor, late in zip(
        (need.low, need.value, need.high), TIME_FACTOR, WARM_UP_FACTOR, strict=True
    ):
        loss = with_fan(plan, max(power, 1e-3)) / (setup.base.set_point - room)
        left = 1 - (aim - room) * loss / with_fan(plan, plan.heat.power)
        box = capacity.lumps(
            {"conductance": loss, "capacity": factor, "egg_box": TO_EGG_BOX[1], "bottle": TO_BOTTLE[1]}
        )
        try:
            reached = hours_until_share(medium_course(box), left) if left > 0 else LONGEST
        except NoSolution as error:
            return Unknown(reason_of(error))
        hours.append(min(late * reached, LONGEST))
    if hours[1] >= LONGEST:
        return NEVER_WARM
    low, value, high = (3600 * hour for hour in hours)
    return Figure(
        value,
        low,
        high,
        "hours",
        "air, medium and bottles warmed at full power",
        "the mass of the wet medium: note how long the warm-up takes, and write it at `measured.warm_up`",
        (hours_until_share,),
    )
