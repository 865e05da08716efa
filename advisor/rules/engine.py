"""Runs the rules over one situation and sorts their answers. Knows neither files nor output."""

from collections.abc import Callable, Iterator, Mapping
from types import ModuleType
from typing import Any

from msgspec import Struct, field
from msgspec.structs import replace

from advisor.forecast.edge import reason_of
from advisor.formulas.air.moist_air import NoSolution
from advisor.model.figures import Unknown
from advisor.model.findings import (
    NOTE,
    SEVERITIES,
    AcceptedRisk,
    Finding,
    NotJudged,
    Report,
    told_once,
    without_followers,
)
from advisor.model.follow import ClutchFollowed, Followed
from advisor.model.forecast import ClutchForecast, EggBoxForecast, Forecast
from advisor.model.plan import Clutch, EggBox, Plan
from advisor.model.species import KNOWN, Species
from advisor.model.trial import Trial
from advisor.rules.hidden import what_to_measure
from advisor.show import Show

PLAN, EGG_BOX, CLUTCH = "plan", "egg box", "clutch"


class Rule(Struct, frozen=True):
    """A rule is its own manual page; see DEVELOPERS.md for how each field is written.

    `about` says what the rule is asked for: the plan as a whole, each egg box that may hold eggs, or each clutch.
    `needs` are the entries it reads; when one is missing the rule is not judged. `implied_by` names rules whose
    finding already tells the cause. `levers` are the entries whose change may clear the fault, best first. `good` and `bad` are the smallest plan fragments that stay silent and that fire.
    """

    id: str
    title: str
    explanation: str
    remedy: str
    sources: tuple[str, ...]
    about: str
    good: str
    bad: str
    needs: tuple[str, ...] = ()
    implied_by: tuple[str, ...] = ()
    levers: tuple[str, ...] = ()


class Situation(Struct, frozen=True):
    """All a rule may look at: plan, the profiles it names, the forecast, how to show numbers, how sources are known.

    `trial` is what a trial run's log tells, `followed` what a log with eggs inside tells, for the rules that judge one.
    """

    plan: Plan
    species: Mapping[str, Species]
    forecast: Forecast
    show: Show
    known: Mapping[str, str]
    trial: Trial | None = None
    followed: Followed | None = None


class Lacking(Exception):
    """Raised by a rule that can't judge a case; its arguments are the entries that are missing, or why it can't."""


Answer = Finding | NotJudged
AnswersByRule = dict[str, list[Answer]]  # by the id of the rule


