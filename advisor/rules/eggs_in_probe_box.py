"""Eggs and the thermostat's probe in one box."""

from collections.abc import Iterator

from advisor.model.findings import FIX, WATCH, Finding, NotJudged
from advisor.rules.engine import CLUTCH, Case, Rule

RULE = Rule(
    id="eggs-in-probe-box",
    title="Eggs go into the box that holds the probe",
    explanation=(
        "The probe box stands for all the other boxes. Every look at the eggs moves or cools the probe beside them, and "
        "the heater then runs while the other eggs are warm already. A probe that slips out this way can overheat the "
        "whole box within hours. Growing eggs also give off a little warmth late, which leaves the other boxes cooler."
    ),
    remedy="Keep the probe in a box of its own with the same medium, and put the eggs into another box.",
    sources=("practice",),
    about=CLUTCH,
    needs=("box.holds",),
    good=(
        "control: {probe: {sits_in: probe box medium}}\n"
        "egg_boxes: [{name: eggs, holds: eggs}]\nclutches: [{species: pantherophis-guttatus, box: eggs}]"
    ),
    bad="egg_boxes: [{name: probe, holds: probe}]\nclutches: [{species: pantherophis-guttatus, box: probe}]",
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """The clutch's box holds the probe; the way out is a box for eggs where the plan has one.

    A probe in the medium of an egg box is told once: which of the boxes it is does not stand in a plan.
    """
    if case.box.holds != "probe":
        yield from _probe_beside_eggs(case)
        return
    other = any(box.holds == "eggs" for box in case.plan.egg_boxes)
    yield Finding(
        FIX,
        f"The clutch goes into '{case.box.name}', the box that holds the probe. The rules about egg boxes leave it out.",
        "clutch.box",
        "" if other else "Add an egg box for the clutch, alike but without the probe.",
        levers=("clutch.box",) if other else (),
    )


def _probe_beside_eggs(case: Case) -> Iterator[Finding | NotJudged]:
    sits_in = case.plan.control.probe.sits_in
    if sits_in is None:
        yield NotJudged(("control.probe.sits_in",))
    elif sits_in == "egg box medium" and case.clutch_index == 0:
        yield Finding(
            WATCH,
            "The probe sits in the medium of an egg box, beside the eggs.",
            "control.probe.sits_in",
            "If it stays there, fix it so that no look at the eggs moves it.",
            subject=case.box_subject,
            levers=("control.probe.sits_in",),
        )
