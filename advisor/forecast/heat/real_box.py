"""The heat forecast of a box that was measured: what was measured is corrected first, what follows from it afterwards."""

from collections.abc import Mapping

from msgspec.structs import replace

from advisor.forecast.edge import untold
from advisor.forecast.heat.parts import heater_alone, with_fan
from advisor.forecast.heat.power_cut import forecast_power_cut, measured_fall
from advisor.forecast.heat.setup import HeatSetup
from advisor.forecast.heat.times import forecast_swing, forecast_warm_up
from advisor.forecast.measured.heat import (
    narrowed_conductance,
    narrowed_full_surface,
    narrowed_humidity,
    narrowed_share,
    narrowed_side_to_side,
    narrowed_stuck_on,
    narrowed_surface,
    narrowed_swing,
    narrowed_warm_up,
    narrowed_watts,
)
from advisor.forecast.ranges import Spread
from advisor.formulas.heat.insulated_box import box_conductance
from advisor.model.figures import Figure, Result, Unknown
from advisor.model.forecast import HeatForecast
from advisor.model.measured import Measured
from advisor.model.plan import Plan
from advisor.model.species import Species


def as_measured(
    plan: Plan, species: Mapping[str, Species], setup: HeatSetup, heat: HeatForecast, rise: float, lid: float
) -> HeatForecast:
    """The forecast with all that was measured of the outer box; as it was where nothing was.

    rise: of the medium over the coldest room [K]; lid: how much further over the room than the medium a lid lies while the
    heater is stuck on, as a share of the rise.
    """
    if plan.measured == Measured():
        return heat
    watts = heat.watts_needed
    assert isinstance(watts, Figure)
    found = narrowed_watts(plan, watts, rise)
    needed = watts if found is None else found.figure
    conductance = narrowed_conductance(plan, heat.conductance, found)
    share = narrowed_share(plan, heat.power_share, rise)
    bare = _medium_alone(heat.stuck_on_temperature, setup.room_high, watts)
    stuck = narrowed_stuck_on(plan, bare, setup.room_high)
    under = (setup.base.set_point, setup.room_low)
    surface, face = narrowed_surface(plan, heat.heater_surface, under, (watts, needed))
    full = narrowed_full_surface(plan, heat.heater_surface_full, (bare, stuck), share, rise)
    each = Spread(needed.value, needed.low, needed.high, "")

    def warm_up(room: float) -> Result:
        scale = (setup.base.set_point - room) / max(setup.base.set_point - setup.room_low, 1e-6)
        there = Spread(scale * each.value, scale * each.low, scale * each.high, "")
        return forecast_warm_up(plan, there, replace(setup, room_low=room))

    side_to_side, boxes = (
        (heat.spread, ()) if setup.base.upper is not None else narrowed_side_to_side(plan, heat.spread)
    )
    humidity, air = narrowed_humidity(plan, heat.outer_humidity)
    swing, swings = narrowed_swing(plan, forecast_swing(plan, conductance))
    hours, warmed = narrowed_warm_up(plan, forecast_warm_up(plan, each, setup), warm_up)
    return replace(
        heat,
        conductance=conductance,
        watts_needed=needed,
        power_share=share,
        stuck_on_temperature=heat.stuck_on_temperature
        if stuck is bare
        else _up_to_lid(stuck, setup.room_high, lid),
        heater_surface=surface,
        heater_surface_full=full,
        spread=side_to_side,
        outer_humidity=humidity,
        swing=swing,
        warm_up_hours=hours,
        against=(
            *(() if found is None else (found.against,)),
            *face,
            *boxes,
            *air,
            *swings,
            *warmed,
            *measured_fall(plan, conductance),
            *heat.against,
        ),
        **forecast_power_cut(plan, species, conductance),
    )


def _medium_alone(stuck: Result, room: float, watts: Figure) -> Result:
    """The medium of a box whose heater is stuck on with the range of the watts, its lid left out of the high end."""
    if not isinstance(stuck, Figure) or stuck.low == stuck.high or watts.low <= 0.0:
        return stuck
    rise = stuck.value - room
    return replace(
        stuck, low=room + rise * watts.value / watts.high, high=room + rise * watts.value / watts.low
    )


def _up_to_lid(stuck: Result, room: float, lid: float) -> Result:
    if not isinstance(stuck, Figure):
        return stuck
    return replace(stuck, high=max(stuck.high, room + (stuck.value - room) * (1.0 + lid)))


def by_loss(plan: Plan, conductance: Result) -> tuple[Result, Result, Result]:
    """Of a ready-built box whose heater nobody can see: its heat loss, the watts it needs in the coldest room, and what share
    of its heater's these are; as wide as its walls are unknown, and as narrow as its watts were measured.
    """
    room, set_to, power = plan.room.temperature, plan.control.set_to, plan.heat.power
    if isinstance(conductance, Unknown):
        return (conductance,) * 3
    lacking = untold(
        "the room or the set point is not told", {"room.temperature": room, "control.set_to": set_to}
    )
    if lacking is not None:
        return conductance, lacking, lacking
    assert room is not None and set_to is not None
    rise = set_to - room.low
    ends = (conductance.value, conductance.low, conductance.high)
    value, low, high = (max(heater_alone(plan, loss * rise), 0.0) for loss in ends)
    basis, matters = "heat loss at the set point in the coldest room", conductance.matters_most
    watts = Figure(value, low, high, "power", basis, matters, (box_conductance,))
    found = narrowed_watts(plan, watts, rise)
    needed = watts if found is None else found.figure
    if found is not None:
        conductance = needed.moved(lambda one: with_fan(plan, one) / rise, "conductance")
    if not power:
        return conductance, needed, Unknown("the heater's power is not told", ("heat.power",))
    share = watts.moved(lambda one: one / power, "share")
    return conductance, needed, narrowed_share(plan, share, rise)


def without_network(plan: Plan, heat: HeatForecast) -> HeatForecast:
    """The same where the plan tells too little for a heat balance: what needs none."""
    room = plan.room.temperature
    stuck = heat.stuck_on_temperature
    return replace(
        heat,
        stuck_on_temperature=stuck if room is None else narrowed_stuck_on(plan, stuck, room.high),
        swing=narrowed_swing(plan, heat.swing)[0],
        against=measured_fall(plan, heat.conductance),
    )
