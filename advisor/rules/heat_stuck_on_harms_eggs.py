"""What the eggs get when the thermostat sticks with the heater on."""

from collections.abc import Iterator, Sequence
from math import inf

from advisor.forecast.egg_limits import EggLimit, below_their_hot_limit, hot_limit, without_hot_limit
from advisor.forecast.heater_choice import heater_window
from advisor.model.figures import Figure, Unknown
from advisor.model.findings import FIX, NOTE, WATCH, Finding, NotJudged
from advisor.model.species import Species
from advisor.rules.engine import PLAN, Case, Rule
from advisor.rules.shared import BOX, no_harmless_heater

BEYOND = 3.0  # K past the tolerated band at which eggs count as harmed where no profile tells harm; judgement
ROUNDING = 1e-6  # K; so that °F entries do not miss a limit by the last decimal
CUT_ABOVE = (1.5, 2.0)  # K above the set point where a cut-out belongs (heat-and-vapour facts; judgement)

RULE = Rule(
    id="heat-stuck-on-harms-eggs",
    title="If the thermostat sticks, the heater harms the eggs",
    explanation=(
        "Thermostats fail with the heater on: a contact welds, or the probe slips out. The box then warms up until it "
        "loses as much heat as the heater gives, within a few hours. A heater that is just strong enough cannot harm "
        "the eggs. A stronger one takes them past what they survive, most often at night."
    ),
    remedy="Fit an independent cut-out 1.5 to 2 °C (3 to 4 °F) above the set point, or use a weaker heater.",
    sources=("practice", "judgement"),
    about=PLAN,
    needs=("forecast.heat.stuck_on_temperature",),
    good=BOX.replace("set_to: 28 °C", "set_to: 28 °C, cut_out: {set_to: 30 °C}")
    + "heat: {source: mat, place: lid, power: 20 W, size: 40 x 30 cm}",
    bad=BOX.replace("set_to: 28 °C", "set_to: 28 °C, cut_out: none")
    + "heat: {source: mat, place: lid, power: 20 W, size: 40 x 30 cm}",
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """The temperature of a box whose heater stays on against the first limit of the eggs, and what a cut-out changes."""
    stuck, set_to = case.forecast.heat.stuck_on_temperature, case.plan.control.set_to
    # A set point past the limit is another rule's fault: a stuck heater is not what harms those eggs.
    profiles = below_their_hot_limit(set_to, case.situation.species.values())
    limit, cut_out = hot_limit(profiles), case.plan.control.cut_out
    assert isinstance(stuck, Figure)
    if limit is None or stuck.high < limit.temperature:
        if missing := without_hot_limit(profiles):
            yield NotJudged(missing)
        return
    if cut_out is None:
        yield NotJudged(("control.cut_out",))
        return
    harm, cut = _harm(profiles), cut_out.set_to
    # A cut-out where it belongs is in time, though it may leave a band that is only known to be tolerated.
    belongs = (
        limit.temperature if set_to is None else max(limit.temperature, set_to + CUT_ABOVE[1] + ROUNDING)
    )
    if cut is not None and cut <= belongs and cut < harm:
        yield from _guarded(case, stuck, limit)
        return
    late = f" The cut-out at {case.show.temperature(cut)} comes too late." if cut is not None else ""
    yield Finding(
        _severity(stuck, limit, harm, inf if cut is None else cut),
        f"With the heater stuck on, the box gets to {_told(case, stuck)} in a room of {_room(case)}: "
        f"{_limit_in_words(case, limit)}.{late}",
        "control.cut_out.set_to" if late else "control.cut_out",
        f"{_cut_out_advice(case, limit, harm)}{_weaker_heater(case, stuck, limit)}.",
        figures=(("stuck_on_temperature", stuck),),
        sources=tuple(dict.fromkeys((*RULE.sources, *limit.support.sources))),
        evidence=limit.support.known,
    )


def _guarded(case: Case, stuck: Figure, limit: EggLimit) -> Iterator[Finding | NotJudged]:
    """With a cut-out in time, worth a note only when a weaker heater would do without harm."""
    need = case.forecast.heat.watts_needed
    if isinstance(need, Unknown):
        yield NotJudged(need.needs or (need.reason,))
        return
    window = heater_window(case.plan, case.forecast.heat, limit.temperature)
    if window is None or not window.harmless:
        return
    yield Finding(
        NOTE,
        f"If the thermostat sticks, only the cut-out keeps the box below {_told(case, stuck)}: "
        f"{_limit_in_words(case, limit)}.",
        "heat.power",
        f"Use a heater of {case.show.power_range(window.low, window.high)}: it holds the set point and cannot harm the "
        "eggs.",
        figures=(("stuck_on_temperature", stuck), ("watts_needed", need)),
        sources=tuple(dict.fromkeys((*RULE.sources, *limit.support.sources))),
        evidence=limit.support.known,
    )


def harmless_power(case: Case, stuck: Figure, limit: float) -> float:
    """The largest heater [W] that, stuck on in the warmest room, stays below a limit [°C]: the rise goes with power."""
    power, room = case.plan.heat.power, case.plan.room.temperature
    assert power is not None and room is not None
    return max(power * (limit - room.high) / (stuck.value - room.high), 0.0)


def _harm(profiles: Sequence[Species]) -> float:
    """The lowest temperature [°C] that counts as harm to some eggs; the band that is only tolerated may be left a little."""
    limits = [limit for profile in profiles if (limit := hot_limit([profile])) is not None]
    return min(limit.temperature + (0.0 if limit.harm else BEYOND) for limit in limits)


def _severity(stuck: Figure, limit: EggLimit, harm: float, cut: float) -> str:
    """What the box gets to counts: no more than the cut-out lets it, infinite without one."""
    value, high = min(stuck.value, cut), min(stuck.high, cut)
    if value >= harm:
        return FIX
    return WATCH if value >= limit.temperature or high >= harm else NOTE


def _told(case: Case, stuck: Figure) -> str:
    return case.show.about_temperature(stuck.value, stuck.low, stuck.high)


def _room(case: Case) -> str:
    assert case.plan.room.temperature is not None
    return case.show.temperature(case.plan.room.temperature.high)


def _limit_in_words(case: Case, limit: EggLimit) -> str:
    at = case.show.temperature(limit.temperature)
    if limit.harm:
        return f"eggs of {limit.species.name} come to harm from {at}"
    return f"the band that {limit.species.name} tolerates ends at {at}"


def _cut_out_advice(case: Case, limit: EggLimit, harm: float) -> str:
    set_to = case.plan.control.set_to
    if set_to is None or set_to + CUT_ABOVE[1] >= harm:
        return f"Fit an independent cut-out that cuts below {case.show.temperature(limit.temperature)}"
    low, high = (set_to + step for step in CUT_ABOVE)
    return f"Fit an independent cut-out and set it to {case.show.temperature_range(low, high)}"


def _weaker_heater(case: Case, stuck: Figure, limit: EggLimit) -> str:
    """The heaters that are harmless and hold the set point in the coldest room, the same that heat-too-weak-for-room names."""
    most, window = (
        harmless_power(case, stuck, limit.temperature),
        heater_window(case.plan, case.forecast.heat, limit.temperature),
    )
    if most <= 0:
        return ""
    if window is None:
        return f", or use a heater of {case.show.power_at_most(most)} or less if that is enough"
    if window.harmless:
        return f", or use a heater of {case.show.power_range(window.low, window.high)}"
    return f". {no_harmless_heater(case)}"
