"""Printed ranges of the heat forecast against draws of all that is not known, every draw solved again.

JCGM 101:2008: draw all inputs at once, and what the network leaves open (`heat_layers.STRUCTURES`); low and high of each
are its 95 % interval, a normal distribution on each side. A printed range of about 95 % holds 90 to 99.5 % of the draws.

Wider on purpose, and held to 90 % alone: a stuck box, whose warm end reaches at least up to the lid of the warmest layer;
water under lids, told from none up to what the coldest likely lid collects where the sign of lid minus medium is open; the
medium where nobody knows the layer of the probe, told for both.
"""

from collections.abc import Mapping

import numpy as np
import pytest
from msgspec.structs import replace

from advisor.forecast.heat.setup import HeatSetup, heat_setup
from advisor.forecast.heat.steady import HeatResults, forecast_heat
from advisor.forecast.heat.structure import structure_of
from advisor.forecast.heat.tiers import (
    WATER_FACTOR,
    hottest,
    moved_results,
    network_results,
    solve,
    spreads_of,
)
from advisor.forecast.ranges import Spread
from advisor.formulas.heat.box_network import BoxState, state_at_power
from advisor.formulas.heat.heat_balance import NoSteadyState
from advisor.model.figures import Result, Unknown
from advisor.reading.species import load_species
from tests.forecast.boxes import plan_with

CORN_SNAKE = load_species("pantherophis-guttatus")
DRAWS = 250
ONE: dict[str, str | None] = {"egg_boxes[0].count": "2", "egg_boxes[0].tier": "one"}
SIDE: dict[str, str | None] = {"heat.place": "one side", "heat.size": "40 x 20 cm"}
BATH: dict[str, str | None] = {"heat.source": "water bath", "heat.place": "in water", "heat.size": None}
BULB: dict[str, str | None] = {"heat.source": "bulb", "heat.size": "10 x 8 cm"}
EMITTER: dict[str, str | None] = {"heat.source": "ceramic emitter", "heat.size": "15 x 10 cm"}
PLANS: dict[str, dict[str, str | None]] = {
    "lid": {},
    "lid, one tier": ONE,
    "lid, glass": {
        "outer_box.wall.material": "glass",
        "outer_box.wall.thickness": "4 mm",
        "heat.power": "100 W",
    },
    "lid, poor fit, room 15": {"outer_box.lid_fits": "poorly", "room.temperature": "15 °C"},
    "lid, air": {"control.probe.sits_in": "air"},
    "floor": {"heat.place": "floor"},
    "floor, one tier": {**ONE, "heat.place": "floor"},
    "on the mat": {**ONE, "heat.place": "floor", "egg_boxes[0].stands": "on the heater"},
    "side": SIDE,
    "side, one tier": {**SIDE, **ONE},
    "bath": BATH,
    "bulb": BULB,
    "emitter, one tier": {**EMITTER, **ONE},
}
# Held inside what the formulas take.
LEAST = {"air_changes": 0.0, "mixing": 0.3, "edge": 0.3, "swept": 0.3, "excess": 0.3, "contact": 0.1}
MOST = {"radiant_share": 1.0, "mixing": 3.0, "excess": 3.0, "probe_tier": 1.0}


def drawn(setup: HeatSetup, z: Mapping[str, float]) -> dict[str, float]:
    values = {}
    for entry in setup.inputs:
        side = entry.high - entry.typical if z[entry.name] > 0 else entry.typical - entry.low
        value = entry.typical + z[entry.name] / 1.96 * side
        values[entry.name] = min(
            max(value, LEAST.get(entry.name, 0.3 * entry.typical)), MOST.get(entry.name, np.inf)
        )
    if "probe_tier" in values:
        values["probe_tier"] = float(z["probe_tier"] > 0.0)
    return values


def media(setup: HeatSetup, state: BoxState, spread: float | None, z: float) -> dict[str, float]:
    """Medium of each layer [°C] at a drawn spread [K]: the layer of the probe at the set point, or off it as its air is."""
    tiers = {"lower": state.lower} if state.upper is None else {"lower": state.lower, "upper": state.upper}
    with_probe = setup.base.probe_tier if state.upper is not None else "lower"
    tier, structure = tiers[with_probe], structure_of(setup.base)
    beside = tier.medium - tier.beside if setup.base.probe == "air" else 0.0
    here = setup.base.set_point + structure.difference * beside * (1.0 + z / 1.96 * structure.up)
    found = {f"{with_probe} medium": here}
    if spread is not None:
        other, way = ("upper", 1.0) if with_probe == "lower" else ("lower", -1.0)
        found[f"{other} medium"] = here + way * spread
    return found


def off(z: float, down: float, up: float) -> float:
    return z / 1.96 * (up if z > 0 else down)


