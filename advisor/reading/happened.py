"""The file of what happened to the eggs, beside a plan."""

import re
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from advisor.model.follow import Happening
from advisor.model.plan import Clutch, Plan
from advisor.reading.convert import converted
from advisor.reading.problems import InputError, Problem, printable
from advisor.reading.quantities import Refusal
from advisor.reading.schema import load_schema
from advisor.reading.schema_check import schema_problems
from advisor.reading.species_by_name import species_named
from advisor.reading.yaml_text import Document, read_yaml

# What each kind of entry must tell, and what it may tell besides day, clutch and words.
MUST = {"weighed": ("mass",), "topped up": ("mass",), "candled": ("eggs",), "hatched": ("eggs",)}
MAY = {
    "weighed": ("mass", "box", "egg_mass"),
    "topped up": ("mass", "box"),
    "candled": ("eggs",),
    "removed": ("eggs", "box"),
    "hatched": ("eggs", "males", "females"),
}
_NUMBERED = re.compile(r"(.*?)(?:(?<=\D)\s+(\d{1,4}))?")  # a species, and the number of its clutch
OF_SOME = ("box", "eggs", "males", "females", "mass", "egg_mass")


def read_happened(path: Path, plan: Plan, own: Path | None = None) -> tuple[Happening, ...]:
    """What happened to the eggs of a plan, by day; raises `InputError` with every fault."""
    document = read_yaml(path)
    problems = schema_problems(document, "happened")
    if problems:
        raise InputError(problems)
    entries = converted(document.data, load_schema("happened"))["happened"]
    told: list[Happening] = []
    weighed = any(entry["what"] == "weighed" for entry in entries)
    for index, entry in enumerate(entries):
        problems += _unfit(document, index, entry)
        on_box = entry["what"] in ("weighed", "topped up")
        clutch = None if on_box else _clutch_of(document, index, entry, plan.clutches, own)
        # Eggs that went would pass for lost water in a box that is weighed.
        needed = on_box or "box" in entry or (weighed and entry["what"] == "removed")
        box = _box_of(document, index, entry, plan) if needed else None
        problems += [found for found in (clutch, box) if isinstance(found, Problem)]
        rest = {name: entry.get(name) for name in ("eggs", "males", "females", "mass", "egg_mass")}
        told.append(
            Happening(
                entry["on"], entry["what"], says=entry.get("says", ""), **rest,
                clutch=None if isinstance(clutch, Problem) else clutch,
                box=None if isinstance(box, Problem) else box,
            )
        )  # fmt: skip
    if not problems:
        problems = [*_out_of_order(document, told, plan.clutches), *_too_many(document, told, plan.clutches)]
    if problems:
        raise InputError(problems)
    return tuple(sorted(told, key=lambda one: one.on))


def _unfit(document: Document, index: int, entry: dict[str, Any]) -> Iterator[Problem]:
    """Entries that lack what their kind must tell, or tell what it can't."""
    what = entry["what"]
    for name in MUST.get(what, ()):
        if name not in entry:
            example = "640 g" if name == "mass" else 12
            yield document.problem(
                ("happened", index), f"happened[{index}]: '{what}' lacks {name}", f"Add it, for example {name}: {example}."
            )  # fmt: skip
    for name in OF_SOME:
        if name in entry and name not in MAY.get(what, ()):
            fit = " or ".join(f"`{kind}`" for kind, names in MAY.items() if name in names)
            yield document.problem(
                ("happened", index, name), f"happened[{index}].{name}: '{what}' has no {name}", f"It belongs to {fit}. Take it out, or write it as `says`."
            )  # fmt: skip
    sexed = (entry.get("males") or 0) + (entry.get("females") or 0)
    if what == "hatched" and sexed > entry.get("eggs", sexed):
        yield document.problem(
            ("happened", index), f"happened[{index}]: {sexed} males and females, and {entry['eggs']} eggs that hatched", "Correct one of the numbers."
        )  # fmt: skip


