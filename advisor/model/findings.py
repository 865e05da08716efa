"""What the rules answer: findings, rules that could not judge, accepted risks, and the report that holds them."""

from collections.abc import Mapping
from typing import TypeVar

from msgspec import Struct, field
from msgspec.structs import replace

from advisor.model.changes import Change
from advisor.model.figures import Figure
from advisor.model.species import Support
from advisor.units import number_ranges

STOP, FIX, WATCH, NOTE = "stop", "fix", "watch", "note"
SEVERITIES = (STOP, FIX, WATCH, NOTE)
HIDDEN = "this ready-built box"  # stands in every reason that nobody can see into a bought incubator


class Finding(Struct, frozen=True):
    """One fault found in a plan.

    `message` carries this plan's numbers in the keeper's units; `path` is the plan entry to point at (rules write
    "box.lid.fit" or "clutch.wanted", the engine makes it "egg_boxes[0].lid.fit"). `levers` are the entries whose change may
    clear it, best first, written like `path`; `remedy` says what a person does besides, which is no entry of a plan.
    `support` is what the limit rests on, in place of `sources` and `evidence`. `rule`, `subject`, empty `sources`,
    `evidence` and `levers` are filled in by the engine. Once its levers were tried,
    `changes` holds the change that is told, or the nearest with its `obstacle`, and `remedy` begins with its words.
    """

    severity: str
    message: str
    path: str
    remedy: str = ""
    figures: tuple[tuple[str, Figure], ...] = ()
    sources: tuple[str, ...] = ()
    evidence: str = ""
    rule: str = ""
    subject: str = ""
    levers: tuple[str, ...] = ()
    changes: tuple[Change, ...] = ()
    obstacle: str = ""
    support: Support | None = None


class NotJudged(Struct, frozen=True):
    """A rule that lacks entries: `needs` names each of them, `subject` the box or clutch it is about."""

    needs: tuple[str, ...]
    rule: str = ""
    subject: str = ""


A = TypeVar("A", Finding, NotJudged)


class AcceptedRisk(Struct, frozen=True):
    """Findings of a rule that the keeper accepts, with the keeper's reason and the worst severity among them."""

    rule: str
    because: str
    severity: str
    findings: tuple[Finding, ...]


class Report(Struct, frozen=True):
    """Every rule's answer for one plan; findings are sorted, what hurts people or kills eggs first."""

    findings: tuple[Finding, ...]
    clear: tuple[str, ...]
    not_judged: tuple[NotJudged, ...]
    accepted: tuple[AcceptedRisk, ...]
    followers: tuple[tuple[str, str], ...] = field(default=())

    @property
    def verdict(self) -> str:
        """The worst severity found, or "clear"."""
        found = {finding.severity for finding in self.findings}
        return next((severity for severity in SEVERITIES if severity in found), "clear")


def alike(report: Report) -> list[tuple[Finding, ...]]:
    """The findings in their order; those that say and ask the same, of one clutch or box and another, stand together."""
    found: dict[tuple[str, str, str, str], list[Finding]] = {}
    for finding in report.findings:
        same = (finding.rule, finding.severity, finding.message, finding.remedy)
        found.setdefault(same, []).append(finding)
    return [tuple(findings) for findings in found.values()]


def told_once(answers: list[A], repeated: Mapping[str, int]) -> list[A]:
    """What is the same for several clutches of one entry, once for all of them.

    `repeated` tells the entry of each clutch that repeats, by its subject "clutch 3 (leopard gecko)".
    """
    groups: dict[object, list[A]] = {}
    for place, answer in enumerate(answers):
        entry = repeated.get(answer.subject)
        same = place if entry is None else (entry, replace(answer, subject=""))
        groups.setdefault(same, []).append(answer)
    return [
        replace(group[0], subject=_subject_of([answer.subject for answer in group]))
        if len(group) > 1
        else group[0]
        for group in groups.values()
    ]


def _subject_of(subjects: list[str]) -> str:
    """ "clutches 1 to 3 (leopard gecko)" of the subjects of its clutches."""
    numbers, species = zip(
        *(subject.removeprefix("clutch ").split(" ", 1) for subject in subjects), strict=True
    )
    return f"clutches {number_ranges([int(number) for number in numbers])} {species[0]}"


def without_followers(
    findings: list[Finding], implied_by: Mapping[str, tuple[str, ...]], boxes: Mapping[str, str]
) -> tuple[list[Finding], tuple[tuple[str, str], ...]]:
    """Drops findings whose cause another finding of no lower severity already tells.

    `boxes` tells the egg box of each clutch, both as subjects: what holds for the clutch is told of its box as well.
    """
    kept, followers = [], []
    for place, finding in enumerate(findings):
        cause = next(
            (
                other.rule
                for other_place, other in enumerate(findings)
                if other.rule in implied_by[finding.rule]
                and _same_subject(other.subject, finding.subject, boxes)
                and _rank(other, finding, implied_by, other_place) <= _rank(finding, other, implied_by, place)
            ),
            None,
        )
        if cause is None:
            kept.append(finding)
        else:
            followers.append((finding.rule, cause))
    return kept, tuple(dict.fromkeys(followers))


def _rank(
    finding: Finding, other: Finding, implied_by: Mapping[str, tuple[str, ...]], place: int
) -> tuple[int, int]:
    """The smaller tells the cause. Where each of two implies the other and both are as severe, the first in order does."""
    either_way = finding.rule in implied_by[other.rule] and other.rule in implied_by[finding.rule]
    return SEVERITIES.index(finding.severity), place if either_way else 0


def _same_subject(one: str, other: str, boxes: Mapping[str, str]) -> bool:
    return not one or not other or one == other or boxes.get(one) == other or boxes.get(other) == one
