"""Levers of the outer box: its walls, its size, its lid, what it stands on."""

from collections.abc import Iterator

from advisor.advice.levers.lever import Ladder, Lever, change, ladder, one_of
from advisor.advice.written import Written
from advisor.model.changes import PURCHASE, REBUILD, SETTING
from advisor.model.plan import EggBox, Size
from advisor.rules.engine import Case
from advisor.show import counted
from advisor.units import INCH

BOARDS = (0.02, 0.03, 0.04, 0.05, 0.06, 0.08, 0.1)  # m, as foam boards are sold; common practice, no source
US_BOARDS = tuple(inches * INCH for inches in (0.75, 1, 1.5, 2, 2.5, 3, 4))  # the same
# m; thinner ones are not proposed for a new box, nor for another; judgement
USUAL_BOARD, LEAST_BOARD = (0.035, 0.025)
MOST_BOARDS = 4  # the next thicker ones that are tried
# foams that a second layer is glued on
GLUED = ("expanded polystyrene", "extruded polystyrene", "polyurethane foam")
HOT = ("bulb", "ceramic emitter")  # heaters that no foam bears
# m, walls of other stuff as they are sold, to propose where a plan tells no thickness; common practice, no source
BOARD_OF = {
    "plywood": 0.018,
    "glass": 0.005,
    "acrylic": 0.005,
    "solid plastic": 0.003,
    "plastic cool box": 0.03,
}
USUAL = (
    (0.6, 0.4, 0.3),
    (0.8, 0.5, 0.35),
    (1.0, 0.6, 0.4),
    (1.2, 0.8, 0.45),
    (1.6, 0.9, 0.5),
    (2.0, 1.2, 0.5),
)  # m, boxes to propose where no size is told; judgement
ABOVE = 0.08  # m that an outer box is higher than an egg box: rack and air; judgement
# Vents at each of two heights, and their size: litres to hundreds of litres an hour for two watts at most; judgement.
VENTS = {
    "metric": ((1, "8 mm"), (2, "12 mm"), (4, "16 mm")),
    "us": ((1, "5/16 in"), (2, "1/2 in"), (4, "5/8 in")),
}
GROWTH, STEPS = 0.05, 8  # m that length and width grow at each step


def _boards(case: Case) -> tuple[float, ...]:
    return US_BOARDS if case.plan.units == "us" else BOARDS


def _thickness(case: Case) -> Iterator[Ladder]:
    """Thicker foam, glued on from outside, so that the box keeps its inside; the usual 40 mm where nothing is told."""
    box, write = case.plan.outer_box, Written(case.plan.units)
    now = box.wall.thickness
    if box.wall.material not in (*GLUED, None):
        usual = write.length(BOARD_OF[box.wall.material])
        if now is None:
            yield from one_of(change(case, "Measure the wall at the rim.", outer_box__wall__thickness=usual))
        return
    steps = []
    for board in _boards(case):
        if board <= (USUAL_BOARD if now is None else now + 1e-4):
            continue
        entries = {"outer_box__wall__thickness": write.length(board)}
        if box.outside is not None and now is not None:
            entries["outer_box__outside"] = _grown(write, box.outside, *3 * (2 * (board - now),))
        words = f"Make the walls of the outer box {write.length(board)} thick"
        steps.append(change(case, f"{words}: glue foam round it.", REBUILD, **entries))
    yield from one_of(*steps[:MOST_BOARDS])  # not steady: what sticks warms a box of thicker foam more


def _material(case: Case) -> Iterator[Ladder]:
    """A box of foam in place of a wall that loses more heat; of plywood round a lamp."""
    box, write = case.plan.outer_box, Written(case.plan.units)
    lamp = case.plan.heat.source in HOT
    if box.wall.material in GLUED and not lamp:
        return
    walls = (
        [("plywood", BOARD_OF["plywood"])]
        if lamp
        else [("extruded polystyrene", board) for board in _boards(case)]
    )
    steps = []
    for material, thickness in walls:
        if material == box.wall.material or (
            not lamp and thickness < (USUAL_BOARD if box.wall.material is None else LEAST_BOARD)
        ):
            continue
        entries = {
            "outer_box__wall__material": material,
            "outer_box__wall__thickness": write.length(thickness),
        }
        if box.outside is not None and box.wall.thickness is not None:
            more = 2 * (thickness - box.wall.thickness)
            entries["outer_box__outside"] = _grown(write, box.outside, more, more, more)
        words = f"Use an outer box of {material}, {write.length(thickness)} thick, as large inside."
        steps.append(change(case, words, REBUILD, **entries))
    yield from one_of(*steps[:MOST_BOARDS])


