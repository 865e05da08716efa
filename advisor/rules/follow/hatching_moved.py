"""Hatching days that the log moves away from the plan's."""

from collections.abc import Iterator

from advisor.model.figures import Figure
from advisor.model.findings import NOTE, WATCH, Finding
from advisor.rules.engine import CLUTCH, Case, Rule

LEAST = 0.05  # of the days; clutches differ by as much; judgement

RULE = Rule(
    id="follow-hatching-moved",
    title="The eggs will hatch on other days than planned",
    explanation=(
        "The eggs were kept warmer or cooler than the plan says, so they develop faster or slower. Who looks for young by "
        "the old dates looks at the wrong time, or gives up eggs that only need longer."
    ),
    remedy="Move the dates in your calendar. Give up no egg before the end of the new window.",
    sources=("judgement",),
    about=CLUTCH,
    needs=("clutch_followed.days", "clutch_followed.planned_days"),
    good="log: {days: 60 days, planned_days: 61 days}",
    bad="log: {days: 75 days, planned_days: 61 days}",
)


def check(case: Case) -> Iterator[Finding]:
    """Days from the log against those of the plan: past the plan's range, or moved by more than clutches differ."""
    followed = case.clutch_followed
    days, planned = followed.days, followed.planned_days
    assert isinstance(days, Figure) and isinstance(planned, Figure)
    moved = days.value - planned.value
    if abs(moved) < LEAST * planned.value or followed.outcome is not None:
        return
    window = followed.hatch_window
    when = f": from {window[0]} to {window[1]}" if window else ""
    yield Finding(
        NOTE if planned.low <= days.value <= planned.high else WATCH,
        f"Eggs of {case.species.name} will hatch about {case.show.days(abs(moved))} {'later' if moved > 0 else 'earlier'} than "
        f"planned{when}.",
        "clutch.laying",
        RULE.remedy,
        figures=(("days", days), ("planned_days", planned)),
    )
