"""A mark on top of each egg."""

from collections.abc import Iterator

from advisor.model.findings import WATCH, Finding
from advisor.rules.engine import CLUTCH, Case, Lacking, Rule

RULE = Rule(
    id="eggs-not-marked",
    title="The tops of the eggs are not marked",
    explanation=(
        "Within about a day the embryo fixes itself inside the shell. When the egg is rolled after that, the embryo can "
        "end up under the yolk or tear its vessels. Crocodile and sea turtle eggs die of it; turned eggs of a water "
        "snake hatched, but far more of the young died soon after. Without a mark you cannot tell that an egg has rolled."
    ),
    remedy="Put a small pencil mark on top of each egg before you lift it, and keep the mark up.",
    sources=("aubret-2015", "harry-1989", "crocodile-manual", "practice"),
    about=CLUTCH,
    levers=("clutch.marked",),
    good="clutches: [{species: pantherophis-guttatus, marked: yes}]",
    bad="clutches: [{species: pantherophis-guttatus, marked: no}]",
)


def check(case: Case) -> Iterator[Finding]:
    """Eggs that stay glued to their surface cannot roll and need no mark."""
    if case.clutch.placed == "attached to its surface" or case.clutch.marked:
        return
    if case.clutch.marked is None:
        raise Lacking("clutch.marked")
    yield Finding(
        WATCH,
        "The tops of the eggs are not marked: an egg that rolls at a check cannot be put back as it lay.",
        "clutch.marked",
    )
