"""How moist the air round the egg boxes is, for every heater, and what settles on the walls: it decides what the egg boxes lose."""

from collections.abc import Mapping

from msgspec.structs import replace

from advisor.constants import DAY
from advisor.forecast.heat.parts import air_through_vents, vent_factor
from advisor.forecast.heat.setup import HeatSetup
from advisor.forecast.heat.vapour_to_room import AIR_CHANGES, vapour_to_room
from advisor.forecast.ranges import Uncertainty, figure, propagate
from advisor.formulas.air.moist_air import VAPOUR_GAS_CONSTANT, ZERO_CELSIUS, saturation_pressure
from advisor.formulas.air.outer_vapour import Surface, box_vapour_density, settling, unwarmed
from advisor.formulas.heat.box_geometry import geometry_of, outer_faces
from advisor.formulas.heat.box_network import BoxState
from advisor.formulas.heat.box_setup import is_water_bath
from advisor.formulas.heat.box_vapour import wet_faces
from advisor.formulas.heat.insulated_box import VAPOUR_RESISTANCE
from advisor.model.figures import Result, Unknown
from advisor.model.plan import Plan

# kg/s that one egg box loses through holes and rim into the outer box: 0.5 g a day (0.1 to 2); judgement
FROM_EGG_BOX = (0.1e-3 / DAY, 0.5e-3 / DAY, 2e-3 / DAY)
FILM = (1.0, 1.5, 3.0)  # W/(m2 K), natural convection at what water settles on; judgement
BATH_FILM = (1.5, 2.5, 4.0)  # the same over a water bath; judgement
# The same under a fan: forced convection at 0.1 to 1 m/s along 0.3 m is 2.2 to 7 W/(m2 K); one that runs at times less
STIRRED_FILM = (1.5, 4.0, 7.0)
HYGROMETER = "the air round the egg boxes: put a hygrometer into the outer box, and write what it shows at `measured.outer_humidity`"
WET_WALLS = "how damp the air round the egg boxes gets: nobody knows it before, so look in the trial run where water stands"
BASIS = "vapour that evaporates, leaks, passes the walls and settles"


def forecast_outer_air(plan: Plan, setup: HeatSetup, state: BoxState) -> dict[str, Result]:
    """Relative humidity of the air round the egg boxes at the set point, and the water that settles on the box from it.

    Both from the vapour balance at the solved temperatures. Keys are fields of the heat forecast.
    """
    humidity, room = plan.room.humidity, plan.room.temperature
    if humidity is None or room is None:
        unknown = Unknown("the room's humidity is not told", ("room.humidity",))
        return {"outer_humidity": unknown, "outer_condensation": unknown}
    base, wall = setup.base, setup.wall
    at = dict(zip(geometry_of(base).names, state.temperatures, strict=True))
    wet = wet_faces(base)
    surfaces = [
        Surface(area, at[name], wet=name in wet) for name, area in outer_faces(base, geometry_of(base))
    ]
    air, dish = state.lower.beside, plan.outer_box.water_dish
    surfaces += [Surface(pane.area, room.low + (air - room.low) * pane.share_of_fall) for pane in base.panes]
    through = air_through_vents(plan, base.inside)
    tiers = (base.lower, base.upper)
    boxes = sum(tier.count for tier in tiers if tier is not None and not tier.is_open)

    def model(values: Mapping[str, float]) -> dict[str, float]:
        pressure = values["humidity"] * saturation_pressure(max(values["room"], 0.0))
        exchange = vapour_to_room(
            base.inside, base.wall_thickness, values["air_changes"], values["vapour_resistance"], air,
            through * values["vents"],
        )  # fmt: skip
        touched = list(surfaces)
        if dish is not None:
            share = unwarmed(values["film"], state.air[0])
            touched.append(Surface(dish.length * dish.width * share, state.air[0], wet=True))
        density = box_vapour_density(
            touched, values["film"], boxes * values["egg boxes"], exchange,
            pressure / (VAPOUR_GAS_CONSTANT * (max(values["room"], 0.0) + ZERO_CELSIUS)),
        )  # fmt: skip
        # Told at the set point: that is where the egg boxes stand and what their air is held against.
        vapour = density * VAPOUR_GAS_CONSTANT * (air + ZERO_CELSIUS)
        return {
            "humidity": min(vapour / saturation_pressure(base.set_point), 1.0),
            "settles": settling(touched, values["film"], density),
        }

    leak, passage = AIR_CHANGES[base.lid_fits], VAPOUR_RESISTANCE[wall.name]
    film = STIRRED_FILM if plan.fan is not None else BATH_FILM if is_water_bath(base) else FILM
    vents = vent_factor(plan.fan is not None)
    inputs = (
        Uncertainty("humidity", humidity.middle, humidity.low, humidity.high, HYGROMETER),
        Uncertainty("room", room.middle, room.low, room.high, HYGROMETER),
        Uncertainty("air_changes", leak[1], leak[0], leak[2], HYGROMETER),
        Uncertainty("vents", vents[1], vents[0], vents[2], HYGROMETER),
        Uncertainty("vapour_resistance", passage[1], passage[0], passage[2], HYGROMETER),
        Uncertainty("egg boxes", FROM_EGG_BOX[1], FROM_EGG_BOX[0], FROM_EGG_BOX[2], HYGROMETER),
        Uncertainty("film", film[1], film[0], film[2], HYGROMETER),
    )
    found = propagate(model, inputs)
    settles = found["settles"]
    settles = replace(settles, matters_most=settles.matters_most and WET_WALLS)
    return {
        "outer_humidity": figure(found["humidity"], "share", BASIS, box_vapour_density, least=0.0, most=1.0),
        "outer_condensation": figure(settles, "mass per day", BASIS, settling, least=0.0),
    }
