"""How much warmer than the set point the eggs of one kind of box lie: their tier against that of the probe."""

import math
from collections.abc import Sequence

from msgspec.structs import replace

from advisor.forecast.heat.setup import MEANT, TIERS, probe_tiers
from advisor.forecast.heat.steady import HeatResults
from advisor.forecast.heat.tiers import BASIS, SIDE_TO_SIDE
from advisor.forecast.measured.joining import Estimate
from advisor.forecast.measured.thermostat import thermostat_off
from advisor.model.figures import Figure, Result, Unknown
from advisor.model.forecast import EggWarmth, MeasuredWay
from advisor.model.measured import MeasuredMedium
from advisor.model.plan import Control, EggBox, Plan
from advisor.show import Show

# K, two standard deviations of the difference between two boxes of one tier: warmest minus coolest box span four of
# one box (judgement), and a difference of two has 2^0.5 times that (derived).
BESIDE = 2 * math.sqrt(2) * SIDE_TO_SIDE[1] / 4
# K, most that the medium settles away from the air beside it, in a box of two air nodes; judgement
AIR_OFF = 0.7
UNTOLD = 1.0  # K, that a measured box may be warmer or cooler than the probe where there is no heat forecast; judgement
CHECK = (
    "the thermostat: put its probe into ice and water, and write what it shows at `measured.offsets` with the name "
    "`thermostat`"
)
Offsets = dict[tuple[str, str], Result]


def egg_warmth(plan: Plan, box: EggBox | None, heat: HeatResults, error: float) -> EggWarmth:
    """What the medium of a kind of box (None: not told which) may be warmer than the set point, the likeliest first.

    One way where the plan tells the tiers of probe and eggs; else each that is possible. None without a heat forecast, unless
    the thermostat was measured. error: standard deviation of the thermostat as the plan tells it [K].
    """
    warmth = _as_planned(plan, box, heat)
    off, against = thermostat_off(plan, error, lambda one: _of_measured(plan, one, heat))
    if off is None:
        return warmth
    ways = warmth.ways or (Figure(0.0, 0.0, 0.0, "step", "as warm as the probe"),)
    return replace(warmth, ways=tuple(_moved(way, off) for way in ways), against=against)


def _moved(way: Figure, off: Estimate) -> MeasuredWay:
    low, value, high = (off.value + end for end in (way.low, way.value, way.high))
    return MeasuredWay(
        value, low, high, way.quantity, way.basis, way.matters_most, way.formulas, thermostat=off.error
    )


def _of_measured(plan: Plan, one: MeasuredMedium, heat: HeatResults) -> Figure:
    """How much warmer than the probe the medium of a measured box is forecast to be."""
    kind = next((box for box in plan.egg_boxes if box.name == one.box), None)
    told = kind if kind is None or one.tier is None else replace(kind, tier=one.tier)
    ways = _as_planned(plan, told, heat).ways
    if not ways:
        return Figure(0.0, -UNTOLD, UNTOLD, "step")
    return replace(ways[0], low=min(way.low for way in ways), high=max(way.high for way in ways))


def _as_planned(plan: Plan, box: EggBox | None, heat: HeatResults) -> EggWarmth:
    if plan.control.set_to is None:
        return EggWarmth((), ("control.set_to",))
    offsets = _offsets(heat)
    unknown = next((found for found in offsets.values() if isinstance(found, Unknown)), None)
    if unknown is not None:
        return EggWarmth((), unknown.needs)
    stacked = ("lower", "upper") in offsets
    probes = probe_tiers(plan) if stacked else ("lower",)
    own = (
        MEANT.get(box.tier or "", TIERS) if box is not None and stacked else TIERS if stacked else ("lower",)
    )
    alone = probe_among(plan, box)
    ways: dict[float, Figure] = {}
    for probe in probes:
        for tier in own:
            offset = offsets[probe, tier]
            assert isinstance(offset, Figure)
            words = _words(probe, tier) if stacked else "in the layer of the probe"
            beside = 0.0 if alone and probe == tier else BESIDE
            ways.setdefault(round(offset.value, 6), _widened(offset, beside, words))
    likeliest = sorted(ways.values(), key=lambda way: abs(way.value))
    missing = tuple(
        f"egg_boxes[{index}].tier" for index, one in enumerate(plan.egg_boxes) if one.tier == "two"
    )
    return EggWarmth(tuple(likeliest), missing if len(likeliest) > 1 else ())


