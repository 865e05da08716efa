"""Whether the medium came to rest."""

from collections.abc import Iterator

from advisor.forecast.heat.night_drop import cooler_nights
from advisor.model.figures import Unknown
from advisor.model.findings import FIX, Finding, NotJudged
from advisor.rules.engine import PLAN, Case, Lacking, Rule
from advisor.rules.trial.shared import COOLER_NIGHTS

RULE = Rule(
    id="trial-not-settled",
    title="The medium did not settle in the trial run",
    explanation=(
        "A box has settled when the mean of an hour stays within half a degree for six hours. Wet medium takes half a day "
        "to a day to get there. One that still climbs, sinks or wanders has not shown yet at what temperature the eggs "
        "will lie, and no other figure of its log can be trusted."
    ),
    remedy="Let the box run on until the log is flat for a day. If it never is: look at the probe, the heater and the room.",
    sources=("judgement",),
    about=PLAN,
    good="log: {settled_after: 9 h}",
    bad="log: {never_settles: yes}",
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """Settled once, for six hours."""
    if cooler_nights(case.plan) is not None:
        raise Lacking(COOLER_NIGHTS)
    trial = case.trial
    if trial.never_settles:
        yield Finding(
            FIX,
            f"In the {case.show.hours(trial.end - trial.start)} of the log the medium never stays within "
            f"{case.show.step(0.5)} for 6 h.",
            "trial_run.days",
            RULE.remedy,
        )
    elif isinstance(trial.settled_after, Unknown):
        yield NotJudged(trial.settled_after.needs or (trial.settled_after.reason,))
