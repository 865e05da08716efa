"""What the owner of a ready-built incubator cannot know, and what to measure in its place."""

from msgspec.structs import replace

from advisor.model.findings import Finding, NotJudged
from advisor.model.plan import OuterBox

_HEATER = (
    "where the heater of this ready-built box lies: put a thermometer into each egg box and tape one under a lid; or look "
    "inside, and write it at `heat`"
)
_WALLS = "what this ready-built box is made of: keep its hottest part away from what burns, and fit a cut-out"
_THERMOSTAT = "how the thermostat of this ready-built box works: log the medium, and write how far it swings at `measured.swing`"
_PROBE = "where the probe of this ready-built box sits: read a thermometer in the medium beside its display"
_HIDDEN = {
    "outer_box.wall.material": _WALLS,
    "outer_box.wall.thickness": _WALLS,
    "heat.source": _HEATER,
    "heat.place": _HEATER,
    "heat.size": _HEATER,
    "control.thermostat": _THERMOSTAT,
    "control.switching_band": _THERMOSTAT,
    "control.probe.sits_in": _PROBE,
    "control.probe.fixed": _PROBE,
}


def what_to_measure(box: OuterBox, answers: list[Finding | NotJudged]) -> list[Finding | NotJudged]:
    """The answers of a rule; what it lacks of a ready-built box told as what to measure, where nobody can see it."""
    if not box.ready_built:
        return answers
    return [
        replace(one, needs=tuple(dict.fromkeys(_HIDDEN.get(need, need) for need in one.needs)))
        if isinstance(one, NotJudged)
        else one
        for one in answers
    ]
