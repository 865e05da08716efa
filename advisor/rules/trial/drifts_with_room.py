"""How far the medium follows the room."""

from collections.abc import Iterator

from advisor.forecast.heat.night_drop import cooler_nights
from advisor.model.figures import Figure
from advisor.model.findings import FIX, WATCH, Finding
from advisor.rules.engine import PLAN, Case, Lacking, Rule
from advisor.rules.trial.shared import COOLER_NIGHTS

# of the room's move; sound boxes with heat from a side come to that; own simulation of many boxes
FOLLOWS = 0.12
STRONGLY = 0.3  # of the room's move; judgement

RULE = Rule(
    id="trial-drifts-with-room",
    title="The medium follows the room",
    explanation=(
        "A thermostat that works holds the medium while the room goes up and down. When the medium follows, the probe "
        "sits where the room reaches it, the thermostat holds less the harder the heater has to work, or the heater is at "
        "its end on cold nights. The season brings colder and warmer days than the trial, and the eggs go along."
    ),
    remedy="Put the probe into the medium of an egg box, and look on a cold night whether the heater ever switches off.",
    sources=("judgement",),
    about=PLAN,
    needs=("trial.drift",),
    good="log: {drift: 0.04}",
    bad="log: {drift: 0.4}",
)


def check(case: Case) -> Iterator[Finding]:
    """The slope of the medium on the room."""
    if cooler_nights(case.plan) is not None:
        raise Lacking(COOLER_NIGHTS)
    drift, room, show = case.trial.drift, case.plan.room.temperature, case.show
    assert isinstance(drift, Figure)
    if drift.value <= FOLLOWS:
        return
    now, ahead = case.trial.room, ""
    if room is not None and isinstance(now, Figure):
        far = max((room.low, room.high), key=lambda end: abs(end - now.value))
        ahead = f" In a room of {show.temperature(far)} that makes {show.step(abs(drift.value * (far - now.value)))}."
    yield Finding(
        FIX if drift.low > FOLLOWS and drift.value > STRONGLY else WATCH,
        f"For each degree of the room the medium moves by {drift.value:.2g}.{ahead}",
        "control.probe",
        RULE.remedy,
        figures=(("drift", drift),),
    )
