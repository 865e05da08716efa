"""Stays of things in boxes, and bands that share a point: intervals on a line."""

import math
from collections.abc import Sequence

ROUNDING = 1e-6  # of a band; so that °F entries do not miss a limit by the last decimal


def left_edge(stays: Sequence[tuple[int, int]], wanted: Sequence[int]) -> list[tuple[int, ...]]:
    """The boxes that each stay takes, so that no two stays meet in one box, and the boxes are as few as can be.

    Arguments: stays, first and last [day], both in the box; wanted, how many boxes each takes [-], at least 1.
    Result: for each stay the numbers of its boxes, from 0 [-].
    In the order of their first days each takes the boxes that have been free longest, and new ones where too few are
    free. A new box is opened only on a day on which all before it are in use, so no plan can do with fewer. Taking the
    one free longest keeps the plan good when all stays shift a little.
    Errors: none.
    Reference: left-edge algorithm, Hashimoto & Stevens 1971 (from memory); the greatest number in use on one day is both
    bound and result, which is Dilworth's theorem for intervals.
    """
    free_from: list[int] = []
    taken: list[tuple[int, ...]] = [()] * len(stays)
    for place in sorted(range(len(stays)), key=lambda place: stays[place]):
        first, last = stays[place]
        free = sorted((day, box) for box, day in enumerate(free_from) if day <= first)
        new = range(len(free_from), len(free_from) + max(wanted[place] - len(free), 0))
        free_from += [0] * len(new)
        taken[place] = (*(box for _, box in free[: wanted[place]]), *new)
        for box in taken[place]:
            free_from[box] = last + 1
    return taken


def most_in_at_once(stay: float, gap: float) -> int:
    """How many can be in at one time when each stays so long and they come one by one.

    Arguments: stay, the longest [day]; gap, the shortest from one to the next [day], above 0.
    Result: the most at one time [-]; one that comes on the last day of another meets it.
    Errors: ZeroDivisionError when the gap is 0.
    Reference: counting (derived).
    """
    return 1 + math.floor(stay / gap)


def fewest_lines(stays: Sequence[tuple[int, int]], bands: Sequence[tuple[float, float]]) -> list[int]:
    """The line that each stay is put on, as few lines as can be: stays that are chained on a line share a point of their bands.

    Arguments: stays, first and last [day], both on the line; bands, low and high of each [any unit].
    Result: for each stay the number of its line, from 0 [-].
    Depth first over the stays in the order of their first days, with one line more after each failure: exact. A new line
    is tried once, since empty lines are alike, and what was found to fail is not tried again.
    Errors: none.
    Reference: search with all cases tried (derived).
    """
    order = sorted(range(len(stays)), key=lambda place: stays[place])
    most = 1
    while (found := _put(order, stays, bands, most)) is None:
        most += 1
    return found


Line = tuple[int, float, float]  # last day in use, and the band shared since it was last empty


def _put(
    order: list[int], stays: Sequence[tuple[int, int]], bands: Sequence[tuple[float, float]], most: int
) -> list[int] | None:
    chosen = [0] * len(order)
    failed: set[tuple[int, tuple[Line, ...]]] = set()

    def deeper(step: int, lines: tuple[Line, ...]) -> bool:
        if step == len(order):
            return True
        if (step, lines) in failed:
            return False
        (first, last), (low, high) = stays[order[step]], bands[order[step]]
        for line in range(min(len(lines) + 1, most)):
            end, *shared = lines[line] if line < len(lines) else (-1, low, high)
            shared = [low, high] if end < first else [max(shared[0], low), min(shared[1], high)]
            if shared[0] > shared[1] + ROUNDING:
                continue
            chosen[order[step]] = line
            after = (max(end, last), shared[0], shared[1])
            if deeper(step + 1, (*lines[:line], after, *lines[line + 1 :])):
                return True
        failed.add((step, lines))
        return False

    return chosen if deeper(0, ()) else None