def _box_of(
    document: Document, index: int, entry: dict[str, Any], plan: Plan
) -> tuple[int, int] | Problem | None:
    """The egg box of an entry: its place in the plan, and its number among those of its kind."""
    names = [
        name
        for box in plan.egg_boxes
        if any(clutch.box == box.name for clutch in plan.clutches)
        for name in ([box.name] if (box.count or 1) == 1 else [f"{box.name} {number}" for number in range(1, (box.count or 1) + 1)])
    ]  # fmt: skip
    places = {box.name: place for place, box in enumerate(plan.egg_boxes)}
    named = entry.get("box", names[0] if len(names) == 1 else None)
    if named in names:
        bare = named if named in places else named.rpartition(" ")[0]
        return places[bare], 1 if bare == named else int(named.rpartition(" ")[2])
    shown = ", ".join(names[:6]) or "none"
    if named is None:
        return document.problem(
            ("happened", index), f"happened[{index}]: the plan has several boxes with eggs, and nothing says which is meant",
            f"Add box. Boxes: {printable(shown)}.",
        )  # fmt: skip
    return document.problem(
        ("happened", index, "box"), f"happened[{index}].box: there is no box '{printable(named, 60)}' with eggs", f"Boxes: {printable(shown)}."
    )  # fmt: skip


def _clutch_of(
    document: Document, index: int, entry: dict[str, Any], clutches: Sequence[Clutch], own: Path | None
) -> int | Problem | None:
    """The clutch that an entry is about; None for a note on all of them.

    Told by its species, and where that lays more than once by its number: `clutch: 2`, or the name of the papers, "corn snake 2".
    """
    here, kinds = ("happened", index), list(dict.fromkeys(clutch.species for clutch in clutches))
    name, number = _NUMBERED.fullmatch(entry.get("species", "").strip()).groups()  # type: ignore[union-attr]
    nth: int | None = entry.get("clutch", number and int(number))
    if not name and len(kinds) > 1:
        return None if entry["what"] == "noted" and nth is None else document.problem(
            here, f"happened[{index}]: the plan has several clutches, and nothing says which is meant",
            f"Add its species, for example: species: {kinds[0]}",
        )  # fmt: skip
    try:
        species = species_named(name, own) if name else kinds[0]
    except Refusal as refusal:
        return document.problem((*here, "species"), f"happened[{index}].species: {refusal.message}", refusal.hint)  # fmt: skip
    places = [at for at, clutch in enumerate(clutches) if clutch.species == species]
    if not places:
        return document.problem(
            (*here, "species"), f"happened[{index}].species: the plan has no clutch of {species}",
            f"Species of the plan: {', '.join(kinds)}.",
        )  # fmt: skip
    if nth is None:
        if len(places) == 1:
            return places[0]
        return None if entry["what"] == "noted" else document.problem(
            here, f"happened[{index}]: the plan has {len(places)} clutches of {species}, and nothing says which is meant",
            f"Add its number, from 1 to {len(places)}, for example: clutch: 2",
        )  # fmt: skip
    if not 1 <= nth <= len(places):
        return document.problem(
            here, f"happened[{index}]: there is no clutch {nth} of {species}", f"The plan has {len(places)}: write 1 to {len(places)}."
        )  # fmt: skip
    return places[nth - 1]


def _out_of_order(
    document: Document, told: Sequence[Happening], clutches: Sequence[Clutch]
) -> Iterator[Problem]:
    """A clutch laid twice, and what happened to eggs before they were laid."""
    laid = {index: clutch.laid_on for index, clutch in enumerate(clutches)}
    seen: set[int | None] = set()
    for index, one in enumerate(told):
        if one.what == "laid" and one.clutch in seen:
            yield document.problem(
                ("happened", index), f"happened[{index}]: this clutch is laid twice", "Keep one of the two days."
            )  # fmt: skip
        if one.what == "laid" and one.clutch is not None:
            seen.add(one.clutch)
            laid[one.clutch] = one.on
    for index, one in enumerate(told):
        day = (
            laid.get(one.clutch) if one.clutch is not None else min(filter(None, laid.values()), default=None)
        )
        if day is not None and one.on < day and one.what != "noted":
            yield document.problem(
                ("happened", index, "on"), f"happened[{index}].on: {one.on} is before the laying day, {day}", "Correct one of the two days."
            )  # fmt: skip


def _too_many(document: Document, told: Sequence[Happening], clutches: Sequence[Clutch]) -> Iterator[Problem]:
    """More eggs than were laid."""
    for place, clutch in enumerate(clutches):
        gone = 0
        for index, one in enumerate(told):
            if clutch.eggs is None or one.clutch != place or one.eggs is None:
                continue
            gone += 0 if one.what == "candled" else one.eggs
            if max(gone, one.eggs) > clutch.eggs:
                yield document.problem(
                    ("happened", index, "eggs"),
                    f"happened[{index}].eggs: {max(gone, one.eggs)} eggs so far, and the plan has {clutch.eggs} (clutches[{place}].eggs)",
                    "Correct the number here or in the plan.",
                )  # fmt: skip
                break
