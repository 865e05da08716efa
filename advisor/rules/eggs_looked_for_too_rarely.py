"""How soon a clutch is found after it is laid."""

from collections.abc import Iterator

from advisor.constants import DAY
from advisor.model.findings import FIX, WATCH, Finding
from advisor.rules.engine import CLUTCH, Case, Lacking, Rule

LONGEST = 1 * DAY  # s between two looks: eggs are found the morning they are laid; common practice, no source
FAR_TOO_LONG = 2 * DAY  # s between two looks; judgement

RULE = Rule(
    id="eggs-looked-for-too-rarely",
    title="Eggs may lie unfound for too long",
    explanation=(
        "Eggs lose water as soon as they are laid where it is dry: soft turtle eggs dented badly after a day or more of "
        "drying. Eggs that stick together do so within hours. After about a day the embryo also begins to hold to the "
        "shell, so that a late find must not be turned at all."
    ),
    remedy="Look for eggs every morning from the first likely laying day on.",
    sources=("practice", "legler-1960", "judgement"),
    about=CLUTCH,
    levers=("clutch.looked_for",),
    good="clutches: [{species: pantherophis-guttatus, looked_for: every 24 h}]",
    bad="clutches: [{species: pantherophis-guttatus, looked_for: every 3 days}]",
)


def check(case: Case) -> Iterator[Finding]:
    """More than a day between two looks; worse where eggs that stick are to be parted while fresh."""
    clutch, show = case.clutch, case.show
    if clutch.laid_on is not None:
        return
    every = clutch.looked_for
    if every is None:
        raise Lacking("clutch.looked_for")
    if every <= LONGEST:
        return
    sticks = clutch.parted == "while fresh" and case.species.eggs.cling is True
    interval = show.hours(every) if every < 3 * DAY else show.days(every / DAY)
    yield Finding(
        FIX if sticks or every > FAR_TOO_LONG else WATCH,
        f"You look for eggs every {interval}, so a clutch can lie that long: {show.hours(LONGEST)} is the most."
        + (" Later the eggs can no longer be parted." if sticks else ""),
        "clutch.looked_for",
    )
