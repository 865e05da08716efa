"""The file of what happened to the eggs, beside a plan."""

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from advisor.model.follow import Happening
from advisor.model.plan import Clutch
from advisor.reading.convert import converted
from advisor.reading.problems import InputError, Problem
from advisor.reading.quantities import Refusal
from advisor.reading.schema import load_schema
from advisor.reading.schema_check import schema_problems
from advisor.reading.species_by_name import species_named
from advisor.reading.yaml_text import Document, read_yaml


def read_happened(path: Path, clutches: Sequence[Clutch], own: Path | None = None) -> tuple[Happening, ...]:
    """What happened to the clutches of a plan, by day; raises `InputError` with every fault."""
    document = read_yaml(path)
    problems = schema_problems(document, "happened")
    if problems:
        raise InputError(problems)
    entries = converted(document.data, load_schema("happened"))["happened"]
    places: list[int | None] = []
    for index, entry in enumerate(entries):
        found = _clutch_of(document, index, entry, clutches, own)
        problems += [found] if isinstance(found, Problem) else []
        places.append(None if isinstance(found, Problem) else found)
    problems += _twice_laid(document, entries, places)
    if problems:
        raise InputError(problems)
    told = [
        Happening(entry["on"], entry["what"], place, entry.get("eggs"), entry.get("says", ""))
        for entry, place in zip(entries, places, strict=True)
    ]
    return tuple(sorted(told, key=lambda one: one.on))


def _clutch_of(
    document: Document, index: int, entry: dict[str, Any], clutches: Sequence[Clutch], own: Path | None
) -> int | Problem | None:
    """The clutch that an entry is about; None for a note on all of them."""
    named = entry.get("species")
    here = ("happened", index)
    if named is None:
        if entry["what"] == "noted" or len(clutches) == 1:
            return 0 if len(clutches) == 1 else None
        return document.problem(
            here, f"happened[{index}]: the plan has several clutches, and nothing says which is meant",
            f"Add its species, for example: species: {clutches[0].species}",
        )  # fmt: skip
    try:
        species = species_named(named, own)
    except Refusal as refusal:
        return document.problem((*here, "species"), f"happened[{index}].species: {refusal.message}", refusal.hint)  # fmt: skip
    place = next((at for at, clutch in enumerate(clutches) if clutch.species == species), None)
    if place is None:
        return document.problem(
            (*here, "species"), f"happened[{index}].species: the plan has no clutch of {species}",
            f"Species of the plan: {', '.join(clutch.species for clutch in clutches)}.",
        )  # fmt: skip
    return place


def _twice_laid(
    document: Document, entries: list[dict[str, Any]], places: Sequence[int | None]
) -> Iterator[Problem]:
    seen: set[int | None] = set()
    for index, (entry, place) in enumerate(zip(entries, places, strict=True)):
        if entry["what"] == "laid" and place in seen:
            yield document.problem(
                ("happened", index), f"happened[{index}]: this clutch is laid twice", "Keep one of the two days."
            )  # fmt: skip
        seen |= {place} if entry["what"] == "laid" else set()
