"""Figures that the profile does not know, and the rules that wait for them."""

from collections.abc import Callable, Iterator

from advisor.model.findings import WATCH, Finding, NotJudged
from advisor.model.species import Observation, Species
from advisor.rules import rule_modules
from advisor.rules.engine import CLUTCH, PLAN, Case, Rule, ask, cases_of

# Entry of the profile, its name in words, and whether the plan's temperatures cannot be judged without it (judgement).
ALWAYS_TOLD = (
    ("species.aim", "the temperature to aim for", True),
    ("species.tolerated", "the tolerated temperatures", False),
    ("species.harmful", "the harmful temperatures", True),
    ("species.harmful.below", "the harmful limit on the cold side", False),
    ("species.harmful.above", "the harmful limit on the hot side", True),
    ("species.duration", "the days to hatching", True),
    ("species.sex.set_by", "what sets the sex", False),
    ("species.eggs.shell", "the kind of shell", False),
    ("species.medium.water", "how wet the medium may be", False),
)
DAYS_WANTED = "Write down the day of laying, the temperature of the medium and the day of hatching: nobody has such days yet. "
TOLD_IF_A_RULE_WAITS = (
    ("species.sex.observed", "counts of males and females", False),
    ("species.eggs.clutch", "the size of a clutch", False),
    ("species.eggs.mass", "the mass of an egg", False),
    ("species.eggs.length", "the length of an egg", False),
    ("species.eggs.width", "the width of an egg", False),
    ("species.eggs.cling", "whether the eggs cling together", False),
    ("species.eggs.glued_to_surface", "whether the eggs are glued to a surface", False),
    ("species.medium.potential", "the water potential", False),
    ("species.medium.top_up", "whether top-ups are usual", False),
)

RULE = Rule(
    id="profile-missing",
    title="The profile of the species does not know some figures",
    explanation=(
        "A profile says `unknown` where nobody has given a figure with a source. Rules that need the figure cannot judge, "
        "and that is no sign that all is well. A fault on that side would show only in the eggs, and too late. Ask people "
        "who breed the species, and take small steps."
    ),
    remedy="Ask keepers who have hatched this species, stay in the middle of what is known, and add what you learn.",
    sources=("judgement",),
    about=PLAN,
    good="clutches: [{species: pantherophis-guttatus}]",
    bad="clutches: [{species: varanus-albigularis}]",
)


def check(case: Case) -> Iterator[Finding]:
    """One finding a clutch with its unknown figures, where its temperatures cannot be judged for them.

    Asked of the plan as a whole, since it asks all other rules what they lack, once.
    """
    waiting = _waiting(case)
    for clutch_case in cases_of(case.situation, CLUTCH):
        yield from _about_clutch(clutch_case, waiting)


def _about_clutch(case: Case, waiting: tuple[tuple[str, str], ...]) -> Iterator[Finding]:
    told = [
        figure for figure in ALWAYS_TOLD if _unknown(case, figure[0]) and not _block_unknown(case, figure[0])
    ]
    if not case.species.pause_known:
        told.append(("species.pause", "whether the embryo rests first", False))
    if not case.species.cool_period_known:
        told.append(("species.cool_period", "whether a cool period is needed", False))
    told += [
        figure
        for figure in TOLD_IF_A_RULE_WAITS
        if _unknown(case, figure[0]) and _rules_for(case, figure[0], waiting)
    ]
    if not any(
        grave for _, _, grave in told
    ):  # "not judged" tells of each rule that waits for one of the others
        return
    rules = dict.fromkeys(rule for entry, _, _ in told for rule in _rules_for(case, entry, waiting))
    yield Finding(
        WATCH,
        f"The profile of {case.species.name} does not know {', '.join(words for _, words, _ in told)}. "
        + (f"Not judged for that: {', '.join(rules)}." if rules else "No rule needs it for this plan."),
        case.path("clutch.species"),
        (DAYS_WANTED if _unknown(case, "species.duration") else "") + RULE.remedy,
        subject=case.subject,
    )


def _unknown(case: Case, entry: str) -> bool:
    """Whether the profile has no such figure; a list without entries has none either."""
    return bool(case.missing((entry,))) or (entry in _LISTS and not _LISTS[entry](case.species))


_LISTS: dict[str, Callable[[Species], tuple[Observation, ...]]] = {
    "species.duration": lambda species: species.duration,
    "species.sex.observed": lambda species: species.sex.observed,
}


def _block_unknown(case: Case, entry: str) -> bool:
    """Whether the whole block is unknown, so that its parts need not be told too."""
    return entry.startswith("species.harmful.") and case.species.harmful is None


def _waiting(case: Case) -> tuple[tuple[str, str], ...]:
    """What every other rule lacks in this plan: pairs of rule and entry."""
    found = (
        (module.RULE.id, need)
        for module in rule_modules()
        if module.RULE.id != RULE.id
        for answer in ask(module.RULE, module.check, case.situation, case.asked)
        if isinstance(answer, NotJudged)
        for need in answer.needs
        if need.startswith("species/")
    )
    return tuple(dict.fromkeys(found))


def _rules_for(case: Case, entry: str, waiting: tuple[tuple[str, str], ...]) -> list[str]:
    """The rules that lack one entry of this profile, or a part of it."""
    path = case.path(entry)
    return [rule for rule, need in waiting if need == path or need.startswith(f"{path}.")]
