"""A whole set-up from what is told: for each entry that is missing, the value its lever proposes."""

import datetime
import re
from collections.abc import Iterator
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from advisor.advice.entries import told_at, touches, within
from advisor.advice.levers import case_at, is_built_in, lever_of
from advisor.advice.trials import Trials
from advisor.assess import Assessment
from advisor.model.changes import Setting
from advisor.reading.marks import path_key

# Entries to fill, in stages: what one stage proposes may rest on the forecast with all before it.
STAGES = (
    ("room.temperature", "room.humidity", "clutches[].eggs", "clutches[].egg_mass", "clutches[].wanted"),
    ("control.set_to", "egg_boxes"),
    ("clutches[].repeats.every", "clutches[].box", "clutches[].placed", "clutches[].parted", "clutches[].marked", "clutches[].cool_period"),
    ("egg_boxes[].holds", "egg_boxes[].inside", "egg_boxes[].stands", "egg_boxes[].tier"),
    ("egg_boxes[].lid.fit", "egg_boxes[].lid.thickness", "egg_boxes[].medium.material", "egg_boxes[].medium.grade"),
    ("egg_boxes[].medium.depth", "egg_boxes[].medium.mix", "egg_boxes[].count", "egg_boxes[].lid.holes"),
    ("egg_boxes[].top_up", "egg_boxes[].dry_late", "outer_box.inside"),
    ("outer_box.wall.material", "outer_box.wall.thickness", "outer_box.lid_fits", "outer_box.stands_on"),
    ("heat.source", "heat.place", "control.thermostat", "control.probe.sits_in", "control.probe.fixed"),
    ("heat.size", "heat.power", "control.switching_band", "control.checked_against", "control.cut_out"),
    ("watching.thermometers", "watching.logger", "watching.alarm", "power_cut.prepared", "power_cut.water"),
    ("clutches[].looked_for", "clutches[].lay_box", "checks.opens", "checks.lasting", "checks.rhythm"),
    ("trial_run.days", "people.residual_current_device", "people.drip_loop", "people.children_under_five"),
    ("trial_run.from",),
)  # fmt: skip

_DAY = re.compile(r"\d{4}-\d\d-\d\d")
WEEKS_TO_LAYING = 8  # time to buy, build and try; judgement


class Proposal(Struct, frozen=True):
    """An entry that the plan left out, what is proposed there, and why in a few words."""

    setting: Setting
    because: str


def filled(
    base: Assessment, trials: Trials, today: datetime.date, keep: tuple[str, ...] = ()
) -> tuple[Assessment, tuple[Proposal, ...]]:
    """The plan with every missing entry proposed that has a lever, and the proposals; entries in `keep` stay missing.

    today: where nothing is told of the laying, it is taken to be `WEEKS_TO_LAYING` away.
    """
    found = [row for row in _laying(base.document.data, today) if not touches(row.setting.path, keep)]
    here = trials.of(base, tuple(proposal.setting for proposal in found)) or base
    for stage in STAGES:
        proposals = [
            proposal
            for pattern in stage
            for path in _places(here.document.data, pattern)
            for proposal in _proposal(here, path, today)
            if not touches(proposal.setting.path, keep)
        ]
        whole = trials.of(here, tuple(proposal.setting for proposal in proposals))
        if whole is not None:
            here, found = whole, found + proposals
            continue
        for proposal in proposals:  # one of them makes no plan: one by one, those that do
            after = trials.of(here, (proposal.setting,))
            if after is not None:
                here, found = after, [*found, proposal]
    return here, tuple(found)


def settled(whole: Assessment, trials: Trials, proposed: frozenset[str]) -> Assessment:
    """The whole plan with its proposed holes and probe box asked again of their levers, where that leaves fewer findings.

    How many holes are enough, and what the probe box has to be like, only the whole plan tells.
    """
    best = _again(whole, "egg_boxes[]", trials, proposed)
    holes = _again(whole, "egg_boxes[].lid.holes", trials, proposed, at_least=0)
    both = _again(holes, "egg_boxes[]", trials, proposed)
    return both if len(both.report.findings) < len(best.report.findings) else best


def _again(
    here: Assessment, pattern: str, trials: Trials, proposed: frozenset[str], at_least: int = 1
) -> Assessment:
    """A plan with the first values of a lever at what was proposed, each where it leaves so many findings less."""
    root, _, rest = pattern.partition("[]")
    for index in range(len(here.document.data.get(root) or ())):
        path = f"{root}[{index}]{rest}"
        lever = lever_of(path)
        if lever is None or not any(within(path, entry) for entry in proposed):
            continue
        ladder = next(lever.values(case_at(here.situation, path)), None)
        after = trials.of(here, ladder.changes[0].settings) if ladder is not None else None
        if after is not None and len(after.report.findings) + at_least <= len(here.report.findings):
            here = after
    return here


def _laying(data: Any, today: datetime.date) -> Iterator[Proposal]:
    first = today + datetime.timedelta(weeks=WEEKS_TO_LAYING)
    window = f"{first.isoformat()} to {(first + datetime.timedelta(days=7)).isoformat()}"
    for index, clutch in enumerate(data["clutches"]):
        if not clutch.get("laying"):
            yield Proposal(
                Setting(f"clutches[{index}].laying", {"expected": window}),
                "a guess; write the real days here",
            )


def _places(data: Any, pattern: str) -> Iterator[str]:
    """The paths of a pattern at which the plan tells nothing: of a list for each of its items."""
    root, listed, rest = pattern.partition("[]")
    if not listed:
        if _is_untold(data, root):
            yield root
        return
    for index in range(len(data.get(root) or ())):
        path = f"{root}[{index}]{rest}"
        if _is_untold(data, path):
            yield path


def _is_untold(data: Any, path: str) -> bool:
    """Whether nothing stands at an entry, nor a word in place of the block that it belongs to ("none")."""
    return told_at(data, path_key(path)) in (None, "unknown")


def _proposal(here: Assessment, path: str, today: datetime.date) -> Iterator[Proposal]:
    """The first value of the entry's lever, for what is missing; a day that has passed becomes today."""
    lever = lever_of(path)
    if lever is None or is_built_in(here.situation.plan, path):
        return
    for ladder in lever.values(case_at(here.situation, path)):
        for setting in ladder.changes[0].settings:
            if _is_untold(here.document.data, setting.path):
                yield Proposal(replace(setting, value=not_past(setting.value, today)), lever.because)
        return


def not_past(value: Any, today: datetime.date) -> Any:
    """A value to write, with today for a day that has passed."""
    if isinstance(value, dict):
        return {name: not_past(entry, today) for name, entry in value.items()}
    if isinstance(value, str) and _DAY.fullmatch(value):
        return max(value, today.isoformat())
    return value
