"""Species that can kill or badly hurt a person."""

from collections.abc import Iterator

from advisor.model.findings import STOP, WATCH, Finding
from advisor.rules.engine import CLUTCH, Case, Rule

# A venomous hatchling can harm from its first hour; rear fangs with a mild venom need a bite that lasts; a large
# constrictor is dangerous as an adult. Judgement.
DANGERS = {
    "venomous": (
        STOP,
        "Start only when you are trained, a second person is there and a written bite plan hangs beside the box. Then "
        "accept this rule in the plan and say so.",
    ),
    "mildly venomous": (
        WATCH,
        "Do not let a young one hold on to a finger. Ask a doctor when a bite swells, and call an ambulance when someone feels "
        "faint or short of breath. Keep children's hands away.",
    ),
    "large constrictor": (
        WATCH,
        "Keep and feed the adults only when you are trained and a second person is there. Plan homes for the young.",
    ),
}

RULE = Rule(
    id="people-venomous",
    title="The species can hurt or kill a person",
    explanation=(
        "Venomous young can bite as soon as they leave the egg. Where the venom is mild, a bite that lasts can still make "
        "a hand swell. Large constrictors become strong enough to hurt a person, and their mothers are so already. This "
        "tool gives no advice on handling them. With the dangerous ones only training, a second person and a plan for a "
        "bite make the work safe enough."
    ),
    remedy="Work with these animals only when you are trained, with a second person there and a written bite plan.",
    sources=("practice", "judgement"),
    about=CLUTCH,
    good="clutches: [{species: pantherophis-guttatus}]",
    bad="clutches: [{species: vipera-exemplaris}]  # an invented profile with the caution `venomous`",
)


def check(case: Case) -> Iterator[Finding]:
    """One finding for each such caution in the profile, with its sentence."""
    for caution in case.species.cautions:
        if caution.word not in DANGERS:
            continue
        severity, remedy = DANGERS[caution.word]
        yield Finding(
            severity,
            f"The profile of {case.species.name} warns: {caution.word}. {caution.because.rstrip('.')}.",
            "clutch.species",
            remedy,
        )