class Case(Struct, frozen=True):
    """One subject of a rule: the situation with the egg box and clutch that the rule is asked about.

    For a rule about clutches, `box` is the box the clutch goes into. Entries named in the rule's `needs` are never
    None here; the others may be. `asked` is what other rules have answered for this situation so far.
    """

    situation: Situation
    box_index: int | None = None
    clutch_index: int | None = None
    asked: AnswersByRule = field(default_factory=dict)

    @property
    def plan(self) -> Plan:
        """The plan."""
        return self.situation.plan

    @property
    def show(self) -> Show:
        """How numbers are shown to this keeper."""
        return self.situation.show

    @property
    def forecast(self) -> Forecast:
        """The forecast for this plan."""
        return self.situation.forecast

    @property
    def trial(self) -> Trial:
        """What the log tells; only for rules about a trial run."""
        if self.situation.trial is None:
            raise LookupError("there is no log")
        return self.situation.trial

    @property
    def clutch_followed(self) -> ClutchFollowed:
        """What the log tells of the clutch; only for rules about one."""
        assert self.clutch_index is not None and self.situation.followed is not None
        return self.situation.followed.clutches[self.clutch_index]

    @property
    def box(self) -> EggBox:
        """The egg box in question; only for rules about egg boxes, or about clutches that need a `box.` entry."""
        if self.box_index is None:
            raise LookupError("this rule has no egg box: name a `box.` entry in its needs")
        return self.plan.egg_boxes[self.box_index]

    @property
    def clutch(self) -> Clutch:
        """The clutch in question; only for rules about clutches."""
        if self.clutch_index is None:
            raise LookupError("this rule is not about clutches")
        return self.plan.clutches[self.clutch_index]

    @property
    def species(self) -> Species:
        """The profile of the clutch's species; only for rules about clutches."""
        return self.situation.species[self.clutch.species]

    @property
    def clutch_forecast(self) -> ClutchForecast:
        """The forecast for the clutch; only for rules about clutches."""
        assert self.clutch_index is not None
        return self.forecast.clutches[self.clutch_index]

    @property
    def box_forecast(self) -> EggBoxForecast:
        """The forecast for the egg box in question."""
        assert self.box_index is not None
        return self.forecast.egg_boxes[self.box_index]

    @property
    def clutches_in_box(self) -> tuple[tuple[Clutch, Species], ...]:
        """The clutches that go into the egg box in question, with their profiles."""
        return tuple(
            (clutch, self.situation.species[clutch.species])
            for clutch in self.plan.clutches
            if clutch.box == self.box.name
        )

    @property
    def subject(self) -> str:
        """What the rule is asked about, in words."""
        if self.clutch_index is not None:
            return f"clutch {self.clutch_index + 1} ({self.species.name})"
        return self.box_subject

    @property
    def box_subject(self) -> str:
        """The kind of egg box in question, in words; for what is told once for all clutches in it."""
        return f"egg box '{self.box.name}'" if self.box_index is not None else ""

    def path(self, entry: str) -> str:
        """The plan path of an entry written from the rule's point of view: "box.lid" to "egg_boxes[0].lid"."""
        root, dot, rest = entry.partition(".")
        if root in ("box", "box_forecast") and self.box_index is not None:
            return f"egg_boxes[{self.box_index}]{dot}{rest}"
        if root == "clutch_forecast" and self.clutch_index is not None:
            return f"clutches[{self.clutch.entry}].laying.expected"  # its windows are the only fields that may be None
        if root in ("clutch", "box") and self.clutch_index is not None:
            return f"clutches[{self.clutch.entry}]{dot}{rest if root == 'clutch' else 'box'}"
        if root == "species" and self.clutch_index is not None:
            return f"species/{self.clutch.species}.yaml{': ' if rest else ''}{rest}"
        return entry

    def missing(self, needs: tuple[str, ...]) -> tuple[str, ...]:
        """Those of the needed entries that are not there, as plan paths; for a forecast, what the forecast lacks."""
        found: dict[str, None] = {}
        for entry in needs:
            for path in self._missing(entry):
                found.setdefault(path)
        return tuple(found)

    def _missing(self, entry: str) -> tuple[str, ...]:
        root = entry.partition(".")[0]
        if root in ("box", "box_forecast") and self.box_index is None:
            return (
                (self.path("clutch.box"),) if self.plan.egg_boxes else ("egg_boxes", self.path("clutch.box"))
            )
        own = root in _CASE_ROOTS
        value: Any = self if own else getattr(self.plan, root)
        for part in entry.split(".")[0 if own else 1 :]:
            value = getattr(value, "from_" if part == "from" else part)
            if isinstance(value, Unknown):
                return value.needs or (value.reason,)
            if value is None:
                return (self.path(entry),)
        return (self.path(entry),) if value is None or (entry == "egg_boxes" and not value) else ()


_CASE_ROOTS = ("box", "clutch", "species", "forecast", "clutch_forecast", "box_forecast", "trial", "clutch_followed")  # fmt: skip


def cases_of(situation: Situation, about: str) -> tuple[Case, ...]:
    """The subjects a rule is asked about: no boxes known to hold the probe, and with a log no eggs still to be laid."""
    plan, followed = situation.plan, situation.followed
    if about == PLAN:
        return (Case(situation),)
    if about == EGG_BOX:
        return tuple(
            Case(situation, box_index=index)
            for index, box in enumerate(plan.egg_boxes)
            if box.holds != "probe"
        )
    indexes = {box.name: index for index, box in enumerate(plan.egg_boxes)}
    return tuple(
        Case(situation, box_index=indexes.get(clutch.box or ""), clutch_index=index)
        for index, clutch in enumerate(plan.clutches)
        if followed is None or followed.clutches[index].laid is not None
    )


