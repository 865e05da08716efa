"""The report on the screen: plain lines with a style word each; the command paints and prints them."""

import re
import textwrap
from collections import Counter
from collections.abc import Iterable, Iterator

from msgspec import Struct

from advisor.assess import Assessment
from advisor.model.figures import Figure
from advisor.model.findings import (
    FIX,
    HIDDEN,
    NOTE,
    SEVERITIES,
    STOP,
    WATCH,
    Finding,
    NotJudged,
    Report,
    alike,
)
from advisor.model.forecast import ClutchForecast
from advisor.model.plan import Clutch
from advisor.model.species import Species
from advisor.reading.marks import example_of, line_of
from advisor.rules import rule_by_id
from advisor.rules.engine import MOSTLY_NOT_JUDGED, Situation
from advisor.rules.shared import what_matters
from advisor.show import counted
from advisor.wording import profile_examples

WIDTH = 96
INDENT = 8
NAMED = 2  # rules named behind a missing entry; the others are counted

LACKING = "The profile of the species lacks these. Ask keepers, and add what they know, with its source."
HIDDEN_INSIDE = (
    "These nobody can see in a ready-built box. Run it for a week with damp medium and a logger before the eggs come: "
    "`advisor trial` reads the log and judges what it shows."
)
NOT_WORKED_OUT = "These cannot be worked out for this plan. Keep an eye on them yourself."


class Line(Struct, frozen=True):
    """One line of text and how it is meant: a severity word, "head", "quiet" or ""."""

    text: str
    style: str = ""


def report_lines(assessment: Assessment, width: int = WIDTH) -> Iterator[Line]:
    """The whole report for a terminal of `width` columns: findings, what could not be judged, the verdict last."""
    situation, report = assessment.situation, assessment.report
    yield from wrapped(situation.plan.title, width, "head", 2)
    for clutch, forecast in zip(situation.plan.clutches, situation.forecast.clutches, strict=True):
        yield from _clutch_lines(clutch, forecast, situation.species[clutch.species], width)
    yield Line("")
    yield from judged_lines(assessment, width)
    if report.clear:
        yield Line(f"Clear: {counted(len(report.clear), 'rule')} found nothing.", "quiet")
    yield from wrapped(verdict_text(report), width, report.verdict, hanging=0)


def judged_lines(assessment: Assessment, width: int) -> Iterator[Line]:
    """Findings, accepted risks, and what could not be judged."""
    report = assessment.report
    told: set[str] = set()
    for findings in alike(report):
        yield from finding_lines(findings, assessment, width, findings[0].rule not in told)
        yield Line("")
        told.add(findings[0].rule)
    for risk in report.accepted:
        yield from wrapped(f"Accepted ({risk.severity}): {risk.rule}, because: {risk.because}", width, "")
    if report.accepted:
        yield Line("")
    yield from not_judged_lines(report.not_judged, assessment.situation, width)


def _clutch_lines(clutch: Clutch, forecast: ClutchForecast, species: Species, width: int) -> Iterator[Line]:
    """Eggs, species and dates of a clutch; of one that repeats a line for each that follows."""
    dates, repeats = list(clutch_dates(forecast)), clutch.repeats
    if not clutch.nth:
        eggs = f"{counted(clutch.eggs, 'egg')} of " if clutch.eggs else ""
        origin = "" if species.origin == "shipped" else f", profile from {species.origin}"
        often = f", {repeats.times + 1} clutches" if repeats else ""
        if repeats and repeats.every is None and species.laying and species.laying.next_clutch:
            often += ", as far apart as in its profile"
        yield from wrapped(f"{eggs}{species.name} ({species.id}{origin}){often}", width, "quiet", 2)
    if repeats:
        told = ", ".join(dates).replace("Hatching", "hatching").replace("Laying", "laying")
        dates = [f"{clutch.nth + 1} of {repeats.times + 1}: {told or 'no dates told'}"]
    for text in dates:
        yield from wrapped(f"  {text}", width, "quiet", 4)