def eggs_off(control: Control, warmth: EggWarmth) -> float | None:
    """How much warmer than the set point the eggs likely are [K], where the probe reads the water of a bath, or air that the
    medium settles away from; 0 for one that reads the medium. None over a bath without a heat forecast.
    """
    if control.probe.sits_in not in ("water", "air"):
        return 0.0
    if not warmth.ways:
        return None if control.probe.sits_in == "water" else 0.0
    off = warmth.ways[0].value
    return off if control.probe.sits_in == "water" or abs(off) > AIR_OFF else 0.0


def eggs_held_at(control: Control, warmth: EggWarmth) -> float | None:
    """What the eggs likely have at the set point [°C]; None where no set point is told, or nothing of a bath is forecast."""
    off = eggs_off(control, warmth)
    return None if control.set_to is None or off is None else control.set_to + off


def medium_temperature(set_to: float, error: float, warmth: EggWarmth, show: Show) -> Figure:
    """The medium's temperature [°C]: likeliest way, range of all ways with twice the thermostat's error [K]."""
    low, high = egg_temperatures(set_to, error, warmth.ways)
    peaks = [f"{show.temperature(set_to + way.value)} {way.basis}" for way in warmth.ways]
    return Figure(
        set_to + warmth.ways[0].value,
        low,
        high,
        "temperature",
        f"{BASIS}: {', or '.join(peaks)}",
        which_tier(warmth) or ("" if warmth.against else CHECK),
        warmth.ways[0].formulas,
    )


def egg_temperatures(set_to: float, error: float, ways: Sequence[Figure]) -> tuple[float, float]:
    """Likely lowest and highest temperature [°C] of the eggs at a set point [°C], over ways they may differ from it.

    The thermostat's error [K], where nobody measured it, counts with two standard deviations, combined in quadrature with a way's range (JCGM 100).
    """
    return (
        min(set_to + way.value - math.hypot(2 * own_error(error, way), way.value - way.low) for way in ways),
        max(set_to + way.value + math.hypot(2 * own_error(error, way), way.high - way.value) for way in ways),
    )


def own_error(error: float, way: Figure) -> float:
    """Standard deviation of the thermostat [K]: `error`, as the plan tells it, or what is left where it was measured."""
    return way.thermostat if isinstance(way, MeasuredWay) else error


def which_tier(warmth: EggWarmth) -> str:
    """What to find out where several ways are open; nothing where one is."""
    if len(warmth.ways) < 2:
        return ""
    return "which layer the probe and the eggs are in: write `tier: lower` or `tier: upper` for each kind of box, or under `probe`"


def _offsets(heat: HeatResults) -> Offsets:
    """Medium of a tier minus the set point [K], by the tiers of probe and medium."""
    known = heat.tier_offsets
    return {
        (probe, tier): offset
        for probe, offsets in (("lower", known.probe_lower), ("upper", known.probe_upper))
        for tier, offset in zip(TIERS, offsets, strict=False)
    }


def probe_among(plan: Plan, box: EggBox | None) -> bool:
    """Whether the probe sits in the very box of the eggs, since there is no other."""
    only = len([one for one in plan.egg_boxes if one.holds != "probe"]) == 1
    return plan.control.probe.sits_in == "egg box medium" and only and box is not None and box.count == 1


def _words(probe: str, tier: str) -> str:
    return (
        "in the layer of the probe"
        if probe == tier
        else f"in the {tier} layer with the probe in the {probe} one"
    )


def _widened(offset: Figure, beside: float, words: str) -> Figure:
    return replace(
        offset,
        low=offset.value - math.hypot(offset.value - offset.low, beside),
        high=offset.value + math.hypot(offset.high - offset.value, beside),
        basis=words,
        matters_most="",
    )
