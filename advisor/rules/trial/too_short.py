"""How long the settled part of the log is."""

from collections.abc import Iterator

from advisor.constants import DAY
from advisor.model.figures import Unknown
from advisor.model.findings import FIX, WATCH, Finding
from advisor.rules.engine import PLAN, Case, Lacking, Rule

SHORTEST = 0.5  # days of log below which nothing settles; judgement
LEAST = 1.0  # days settled, a night and a day; judgement
ENOUGH = 3.0  # days settled, so that some cold nights and warm days are seen; common practice, no source

RULE = Rule(
    id="trial-too-short",
    title="The log is too short to trust the box",
    explanation=(
        "The first day goes into warming the medium through. What counts comes after: nights and days in which the box "
        "shows how it holds its heat. Guides for the mapping of cabinets ask for 24 to 72 hours."
    ),
    remedy="Let the box run on. Three settled days are the least, a week is better.",
    sources=("practice", "judgement"),
    about=PLAN,
    good="log: {steady: 5 days, settled_after: 9 h}",
    bad="log: {steady: 0.8 days, settled_after: 9 h}",
)


def check(case: Case) -> Iterator[Finding]:
    """Settled days against a day and three."""
    trial, show = case.trial, case.show
    length = (trial.end - trial.start) / DAY
    if length < SHORTEST:
        told = f"The log is {show.hours(trial.end - trial.start)} long."
    elif isinstance(trial.settled_after, Unknown):
        raise Lacking(*(trial.settled_after.needs or (trial.settled_after.reason,)))
    elif trial.steady.value < ENOUGH:
        told = f"The log has {show.hours(trial.steady.value * DAY)} after the medium has settled."
    else:
        return
    severe = length < SHORTEST or trial.steady.value < LEAST
    yield Finding(
        FIX if severe else WATCH, told, "trial_run.days", RULE.remedy, figures=(("steady", trial.steady),)
    )
