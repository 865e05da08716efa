"""The clutches of a plan file: each entry to the clutches that it stands for, and the faults that need another entry to see."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from msgspec.structs import replace

from advisor.model.plan import Clutch, LayBox, Laying, PlannedCoolPeriod, Repeats
from advisor.reading.dates import read_date
from advisor.reading.problems import MOST_SHOWN, Problem
from advisor.reading.quantities import Refusal
from advisor.reading.species_by_name import Named, named
from advisor.reading.words import nearest
from advisor.reading.yaml_text import Document

MOST_CLUTCHES = 100  # in one plan, with those that follow; as many as a list may hold
Entries = list[tuple[int, dict[str, Any]]]  # blocks of a list, each with its place


def clutches_of(data: dict[str, Any], entry: int, species: Named) -> Iterator[Clutch]:
    """The clutches that an entry stands for: one, or as many as it repeats."""
    cool, lay_box, repeats = data.get("cool_period"), data.get("lay_box", {}), data.get("repeats")
    if cool is not None:
        cool = PlannedCoolPeriod(False) if cool == "none" else PlannedCoolPeriod(True, **cool)
    first = Clutch(
        **{
            **data,
            "entry": entry,
            "repeats": Repeats(repeats.get("every"), repeats["times"]) if repeats else None,
            "species": species.id,
            "called": species.called,
            "laying": Laying(**data.get("laying", {})),
            "lay_box": LayBox(planned=False) if lay_box == "none" else LayBox(**lay_box),
            "cool_period": cool,
        }
    )
    for nth in range(1 + (first.repeats.times if first.repeats else 0)):
        yield replace(first, nth=nth)


def clutch_problems(
    document: Document, written: Entries, boxes: Entries, profiles: dict[str, Path]
) -> list[Problem]:
    """Faults of the clutches that need another entry, or another file, to see."""
    problems = _too_many(document, written)
    names = [box["name"] for _, box in boxes if isinstance(box.get("name"), str)]
    for index, clutch in written:
        species = clutch.get("species")
        if isinstance(species, str) and species:
            try:
                # What stands near is looked up only for what will be shown.
                named(species, profiles, offering=len(problems) < MOST_SHOWN)
            except Refusal as refusal:
                message = f"clutches[{index}].species: {refusal.message}"
                problems.append(document.problem(("clutches", index, "species"), message, refusal.hint))
        box = clutch.get("box")
        if isinstance(box, str) and box not in names:
            close = nearest(box, names)
            hint = f"Did you mean {close}? " if close else ""
            hint += f"Boxes in this plan: {', '.join(names)}." if names else "Add the box under `egg_boxes`."
            problems.append(
                document.problem(
                    ("clutches", index, "box"),
                    f"clutches[{index}].box: there is no egg box named '{box}'",
                    hint,
                )
            )
        laying = clutch.get("laying")
        if isinstance(laying, dict):
            problems += _laying_problems(document, index, laying)
    return problems


def _too_many(document: Document, written: Entries) -> list[Problem]:
    count = 0
    for index, clutch in written:
        repeats = clutch.get("repeats")
        times = repeats.get("times") if isinstance(repeats, dict) else 0
        count += 1 + (int(times) if isinstance(times, int | float) else 0)
        if count > MOST_CLUTCHES and times:
            return [
                document.problem(
                    ("clutches", index, "repeats", "times"),
                    f"clutches[{index}].repeats.times: with these the plan has {count} clutches, more than {MOST_CLUTCHES}",
                    "Write a plan for each outer box.",
                )
            ]
    return []


def _laying_problems(document: Document, index: int, laying: dict[str, Any]) -> list[Problem]:
    try:
        shed = read_date(laying["shed_on"]) if "shed_on" in laying else None
        laid = read_date(laying["laid_on"]) if "laid_on" in laying else None
    except Refusal:
        return []
    if shed is not None and laid is not None and laid < shed:
        return [
            document.problem(
                ("clutches", index, "laying", "laid_on"),
                f"clutches[{index}].laying: laid on {laid}, before the shed on {shed}",
                "`shed_on` is the shed before laying. Check both dates.",
            )
        ]
    return []
