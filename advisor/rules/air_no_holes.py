"""Air for the eggs: holes, or a lid that leaks."""

from collections.abc import Iterator

from advisor.model.figures import Figure
from advisor.model.findings import STOP, WATCH, Finding, NotJudged
from advisor.rules.engine import EGG_BOX, Case, Lacking, Rule

RULE = Rule(
    id="air-no-holes",
    title="The egg box has no way for air to come in",
    explanation=(
        "Eggs breathe through the shell, most of all in the last third. In a tight box without holes the oxygen of the "
        "box is used up within hours near the end, and the young die fully grown in the egg. Opening the lid once a day "
        "does not make up for it."
    ),
    remedy="Make five holes of 2 mm (about 1/16 in) in the lid or high in the walls, or as many as the forecast asks for.",
    sources=("practice",),
    about=EGG_BOX,
    needs=("box.holds",),
    implied_by=("air-short-of-oxygen-late",),
    levers=("box.lid.holes",),
    good="egg_boxes: [{name: eggs, holds: eggs, lid: {fit: clip, holes: {count: 5, diameter: 2 mm}}}]",
    bad="egg_boxes: [{name: eggs, holds: eggs, lid: {fit: gasket, holes: none}}]",
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """No holes: certain harm with a gasket, a risk with a lid that leaks by itself. An open tray needs none."""
    lid = case.box.lid
    enough = case.box_forecast.air.holes_enough
    if not lid.fitted:
        return
    if lid.holes is None:
        raise Lacking("box.lid.holes")
    if lid.holes.count > 0:
        return
    figures = (("holes_enough", enough),) if isinstance(enough, Figure) else ()
    if lid.fit is None:
        yield NotJudged(("box.lid.fit",))
    elif lid.fit == "gasket":
        yield Finding(
            STOP,
            "The lid has a gasket and no holes: a full box runs out of oxygen within hours late in incubation.",
            "box.lid.holes",
            figures=figures,
        )
    else:
        yield Finding(
            WATCH,
            f"The box has no holes and breathes only through the rim of its {lid.fit} lid: how much is not known.",
            "box.lid.holes",
            figures=figures,
        )
