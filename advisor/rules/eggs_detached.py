"""Eggs that the female glues to a surface, and eggs that she does not."""

from collections.abc import Iterator

from advisor.model.findings import STOP, WATCH, Finding
from advisor.rules.engine import CLUTCH, Case, Rule

ON_SURFACE = "attached to its surface"

RULE = Rule(
    id="eggs-detached",
    title="How the eggs are placed does not fit how the species lays",
    explanation=(
        "Some geckos glue their eggs to bark, glass or a wall, and the shell sets hard there. Prised off, it breaks, and "
        "the egg is lost at once. Eggs of other species lie loose: they hold to no surface and need damp medium round "
        "their lower half, or they dry out within days."
    ),
    remedy="Place the eggs as the species lays them: glued eggs with their surface, loose eggs half in the medium.",
    sources=("practice",),
    about=CLUTCH,
    needs=("clutch.placed", "species.eggs.glued_to_surface"),
    good="clutches: [{species: pantherophis-guttatus, placed: half buried}]",
    bad="clutches: [{species: gekko-gecko, placed: half buried}]",
)


def check(case: Case) -> Iterator[Finding]:
    """Glued eggs taken off or parted, and loose eggs that are said to stay on a surface."""
    clutch, name, remedy = case.clutch, case.species.name, ""
    path, severity = "clutch.placed", STOP
    if not case.species.eggs.glued_to_surface:
        if clutch.placed != ON_SURFACE:
            return
        severity = WATCH
        message = f"The eggs of {name} are not glued to a surface, but the plan leaves them on one."
    elif clutch.placed != ON_SURFACE:
        message = f"The eggs of {name} are glued to a surface, and the plan has them {clutch.placed}: they break when prised off."
        remedy = (
            "Move the whole piece with the eggs on it, or put a cup with air holes over them where they are."
        )
    elif clutch.parted in ("while fresh", "later"):
        path, message = (
            "clutch.parted",
            f"The eggs of {name} are glued fast, and the plan parts them: the shells break.",
        )
    else:
        return
    yield Finding(severity, message, path, remedy, support=case.species.eggs.support, levers=(path,))
