"""Water in an egg box from day to day: uptake by eggs, loss through vents, top-ups, and what the scale tells.

Water content w is kg of water in the medium for each kg of dry medium. The stage tau is the elapsed share of
the incubation: 0 at laying, 1 at hatching. Eggs move water from the medium into themselves without changing
the weight of the box. Water that eggs make by breathing, and the weight of the gases they swap, stay below 1
% of their mass and are left out.
"""

import math
from collections.abc import Callable, Mapping, Sequence
from itertools import pairwise
from typing import NamedTuple

from msgspec import Struct

from advisor.constants import DAY
from advisor.formulas.air.moist_air import (
    check_range,
    relative_humidity_over_medium,
    saturation_pressure,
    vapour_density,
)
from advisor.formulas.air.vents import LikelyRange
from advisor.formulas.water.medium import KnownMedium, drained_capacity, vermiculite_potential

# Chrysemys eggs: Tracy, Packard & Packard 1978, Physiol Zool 51:378 (values seen as quoted in a later text).
EGG_POTENTIAL_AT_LAYING = -707.0e3  # Pa
_FULL_UPTAKE_POTENTIAL = -150.0e3  # Pa; the gains of EGG_KINDS were measured at this or wetter

_FADE_BELOW = 0.1  # kg/kg; below it flows fade with what is left; judgement, the retention points end here


class EggKind(Struct, frozen=True):
    """What eggs of a kind gain (above 0) or lose by hatching, as a share of their mass at laying [-]."""

    name: str
    gain_at_hatching: LikelyRange
    source: str


EGG_KINDS = (
    EggKind("snake, parchment", LikelyRange(0.1, 0.3, 0.7), "common practice, no source"),
    EggKind(
        "lizard, parchment",
        LikelyRange(0.3, 0.8, 2.0),
        "judgement from Booth 2000 and others, via Noble 2018",
    ),
    EggKind(
        "small lizard, parchment",
        LikelyRange(0.3, 1.3, 2.0),
        "judgement from Qu 2011 and others, via Noble 2018",
    ),
    EggKind(
        "turtle, parchment",
        LikelyRange(0.06, 0.4, 0.7),
        "judgement from Cunningham & Hurwitz 1938 and others",
    ),
    # Some brittle-shelled pond turtles did gain (Mauremys mutica up to 0.19, Guo 2010 via Noble 2018). We
    # don't lead anyone to expect it: a keeper who waters a rigid egg until it gains may drown it.
    EggKind(
        "rigid",
        LikelyRange(-0.10, -0.03, 0.0),
        "judgement from Lynn & von Brand 1945, Thompson & Russell 1999",
    ),
)
_SMALL_EGG = 0.001  # kg


class WaterBox(Struct, frozen=True):
    """One egg box as the water budget sees it.

    medium; dry_medium [kg]; start_water [kg] in the medium; egg_count; egg_mass [kg] of one egg at laying;
    gain_at_hatching [-], share of egg_mass, below 0 for a loss; incubation_days [days]; temperature [°C] of
    the medium; outside_temperature [°C] and outside_relative_humidity [-] of the air that reaches the box's
    vents (the moisture of the room may be given with the temperature of the room); vapour_conductance [m3/s]
    of all vents; wall_permeance [kg/(s Pa)] of the walls; opening_loss [kg/day], averaged over the days.
    """

    medium: KnownMedium
    dry_medium: float
    start_water: float
    egg_count: int
    egg_mass: float
    gain_at_hatching: float
    incubation_days: float
    temperature: float
    outside_temperature: float
    outside_relative_humidity: float
    vapour_conductance: float
    wall_permeance: float = 0.0
    opening_loss: float = 0.0


class WaterState(NamedTuple):  # made a thousand times a forecast, and made quickest
    """Where the water is: day [days] since laying; masses [kg]; lost and topped_up are sums since laying."""

    day: float
    medium_water: float
    egg_mass: float
    lost: float
    topped_up: float


class WaterDose(Struct, frozen=True):
    """Water to add: day [days] since laying, water [kg]."""

    day: int
    water: float


def egg_kind(shell: str, animal: str, egg_mass: float) -> EggKind:
    """The gain or loss to expect of an egg.

    Arguments: shell, "parchment" or "rigid"; animal, "snake", "lizard" or "turtle"; egg_mass [kg] at laying.
    Result: the entry of EGG_KINDS. Rigid eggs of any animal are never expected to gain.
    Errors: ValueError for other words and out of range. Reference: EGG_KINDS.
    """
    check_range("egg mass", egg_mass, 1e-4, 0.3, "kg")
    small = "small " if animal == "lizard" and egg_mass < _SMALL_EGG else ""
    name = "rigid" if shell == "rigid" else f"{small}{animal}, {shell}"
    for kind in EGG_KINDS:
        if kind.name == name:
            return kind
    raise ValueError(f"{shell!r}, {animal!r}: must be parchment or rigid, and snake, lizard or turtle")


