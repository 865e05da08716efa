"""A thermostat whose reading was never compared with anything."""

from collections.abc import Iterator

from advisor.forecast.heat.egg_warmth import eggs_off
from advisor.model.findings import FIX, WATCH, Finding, NotJudged
from advisor.model.measured import THERMOSTAT
from advisor.rules.engine import PLAN, Case, Rule

ERROR = 1.0  # K; home thermostats are off by 0.5 to 1 K as bought; common practice, no source
AFTERWARDS = "Then compare it with a good thermometer in warm water."

RULE = Rule(
    id="control-never-checked",
    title="The thermostat's reading was never checked",
    explanation=(
        "A new thermostat can read a full degree wrong and still look steady. The eggs then live at the wrong temperature "
        "from the first day to the last. Near the edge of the band that costs young. "
        "In many geckos and tortoises it also changes how many become male."
    ),
    remedy="Hold the probe in packed crushed ice with a little water for five minutes: it has to read 0 °C (32 °F). Then compare it with a good thermometer in warm water.",
    sources=("practice",),
    about=PLAN,
    levers=("control.checked_against",),
    good="control: {checked_against: ice point}",
    bad="control: {checked_against: nothing}",
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """Not checked at all; worse when the likely error leaves a tolerated band or decides the sex."""
    control, show = case.plan.control, case.show
    if control.thermostat == "none" or case.plan.measured.at_ice_point(THERMOSTAT) is not None:
        return
    if control.checked_against is None:
        yield NotJudged(("control.checked_against",))
    if control.checked_against != "nothing":
        return
    start = f"The thermostat was never checked and can read about {show.step(ERROR)} wrong"
    set_to = control.set_to
    if set_to is not None:
        for index, clutch in enumerate(case.plan.clutches):
            species = case.situation.species[clutch.species]
            band, subject = species.tolerated, f"clutch {index + 1} ({species.name})"
            off = eggs_off(control, case.forecast.clutches[index].warmth) or 0.0
            least, most = min(control.held) + off - ERROR, set_to + off + ERROR
            if band and (least < band.low - 1e-6 or most > band.high + 1e-6):
                limits = show.temperature_range(band.low, band.high)
                held = "with the eggs at" if off else "set to"
                because = f"{held} {show.temperature(set_to + off)} that can leave the {limits} that {species.name} tolerates"
            elif species.sex.set_by == "temperature" and clutch.wanted in ("females", "males", "both"):
                because = f"that changes the share of males in {species.name}"
            else:
                continue
            yield Finding(FIX, f"{start}: {because}.", "control.checked_against", AFTERWARDS, subject=subject)
            return
    yield Finding(WATCH, f"{start}.", "control.checked_against", AFTERWARDS)
