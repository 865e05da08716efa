"""Oxygen in the egg box when the eggs breathe most."""

from collections.abc import Iterator

from advisor.forecast.egg_box.air import ROUNDING, fresh_oxygen, least_oxygen
from advisor.forecast.egg_box.vents import USUAL_HOLE
from advisor.formulas.air.moist_air import air_pressure
from advisor.formulas.air.oxygen import oxygen_limits
from advisor.model.figures import Figure
from advisor.model.findings import FIX, NOTE, STOP, WATCH, Finding
from advisor.model.plan import Holes
from advisor.rules.engine import CLUTCH, Case, Rule
from advisor.rules.shared import what_matters

OPEN_TRAY = "The box is open: what runs short is the air of the outer box."
HATCHING = 1.0  # stage; the eggs then breathe most

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
    needs=("box_forecast.air.oxygen_lowest",),
    implied_by=("air-no-holes",),
    levers=("box.lid.holes", "outer_box.vents", "box.count", "box.lid.fit", "box.inside"),
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
    """The oxygen needed late at the typical value, or reached by its range. Told once for each kind of box."""
    air = case.box_forecast.air
    oxygen, holes = air.oxygen_lowest, air.holes_enough
    set_to, lid = case.plan.control.set_to, case.box.lid
    assert isinstance(oxygen, Figure)
    assert set_to is not None  # the forecast rests on it
    if case.clutches_in_box[0][0] is not case.clutch:
        return
    least, thin = _needed(case.plan.room.altitude, set_to)
    short = oxygen.low < least - ROUNDING
    if not short and not thin:
        return
    if not short:
        yield Finding(
            NOTE,
            f"{thin} The box lets in nearly all of that: about {_percent(oxygen.value)} %.",
            "room.altitude",
            "Keep the box as airy as it is, and ask keepers near you how their eggs hatch.",
            figures=(("oxygen_lowest", oxygen),),
            subject=case.box_subject,
        )
        return
    if lid.holes is None:  # an open tray, in an outer box whose own air is short
        takes, remedy, where = OPEN_TRAY, "Give the outer box vents low and high.", "outer_box.vents"
    else:
        takes, remedy, where = _holes(case, lid.holes), RULE.remedy, "box.lid.holes"
    severity = _severity(oxygen, least, set_to)
    need = "the box should keep" if thin else "the eggs need"
    yield Finding(
        severity,
        f"{thin}{' ' if thin else ''}Near hatching the air in the box holds about {_percent(oxygen.value)} % oxygen (likely "
        f"{_percent(oxygen.low)} to {_percent(oxygen.high)} %); {need} {_percent(least)} %. {takes}",
        where,
        f"{remedy if severity == NOTE else ''}{what_matters(oxygen)}".strip(),
        figures=(
            ("oxygen_lowest", oxygen),
            *((("holes_enough", holes),) if isinstance(holes, Figure) else ()),
        ),
        subject=case.box_subject,
        levers=("outer_box.vents",) if lid.holes is None else (),
    )


def _holes(case: Case, there: Holes) -> str:
    """How many air holes it takes, and how many there are."""
    enough, size = case.box_forecast.air.holes_enough, f" of {case.show.length(there.diameter or USUAL_HOLE)}"
    if isinstance(enough, Figure):
        return f"With holes{size} alone it takes {round(enough.value)} to be sure; there are {there.count}."
    return f"There are {there.count}{size if there.count else ''}, and {enough.reason}."


def _needed(altitude: float | None, set_to: float) -> tuple[float, str]:
    """The oxygen to keep, and the sentence on air that is too thin to hold what eggs need at sea level."""
    pressure = air_pressure(altitude or 0.0)
    least, limit, fresh = (
        least_oxygen(set_to, pressure),
        oxygen_limits(set_to, HATCHING).warn,
        fresh_oxygen(set_to, pressure),
    )
    if fresh >= limit:
        return least, ""
    return least, (
        f"At this altitude fresh air gives only as much oxygen as air of {_percent(fresh)} % at sea level, and late "
        f"eggs want {_percent(limit)} %."
    )


def _severity(oxygen: Figure, least: float, set_to: float) -> str:
    """Where only the range reaches below what is needed it can go wrong, and hardly while it keeps the usual limit.

    A typical value that reads the same as what is needed is no less.
    """
    late, usual = oxygen_limits(set_to, HATCHING), oxygen_limits(set_to, 0.0)
    usual_least = least - (late.warn - usual.warn)
    if float(_percent(oxygen.value)) < float(_percent(least)):
        return STOP if oxygen.value < late.bad - ROUNDING else FIX
    return NOTE if oxygen.low >= usual_least - ROUNDING else WATCH


def _percent(share: float) -> str:
    """Percent to a half: a point more or less decides, and no tenth is known."""
    return f"{round(share * 200) / 2:g}"
