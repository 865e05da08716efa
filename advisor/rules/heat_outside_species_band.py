"""The set point against the species' bands."""

from collections.abc import Iterator

from advisor.forecast.clutch.box_shared import meeting
from advisor.model.findings import FIX, STOP, WATCH, Finding
from advisor.rules.engine import CLUTCH, Case, Rule

APART = "The usual bands of the species in this box do not meet: no set point suits all."

RULE = Rule(
    id="heat-outside-species-band",
    title="The set point lies outside the species' temperature band",
    explanation=(
        "An egg takes the temperature of the medium round it and cannot move away. A little too cool slows the embryo. "
        "A little too warm hurries it and brings weak or bent young. Further out the embryo dies, within days on the "
        "cool side and within hours on the hot side."
    ),
    remedy="Set the thermostat to the species' usual band, then check it with a second thermometer in the medium.",
    sources=("practice",),
    about=CLUTCH,
    needs=("control.set_to", "species.aim"),
    levers=("control.set_to",),
    good="control: {set_to: 28 °C}",
    bad="control: {set_to: 34 °C}",
)


def check(case: Case) -> Iterator[Finding]:
    """Compares the set point with the harmful, tolerated and usual bands of the profile, the worst first."""
    set_to, species, show = case.plan.control.set_to, case.species, case.show
    assert set_to is not None and species.aim is not None
    aim = show.temperature_range(species.aim.low, species.aim.high)
    usual = [one.aim for one in case.situation.species.values() if one.aim is not None]
    harmful, tolerated = species.harmful, species.tolerated
    end = ""
    side = "below" if set_to < species.aim.low else "above"
    if harmful and harmful.above is not None and set_to >= harmful.above:
        limit, severity, support = harmful.above, STOP, harmful.support
        what = "eggs of this species come to harm from"
    elif harmful and harmful.below is not None and set_to <= harmful.below:
        limit, severity, support = harmful.below, STOP, harmful.support
        what, end = "eggs of this species come to harm at", " and below"
    elif tolerated and not tolerated.low <= set_to <= tolerated.high:
        limit = tolerated.low if set_to < tolerated.low else tolerated.high
        severity, support = FIX, tolerated.support
        what = "the tolerated band ends at"
    elif not species.aim.low <= set_to <= species.aim.high:
        limit = species.aim.low if set_to < species.aim.low else species.aim.high
        severity, support = WATCH, species.aim.support
        what = "the usual band ends at"
    else:
        return
    yield Finding(
        severity,
        f"The set point is {show.temperature(set_to)}, {side} the usual band of {aim} for {species.name}: "
        f"{what} {show.temperature(limit)}{end}.",
        "control.set_to",
        obstacle="" if meeting(usual) else APART,
        sources=support.sources,
        evidence=support.known,
    )