def _potential_of(medium: KnownMedium) -> Callable[[float], float]:
    """Potential for the flows [Pa] by water content: the curve's dry end where it stops, 0 for a full medium or one without a curve."""
    full = drained_capacity(medium).typical
    if not medium.has_retention_curve:
        return lambda water_content: 0.0
    return lambda water_content: (
        0.0 if water_content > full else vermiculite_potential(max(water_content, _FADE_BELOW))
    )


def uptake_share(medium_potential: float) -> float:
    """The share of its usual gain that an egg still takes from a medium that dries.

    Arguments: medium_potential [Pa], 0 or below. Result: share [-], 1 down to 0.
    Assumes full gain from -150 kPa upward and none where medium and fresh egg pull equally (-707 kPa), a
    straight line between. What a dry medium takes out of eggs is left out.
    Errors: ValueError out of range. Reference: Tracy, Packard & Packard 1978, as above (derived).
    """
    pull = medium_potential - EGG_POTENTIAL_AT_LAYING
    return min(1.0, max(0.0, pull / (_FULL_UPTAKE_POTENTIAL - EGG_POTENTIAL_AT_LAYING)))


def daily_vapour_loss(box: WaterBox, water_content: float) -> float:
    """The water that leaves an egg box in a day while its medium has plenty.

    Arguments: box; water_content w [kg/kg], 0 or more. Result: loss [kg/day], below 0 in damper outside air.
    Assumes air over the medium in balance with it and at its temperature. Eggs that lose water only spare
    the medium as much, so their loss adds nothing. Errors: ValueError out of range.
    Reference: diffusion through `formulas.air.vents` (derived).
    """
    return _vapour_loss_of(box)(_potential_of(box.medium)(water_content))


def _vapour_loss_of(box: WaterBox) -> Callable[[float], float]:
    """The water that leaves the box in a day [kg/day] as a function of its medium's potential [Pa]."""
    full = saturation_pressure(box.temperature)
    outside = box.outside_relative_humidity * saturation_pressure(box.outside_temperature)
    away = box.vapour_conductance * vapour_density(outside, box.outside_temperature)
    away = DAY * (away + box.wall_permeance * outside) - box.opening_loss
    wet = box.vapour_conductance * vapour_density(full, box.temperature)
    wet = DAY * (wet + box.wall_permeance * full)
    return lambda potential: wet * relative_humidity_over_medium(potential, box.temperature) - away


def start_state(box: WaterBox) -> WaterState:
    """The state of a box on the day of laying. Errors: ValueError when an entry of it is out of range."""
    check_range("dry medium", box.dry_medium, 1e-4, 100.0, "kg")
    check_range("start water", box.start_water, 0.0, 1000.0, "kg")
    check_range("egg count", box.egg_count, 0, 1000, "")
    check_range("egg mass", box.egg_mass, 1e-4, 0.3, "kg")
    check_range("gain at hatching", box.gain_at_hatching, -0.9, 4.0, "")
    check_range("incubation", box.incubation_days, 10.0, 500.0, "days")
    check_range("temperature", box.temperature, 0.0, 60.0, "°C")
    check_range("outside temperature", box.outside_temperature, 0.0, 60.0, "°C")
    check_range("outside relative humidity", box.outside_relative_humidity, 0.0, 1.0, "(share)")
    check_range("vapour conductance", box.vapour_conductance, 0.0, 1e-3, "m3/s")
    check_range("wall permeance", box.wall_permeance, 0.0, 1e-6, "kg/(s Pa)")
    check_range("opening loss", box.opening_loss, 0.0, 1.0, "kg/day")
    return WaterState(0.0, box.start_water, box.egg_count * box.egg_mass, 0.0, 0.0)


def _left_after_drawing(water: float, wanted: float, fade_below: float) -> float:
    """Water left [kg] after a steady draw, which fades once less than fade_below [kg] is left."""
    if water - wanted >= fade_below:
        return water - wanted
    at_full_rate = max(0.0, water - fade_below)
    return min(water, fade_below) * math.exp(-(wanted - at_full_rate) / fade_below)


_LONGEST_STEP = 7.0  # days; judgement