RuleCheck = Callable[[Case], Iterator[Answer]]


def ask(
    rule: Rule, check: RuleCheck, situation: Situation, asked: AnswersByRule | None = None
) -> list[Answer]:
    """All answers of one rule; an empty list means clear.

    `asked` holds what rules have answered for this situation, and takes up this answer: the rule on what profiles lack
    asks all other rules, and none is worked out twice.
    """
    known: AnswersByRule = {} if asked is None else asked
    if rule.id not in known:
        known[rule.id] = what_to_measure(situation.plan.outer_box, _asked(rule, check, situation, known))
    return known[rule.id]


def _asked(rule: Rule, check: RuleCheck, situation: Situation, asked: AnswersByRule) -> list[Answer]:
    cases = [replace(case, asked=asked) for case in cases_of(situation, rule.about)]
    if not cases:
        return [NotJudged(("egg_boxes",), rule.id)]
    answers: list[Answer] = []
    for case in cases:
        try:
            if missing := case.missing(rule.needs):
                raise Lacking(*missing)
            for answer in check(case):
                answers.append(_completed(answer, rule, case))
        except Lacking as error:
            answers.append(_completed(NotJudged(error.args), rule, case))
        except NoSolution as error:  # what the forecast did not have to compute, but the rule does
            answers.append(NotJudged((reason_of(error),), rule.id, case.subject))
    return answers


def _completed(answer: Answer, rule: Rule, case: Case) -> Answer:
    if isinstance(answer, NotJudged):
        needs = tuple(case.path(entry) for entry in answer.needs)
        return replace(answer, needs=needs, rule=rule.id, subject=answer.subject or case.subject)
    support = answer.support
    sources = (support.sources if support else answer.sources) or rule.sources
    evidence = support.known if support else answer.evidence
    levers = tuple(case.path(entry) for entry in answer.levers or rule.levers)
    words = answer.remedy or (rule.remedy if answer.severity == NOTE or not levers else "")
    return replace(
        answer,
        rule=rule.id,
        subject=answer.subject or case.subject,
        path=case.path(answer.path),
        remedy=case.show.own_units(words),
        sources=sources,
        evidence=evidence or evidence_of(sources, case.situation.known),
        support=None,
        levers=levers,
    )


def evidence_of(sources: tuple[str, ...], known: Mapping[str, str]) -> str:
    """How the cited sources are known, best first, joined: "published, common practice"."""
    grades = {known.get(key, "common practice") for key in sources}
    return ", ".join(grade for grade in KNOWN if grade in grades)


def judge(situation: Situation, modules: tuple[ModuleType, ...]) -> Report:
    """Asks every rule and sorts the answers into findings, clear, not judged and accepted.

    What is accepted of other rules than these is passed over. A log tells what it can: only a plan can tell too little.
    """
    findings: list[Finding] = []
    not_judged: list[NotJudged] = []
    clear: list[str] = []
    asked: AnswersByRule = {}
    for module in modules:
        answers = ask(module.RULE, module.check, situation, asked)
        findings += [answer for answer in answers if isinstance(answer, Finding)]
        not_judged += [answer for answer in answers if isinstance(answer, NotJudged)]
        if not answers:
            clear.append(module.RULE.id)
    rules = {module.RULE.id: module.RULE for module in modules}
    cases = cases_of(situation, CLUTCH)
    boxes = {case.subject: case.box_subject for case in cases}
    implied_by = {rule.id: rule.implied_by for rule in rules.values()}
    kept, followers = without_followers(findings, implied_by, boxes)
    open_findings, accepted = _split_accepted(kept, situation.plan, rules, dict(followers))
    repeated = {case.subject: case.clutch.entry for case in cases if case.clutch.repeats}
    open_findings, not_judged = told_once(open_findings, repeated), told_once(not_judged, repeated)
    order = {rule: index for index, rule in enumerate((*rules, *(rule.id for rule in ENGINE_RULES)))}
    if situation.trial is None and situation.followed is None:
        open_findings += _too_little_told(not_judged, len(modules))
    open_findings.sort(key=lambda finding: (SEVERITIES.index(finding.severity), order[finding.rule]))
    return Report(tuple(open_findings), tuple(clear), tuple(not_judged), accepted, followers)


