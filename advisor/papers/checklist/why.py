"""The appendix that gives the reason behind each finding: the rule's own text, and how we know."""

from msgspec import Struct

from advisor.model.findings import NOTE, Report, alike
from advisor.papers.checklist.stages import Stage
from advisor.rules import rule_by_id
from advisor.show import Show

KNOWN_WORDS = {
    "published": "published studies or data",
    "from memory": "a named source, from memory",
    "common practice": "what keepers do",
    "computed": "our own computing",
}


class Reason(Struct, frozen=True):
    """Why one rule matters: the items it is about, its title, its explanation as Markdown, how it is known."""

    items: tuple[str, ...]
    title: str
    explanation: str
    known: str


def reasons(report: Report, stages: tuple[Stage, ...], show: Show) -> tuple[Reason, ...]:
    """One reason a rule, in the order of the findings, which are the first items; a note tells its reason in its item."""
    numbers = [item.number for stage in stages for item in stage.items if item.severity]
    by_rule: dict[str, list[str]] = {}
    evidence: dict[str, str] = {}
    for (finding, *_), number in zip(alike(report), numbers, strict=True):
        if finding.severity == NOTE:
            continue
        by_rule.setdefault(finding.rule, []).append(number)
        evidence.setdefault(finding.rule, finding.evidence)
    return tuple(
        Reason(
            tuple(items),
            rule_by_id(rule).title,
            show.own_units(rule_by_id(rule).explanation),
            ", ".join(KNOWN_WORDS.get(grade, grade) for grade in evidence[rule].split(", ")),
        )
        for rule, items in by_rule.items()
    )
