"""Entries of one heater, egg box or medium that do not go together."""

from collections.abc import Iterator
from typing import Any

from advisor.reading.problems import Problem
from advisor.reading.yaml_text import Document


def unlike_entries(document: Document, boxes: list[tuple[int, dict[str, Any]]]) -> Iterator[Problem]:
    """The faults of a heater in two places, and of the egg boxes with their index."""
    heat = document.data.get("heat")
    if isinstance(heat, dict) and "floor_heater" in heat and heat.get("place", "lid") != "lid":
        yield document.problem(
            ("heat", "floor_heater"),
            f"heat.floor_heater: the first heater is at '{heat['place']}', and this one comes beside one in the lid",
            "Write `place: lid`, or leave this one out and write `count` and `power` of one place.",
        )
    for index, box in boxes:
        medium: Any = box.get("medium")
        second = medium.get("mixed_with") if isinstance(medium, dict) else None
        material = medium.get("material") if isinstance(second, dict) else None
        if isinstance(second, dict) and material is not None and material in (second.get("material"), "none"):
            yield document.problem(
                ("egg_boxes", index, "medium", "mixed_with"),
                f"egg_boxes[{index}].medium.mixed_with: '{second.get('material')}' with '{material}' is no mixture",
                "Name two media, or leave out `mixed_with`.",
            )
        if box.get("lid") == "none" and "foam_on_lid" in box:
            yield document.problem(
                ("egg_boxes", index, "foam_on_lid"),
                f"egg_boxes[{index}].foam_on_lid: this box has no lid for foam to lie on",
                "Leave out `foam_on_lid`, or write the lid that it has.",
            )
