"""The kind of thermostat against the kind of heater."""

from collections.abc import Iterator

from advisor.model.findings import FIX, NOTE, WATCH, Finding, NotJudged
from advisor.rules.engine import PLAN, Case, Lacking, Rule

# (thermostat, heater): severity, what happens. Common practice, no source.
UNSUITED = {
    ("on-off", "ceramic emitter"): (WATCH, "heating up and cooling down all day wears the emitter out"),
    ("on-off", "bulb"): (WATCH, "full switching wears the bulb out soon, and a dead bulb means cold eggs"),
    ("pulse", "bulb"): (FIX, "the pulses make the bulb flash without end and wear it out"),
    ("dimming", "water bath"): (WATCH, "dimmed power can break a water heater that has electronics inside"),
}
# W; a dimmer often needs 20 to 40 W on its output before it works as it says. Common practice, no source.
SMALLEST_LOAD, SURE_LOAD = 20.0, 40.0

RULE = Rule(
    id="control-unsuited-to-heater",
    title="This kind of thermostat does not suit the heater",
    explanation=(
        "Each heater wants its own kind of control. Mats, cables and emitters do best with pulses, and bulbs with "
        "dimming. With the wrong kind the heater wears out or is not held steady. It then fails in mid-season, and "
        "the eggs cool down within hours."
    ),
    remedy="Use a pulse thermostat for a mat, cable or emitter, a dimming one for a bulb, and any but dimming for a bath.",
    sources=("practice",),
    about=PLAN,
    needs=("control.thermostat",),
    levers=("control.thermostat",),
    good="heat: {source: mat}\ncontrol: {thermostat: pulse}",
    bad="heat: {source: bulb}\ncontrol: {thermostat: pulse}",
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """Looks the pair up, then holds the heater against the smallest load of a dimming thermostat."""
    thermostat, heat = case.plan.control.thermostat, case.plan.heat
    if thermostat == "none":
        return
    if heat.source is None:
        raise Lacking("heat.source")
    unsuited = UNSUITED.get((thermostat or "", heat.source))
    if unsuited:
        severity, happens = unsuited
        yield Finding(
            severity,
            f"The heat comes from a {heat.source} and the thermostat is of the {thermostat} kind: {happens}.",
            "control.thermostat",
        )
    elif thermostat == "dimming" and heat.power is None:
        yield NotJudged(("heat.power",))
    elif thermostat == "dimming" and heat.power is not None and heat.power < SURE_LOAD:
        show = case.show
        small = heat.power < SMALLEST_LOAD
        yield Finding(
            WATCH if small else NOTE,
            f"The {'heaters draw' if heat.count > 1 else 'heater draws'} {show.power(heat.power)}. Many dimming thermostats need {show.power(SMALLEST_LOAD)} to "
            f"{show.power(SURE_LOAD)} to work as they say.",
            "heat.power",
            "Or look up the smallest load of yours: some work with less.",
            levers=("heat.power",) if heat.source == "bulb" else ("control.thermostat", "heat.power"),
        )