def _inside(case: Case) -> Iterator[Ladder]:
    """Boxes with a larger floor, then higher ones; usual ones where no size is told."""
    box, write = case.plan.outer_box, Written(case.plan.units)
    size, entry = (box.outside, "outside") if box.outside is not None else (box.inside, "inside")
    if size is None:
        sizes = [write.size(*usual) for usual in USUAL if _holds(usual, case.plan.egg_boxes)]
        yield from ladder(
            change(case, f"Use an outer box of {told} inside.", PURCHASE, outer_box__inside=told)
            for told in sizes
        )
        return
    for along, up in ((GROWTH, 0.0), (0.0, GROWTH)):
        grown = [_grown(write, size, step * along, step * along, step * up) for step in range(1, STEPS + 1)]
        changes = (
            change(case, f"Use an outer box of {told} {entry}.", REBUILD, **{f"outer_box__{entry}": told})
            for told in grown
        )
        yield from ladder(changes, steady=True)


def _holds(outer: tuple[float, float, float], boxes: tuple[EggBox, ...]) -> bool:
    """Whether all egg boxes of known size find room with as much floor again between them, and air above."""
    sizes = [(box.inside, box.count or 1) for box in boxes if box.inside is not None]
    floor = sum(2 * count * size.length * size.width for size, count in sizes)
    return floor <= outer[0] * outer[1] and all(size.height + ABOVE <= outer[2] for size, _ in sizes)


def _grown(write: Written, size: Size, length: float, width: float, height: float) -> str:
    return write.exact_size(size.length + length, size.width + width, size.height + height)


def _lid(case: Case) -> Iterator[Ladder]:
    if case.plan.outer_box.lid_fits != "well":
        words = "Make the lid of the outer box fit all round, with a strip of draught seal."
        yield from one_of(change(case, words, PURCHASE, outer_box__lid_fits="well"))


def _vents(case: Case) -> Iterator[Ladder]:
    """Holes near lid and floor of a box that has none: a draw through two heights brings more than holes at one."""
    return ladder(
        change(case, words, REBUILD, outer_box__vents=vents) for words, vents in fresh_air_holes(case)
    )


def fresh_air_holes(case: Case) -> Iterator[tuple[str, dict[str, object]]]:
    """Words and entry for the vents, ever more of them, of an outer box that is told and has none."""
    box = case.plan.outer_box
    if box.vents is None and box.lid_fits is not None:
        for count, size in VENTS[case.plan.units]:
            yield (
                f"Make {counted(2 * count, 'hole')} of {size} in the walls of the outer box, {count} near the lid and {count} "
                "near the floor.",
                {"count": count, "diameter": size, "where": "high and low"},
            )


def _stands_on(case: Case) -> Iterator[Ladder]:
    if case.plan.outer_box.stands_on == "bare floor":
        yield from one_of(
            change(case, "Stand the outer box on a shelf.", SETTING, outer_box__stands_on="shelf"),
            change(case, "Lay a sheet of foam under the outer box.", PURCHASE, outer_box__stands_on="insulated floor"),
        )  # fmt: skip
    elif case.plan.outer_box.stands_on is None:
        yield from one_of(change(case, "Stand the outer box on a shelf.", outer_box__stands_on="shelf"))


LEVERS = (
    Lever("outer_box.inside", _inside, "the egg boxes fit into it with room for air"),
    Lever("outer_box.wall.material", _material, "it keeps the heat in"),
    Lever("outer_box.wall.thickness", _thickness, "measure yours and correct it"),
    Lever("outer_box.lid_fits", _lid, "a gap lets warm air out"),
    Lever("outer_box.vents", _vents, "fresh air for the eggs"),
    Lever("outer_box.stands_on", _stands_on, "a bare floor draws heat"),
)
