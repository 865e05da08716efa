"""Parting eggs that have stuck to each other."""

from collections.abc import Iterator

from advisor.model.findings import FIX, Finding
from advisor.model.plan import Range
from advisor.rules.engine import CLUTCH, Case, Lacking, Rule

HOUR = 3600.0  # s
LATEST = 24 * HOUR  # s after laying; common practice, no source
STRICTER = Range(6 * HOUR, 12 * HOUR)  # s after laying, the more careful advice; common practice, no source

RULE = Rule(
    id="eggs-parted-too-late",
    title="Eggs that have stuck together are parted",
    explanation=(
        "Fresh eggs are wet and come apart easily. Their coat dries within hours and glues them together. Parting them "
        "after that tears the shell or rolls the egg, and the vessels of the embryo can tear. A torn egg is lost within "
        "days. A clutch that is left whole is in no danger from that."
    ),
    remedy="Leave a stuck clutch whole, or part it gently within hours of laying.",
    sources=("practice",),
    about=CLUTCH,
    implied_by=("eggs-detached",),
    levers=("clutch.parted",),
    good="clutches: [{species: pantherophis-guttatus, parted: while fresh}]",
    bad="clutches: [{species: pantherophis-guttatus, parted: later}]",
)


def check(case: Case) -> Iterator[Finding]:
    """Only eggs that cling can be parted too late; single eggs have nothing to stick to."""
    clutch, cling = case.clutch, case.species.eggs.cling
    if clutch.parted in ("while fresh", "left together") or cling is False or clutch.eggs == 1:
        return
    missing = case.missing(("clutch.parted", "species.eggs.cling"))
    if missing:
        raise Lacking(*missing)
    hours = case.show.hours
    stricter = f"{hours(STRICTER.low).partition(' ')[0]} to {hours(STRICTER.high)}"
    yield Finding(
        FIX,
        f"Eggs of {case.species.name} stick together, and the plan parts them later. Keepers part a clump within "
        f"{hours(LATEST)} of laying at most; the stricter advice is {stricter}.",
        "clutch.parted",
    )
