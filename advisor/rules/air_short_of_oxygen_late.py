"""Oxygen in the egg box when the eggs breathe most."""

from collections.abc import Iterator

from advisor.eggs.oxygen import oxygen_limits
from advisor.model.figures import Figure
from advisor.model.findings import FIX, NOTE, STOP, WATCH, Finding
from advisor.rules.engine import CLUTCH, Case, Rule, what_matters

HATCHING = 1.0  # stage; the eggs then breathe most
HAIR = 1e-9  # so that 18 % counts as 18 %

RULE = Rule(
    id="air-short-of-oxygen-late",
    title="The eggs run short of oxygen in the last third",
    explanation=(
        "An egg uses ten times as much oxygen near hatching as in its first weeks. Through small holes only so much comes in, "
        "so the air in a tight box with many eggs gets thin just then. The late embryo bears that least: it grows slowly, "
        "hatches small and weak, or dies fully grown. Opening the box helps for hours only."
    ),
    remedy="Make more holes in the lid or high in the walls, or spread the eggs over more boxes.",
    sources=("judgement", "li-2025"),
    about=CLUTCH,
    needs=("box_forecast.oxygen_lowest",),
    implied_by=("air-no-holes",),
    good="""\
control: {set_to: 28 °C}
egg_boxes:
  - {name: eggs, holds: eggs, count: 1, inside: 20 x 14 x 9 cm,
     lid: {fit: clip, thickness: 1 mm, holes: {count: 5, diameter: 2 mm}}}
clutches: [{species: pantherophis-guttatus, eggs: 7, egg_mass: 11 g, box: eggs}]""",
    bad="""\
control: {set_to: 28 °C}
egg_boxes:
  - {name: eggs, holds: eggs, count: 1, inside: 20 x 14 x 9 cm,
     lid: {fit: gasket, thickness: 1 mm, holes: {count: 5, diameter: 2 mm}}}
clutches: [{species: pantherophis-guttatus, eggs: 20, egg_mass: 11 g, box: eggs}]""",
)


def check(case: Case) -> Iterator[Finding]:
    """The late limits of `oxygen_limits` at the typical value, or reached by its range. Told once for each kind of box."""
    oxygen, holes = case.box_forecast.oxygen_lowest, case.box_forecast.holes_enough
    set_to, lid = case.plan.control.set_to, case.box.lid
    assert isinstance(oxygen, Figure) and isinstance(holes, Figure)
    assert set_to is not None and lid.holes is not None  # the forecast rests on them
    limits = oxygen_limits(set_to, HATCHING)
    if oxygen.low >= limits.warn - HAIR or case.clutches_in_box[0][0] is not case.clutch:
        return
    certain = oxygen.value < limits.warn - HAIR
    enough = round(holes.value if certain else max(holes.high, lid.holes.count + 1))
    size = f" of {case.show.length(lid.holes.diameter)}" if lid.holes.count and lid.holes.diameter else ""
    range_of_holes = f" (likely {holes.low:.0f} to {holes.high:.0f})" if certain else ""
    yield Finding(
        _severity(oxygen, set_to),
        f"Near hatching the air in the box holds about {_percent(oxygen.value)} % oxygen (likely {_percent(oxygen.low)} to "
        f"{_percent(oxygen.high)} %); the eggs need {_percent(limits.warn)} %. "
        f"That takes {enough} holes{size}{range_of_holes}; there are {lid.holes.count}.",
        "box.lid.holes",
        f"Make {enough} holes{size} in each box, far apart and where no drops hang, or spread the eggs over more boxes."
        + what_matters(oxygen),
        figures=(("oxygen_lowest", oxygen), ("holes_enough", holes)),
        subject=case.box_subject,
    )


def _severity(oxygen: Figure, set_to: float) -> str:
    """Where only the range reaches below the late limit it can go wrong, and hardly while it keeps the usual one."""
    late, usual = oxygen_limits(set_to, HATCHING), oxygen_limits(set_to, 0.0)
    if oxygen.value < late.warn - HAIR:
        return STOP if oxygen.value < late.bad - HAIR else FIX
    return NOTE if oxygen.low >= usual.warn - HAIR else WATCH


def _percent(share: float) -> str:
    """Percent to a half: a point more or less decides, and no tenth is known."""
    return f"{round(share * 200) / 2:g}"
