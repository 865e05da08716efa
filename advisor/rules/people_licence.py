"""Law: protected species and licences."""

from collections.abc import Iterator

from advisor.model.findings import NOTE, Finding
from advisor.rules.engine import CLUTCH, Case, Rule

LEGAL = ("protected", "needs licence in many places")

RULE = Rule(
    id="people-licence",
    title="Keeping or breeding this species may need a permit",
    explanation=(
        "Many places ask for a licence or a register before you breed a protected species. The law differs from place to "
        "place and from year to year, so this tool cannot judge it. Eggs and young without papers may be taken away."
    ),
    remedy="Ask your local wildlife authority before the eggs are laid, and keep the papers with this plan.",
    sources=("practice",),
    about=CLUTCH,
    good="clutches: [{species: pantherophis-guttatus}]",
    bad="clutches: [{species: python-regius}]",
)


def check(case: Case) -> Iterator[Finding]:
    """One note with all such cautions of the profile."""
    cautions = [caution for caution in case.species.cautions if caution.word in LEGAL]
    if not cautions:
        return
    words = " and ".join(caution.word for caution in cautions)
    reasons = " ".join(f"{caution.because.rstrip('.')}." for caution in cautions)
    yield Finding(
        NOTE, f"The profile of {case.species.name} says: {words}. {reasons}", "clutch.species", RULE.remedy
    )
