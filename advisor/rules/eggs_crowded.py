"""Eggs against the places their boxes have."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from advisor.eggs.places import egg_width_from_mass, places_for_eggs
from advisor.model.findings import FIX, WATCH, Finding, NotJudged
from advisor.model.plan import Clutch, Range, Size
from advisor.model.species import Species
from advisor.rules.engine import EGG_BOX, Case, Rule

SPACING = 0.010  # m between two eggs; Marco et al. 2004 compared touching eggs with eggs 1 cm apart
LEAST_SPACING = 0.005  # m; low end of the gaps in use; judgement

RULE = Rule(
    id="eggs-crowded",
    title="More eggs than the boxes have room for",
    explanation=(
        "Eggs that touch share the water and the air round them. In a drier mix, lizard eggs that touched took up less "
        "water and gave smaller young than eggs kept a little apart. Mould also grows from a dead egg over to its "
        "neighbours within days. A clutch that has stuck together stays as it is and is not counted here."
    ),
    remedy="Leave about 1 cm (3/8 in) between eggs, and add an egg box when they do not fit.",
    sources=("marco-2004", "phillott-2001", "practice"),
    about=EGG_BOX,
    needs=(),
    good=(
        "egg_boxes: [{name: eggs, count: 2, inside: 15 x 10 x 8 cm}]\n"
        "clutches: [{species: pogona-vitticeps, eggs: 24, box: eggs}]"
    ),
    bad=(
        "egg_boxes: [{name: eggs, count: 1, inside: 15 x 10 x 8 cm}]\n"
        "clutches: [{species: pogona-vitticeps, eggs: 24, box: eggs}]"
    ),
)


HAIR = 1e-9  # boxes; so that shares of a box that add up to a whole one are not lost to rounding
ON_SURFACE, TOGETHER = "attached to its surface", "left together"


@dataclass(frozen=True, slots=True)
class _Demand:
    """What one clutch asks of this box: boxes filled for certain and at most, boxes filled by small eggs laid close.

    `places` are the eggs one box takes. `missing` are the entries that keep certain and most apart.
    """

    surely: float
    at_most: float
    laid_close: float
    places: int
    missing: tuple[str, ...]


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """Adds up how many boxes the eggs fill that lie singly in this kind of box."""
    box, show = case.box, case.show
    clutches = [
        (clutch, case.situation.species[clutch.species], _demand(case, index, clutch))
        for index, clutch in enumerate(case.plan.clutches)
        if clutch.box in (None, box.name) and clutch.placed != ON_SURFACE and not _stays_whole(case, clutch)
    ]
    if sum(demand.at_most for _, _, demand in clutches) <= (box.count or 1) + HAIR:
        return
    needed = sum(demand.surely for _, _, demand in clutches)
    if box.count is None or needed <= box.count + HAIR:
        missing = dict.fromkeys(entry for _, _, demand in clutches for entry in demand.missing)
        yield NotJudged((*missing, *(() if box.count else ("box.count",))))
        return
    counted = [(clutch, species, demand) for clutch, species, demand in clutches if demand.surely]
    supports = (key for _, species, _ in counted for key in species.eggs.support.sources)
    sources, gap = tuple(dict.fromkeys((*RULE.sources, *supports))), show.length(SPACING)
    if math.isinf(needed):
        name = next(species.name for _, species, demand in counted if not demand.places)
        message = f"Not one egg of {name} fits into this box with {gap} between eggs."
        yield Finding(FIX, message, "box.inside", "Choose bigger egg boxes.", sources=sources)
        return
    takes = " or ".join(
        dict.fromkeys(f"{demand.places} eggs of {species.name}" for _, species, demand in counted)
    )
    eggs, boxes = sum(clutch.eggs or 0 for clutch, _, _ in counted), math.ceil(needed - HAIR)
    yield Finding(
        FIX if sum(demand.laid_close for _, _, demand in counted) > box.count + HAIR else WATCH,
        f"{eggs} eggs need {boxes} such boxes with {gap} between eggs; the plan has {box.count}. One takes {takes}.",
        "box.count",
        f"Plan {boxes} such boxes, or bigger ones.",
        sources=sources,
    )


def _stays_whole(case: Case, clutch: Clutch) -> bool:
    """A clutch left stuck together is one clump, for which a gap between eggs means nothing."""
    return clutch.parted == TOGETHER and case.situation.species[clutch.species].eggs.cling is not False


def _demand(case: Case, index: int, clutch: Clutch) -> _Demand:
    species, inside = case.situation.species[clutch.species], case.box.inside
    profile = f"species/{species.id}.yaml: eggs"
    length, width = _size(clutch, species)
    entries = {
        "box.inside": inside,
        f"clutches[{index}].eggs": clutch.eggs,
        f"{profile}.length": length,
        f"{profile}.width": width,
        f"clutches[{index}].box": clutch.box,
    }
    missing = tuple(entry for entry, value in entries.items() if value is None)
    if species.eggs.cling is not False and clutch.parted is None:
        missing += (f"clutches[{index}].parted",)
    if inside is None or clutch.eggs is None or length is None:
        return _Demand(0, math.inf, 0, 0, missing)
    # No egg is wider than long, so its length stands in for a width that is not known.
    known = width or length
    places = _places(inside, length.middle, known.middle, SPACING)
    filled = _boxes(clutch.eggs, places)
    close = _boxes(clutch.eggs, _places(inside, length.low, known.low, LEAST_SPACING))
    return _Demand(0 if missing else filled, filled, close, places, missing)


def _size(clutch: Clutch, species: Species) -> tuple[Range | None, Range | None]:
    """Length and width of one egg [m]: from the profile, or the width from the mass and the length."""
    length, width, mass = species.eggs.length, species.eggs.width, species.eggs.mass
    if clutch.egg_mass is not None:
        mass = Range(clutch.egg_mass, clutch.egg_mass)
    if width is not None or length is None or mass is None:
        return length, width
    low, high = (egg_width_from_mass(end, length.middle) for end in (mass.low, mass.high))
    if high <= length.middle:
        return length, Range(low, high)
    # Too heavy for its length: taken as a ball of that mass, longer than the profile says.
    ball = (high * high * length.middle) ** (1 / 3)
    return Range(ball, ball), Range(ball, ball)


def _places(inside: Size, length: float, width: float, spacing: float) -> int:
    return places_for_eggs(inside.length, inside.width, length, width, spacing)


def _boxes(eggs: int, places: int) -> float:
    return eggs / places if places else math.inf
