"""A measurement that does not fit what the plan tells."""

from collections.abc import Iterator

from advisor.model.findings import FIX, NOTE, WATCH, Finding, NotJudged
from advisor.model.forecast import MeasuredAgainst
from advisor.rules.engine import PLAN, Case, Rule

CHANCE = 1.0  # combined standard deviations up to which the two agree
UNLIKELY = 2.0  # up to which they differ by chance in one box of four or so (normal distribution)
OFF = 1.0  # K, of the eggs over the set point, at which the thermostat has to be put right; judgement

SIZES = "inside and outside size of the box mixed up"
# What was measured, and the causes of more and of less of it, the likeliest first; judgement, sizes by own simulation.
TELLS = {
    "watts": (
        "The power that the box needs in the coldest room",
        f"{SIZES}, a gap under its lid, a thinner wall than told, damp foam, a draught, a heater weaker than its label, the room's thermometer in a warm place",
        f"{SIZES}, a thicker wall than told, a heater stronger than its label, too short a watch, the room's thermometer in a cold place",
    ),
    "face": (
        "How far the heater's face is warmer than the medium",
        "a smaller heated area than told, a heater that is covered, a thermometer that was read only while it was on",
        "a thermometer that is not taped flat, a larger heated area than told",
    ),
    "warm-up": (
        "The time of the warm-up",
        "a lid that did not close, more or wetter medium than told, more water in bottles, a heater weaker than its label",
        "a thermometer that hangs in the air, less or drier medium than told, a box that was not cold throughout",
    ),
    "switched off": (
        "The time in which the medium fell that far without heat",
        "more or wetter medium than told, more water in bottles, a heater that was still on for a while",
        "a lid that did not close, a gap, a thinner wall than told, a thermometer that hangs in the air",
    ),
    "spread": (
        "The step from one egg box to another",
        "thermometers that do not show the same, a corner by a gap, air that does not mix, a heater that covers one side",
        "thermometers that do not show the same, places that lie too near to each other",
    ),
    "lid": (
        "How far a lid is warmer than the medium",
        "a thermometer that sees the heater, two thermometers that do not show the same",
        "two thermometers that do not show the same, a lid close to a cold wall",
    ),
    "swing": (
        "The swing of the medium",
        "a switching band wider than told, a probe far from the heater, a lid opened meanwhile",
        "a narrower switching band than told, readings too far apart",
    ),
    "humidity": (
        "The humidity round the egg boxes",
        "leaky lids of egg boxes, water that stands open, a hygrometer that reads high",
        "a leaky outer lid, a hygrometer that reads low",
    ),
    "leak": (
        "The water that a closed egg box loses",
        "a lid that does not close, more or wider holes than told, a misread scale, dry air round it",
        "a tighter lid than told, a misread scale, moist air round it",
    ),
    "drained": (
        "The water that the medium holds",
        "too short a draining, another grade than told, medium that was not dry at first",
        "another grade than told, medium that was not soaked through",
    ),
    "medium": (
        "How far the eggs are warmer than the thermostat is set",
        "a probe in a cold place, a thermostat that reads low, a thermometer that reads high",
        "a probe in a warm place, a thermostat that reads high, a thermometer that reads low",
    ),
    "thermostat": (
        "How far the eggs are warmer than the thermostat is set",
        "a probe that reads low, too little ice in the water",
        "a probe that reads high, too little ice in the water",
    ),
}
# Figures of the heat without which an entry has nothing to be compared with.
COMPARED_WITH = {
    "heater_on": "watts_needed",
    "energy": "watts_needed",
    "switched_off": "hours_to_lose_3_K",
    "warm_up": "warm_up_hours",
    "heater_face": "heater_surface",
    "swing": "swing",
    "outer_humidity": "outer_humidity",
}
SAME = {"energy": {"heater_on"}}  # entries that are told together

RULE = Rule(
    id="measured-unlike-forecast",
    title="What was measured does not fit the plan",
    explanation=(
        "The forecast comes from what the plan tells of the box. A measurement far from it means that the real box is not the "
        "one in the plan, or that something was misread. The forecast then follows the measurement. But a fault of the box, "
        "such as a gap under its lid, grows until somebody looks for it, and the eggs feel it."
    ),
    remedy="Measure once more. If it stays, look for the cause, and correct the plan or the box.",
    sources=("judgement",),
    about=PLAN,
    good="""\
control: {set_to: 28 °C}
measured: {offsets: [{thermometer: thermostat, at_ice_point: 0.2 °C}]}""",
    bad="""\
control: {set_to: 28 °C}
measured: {offsets: [{thermometer: thermostat, at_ice_point: 1.2 °C}]}""",
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """Each measurement further from the forecast than chance allows for, told once."""
    forecast = case.forecast
    found = [*forecast.heat.against]
    found += [one for box in forecast.egg_boxes for one in box.water.against]
    found += [one for clutch in forecast.clutches for one in clutch.warmth.against]
    for one in dict.fromkeys(found):
        if one.apart >= CHANCE:
            yield _finding(case, one)
    compared = {one.path.removeprefix("measured.") for one in found}
    for entry, figure in COMPARED_WITH.items():
        if (
            getattr(case.plan.measured, entry)
            and entry not in compared
            and not compared & SAME.get(entry, set())
        ):
            missing = case.missing((f"forecast.heat.{figure}",))
            if missing:
                yield NotJudged(missing)


def _finding(case: Case, one: MeasuredAgainst) -> Finding:
    measured, forecast = one.measured, one.forecast
    what, more, less = TELLS[one.what.removeprefix("lower ").removeprefix("upper ")]
    causes = more if measured.value > forecast.value else less
    told, expected = case.show.figure(measured), case.show.figure(forecast)
    harm = one.what in ("thermostat", "medium") and abs(measured.value) >= OFF
    return Finding(
        NOTE if one.apart < UNLIKELY else FIX if harm else WATCH,
        f"{what} is {told} as measured, and {expected} by the plan.",
        one.path,
        f"{'Set the thermostat right by that step, then measure once more' if harm else 'Measure once more'}. If it stays, look for the cause, the likeliest first: {causes}. "
        "Take out of the plan what was measured before the box was changed.",
        figures=(("measured", measured), ("forecast", forecast)),
    )
