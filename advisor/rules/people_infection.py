"""Small children and Salmonella."""

from collections.abc import Iterator

from advisor.model.findings import WATCH, Finding
from advisor.rules.engine import PLAN, Case, Rule

RULE = Rule(
    id="people-infection",
    title="Children under five live where reptile eggs are kept",
    explanation=(
        "All reptiles, their eggs, the medium and the boxes may carry Salmonella, and look clean. Germs pass from hands, "
        "bowls and sinks to the mouth. Small children put things in their mouths and can fall badly ill within days."
    ),
    remedy="Keep children under five away from eggs, boxes and medium, and wash your hands with soap after each touch.",
    sources=("mermin-pediatrics", "public-health-advice"),
    about=PLAN,
    needs=("people.children_under_five",),
    good="people: {children_under_five: no}",
    bad="people: {children_under_five: yes}",
)


def check(case: Case) -> Iterator[Finding]:
    """Children under five in the home."""
    if not case.plan.people.children_under_five:
        return
    yield Finding(
        WATCH,
        "Children under five live in the home: reptile eggs, medium and boxes may carry Salmonella.",
        "people.children_under_five",
        "Keep the box in a room that small children cannot enter, and nothing of it in the kitchen. Wash your hands with "
        "soap after each touch. Ask a doctor when a child gets fever or diarrhoea, and tell of the reptiles.",
    )
