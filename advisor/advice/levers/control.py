"""Levers of the thermostat and its cut-out."""

from collections.abc import Iterator

from advisor.advice.levers.lever import Ladder, Lever, change
from advisor.advice.written import Written
from advisor.model.changes import PURCHASE, SETTING
from advisor.rules.engine import Case
from advisor.rules.shared import ADVISED_GAP

LEAST, MOST = 1.0, 3.0  # K above the set point between which a cut-out is sought


def _cut_out(case: Case) -> Iterator[Ladder]:
    """The usual step above the set point first, then what lies nearest to it."""
    control, write = case.plan.control, Written(case.plan.units)
    if control.set_to is None:
        return
    usual = control.set_to + sum(ADVISED_GAP) / 2
    steps = sorted(
        write.settable(control.set_to + LEAST, control.set_to + MOST), key=lambda step: abs(step - usual)
    )
    fitted = control.cut_out is not None and control.cut_out.fitted
    words = "Set the cut-out to" if fitted else "Fit an independent cut-out, set to"
    cost = SETTING if fitted else PURCHASE
    yield Ladder(
        tuple(
            change(
                case,
                f"{words} {write.temperature(step)}.",
                cost,
                control__cut_out={"set_to": write.temperature(step)},
            )
            for step in steps
        )
    )


LEVERS = (Lever("control.cut_out", _cut_out, "it ends the heat when the thermostat sticks"),)