def finding_lines(
    findings: tuple[Finding, ...], assessment: Assessment, width: int = WIDTH, why: bool = True
) -> Iterator[Line]:
    """Findings alike: severity and message, places, what to do, why (once; of most notes in a sentence), how we know."""
    finding = findings[0]
    rule = rule_by_id(finding.rule)
    head = f"{finding.severity.upper():<{INDENT}}{finding.message}"
    yield from wrapped(head, width, finding.severity)
    for one in findings:
        place = f"line {line_of(assessment.document, one.path)}, {one.path}"
        place += f", {one.subject}" if one.subject else ""
        yield from wrapped(" " * INDENT + place, width, "quiet", INDENT + 4)
    yield from wrapped(" " * INDENT + f"Do: {advice_text(finding)}", width, "", INDENT + 4)
    reason = rule.explanation
    if finding.severity == NOTE and not finding.rule.startswith("people-"):  # the rest is one command away
        reason = f"{reason.partition('. ')[0].removesuffix('.')}."
    reason = assessment.situation.show.own_units(reason) if why else "as told above."
    yield from wrapped(" " * INDENT + f"Why: {reason}", width, "", INDENT + 5)
    cited = [source for source in finding.sources if source not in ("practice", "judgement")]
    known = finding.evidence + (f" ({', '.join(cited)})" if cited else "")
    more = f"Known by: {known}. More: advisor rules show {finding.rule}"
    yield from wrapped(" " * INDENT + more, width, "quiet", INDENT + 4)


def advice_text(finding: Finding) -> str:
    """What to do, and what came of trying it; advice that no entry of a plan holds is marked as such."""
    if finding.severity == NOTE:
        return finding.remedy
    if finding.obstacle:
        return " ".join(filter(None, (finding.obstacle, finding.remedy)))
    if finding.changes:
        several = len(finding.changes[0].paths) > 1
        return f"{finding.remedy} (tried{' together' if several else ''}: clears this, brings nothing as bad)"
    return f"{finding.remedy} (no entry of the plan: not tried)"


def not_judged_lines(
    answers: tuple[NotJudged, ...], situation: Situation, width: int = WIDTH
) -> Iterator[Line]:
    """What could not be judged, grouped by what is missing, the most wanted first: entries of the plan, then others."""
    wanted: dict[str, dict[str, None]] = {}
    for answer in answers:
        for entry in answer.needs:
            wanted.setdefault(entry, {}).setdefault(answer.rule)
    if not wanted:
        return
    in_order = sorted(wanted.items(), key=lambda item: -len(item[1]))
    in_plan = [item for item in in_order if " " not in item[0]]
    profiles = [item for item in in_order if item[0].startswith("species/")]
    hidden = [item for item in in_order if HIDDEN in item[0]]
    others = [item for item in in_order if " " in item[0] and item not in (*profiles, *hidden)]
    yield Line(f"Not judged: {counted(len({answer.rule for answer in answers}), 'rule')}.", "head")
    if in_plan:
        indexed = any("[" in entry for entry, _ in in_plan)
        yield from wrapped(
            "  Add these entries to the plan. A dot leads into a block"
            + (", and [0] is the first of a list, [1] the second." if indexed else "."),
            width,
            "",
            2,
        )
    for entry, asking in in_plan:
        example = _example(entry, situation)
        yield from wrapped(
            f"    {entry}" + (f", for example {example}" if example else "") + f"  [{_some(asking)}]",
            width,
            "",
            8,
        )
    for told, items in ((LACKING, profiles), (HIDDEN_INSIDE, hidden), (NOT_WORKED_OUT, others)):
        if items:
            yield from wrapped(f"  {told}", width, "", 2)
        for reason, asking in items:
            named = "" if items is hidden else f"  [{_some(asking)}]"
            yield from wrapped(f"    {reason.replace(f' of {HIDDEN}', '')}{named}", width, "", 8)
    yield Line("")


