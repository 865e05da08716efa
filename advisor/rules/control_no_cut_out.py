"""A second device that cuts the power when the first controller sticks."""

from collections.abc import Iterator

from advisor.model.findings import FIX, WATCH, Finding
from advisor.rules.engine import PLAN, Case, Lacking, Rule
from advisor.rules.shared import LEAST_GAP

MOST_GAP = 4.0  # K; 1.5 to 2 K above the set point are usual, a little more still protects; judgement

RULE = Rule(
    id="control-no-cut-out",
    title="Nothing cuts the power when the thermostat sticks",
    explanation=(
        "Thermostats fail with the heater on: a contact welds, or the probe falls out. The heater then runs at full "
        "power and the box keeps warming. A few degrees too many do little in a night; ten kill within hours, with nobody "
        "near. A cut-out a little above the set point holds the box where the eggs bear it until you come."
    ),
    remedy="Fit a second, independent thermostat as a cut-out, set 1.5 to 2 °C (3 to 4 °F) above the set point.",
    sources=("practice",),
    about=PLAN,
    needs=("control.cut_out",),
    implied_by=("heat-stuck-on-harms-eggs",),  # tells what the lack does here, and both ways out
    levers=("control.cut_out", "watching.alarm", "control.set_to"),
    good="control: {set_to: 29 °C, cut_out: {set_to: 31 °C}}",
    bad="control: {set_to: 29 °C, cut_out: none}",
)


def check(case: Case) -> Iterator[Finding]:
    """No cut-out, or one set so low that it trips or so high that it comes too late."""
    control, show = case.plan.control, case.show
    assert control.cut_out is not None
    cut, set_to = control.cut_out.set_to, control.set_to
    if not control.cut_out.fitted:
        yield Finding(FIX, "There is no independent cut-out.", "control.cut_out")
        return
    if set_to is None:
        raise Lacking("control.set_to")
    assert cut is not None
    gap = round(cut - set_to, 6)  # so that °F entries do not miss a limit by the last decimal
    told = f"The cut-out is set to {show.temperature(cut)}"
    if gap <= 0:
        severity, message = (
            FIX,
            f"{told}, not above the set point of {show.temperature(set_to)}: it would keep the box from warming up.",
        )
    elif gap < LEAST_GAP:
        severity, message = (
            WATCH,
            f"{told}, only {show.step(gap)} above the set point: it may cut the heat in normal running.",
        )
    elif gap > MOST_GAP:
        severity, message = WATCH, f"{told}, {show.step(gap)} above the set point: it may come too late."
    else:
        return
    yield Finding(severity, message, "control.cut_out.set_to")
