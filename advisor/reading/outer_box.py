"""Faults of the outer box that need more than one entry to see."""

from collections.abc import Iterator
from typing import Any

from advisor.reading.entry_values import entries_of, si_value
from advisor.reading.problems import Problem
from advisor.reading.yaml_text import Document

DOUBLE_GLASS, THINNEST_DOUBLE_GLASS = "double glass", 0.01  # m, two panes of 4 mm with 2 mm of air


def outer_box_problems(document: Document, data: dict[str, Any]) -> list[Problem]:
    """Two sizes, walls that leave no room, doors and windows that do not fit."""
    box = data.get("outer_box")
    if not isinstance(box, dict):
        return []
    return [*_size_problems(document, data, box), *_part_problems(document, box)]


def _part_problems(document: Document, box: dict[str, Any]) -> Iterator[Problem]:
    """Doors and windows that together are larger than the side they are in; double glass too thin for two panes."""
    taken: dict[str, float] = {}
    for index, part in entries_of(box, "parts"):
        path = ("outer_box", "parts", index)
        share, thickness = (
            si_value(part, ("outer_box", "parts", 0), entry) for entry in ("share", "thickness")
        )
        side = str(part.get("side"))
        taken[side] = taken.get(side, 0.0) + (share or 0.0)
        if taken[side] > 1.0 + 1e-9:
            yield document.problem(
                (*path, "share"),
                f"outer_box.parts[{index}].share: the doors and windows in '{side}' make {taken[side]:.0%} of that side",
                "Together they are 100 % at most.",
            )
        if (
            part.get("material") == DOUBLE_GLASS
            and thickness is not None
            and thickness < THINNEST_DOUBLE_GLASS - 1e-9
        ):
            yield document.problem(
                (*path, "thickness"),
                f"outer_box.parts[{index}].thickness: double glass of {1000 * thickness:.3g} mm leaves no air between two panes of 4 mm",
                "Measure all of it, both panes and the air: 10 mm (0.4 in) at least.",
            )


def _size_problems(document: Document, data: dict[str, Any], box: dict[str, Any]) -> list[Problem]:
    if "inside" in box and "outside" in box:
        return [
            document.problem(
                ("outer_box", "outside"),
                "outer_box: both `inside` and `outside` are written",
                "Keep one. The inside size is the better one.",
            )
        ]
    outside = si_value(data, (), "outer_box", "outside")
    thickness = si_value(data, (), "outer_box", "wall", "thickness")
    if outside is not None and thickness is not None:
        smallest = min(outside.length, outside.width, outside.height)
        if 2 * thickness >= smallest:
            return [
                document.problem(
                    ("outer_box", "outside"),
                    "outer_box.outside: two walls of this thickness leave no room inside",
                    "Check the outside size and the wall thickness.",
                )
            ]
    return []
