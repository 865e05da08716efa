"""Eggs covered by the medium."""

from collections.abc import Iterator

from advisor.model.findings import FIX, WATCH, Finding
from advisor.rules.engine import CLUTCH, Case, Rule

RULE = Rule(
    id="eggs-buried",
    title="The eggs are buried in the medium",
    explanation=(
        "Eggs breathe through the shell. Damp medium all round lets in less air and more water, most of all late, when "
        "the embryo needs the most air. A rigid shell cannot stretch for that water, and wet pores let hardly any air "
        "through. Buried eggs also hide mould and caving in until it is too late to help."
    ),
    remedy="Sink the eggs to about half their height, so that the upper half stays in the air.",
    sources=("practice",),
    about=CLUTCH,
    needs=("clutch.placed",),
    implied_by=("eggs-detached",),
    levers=("clutch.placed",),
    good="clutches: [{species: pantherophis-guttatus, placed: half buried}]",
    bad="clutches: [{species: pantherophis-guttatus, placed: buried}]",
)


def check(case: Case) -> Iterator[Finding]:
    """Buried eggs: a risk with a soft shell, a fault with a rigid one."""
    if case.clutch.placed != "buried":
        return
    eggs = case.species.eggs
    if eggs.shell == "rigid":
        message = f"The plan buries the eggs whole, and the eggs of {case.species.name} have a rigid shell."
        yield Finding(FIX, message, "clutch.placed", support=eggs.support)
    else:
        message = f"The plan buries the eggs of {case.species.name} whole: keepers leave about half of each egg free."
        yield Finding(WATCH, message, "clutch.placed")