def heater_figures(setup: HeatSetup, one: Mapping[str, float], watts: float, face: float) -> dict[str, float]:
    """Watts needed [W] and face of the heater [°C], from the network's figures and the deviates of its two errors."""
    structure = structure_of(setup.base)
    face_rise = structure.watts * (one["heater"] - setup.room_low)
    return {
        "watts_needed": structure.watts * one["power"] * (1.0 + structure.watts_error * watts / 1.96),
        "heater_surface": setup.room_low
        + face_rise * (1.0 + off(face, structure.surface_down, structure.surface_up)),
    }


def difference(setup: HeatSetup, what: str, one: float, typical: float, z: float) -> float:
    """Lid minus medium, or the spread of the layers [K]: the network's figure at a draw, and what its build leaves open."""
    structure, rise = structure_of(setup.base), setup.base.set_point - setup.room_low
    size = abs(structure.difference * typical)
    below, above = structure.down * size, structure.up * size
    if typical < 0:
        below, above = above, below
    least = structure.least * rise
    up = structure.lid_up * rise if what == "upper lid" else 0.0
    return structure.difference * one + off(z, max(below, least), max(above, least, up))


def stuck_figures(
    setup: HeatSetup, values: Mapping[str, float], power: float, watts: float, face: float
) -> dict[str, float]:
    """Warmest medium and face of the heater [°C] with the heater on for good; none where the box finds no steady state."""
    structure = structure_of(setup.base)
    scale = structure.watts * (1.0 + structure.watts_error * watts / 1.96)
    try:
        stuck = state_at_power(setup.at(values, setup.room_high), power / scale)
    except (NoSteadyState, ValueError):
        return {}
    rise = structure.watts * (stuck.heater - setup.room_high)
    error = off(face, structure.surface_down, structure.surface_up)
    return {
        "stuck_on_temperature": hottest(stuck)[0],
        "heater_surface_full": setup.room_high + rise * (1.0 + error),
    }


def one_draw(
    setup: HeatSetup, power: float, typical: Mapping[str, float], row: list[float], dew: float, air: float
) -> dict[str, float]:
    """All figures of one draw; none where the box finds no steady state."""
    z = dict(zip([entry.name for entry in setup.inputs], row, strict=False))
    watts, size, lid, face = row[-4:]
    values = drawn(setup, z)
    try:
        state = solve(setup, values)
    except (NoSteadyState, ValueError):
        return {}
    one = network_results(state)
    found = heater_figures(setup, one, watts, face)
    for what in ("lower lid", "upper lid", "spread"):
        if what in one:
            found[what] = difference(setup, what, one[what], typical[what], size if what == "spread" else lid)
    for what in ("lower", "upper"):
        if f"{what} lid" in one:
            found[f"{what} water"] = one[f"{what} water"] * WATER_FACTOR ** (dew / 1.96)
    upper_probe = values.get("probe_tier", float(setup.base.probe_tier == "upper")) > 0.5
    of_probe = replace(setup, base=replace(setup.base, probe_tier="upper" if upper_probe else "lower"))
    found |= media(of_probe, state, found.get("spread"), air)
    return found | stuck_figures(setup, values, power, watts, face)


def told_ranges(results: HeatResults, setup: HeatSetup) -> dict[str, Result | Spread]:
    """Every range that the forecast prints, by the names of the draws."""
    state = solve(setup, {})
    whole = spreads_of(setup, state, moved_results(setup, state))
    told: dict[str, Result | Spread] = {
        what: getattr(results.heat, what)
        for what in ("watts_needed", "heater_surface", "stuck_on_temperature", "heater_surface_full")
    }
    told |= {"spread": whole["spread"]} if "spread" in whole else {}
    for layer, tier in (("lower", results.lower), ("upper", results.upper)):
        if tier is not None:
            told |= {
                f"{layer} lid": tier.lid_minus_medium,
                f"{layer} water": tier.condensation,
                f"{layer} medium": tier.medium_temperature,
            }
    return told


@pytest.mark.slow
@pytest.mark.parametrize("name", PLANS)
def test_every_printed_range_holds_most_draws(name: str) -> None:
    plan = plan_with(PLANS[name])
    results, setup = forecast_heat(plan, {CORN_SNAKE.id: CORN_SNAKE}), heat_setup(plan)
    assert isinstance(setup, HeatSetup) and plan.heat.power is not None
    typical = network_results(solve(setup, {}))
    source, more = np.random.default_rng(20270502), np.random.default_rng(20270503)
    found: dict[str, list[float]] = {}
    for row in source.standard_normal((DRAWS, len(setup.inputs) + 4)).tolist():
        dew, air = more.standard_normal(2).tolist()
        for what, value in one_draw(setup, plan.heat.power, typical, row, dew, air).items():
            found.setdefault(what, []).append(value)
    told = told_ranges(results, setup)
    assert set(found) == set(told)
    for what, draws in found.items():
        figure = told[what]
        assert not isinstance(figure, Unknown)
        share = sum(figure.low - 1e-9 <= value <= figure.high + 1e-9 for value in draws) / len(draws)
        # 250 draws: a standard error of 1.4 % at 95 %.
        most = 1.0 if what == "stuck_on_temperature" or what.endswith((" water", " medium")) else 0.995
        assert 0.90 <= share <= most, (what, share)