def steps_of(box: WaterBox) -> Callable[[WaterState, float], WaterState]:
    """The water in a box some time later, without a top-up: what does not change in a box is worked out once.

    Result: from a state and days [days], above 0 to 7 (long steps blur the drying), to the later state.
    Assumes steady flows within the step. Uptake stops at hatching. When hardly any water is left, loss and
    uptake fade together, so that nothing falls below zero. What eggs lose spares the medium as much.
    Errors: ValueError out of range. Reference: mass balance (derived); the fading is a judgement.
    """
    dry, incubation, potential_at = box.dry_medium, box.incubation_days, _potential_of(box.medium)
    loss_at, fade_below = _vapour_loss_of(box), _FADE_BELOW * dry
    gain = box.egg_count * box.egg_mass * box.gain_at_hatching

    def later(state: WaterState, days: float) -> WaterState:
        if not 1e-6 <= days <= _LONGEST_STEP:  # asked here, since a forecast takes hundreds of steps
            check_range("days", days, 1e-6, _LONGEST_STEP, "days")
        day, water, eggs, lost, added = state
        potential = potential_at(water / dry)
        vapour = loss_at(potential) * days
        change = gain * (min(1.0, (day + days) / incubation) - min(1.0, day / incubation))
        given, uptake = (-change, 0.0) if change < 0.0 else (0.0, change * uptake_share(potential))
        loss, dew = (vapour, 0.0) if vapour > 0.0 else (0.0, -vapour)
        wanted = loss + uptake
        left = _left_after_drawing(water, wanted, fade_below)
        met = (water - left) / wanted if wanted > 0.0 else 0.0
        return WaterState(
            day + days, left + given + dew, eggs + uptake * met - given, lost + loss * met - dew, added
        )

    return later


def add_water(state: WaterState, water: float) -> WaterState:
    """The state after a top-up of water [kg], 0 to 10, on the same day. Errors: ValueError out of range."""
    check_range("water added", water, 0.0, 10.0, "kg")
    return state._replace(medium_water=state.medium_water + water, topped_up=state.topped_up + water)


def run(box: WaterBox, days: int, top_ups: Mapping[int, float] | None = None) -> tuple[WaterState, ...]:
    """The water in a box on every day from laying on.

    Arguments: box; days, 1 to 600; top_ups, water [kg] by day (1 to days), added at the end of that day.
    Result: one state a day, from day 0 to `days`. Errors: ValueError out of range.
    Reference: `steps_of`; medium water + eggs + lost - topped up stays what it was at the start.
    """
    check_range("days", days, 1, 600, "days")
    top_ups = top_ups or {}
    for day in top_ups:
        check_range("day of a top-up", day, 1, days, "")
    states, later = [start_state(box)], steps_of(box)
    for day in range(1, days + 1):
        state = later(states[-1], 1.0)
        states.append(add_water(state, top_ups[day]) if day in top_ups else state)
    return tuple(states)


def water_content(box: WaterBox, state: WaterState) -> float:
    """Water content of the medium, w [kg/kg], of a box in a state; by definition of w."""
    return state.medium_water / box.dry_medium


def box_mass(box: WaterBox, state: WaterState) -> float:
    """What the scale should show for the egg box [kg], less its tare: the empty box with its lid."""
    return box.dry_medium + state.medium_water + state.egg_mass


def _advance(later: Callable[[WaterState, float], WaterState], state: WaterState, day: int) -> WaterState:
    while state.day < day:
        state = later(state, 1.0)
    return state


def plan_top_ups(
    box: WaterBox,
    days: int,
    check_days: Sequence[int],
    allowed_change: float = 0.15,
    start: WaterState | None = None,
    growth: float | None = None,
) -> tuple[WaterDose, ...]:
    """When to add water, and how much, so that the medium stays near the water content it started with.

    Arguments: box; days, 1 to 600; check_days, the days on which water may be added, those from 1 to days - 1
    and not before `start` count; allowed_change [-], share of the starting water content, 0.01 to 0.9; start,
    the state to go on from, that of laying if None; growth [kg], 0 to 100, by which the box is to be heavier on the last
    day than on the first, None to go by the water content. Result: top-ups that bring w back to its start, each as late as
    the checks allow. If checks are too far apart to hold the band, there is one at every check. With growth one at every
    check that brings the box to its first mass and its share of the growth. Errors: ValueError out of range.
    Reference: w within 15 % of its start (common practice, no source); amount = (w_0 - w) dry mass (derived), or the mass
    that is missing.
    """
    check_range("days", days, 1, 600, "days")
    check_range("growth", growth or 0.0, 0.0, 100.0, "kg")
    check_range("allowed change", allowed_change, 0.01, 0.9, "")
    state, top_ups, later = start or start_state(box), [], steps_of(box)
    checks = sorted({day for day in check_days if max(1.0, state.day) <= day < days})
    lowest = (1.0 - allowed_change) * box.start_water
    for day, next_check in pairwise([*checks, days]):
        state = _advance(later, state, day)
        ahead = _advance(later, state, next_check)
        if growth is None:
            missing = box.start_water - state.medium_water
            due = missing > 0.0 and ahead.medium_water < lowest
        else:
            missing = state.lost - state.topped_up + growth * day / days
            due = missing > 0.0
        if due:
            ahead = add_water(state, missing)
            top_ups.append(WaterDose(day, missing))
        state = ahead
    return tuple(top_ups)
