"""A second device that cuts the power when the first controller sticks."""

from collections.abc import Iterator

from advisor.model.findings import FIX, WATCH, Finding, NotJudged
from advisor.rules.engine import PLAN, Case, Rule

LEAST_GAP = 1.0  # K above the set point, so that a normal swing does not trip it; judgement
MOST_GAP = 4.0  # K; heat-and-vapour facts ask for 1.5-2 K above the set point, a little more still protects; judgement

RULE = Rule(
    id="control-no-cut-out",
    title="Nothing cuts the power when the thermostat sticks",
    explanation=(
        "Thermostats fail with the heater on: a contact welds, or the probe falls out. The heater then runs at full "
        "power and the box keeps warming. Eggs can die within an hour or two, at night, with nobody near."
    ),
    remedy="Fit a second, independent thermostat as a cut-out, set 1.5 to 2 °C (3 to 4 °F) above the set point.",
    sources=("practice",),
    about=PLAN,
    needs=("control.cut_out",),
    implied_by=("heat-stuck-on-harms-eggs",),  # tells what the lack does here, and both ways out
    good="control: {set_to: 29 °C, cut_out: {set_to: 31 °C}}",
    bad="control: {set_to: 29 °C, cut_out: none}",
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """No cut-out, or one set so low that it trips or so high that it comes too late."""
    control, show = case.plan.control, case.show
    assert control.cut_out is not None
    if not control.cut_out.fitted:
        yield Finding(FIX, "There is no independent cut-out.", "control.cut_out", RULE.remedy)
        return
    cut, set_to = control.cut_out.set_to, control.set_to
    if set_to is None:
        yield NotJudged(("control.set_to",))
        return
    assert cut is not None
    gap = round(cut - set_to, 6)  # so that °F entries do not miss a limit by the last decimal
    advice = f"Set the cut-out to {show.temperature_range(set_to + 1.5, set_to + 2)}."
    if gap < LEAST_GAP:
        yield (
            Finding(
                WATCH,
                f"The cut-out is set to {show.temperature(cut)}, only {show.step(gap)} above the set point: it may cut the "
                "heat in normal running.",
                "control.cut_out.set_to",
                advice,
            )
            if gap > 0
            else Finding(
                FIX,
                f"The cut-out is set to {show.temperature(cut)}, not above the set point of {show.temperature(set_to)}: "
                "it would keep the box from warming up.",
                "control.cut_out.set_to",
                advice,
            )
        )
    elif gap > MOST_GAP:
        yield Finding(
            WATCH,
            f"The cut-out is set to {show.temperature(cut)}, {show.step(gap)} above the set point: it may come too late.",
            "control.cut_out.set_to",
            advice,
        )
