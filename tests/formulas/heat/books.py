"""The books of a solved box: by which way its heat leaves, what settles on its walls, and what is left over."""

from typing import NamedTuple

from advisor.formulas.heat.box_links import build_network
from advisor.formulas.heat.box_network import BoxState
from advisor.formulas.heat.box_setup import BoxSetup
from advisor.formulas.heat.convection import AIR_HEAT_PER_VOLUME
from advisor.formulas.heat.fresh_air import fresh_air
from advisor.formulas.heat.heat_balance import vapour_flow, vapour_heat_lost


class Books(NamedTuple):
    """Heat [W] that leaves by conduction and air, of it through the wall behind a sheet; all heat less all losses [W].

    settled [kg/s]: outside the egg boxes over a water bath; dew_point [°C] of the air there, None without a bath; walls: strips
    from below [°C].
    """

    lost: float
    behind_heater: float
    residual: float
    settled: float
    dew_point: float | None
    walls: list[float]


def books_of(setup: BoxSetup, state: BoxState) -> Books:
    network = build_network(setup)
    at = dict(zip(network.names, state.temperatures, strict=True))
    lost = {
        name: conductance * (at[name] - setup.room)
        for name, conductance in zip(network.names, network.to_room, strict=True)
    }
    rising = 0.0
    if setup.vents is not None and setup.vents.where == "high and low":
        # Room air that enters below leaves from the highest layer, and `to_room` has it leave the lowest.
        rising = AIR_HEAT_PER_VOLUME * fresh_air(setup) * (state.air[-1] - state.air[0])
    whole = sum(lost.values()) + rising
    heat = state.power * (1.0 + setup.fan_share) + setup.fan_power
    t = state.temperatures
    return Books(
        lost=whole,
        behind_heater=lost.get("heater", 0.0) + lost.get("heater core", 0.0),
        residual=heat - whole - vapour_heat_lost(network, t),
        settled=sum(
            vapour_flow(path, t[path.node], t[path.other])
            for path in network.vapour_paths
            if not path.both_ways
        ),
        dew_point=at.get("dew point"),
        walls=[value for name, value in at.items() if name.startswith("wall ")],
    )
