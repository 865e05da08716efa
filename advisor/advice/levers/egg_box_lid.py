"""Levers of the lid of an egg box: how it shuts, its holes."""

from collections.abc import Iterator

from advisor.advice.levers.egg_box_kits import named
from advisor.advice.levers.lever import Ladder, Lever, change, ladder, one_of
from advisor.advice.levers.outer_box import fresh_air_holes
from advisor.advice.written import Written
from advisor.forecast.egg_box.air import room_for_holes
from advisor.forecast.egg_box.vents import USUAL_HOLE
from advisor.model.changes import PURCHASE, REBUILD, Change
from advisor.model.figures import Figure
from advisor.rules.engine import Case
from advisor.show import counted
from advisor.units import INCH

COUNTS = (2, 3, 4, 5, 6, 7, 8, 9, 10, 12, 14, 16, 18, 20, 25, 30, 40, 50, 70, 100)
USUAL_COUNT = 5  # holes of 2 mm in a lid; common practice, no source
NARROW = {"metric": "2 mm", "us": "5/64 in"}  # the usual drill; common practice, no source
# Drills for larger holes [m]: whole millimetres, or the fractions of an inch that are sold; judgement.
DRILLS = {
    "metric": tuple(size / 1000 for size in (3, 4, 5, 6, 8, 10, 12, 15, 20)),
    "us": tuple(size * INCH / 32 for size in (4, 5, 6, 8, 10, 12, 16, 24)),
}
LID = {"metric": "1 mm", "us": "1/32 in"}  # of most plastic boxes; judgement
FITS = {"clip": "clips shut", "gasket": "has a gasket", "loose": "lies loose"}


def _lid(case: Case) -> Iterator[Ladder]:
    """A lid for an open tray, with the holes that most need."""
    if not case.box.lid.fitted:
        size = NARROW[case.plan.units]
        lid = {
            "fit": "clip",
            "thickness": LID[case.plan.units],
            "holes": {"count": USUAL_COUNT, "diameter": size},
        }
        words = f"Put a lid that clips shut on {named(case)}, with {counted(USUAL_COUNT, 'hole')} of {size}."
        yield from one_of(change(case, words, PURCHASE, box__lid=lid))


def _fit(case: Case) -> Iterator[Ladder]:
    if not case.box.lid.fitted:
        return
    box = named(case)
    yield from ladder(
        change(case, f"Use a lid that {words} on {box}.", PURCHASE, box__lid__fit=fit)
        for fit, words in FITS.items()
        if fit != case.box.lid.fit
    )


def _thickness(case: Case) -> Iterator[Ladder]:
    if case.box.lid.thickness is None and case.box.lid.fitted:
        yield from one_of(
            change(case, "Measure the thickness of the lid.", box__lid__thickness=LID[case.plan.units])
        )


def _holes(case: Case) -> Iterator[Ladder]:
    """More holes of the planned size, as are surely enough; fewer; larger ones; then as few more as may do. All find room."""
    if not case.box.lid.fitted:
        return
    units, holes = case.plan.units, case.box.lid.holes
    count = holes.count if holes is not None else 0
    planned = (holes.diameter if holes is not None else None) or USUAL_HOLE
    kept = count > 0 and holes is not None and holes.diameter is not None
    size = Written(units).length(planned) if kept else NARROW[units]
    enough = case.box_forecast.air.holes_enough
    sure = max(round(enough.value) if isinstance(enough, Figure) else 0, USUAL_COUNT)
    more = [number for number in _room(case, planned, sure) if number > count]
    yield from ladder((_made(case, number, size, kept) for number in more if number >= sure), steady=True)
    yield from ladder(
        (_left_open(case, number) for number in reversed(COUNTS) if number < count), steady=True
    )
    wider = [
        (number, diameter)
        for diameter in DRILLS[units]
        if diameter > planned + 1e-6
        for number in _room(case, diameter)
        if number * diameter**2 > count * planned**2 + 1e-12
    ]
    wider.sort(key=lambda holes: (holes[0] * holes[1] ** 2, holes[1]))  # what they let through, nearly
    drilled = [(number, Written(units).length(diameter)) for number, diameter in wider]
    yield from ladder((_made(case, *holes, False) for holes in drilled), steady=True)
    yield from ladder((_made(case, number, size, kept) for number in more if number < sure), steady=True)
    for vents in fresh_air_holes(case):
        yield from ladder((_with_vents(case, vents, *holes) for holes in drilled), steady=True)


def _room(case: Case, diameter: float, besides: int = 0) -> list[int]:
    """Numbers of holes of a diameter [m] that find room; `besides` is one of them where it does."""
    inside = case.box.inside
    most = USUAL_COUNT if inside is None else room_for_holes(inside, diameter)
    return [number for number in sorted({*COUNTS, besides}) if number <= most]


def _made(case: Case, number: int, diameter: str, same: bool) -> Change:
    """same: the holes keep the size that the plan tells, to its last digit."""
    words = f"Make {counted(number, 'hole')} of {diameter} in the lid of {named(case)} or high in its walls, far apart."
    if same:
        words = f"Make it {counted(number, 'hole')} of {diameter} in the lid of {named(case)} or high in its walls, far apart."
        return change(case, words, box__lid__holes__count=number)
    return change(case, words, box__lid__holes={"count": number, "diameter": diameter})


def _with_vents(case: Case, vents: tuple[str, dict[str, object]], number: int, diameter: str) -> Change:
    """More holes, and vents in the outer box, whose own air gets thin too."""
    made = _made(case, number, diameter, False)
    words, entry = vents
    holes = {"count": number, "diameter": diameter}
    return change(case, f"{words} {made.words}", REBUILD, outer_box__vents=entry, box__lid__holes=holes)


def _left_open(case: Case, number: int) -> Change:
    words = f"Leave {counted(number, 'hole')} open in the lid of {named(case)}, and tape over the others."
    return change(case, words, box__lid__holes__count=number)


LEVERS = (
    Lever("egg_boxes[].lid", _lid, "a lid keeps the water in"),
    Lever("egg_boxes[].lid.fit", _fit, "a clip lid keeps the water in"),
    Lever("egg_boxes[].lid.thickness", _thickness, "as most plastic boxes have it"),
    Lever("egg_boxes[].lid.holes", _holes, "air for the last third"),
)