def _example(entry: str, situation: Situation) -> str:
    """An example of an entry: from the profile of its clutch, of the first clutch in its egg box, or of the first at all."""
    plan = situation.plan
    found = re.match(r"(clutches|egg_boxes)\[(\d+)\]", entry)
    clutch = plan.clutches[0]
    if found and found[1] == "clutches":
        clutch = plan.clutches[plan.first_of(int(found[2]))]
    elif found:
        name = plan.egg_boxes[int(found[2])].name if int(found[2]) < len(plan.egg_boxes) else None
        clutch = next((one for one in plan.clutches if one.box == name), clutch)
    examples = profile_examples(situation.species[clutch.species], situation.show)
    return examples.get(re.sub(r"\[\d+\]", "[]", entry)) or example_of(entry, situation.show.us)


def verdict_text(report: Report) -> str:
    """The verdict in one or two sentences; it counts what could not be judged."""
    counts = Counter(findings[0].severity for findings in alike(report))
    parts = [f"{counts[severity]} {severity.upper()}" for severity in SEVERITIES if counts[severity]]
    found = f" ({', '.join(parts)}.)" if parts else ""
    opening = {
        STOP: "STOP: do not start with this plan.",
        FIX: "FIX: put these right before the eggs come.",
        WATCH: "WATCH: this can work; know what to look at.",
        NOTE: "Nothing to put right; read the notes.",
        "clear": "Nothing found.",
    }[report.verdict]
    thin = any(finding.rule == MOSTLY_NOT_JUDGED.id for finding in report.findings)
    if thin and report.verdict not in (STOP, FIX):
        opening = "NOT ENOUGH TOLD: this plan cannot be judged yet."
    hidden = any(HIDDEN in need for answer in report.not_judged for need in answer.needs)
    tells = " A trial run tells what nobody can see in a ready-built box." if hidden else ""
    unjudged = len({answer.rule for answer in report.not_judged})
    rest = (
        "Every rule was judged."
        if not unjudged
        else (
            f"{counted(unjudged, 'rule')} could not be judged: nothing here says that those points are safe."
        )
    )
    accepted = f" {counted(len(report.accepted), 'risk')} accepted by you." if report.accepted else ""
    return f"Verdict: {opening}{found} {rest}{tells}{accepted}"


def clutch_dates(forecast: ClutchForecast) -> Iterator[str]:
    """Laying and hatch window of one clutch, where known."""
    for word, window in (("Laying", forecast.laying_window), ("Hatching", forecast.hatch_window)):
        if window:
            first, last = window
            yield f"{word}: {first}" if first == last else f"{word}: {first} to {last}"


def _some(rules: Iterable[str]) -> str:
    """The first rules by name and the number of the others."""
    names = list(rules)
    more = len(names) - NAMED
    return ", ".join(names[:NAMED]) + (f" and {counted(more, 'other rule')}" if more > 0 else "")


def wrapped(text: str, width: int, style: str, hanging: int = INDENT) -> Iterator[Line]:
    """A text cut into lines, the first as indented as it comes, the others by `hanging`."""
    indent = text[: len(text) - len(text.lstrip())]
    for row in textwrap.wrap(
        text.strip(), width, initial_indent=indent, subsequent_indent=" " * hanging, break_on_hyphens=False
    ):
        yield Line(row, style)


def row(name: str, value: str, name_width: int, width: int, style: str = "") -> Iterator[Line]:
    """A name and its value in a column behind it."""
    return wrapped(f"  {name:<{name_width}}{value}", width, style, name_width + 2)


def how_known(figure: Figure, width: int) -> Iterator[Line]:
    """Where a figure comes from, and what widens its range most."""
    return wrapped(f"      How: {figure.basis}.{what_matters(figure)}", width, "quiet", 6)
