"""`measured` of a plan: converted data to records, and the faults that need more than one entry to see."""

from collections.abc import Callable, Iterator
from typing import Any

from advisor.model.measured import (
    THERMOSTAT,
    Energy,
    HeaterFace,
    HeaterOn,
    IcePoint,
    Measured,
    MeasuredMedium,
    MediumHolds,
    SwitchedOff,
    WarmUp,
    WeighedLid,
)
from advisor.reading.entry_values import entries_of, si_value
from advisor.reading.problems import Problem
from advisor.reading.schema_check import path_text
from advisor.reading.words import nearest
from advisor.reading.yaml_text import Document, PathKey

LISTS: dict[str, Callable[..., Any]] = {
    "heater_on": HeaterOn,
    "boxes": MeasuredMedium,
    "lids": WeighedLid,
    "offsets": IcePoint,
}
BLOCKS: dict[str, Callable[..., Any]] = {
    "energy": Energy,
    "switched_off": SwitchedOff,
    "warm_up": WarmUp,
    "heater_face": HeaterFace,
    "medium_holds": MediumHolds,
}
LEAST_DIFFERENCE = 2.0  # K between box and room, below which the errors of two thermometers are as large
COLDER_ROOM = "Measure again while the room is at least 2 °C (4 °F) colder, best on a cold night."


def measured_of(data: dict[str, Any]) -> Measured:
    """The records from converted data (`reading.convert.converted`)."""
    found = dict(data)
    for name, record in LISTS.items():
        found[name] = tuple(record(**entry) for entry in data.get(name, ()))
    for name, record in BLOCKS.items():
        if name in data:
            found[name] = record(**data[name])
    return Measured(**found)


def measured_problems(document: Document) -> Iterator[Problem]:
    """Faults of `measured`: boxes and thermometers that there are not, and numbers that contradict each other.

    Entries that the schema refuses are passed over.
    """
    data = document.data
    block = data.get("measured")
    if not isinstance(block, dict):
        return
    kinds = [box for _, box in entries_of(data, "egg_boxes")]
    boxes = [name for box in kinds if isinstance(name := box.get("name"), str)]
    two = [box.get("name") for box in kinds if box.get("tier") == "two"]
    for path, entry in _entries(block):
        yield from _box_problems(document, path, entry, boxes)
        if path[1] == "boxes" and entry.get("box") in two and "tier" not in entry:
            message = f"{path_text(path)}: boxes of this kind stand in two layers, and the layer is not told"
            yield document.problem(path, message, "Write `tier: lower` or `tier: upper`.")
        yield from _temperature_problems(document, path, entry)
    named = [one.get("thermometer") for _, one in entries_of(block, "boxes")]
    yield from _thermometer_problems(document, block, [*named, THERMOSTAT, *_sensors(data)])
    yield from _meter_problems(document, block.get("energy"))


def _entries(block: dict[str, Any]) -> Iterator[tuple[PathKey, dict[str, Any]]]:
    for name, value in block.items():
        if isinstance(value, dict):
            yield ("measured", str(name)), value
        for index, entry in entries_of(block, name):
            yield ("measured", str(name), index), entry


def _sensors(data: dict[str, Any]) -> list[str]:
    """Names of the sensors of a logger: their ice points serve the log."""
    watching = data.get("watching")
    sensors = watching.get("sensors") if isinstance(watching, dict) else None
    return [str(name) for name in sensors] if isinstance(sensors, dict) else []


def _number(path: PathKey, entry: dict[str, Any], name: str) -> float | None:
    """A converted number of an entry; None where it is missing or faulty."""
    found = si_value(entry, path, name)
    return found if isinstance(found, float) else None


def _box_problems(
    document: Document, path: PathKey, entry: dict[str, Any], boxes: list[str]
) -> Iterator[Problem]:
    box = entry.get("box")
    if isinstance(box, str) and box not in boxes:
        close = nearest(box, boxes)
        hint = f"Did you mean {close}? " if close else ""
        hint += f"Boxes in this plan: {', '.join(boxes)}." if boxes else "Add the box under `egg_boxes`."
        message = f"{path_text(path)}.box: there is no egg box named '{box}'"
        yield document.problem((*path, "box"), message, hint)


def _temperature_problems(document: Document, path: PathKey, entry: dict[str, Any]) -> Iterator[Problem]:
    room, medium = _number(path, entry, "room"), _number(path, entry, "medium")
    start, end = _number(path, entry, "medium_from"), _number(path, entry, "medium_to")
    face = _number(path, entry, "temperature")
    where = path_text(path)
    if room is not None and medium is not None and medium - room < LEAST_DIFFERENCE:
        message = f"{where}: the medium is hardly warmer than the room, or not at all: that tells nothing of the box"
        yield document.problem((*path, "room"), message, COLDER_ROOM)
    if start is not None and end is not None and end >= start:
        message = f"{where}: the medium did not get colder without heat"
        yield document.problem((*path, "medium_to"), message, "Check both temperatures, or wait longer.")
    elif room is not None and end is not None and end - room < LEAST_DIFFERENCE:
        message = (
            f"{where}: the medium ended hardly warmer than the room, or colder: that tells nothing of the box"
        )
        yield document.problem((*path, "room"), message, COLDER_ROOM)
    if face is not None and medium is not None and face <= medium:
        message = f"{where}: the face of the heater is not warmer than the medium"
        yield document.problem((*path, "temperature"), message, "Check which thermometer was where.")


def _thermometer_problems(document: Document, block: dict[str, Any], known: list[Any]) -> Iterator[Problem]:
    for index, entry in entries_of(block, "offsets"):
        name = entry.get("thermometer")
        if isinstance(name, str) and name not in known:
            yield document.problem(
                ("measured", "offsets", index, "thermometer"),
                f"measured.offsets[{index}].thermometer: nothing was measured with '{name}'",
                f"Write `thermometer: {name}` to the entries of `measured.boxes` that were read from it. "
                f"The thermostat's probe is called {THERMOSTAT}.",
            )


def _meter_problems(document: Document, energy: Any) -> Iterator[Problem]:
    if not isinstance(energy, dict):
        return
    path = ("measured", "energy")
    used, over, alone = (_number(path, energy, name) for name in ("used", "over", "thermostat_alone"))
    if used is not None and over and alone is not None and used / over <= alone:
        yield document.problem(
            (*path, "thermostat_alone"),
            f"measured.energy: the meter counted {used / over:.3g} W on average, no more than the thermostat takes alone",
            "Check both readings and the time between them.",
        )