ACCEPTANCE_UNUSED = Rule(
    id="plan-acceptance-unused",
    title="A risk is accepted that is not there any more",
    explanation=(
        "The plan accepts a rule that finds nothing, or that could not be judged. An acceptance that stays behind "
        "would hide the fault if it came back later."
    ),
    remedy="Delete the entry under `accept`.",
    sources=("judgement",),
    about=PLAN,
    good="people: {residual_current_device: no}\naccept: [{rule: people-no-residual-current-device, because: on order}]",
    bad="people: {residual_current_device: yes}\naccept: [{rule: people-no-residual-current-device, because: on order}]",
)

MOSTLY_NOT_JUDGED = Rule(
    id="plan-mostly-not-judged",
    title="Too little is told to judge this plan",
    explanation=(
        "Many rules could not be asked, since entries are missing. A fault in what is left out would not be found: "
        "the eggs would find it. Nothing in such a report says that the box is safe."
    ),
    remedy="Add the entries that are listed as not judged, the most wanted first.",
    sources=("judgement",),
    about=PLAN,
    good="",
    bad="",
)
TOO_MANY_NOT_JUDGED = 0.25  # share of the rules; judgement
ENGINE_RULES = (ACCEPTANCE_UNUSED, MOSTLY_NOT_JUDGED)


def _too_little_told(not_judged: list[NotJudged], asked: int) -> list[Finding]:
    unjudged = len({answer.rule for answer in not_judged})
    if unjudged <= TOO_MANY_NOT_JUDGED * asked:
        return []
    return [
        Finding(
            "watch",
            f"{unjudged} of {asked} rules could not be judged: the plan leaves out what they need.",
            "format",
            MOSTLY_NOT_JUDGED.remedy,
            sources=MOSTLY_NOT_JUDGED.sources,
            evidence="common practice",
            rule=MOSTLY_NOT_JUDGED.id,
        )
    ]


def _split_accepted(
    findings: list[Finding], plan: Plan, rules: Mapping[str, Rule], causes: Mapping[str, str]
) -> tuple[list[Finding], tuple[AcceptedRisk, ...]]:
    """Open findings and accepted risks. Who accepts a follower is told of its cause (`causes`), which stays open."""
    accepted: list[AcceptedRisk] = []
    remaining = list(findings)
    for index, entry in enumerate(plan.accept):
        rule_id = entry.rule
        if rule_id not in rules:
            continue
        covered = tuple(finding for finding in remaining if finding.rule == rule_id)
        if covered:
            worst = min((finding.severity for finding in covered), key=SEVERITIES.index)
            accepted.append(AcceptedRisk(rule_id, entry.because, worst, covered))
            remaining = [finding for finding in remaining if finding.rule != rule_id]
        else:
            cause = causes.get(rule_id)
            told = f"it is told here as {cause}" if cause else "this plan gives no such finding"
            remaining.append(
                Finding(
                    "note",
                    f"You accept {entry.rule}, but {told}.",
                    f"accept[{index}]",
                    f"Name {cause} in the entry if you accept that." if cause else ACCEPTANCE_UNUSED.remedy,
                    sources=ACCEPTANCE_UNUSED.sources,
                    evidence="common practice",
                    rule=ACCEPTANCE_UNUSED.id,
                )
            )
    return remaining, tuple(accepted)
