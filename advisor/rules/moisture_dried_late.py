"""Letting the medium dry on purpose near the end."""

from collections.abc import Iterator

from advisor.model.findings import NOTE, WATCH, Finding
from advisor.rules.engine import EGG_BOX, Case, Rule

RULE = Rule(
    id="moisture-dried-late",
    title="The medium is to dry out on purpose near the end",
    explanation=(
        "Some keepers let the medium dry in the last tenth, so that the eggs get more air. More air late is right, since "
        "the embryo then needs most oxygen. No study was found that supports less water. In one snake, moisture that fell "
        "over time changed the young only a little. In painted turtles, dryness in the last two thirds lowered success and "
        "size, and eggs did not make up for it in the last third."
    ),
    remedy="Keep the medium as moist as before until hatching, and give more air through holes instead.",
    sources=("practice", "gutzke-1986", "brown-shine-moisture", "li-2025"),
    about=EGG_BOX,
    needs=("box.dry_late",),
    levers=("box.dry_late",),
    good="egg_boxes: [{name: eggs, dry_late: no}]",
    bad="egg_boxes: [{name: eggs, dry_late: yes}]",
)


def check(case: Case) -> Iterator[Finding]:
    """Not recommended; of less weight when all eggs in the box have a rigid shell and drink little."""
    if not case.box.dry_late:
        return
    shells = {species.eggs.shell for _, species in case.clutches_in_box}
    yield Finding(
        NOTE if shells == {"rigid"} else WATCH,
        "The plan lets the medium dry near the end. For it: some keepers do so, and in one snake falling moisture changed "
        "the young only a little (Brown & Shine). Against it: painted turtle eggs still needed moisture in the last third "
        "(Gutzke & Packard 1986).",
        "box.dry_late",
    )
