"""How many eggs lie side by side in an egg box, and how wide an egg of known mass and length is."""

import math

from advisor.formulas.air.moist_air import NoSolution

# Density of a fresh egg [kg/m3]: judgement, near the mean of mass/((pi/6) length width^2) over seven species whose
# mass and size fit together: Hemitheconyx caudicinctus 1074, Goniurosaurus luii 1016, G. hainanensis 1042, Coleonyx
# elegans 1062, C. mitratus 1039 (Myhrvold et al. 2015, Ecology 96:3109, seen), Cyclura cychlura inornata 1157
# (Iverson et al. 2004, Herpetol Monogr 18:1, seen) and Testudo hermanni 1130 (Acta Veterinaria, Beograd, seen).
# Left out: compiled means that give 761 to 1397, where mass and size probably come from different eggs.
EGG_DENSITY = 1080.0
BOX_SIDES = (0.02, 2.0)  # Inside length or width of a box [m] that `places_for_eggs` accepts (judgement).
# Length or width of an egg [m] accepted: smaller than any gecko's, larger than any python's (judgement).
EGG_SIZES = (0.001, 0.5)
SPACINGS = (0.0, 0.1)  # Gap between two eggs [m] accepted (judgement).
EGG_MASSES = (1e-5, 2.0)  # Mass of an egg [kg] accepted (judgement).
# So that an egg that fits exactly is not lost to binary rounding, as in 0.3/0.1.
_HAIR = 1e-9


def _check(value: float, bounds: tuple[float, float], what: str, unit: str) -> None:
    if not bounds[0] <= value <= bounds[1]:
        raise NoSolution(
            f"{what} must lie between {bounds[0]:g} and {bounds[1]:g} {unit}, not {value:g} {unit}"
        )


def places_for_eggs(
    box_length: float, box_width: float, egg_length: float, egg_width: float, spacing: float
) -> int:
    """Return how many eggs lie in one layer of straight rows with a gap between neighbours.

    Arguments: box_length and box_width, inside [m]; egg_length and egg_width [m]; spacing, the gap between two
    eggs [m].
    Result: number of eggs [-]; 0 when one egg with its share of the gap does not fit.
    Assumes that every egg owns a rectangle of its own size plus one gap each way, so that each has the same medium and
    air and half a gap remains at the walls; all eggs point the same way, along the box or across it, whichever takes
    more. Staggered rows of round eggs can hold a few more.
    Valid range: box sides 0.02 to 2 m, eggs 0.001 to 0.5 m, spacing 0 to 0.1 m.
    Errors: ValueError outside these ranges.
    Reference: counting rectangles in a rectangle (derived).
    """
    _check(box_length, BOX_SIDES, "the box length", "m")
    _check(box_width, BOX_SIDES, "the box width", "m")
    _check(egg_length, EGG_SIZES, "the egg length", "m")
    _check(egg_width, EGG_SIZES, "the egg width", "m")
    _check(spacing, SPACINGS, "the spacing", "m")
    long_side, short_side = egg_length + spacing, egg_width + spacing

    def rows(side: float, cell: float) -> int:
        return int(side / cell + _HAIR)

    along = rows(box_length, long_side) * rows(box_width, short_side)
    across = rows(box_length, short_side) * rows(box_width, long_side)
    return max(along, across)


def places_in_round_box(
    box_length: float, box_width: float, egg_length: float, egg_width: float, spacing: float
) -> int:
    """Return how many eggs lie in one layer of straight rows in a round or oval box, with a gap between neighbours.

    Arguments: box_length and box_width, its diameters inside [m]; egg_length and egg_width [m]; spacing, the gap
    between two eggs [m].
    Result: number of eggs [-]; 0 when one egg with its share of the gap does not fit.
    Assumes as `places_for_eggs`, with rows evenly to both sides of the middle, as many as give the most eggs.
    Valid range: diameters 0.02 to 2 m, eggs 0.001 to 0.5 m, spacing 0 to 0.1 m.
    Errors: ValueError outside these ranges.
    Reference: chords of an ellipse, at the side of each row that is further out (derived).
    """
    _check(box_length, BOX_SIDES, "the box length", "m")
    _check(box_width, BOX_SIDES, "the box width", "m")
    _check(egg_length, EGG_SIZES, "the egg length", "m")
    _check(egg_width, EGG_SIZES, "the egg width", "m")
    _check(spacing, SPACINGS, "the spacing", "m")

    def eggs(rows: int, along: float, across: float) -> int:
        ends = [
            max(abs(row - rows / 2), abs(row + 1 - rows / 2)) * 2 * across / box_width for row in range(rows)
        ]
        chords = (box_length * math.sqrt(max(1.0 - end**2, 0.0)) for end in ends)
        return sum(int(chord / along + _HAIR) for chord in chords)

    cells = (egg_length + spacing, egg_width + spacing)
    return max(
        (
            eggs(rows, along, across)
            for along, across in (cells, cells[::-1])
            for rows in range(1, int(box_width / across + _HAIR) + 1)
        ),
        default=0,
    )


def egg_width_from_mass(mass: float, length: float) -> float:
    """Return the width of an egg of known mass and length.

    Arguments: mass of the fresh egg [kg]; length [m].
    Result: width [m].
    Assumes an ellipsoid with two equal short axes and a density of 1080 kg/m3. Measured densities of 1016 to 1157
    kg/m3 move the width by 4 % at most; mass and length of different eggs can be 20 % off. A swollen egg belongs with
    its own length, not with that of a fresh one.
    Valid range: mass 0.00001 to 2 kg, length 0.001 to 0.5 m.
    Errors: ValueError outside these ranges.
    Reference: volume of an ellipsoid, (pi/6) length width^2 (derived).
    """
    _check(mass, EGG_MASSES, "the egg mass", "kg")
    _check(length, EGG_SIZES, "the egg length", "m")
    return math.sqrt(6 * mass / (math.pi * EGG_DENSITY * length))
