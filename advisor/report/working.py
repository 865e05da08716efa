"""The working of one rule's findings: inputs of this plan, figures, formulas and sources."""

import re
from collections.abc import Iterator
from inspect import getdoc

from advisor.advice.entries import value_at
from advisor.assess import Assessment
from advisor.model.figures import Figure, Formula, formula_name
from advisor.model.findings import Finding
from advisor.model.forecast import results_in
from advisor.reading.marks import path_key
from advisor.reading.schema_check import flow_text
from advisor.reading.sources import shipped_sources
from advisor.report.screen import WIDTH, Line, finding_lines, not_judged_lines, wrapped
from advisor.rules import rule_by_id
from advisor.rules.engine import Rule
from advisor.rules.shared import what_matters

# What a caller has to know of a function, and a keeper has not.
_OF_ERRORS = re.compile(r" (?:Raises|Errors:) .*?\.(?= |$)")


def working_lines(assessment: Assessment, rule_id: str, width: int = WIDTH) -> Iterator[Line]:
    """What a rule found in this plan, the entries it read, the formulas and the sources."""
    rule, report, show = rule_by_id(rule_id), assessment.report, assessment.situation.show
    accepted = [finding for risk in report.accepted for finding in risk.findings]
    findings = [finding for finding in (*report.findings, *accepted) if finding.rule == rule.id]
    missing = tuple(answer for answer in report.not_judged if answer.rule == rule.id)
    yield Line(f"{rule.id}: {rule.title}", "head")
    yield Line("")
    for finding in findings:
        yield from finding_lines((finding,), assessment, width)
        for name, figure in finding.figures:
            told = f"        {name}: {show.figure(figure)}." + (
                f" How: {figure.basis}." if figure.basis else ""
            )
            yield from wrapped(told + what_matters(figure), width, "", 10)
        yield Line("")
    if not findings:
        cause = next((cause for follower, cause in report.followers if follower == rule.id), None)
        told = (
            f"It follows from {cause}, which is told instead." if cause else "It found nothing in this plan."
        )
        yield Line(told if cause or not missing else "It could not be judged.")
        yield Line("")
    if missing:
        yield from not_judged_lines(missing, assessment.situation, width)
    yield from _inputs(assessment, rule.needs, width)
    yield from _formulas(_behind(assessment, rule, findings), width)
    yield Line("Sources", "head")
    keys = dict.fromkeys((*rule.sources, *(key for finding in findings for key in finding.sources)))
    sources = shipped_sources()
    for key in keys:
        if key in sources:
            yield from wrapped(f"  {key}: {sources[key].cite} [{sources[key].known}]", width, "", 4)


def _inputs(assessment: Assessment, needs: tuple[str, ...], width: int) -> Iterator[Line]:
    """The plan's own words for every entry the rule reads."""
    shown: dict[str, str] = {}
    plan = assessment.situation.plan
    for entry in needs:
        root, _, rest = entry.partition(".")
        paths = [entry]
        if root == "box":
            paths = [f"egg_boxes[{index}].{rest}" for index in range(len(plan.egg_boxes))]
        elif root == "clutch":
            paths = [
                f"clutches[{entry}].{rest}" for entry in dict.fromkeys(one.entry for one in plan.clutches)
            ]
        for path in paths:
            value = value_at(assessment.document.data, path_key(path))
            if value is not None:
                shown[path] = flow_text(value)
    if shown:
        yield Line("From the plan", "head")
        for path, text in shown.items():
            yield from wrapped(f"  {path}: {text}", width, "", 4)
        yield Line("")


def _behind(assessment: Assessment, rule: Rule, findings: list[Finding]) -> list[Formula]:
    """The functions that made the figures which the findings tell, or else those that the rule reads."""
    forecast = assessment.situation.forecast
    figures = {figure for finding in findings for _, figure in finding.figures}
    names = {entry.rpartition(".")[2] for entry in rule.needs}
    parts = (forecast.heat, *forecast.egg_boxes, *forecast.clutches)
    figures |= {
        result
        for part in parts
        for name, result in results_in(part).items()
        if name in names and isinstance(result, Figure)
    }
    return sorted({formula for figure in figures for formula in figure.formulas}, key=formula_name)


def _formulas(formulas: list[Formula], width: int) -> Iterator[Line]:
    if formulas:
        yield Line("Formulas", "head")
    for formula in formulas:
        yield Line(f"  {formula_name(formula)}", "quiet")
        told = _OF_ERRORS.sub("", " ".join((getdoc(formula) or "").split()))
        for part in told.replace(" Reference: ", "\nReference: ").splitlines():
            yield from wrapped(f"    {part}", width, "", 4)
        yield Line("")
