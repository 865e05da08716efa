"""How far the medium went over its later mean while the box warmed up."""

from collections.abc import Iterator

from advisor.model.figures import Figure
from advisor.model.findings import FIX, WATCH, Finding
from advisor.model.trial import Extreme
from advisor.rules.engine import PLAN, Case, Rule
from advisor.rules.trial.shared import when

OVER = 1.0  # K over the later mean that no eggs mind; judgement

RULE = Rule(
    id="trial-overshoots",
    title="The medium overshoots when the box warms up",
    explanation=(
        "At full power the heater and the air get far ahead of the wet medium. When the thermostat switches off, the heat "
        "stored there still comes. With eggs inside the same happens after every power cut, and then the eggs go through it."
    ),
    remedy="Put the probe nearer to the heater's side of the medium, or take a weaker heater. Put eggs in only when the box has settled.",
    sources=("judgement",),
    about=PLAN,
    needs=("trial.overshoot",),
    good="log: {overshoot: 0.3 K}",
    bad="log: {overshoot: 2.5 K}",
)


def check(case: Case) -> Iterator[Finding]:
    """The peak over the later mean; worse where it leaves the tolerated band."""
    overshoot, medium, show = case.trial.overshoot, case.trial.medium, case.show
    assert isinstance(overshoot, Extreme)
    over = overshoot.figure
    if over.value <= OVER:
        return
    ends = [one.tolerated.high for one in case.situation.species.values() if one.tolerated is not None]
    leaves = isinstance(medium, Figure) and bool(ends) and medium.value + over.value > min(ends)
    yield Finding(
        FIX if leaves else WATCH,
        f"While warming up the medium went {show.step(over.value)} over its later mean ({when(overshoot)})"
        + (f", past the {show.temperature(min(ends))} that the eggs tolerate." if leaves else "."),
        "control.probe",
        RULE.remedy,
        figures=(("overshoot", over),),
    )
