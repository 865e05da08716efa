"""Boxes drawn at random, "measured" with the errors that are claimed: the narrowed ranges have to hold the truth.

Half of the boxes are as their plan says, within the range of the forecast; the other half differ from it by up to half. The
truths come from formulas of their own: heat in proportion to the difference, and three lumps followed step by step.
"""

import math
import random
from functools import cache

import pytest
from msgspec.structs import replace

from advisor.assess import situation_for
from advisor.forecast.clutch.days_and_sexes import thermostat_error
from advisor.forecast.heat.egg_warmth import BESIDE, egg_temperatures, egg_warmth
from advisor.forecast.heat.power_cut import forecast_power_cut
from advisor.forecast.heat.steady import HeatResults, forecast_heat
from advisor.forecast.heat.times import Capacity, heat_capacity
from advisor.forecast.measured.heat import narrowed_share, narrowed_stuck_on, narrowed_watts
from advisor.model.figures import Figure
from advisor.model.measured import HeaterOn, Measured, MeasuredMedium, SwitchedOff
from advisor.model.plan import Plan
from advisor.reading.plan import read_plan
from tests.support import ROOT

LEAST_HELD = 0.90


@cache
def known() -> tuple[Plan, HeatResults]:
    plan, _ = read_plan(ROOT / "examples" / "first-season.yaml")
    return plan, forecast_heat(plan, situation_for(plan).species)


def figure_of(result: object) -> Figure:
    assert isinstance(result, Figure), result
    return result


def error_of(figure: Figure) -> float:
    return math.log(figure.high / figure.low) / 3.92


def unlike(dice: random.Random, number: int) -> float:
    """In logarithms, how far a box is from its plan: half of them not at all, the others by up to half."""
    return dice.uniform(-math.log(1.5), math.log(1.5)) if number % 2 else 0.0


def test_watts_stuck_heater_and_share_hold_the_truth() -> None:
    plan, heat = known()
    watts, dice, draws = figure_of(heat.heat.watts_needed), random.Random(3), 2000
    stuck, share = figure_of(heat.heat.stuck_on_temperature), heat.heat.power_share
    label, warm, rise = plan.heat.power or 0.0, 23.0, 11.0
    held = {"watts": 0, "stuck": 0, "share": 0}
    narrower = 0
    for number in range(draws):
        needs = watts.value * math.exp(dice.gauss(0.0, error_of(watts)) + unlike(dice, number))
        power = label * (1.0 + dice.uniform(-0.1, 0.1))
        room, medium = 19.0, 28.0
        on = needs / rise * (medium - room) / power
        if not 0.05 <= on * 1.05 <= 0.95:
            needs, on = watts.value, watts.value / rise * (medium - room) / power
        seen = HeaterOn(
            on * math.exp(dice.gauss(0.0, 0.02)), 7200.0,
            room + dice.uniform(-0.5, 0.5), medium + dice.uniform(-0.5, 0.5),
        )  # fmt: skip
        real = replace(plan, measured=Measured(heater_on=(seen,)))
        found = narrowed_watts(real, watts, rise)
        assert found is not None
        narrower += found.figure.high / found.figure.low < watts.high / watts.low
        held["watts"] += found.figure.low <= needs <= found.figure.high
        hot = figure_of(narrowed_stuck_on(real, stuck, warm))
        held["stuck"] += hot.low <= warm + power * rise / needs <= hot.high
        part = figure_of(narrowed_share(real, share, rise))
        held["share"] += part.low <= needs / power <= part.high
    assert {name: count for name, count in held.items() if count < LEAST_HELD * draws} == {}
    assert narrower > draws / 4


def fallen(box: Capacity, values: dict[str, float], start: float, room: float, hours: float) -> list[float]:
    """The medium minute by minute: air, medium and bottles, each step by what flows between them."""
    air = medium = bottles = start
    to_medium, to_bottles = values["egg_box"] * box.egg_box_surface, values["bottle"] * box.bottle_surface
    found, step = [start], 10.0
    for turn in range(1, int(hours * 3600 / step) + 1):
        out, down, side = (
            values["loss"] * (air - room),
            to_medium * (air - medium),
            to_bottles * (air - bottles),
        )
        air -= (out + down + side) / box.box * step
        medium += down / (box.medium * values["capacity"]) * step
        bottles += side / box.bottles * step if box.bottles else 0.0
        if turn % 6 == 0:
            found.append(medium)
    return found


def test_hours_of_a_power_cut_hold_the_truth() -> None:
    plan, heat = known()
    box, loss = heat_capacity(plan), figure_of(heat.heat.conductance)
    assert isinstance(box, Capacity)
    dice, draws, held = random.Random(5), 60, {"lost": 0, "night": 0}
    for number in range(draws):
        values = {
            "loss": loss.value * math.exp(dice.gauss(0.0, error_of(loss)) + unlike(dice, number) / 2.0),
            "capacity": dice.gauss(1.0, 0.125),
            "egg_box": dice.gauss(5.0, 0.8),
            "bottle": dice.gauss(7.5, 1.0),
        }
        slower = dice.gauss(1.0, 0.1)
        tried = fallen(box, values, 28.0, 20.0, 2.0)
        end = tried[round(60 / slower)] + dice.gauss(0.0, 0.04)
        off = SwitchedOff(28.0, min(end, 27.9), 3600.0, 20.0 + dice.uniform(-0.3, 0.3))
        real = replace(plan, measured=Measured(switched_off=off))
        told = forecast_power_cut(real, {}, heat.heat.conductance)
        truth = fallen(box, values, 28.0, 17.0, 16.0)
        minutes = next(minute for minute, medium in enumerate(truth) if medium <= 25.0) * slower
        lost, night = figure_of(told["hours_to_lose_3_K"]), figure_of(told["medium_after_12_h"])
        held["lost"] += lost.low <= minutes * 60.0 <= lost.high
        held["night"] += night.low <= truth[round(720 / slower)] <= night.high
    assert {name: count for name, count in held.items() if count < LEAST_HELD * draws} == {}


@pytest.mark.parametrize("thermometers", [1, 3])
def test_eggs_are_as_warm_as_thermometers_and_thermostat_say(thermometers: int) -> None:
    plan, heat = known()
    box, error = plan.egg_boxes[0], thermostat_error(plan.control)
    dice, draws, held = random.Random(7), 1000, 0
    for _ in range(draws):
        off = dice.gauss(0.0, error)
        seen = tuple(
            MeasuredMedium(
                box.name, f"{place}", 28.0 + off + dice.gauss(0.0, BESIDE / 2.0) + dice.uniform(-0.5, 0.5)
            )
            for place in range(thermometers)
        )
        real = replace(plan, measured=Measured(boxes=seen))
        low, high = egg_temperatures(28.0, error, egg_warmth(real, box, heat, error).ways)
        eggs = 28.0 + off + dice.gauss(0.0, BESIDE / 2.0)
        held += low <= eggs <= high
    assert held >= LEAST_HELD * draws
