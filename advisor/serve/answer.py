"""The answer beside a plan: verdict, pictures, findings with what to do, and the entries that would tell more."""

import json
import re
from collections.abc import Iterable, Mapping
from types import MappingProxyType

from msgspec import Struct

from advisor.assess import Assessment
from advisor.drawings.canvas import NARROW
from advisor.drawings.cross_section import cross_section
from advisor.drawings.ladder import ladder
from advisor.forecast.for_papers import egg_sizes_of
from advisor.interview.second_round import untold
from advisor.model.changes import Setting
from advisor.model.findings import Finding, alike
from advisor.papers.pictures import Picture, picture_of
from advisor.reading.marks import example_of, line_of, path_key
from advisor.reading.schema import entry_at
from advisor.report.screen import advice_text, clutch_dates, verdict_text
from advisor.rules import rule_by_id
from advisor.serve.form import nearest_place, place_id
from advisor.wording import capital

BEING_TRIED = "One moment: changes are being tried."
_PATH = re.compile(r"`?\b([a-z_]+(?:\[\d+\]|\.[a-z_]+)+)`?")


class Told(Struct, frozen=True):
    """One finding, or several alike: places as (words, id on the page, line), the tried change as settings to send."""

    finding: Finding
    places: tuple[tuple[str, str, int], ...]
    title: str
    why: str
    do: str
    settings: str = ""


class PlanAnswer(Struct, frozen=True):
    """What the page says of one plan."""

    verdict: str
    says: str
    dates: tuple[str, ...]
    pictures: tuple[Picture, ...]
    told: tuple[Told, ...]
    wanted: tuple[tuple[str, str, str], ...]  # words for the entry, id on the page, example
    others: tuple[str, ...]  # what no entry would tell
    accepted: tuple[tuple[str, str, str], ...]
    clear: int

    @property
    def word(self) -> str:
        """The verdict in a word or three, as its sentence begins."""
        begins = self.says.removeprefix("Verdict: ").partition(":")[0]
        return begins if begins.isupper() else self.verdict.upper()


def answer_of(assessment: Assessment, known: frozenset[str]) -> PlanAnswer:
    """The answer; `known` are the paths of the form, to lead to them."""
    situation, report = assessment.situation, assessment.report
    wanted = untold(report)
    needs = dict.fromkeys(need for answer in report.not_judged for need in answer.needs)
    show = situation.show
    return PlanAnswer(
        report.verdict,
        verdict_text(report),
        tuple(_dates(assessment)),
        tuple(_pictures(assessment)),
        tuple(_told(findings, assessment, known) for findings in alike(report)),
        tuple(
            (words_of(entry), place_id(nearest_place(entry, known)), example_of(entry, show.us))
            for entry in wanted
        ),
        tuple(need for need in needs if need not in wanted),
        tuple((risk.rule, risk.severity, risk.because) for risk in report.accepted),
        len(report.clear),
    )


def _dates(assessment: Assessment) -> Iterable[str]:
    situation = assessment.situation
    for clutch, forecast in zip(situation.plan.clutches, situation.forecast.clutches, strict=True):
        found = ". ".join(clutch_dates(forecast))
        yield f"{capital(situation.species[clutch.species].name)}. {found}".rstrip(". ")


def words_of(path: str) -> str:
    """An entry as the form calls it: "Heat: heater place", "Egg box 2: lid fit"."""
    key = path_key(path)
    number = key[1] + 1 if len(key) > 1 and isinstance(key[1], int) else 0
    block = key[:2] if number else key[:1]
    named = str(entry_at("plan", block).get("title", path)) + (f" {number}" if number else "")
    title = str(entry_at("plan", key).get("title", "")) if key != block else ""
    return f"{named}: {title[:1].lower()}{title[1:]}" if title else named


def in_words(message: str) -> str:
    """A message of the file reader with each path in it as the form calls that entry."""

    def named(found: re.Match[str]) -> str:
        if not entry_at("plan", path_key(found[1])):
            return found[0]
        return f"“{words_of(found[1])}”" if found[0].startswith("`") else words_of(found[1])

    return _PATH.sub(named, message)


def _told(findings: tuple[Finding, ...], assessment: Assessment, known: frozenset[str]) -> Told:
    finding = findings[0]
    rule = rule_by_id(finding.rule)
    places = tuple(
        (
            f"{words_of(one.path)} ({one.subject})" if one.subject else words_of(one.path),
            place_id(nearest_place(one.path, known)),
            line_of(assessment.document, one.path),
        )
        for one in findings
    )
    works = [change for change in finding.changes if change.works and not finding.obstacle]
    sent = settings_text(works[0].settings) if works else ""
    why = assessment.situation.show.own_units(rule.explanation)
    do = in_words(advice_text(finding)) if finding.remedy or finding.obstacle else BEING_TRIED
    return Told(finding, places, rule.title, why, do, sent)


def _pictures(assessment: Assessment) -> Iterable[Picture]:
    situation = assessment.situation
    plan, forecast, show = situation.plan, situation.forecast, situation.show
    sizes = egg_sizes_of(plan, situation.species)
    yield picture_of("The box", cross_section(plan, forecast, sizes, show, width=NARROW))
    kinds = [situation.species[name] for name in dict.fromkeys(clutch.species for clutch in plan.clutches)]
    yield picture_of("Its temperatures", ladder(plan, forecast, kinds, show))


def settings_text(settings: tuple[Setting, ...], remarks: Mapping[str, str] = MappingProxyType({})) -> str:
    """Settings as a button sends them, some with a remark to write behind."""
    sent = [[one.path, one.value, *([remarks[one.path]] if one.path in remarks else [])] for one in settings]
    return json.dumps(sent, ensure_ascii=False)


def cleared_since(before: Assessment, now: Assessment) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Titles of what is no longer found, and of what is found anew."""
    was, found = (dict.fromkeys(finding.rule for finding in one.report.findings) for one in (before, now))
    return (
        tuple(rule_by_id(rule).title for rule in was if rule not in found),
        tuple(rule_by_id(rule).title for rule in found if rule not in was),
    )
