"""A part of the development that the log lacks."""

from collections.abc import Iterator

from advisor.model.figures import Unknown
from advisor.model.findings import NOTE, WATCH, Finding
from advisor.model.logs import clock_time
from advisor.rules.engine import CLUTCH, Case, Rule

TENTH = 0.1  # of the development; judgement
LONG = 6 * 3600.0  # s; judgement

RULE = Rule(
    id="follow-part-not-logged",
    title="The log lacks a part of the development",
    explanation=(
        "What was not logged can only be guessed from the days beside it. The dates and the sexes are told with wider ranges "
        "then. A power cut in such a time may have gone unseen."
    ),
    remedy="Keep the logger running: fresh batteries, memory read out in time. Trust the dates less, and watch the eggs.",
    sources=("judgement",),
    about=CLUTCH,
    needs=("clutch_followed.gaps",),
    good="log: {gaps: []}",
    bad="log: {gaps: [{hours: 200, share: 0.12}]}",
)


def check(case: Case) -> Iterator[Finding]:
    """A tenth of the development or more, or a part of the time that sets the sex: watch; hours: a note."""
    gaps = case.clutch_followed.gaps
    assert not isinstance(gaps, Unknown)
    long = [gap for gap in gaps if gap.end - gap.begin > LONG]
    if not long:
        return
    by_heat = case.species.sex.set_by not in (None, "chromosomes")
    sexes = by_heat and any(gap.sensitive for gap in long)
    longest = max(long, key=lambda gap: gap.end - gap.begin)
    share = sum((gap.low + gap.high) / 2 for gap in long)
    hours = sum(gap.end - gap.begin for gap in long)
    told = ", and part of the time that sets the sex" if sexes else ""
    yield Finding(
        WATCH if sexes or share >= TENTH else NOTE,
        f"{case.show.days(hours / 86_400) if hours >= 172_800 else case.show.hours(hours)} without a reading of the medium, the longest from "
        f"{clock_time(longest.begin)} to {clock_time(longest.end)}: about {case.show.percent(share)} of the development of "
        f"{case.species.name}{told}.",
        "watching.logger",
        RULE.remedy,
    )
