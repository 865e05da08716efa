"""The first plan: its questions, and the commented file that comes of the answers."""

import re
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from advisor import __version__
from advisor.interview.box_answers import EXTRAS, extras
from advisor.interview.commented_yaml import Layout, commented, flow
from advisor.interview.medium_answers import medium
from advisor.interview.plan_answers import (
    BOX,
    NIGHT_LIKE,
    PROGRAMME,
    READY_BUILT,
    REPEATS,
    SET_POINT,
    WALL,
    boxes,
    holes,
    laying,
    made_of,
    repeats,
    set_point,
    there,
    watts,
)
from advisor.interview.questions import Answers, Question, one_of, quantity, whole_number
from advisor.model.species import Species
from advisor.reading.marks import path_key
from advisor.reading.names import profile_files
from advisor.reading.plan import read_document
from advisor.reading.schema import entries_in, entry_at, load_schema, resolved
from advisor.reading.schema_check import also_of
from advisor.reading.species_by_name import named, profile_called
from advisor.reading.unit_words import known_unit
from advisor.reading.yaml_text import Document, parse_yaml
from advisor.show import Show
from advisor.wording import profile_examples

INSTEAD = {"outer_box.inside": "outer_box.outside", SET_POINT: PROGRAMME, PROGRAMME: SET_POINT}
SPECIES, PROBE = "clutches[0].species", "control.probe.sits_in"
# Whole blocks that were asked for: their examples show every entry asked about.
_BLOCKS = {
    "outer_box": "{inside: 55 x 35 x 22 cm, wall: {material: expanded polystyrene, thickness: 40 mm}, lid_fits: well, stands_on: shelf}",
    "heat": "{source: mat, place: lid, power: 14 W}",
    "control": "{thermostat: pulse, set_to: 28 °C, probe: {sits_in: probe box medium, fixed: yes}}",
}
_US_BLOCKS = {
    **_BLOCKS,
    "outer_box": "{inside: 22 x 14 x 9 in, wall: {material: expanded polystyrene, thickness: 1.5 in}, lid_fits: well, stands_on: shelf}",
    "control": "{thermostat: pulse, set_to: 82 °F, probe: {sits_in: probe box medium, fixed: yes}}",
}


class Whole(Struct, frozen=True):
    """A filled-in plan: its data, and by entry the remark on what was not told."""

    data: Mapping[str, Any]
    remarks: Mapping[str, str]


def plan_questions(own_species: Path | None = None) -> tuple[Question, ...]:
    """The questions, from the animal to the box to the eggs."""
    heat = _words("heat.source", "What makes the heat?", "")
    return (
        Question(
            SPECIES,
            "Which species lays the eggs?",
            "The common name or the scientific name.",
            "corn snake",
            lambda text: {SPECIES: _as_named(text, own_species)},
            required=True,
        ),
        Question(
            "title",
            "What do you call this set-up?",
            "A name for the papers, to tell your boxes apart.",
            "Spare-room box, first season",
            lambda text: {"title": text},
        ),
        Question(
            "clutches[0].eggs",
            "How many eggs do you expect, or were laid?",
            "",
            "14",
            whole_number("clutches[0].eggs", "eggs"),
            more=lambda answers: _of_profile(answers, own_species, _usual_clutch),
        ),
        Question(
            "clutches[0].laying",
            "When do the eggs come?",
            "The days you expect them, of a snake the day of the shed before laying, or the day they were laid. Of several "
            "clutches tell the first.",
            "shed 2027-05-02, or 2027-05-09 to 2027-05-16, or laid 2027-05-11",
            laying,
        ),
        Question(
            "room.temperature",
            "How cold and how warm does the room get?",
            "Where the box will stand: the coldest night and the warmest day of the whole season.",
            "16 to 24 °C, or 61 to 75 °F",
            quantity("room.temperature"),
        ),
        Question(
            "outer_box.inside",
            "How large is the outer box inside?",
            "The insulated box that holds everything: length x width x height.",
            "55 x 35 x 22 cm, or 22 x 14 x 9 in",
            there(quantity("outer_box.inside")),
        ),
        replace(
            _words(
                WALL,
                "What is the outer box made of?",
                "Expanded polystyrene is white foam of beads, extruded is smooth and often coloured. For a bought incubator "
                "say ready-built.",
            ),
            read=made_of,
            words=(*entry_at("plan", path_key(WALL))["enum"], READY_BUILT),
        ),
        Question(
            "outer_box.wall.thickness",
            "How thick is one wall?",
            "Measure at the rim.",
            "40 mm, or 1.5 in",
            quantity("outer_box.wall.thickness"),
        ),
        replace(heat, read=there(heat.read)),
        _words("heat.place", "Where in the outer box does the heater sit?", ""),
        Question(
            "heat.power",
            "How strong is the heater?",
            "The watts on its label. Of several alike, how many and the watts of one.",
            "14 W, or 2 of 14 W",
            watts,
        ),
        _words(
            "control.thermostat",
            "What kind of thermostat drives the heater?",
            "On-off switches it, pulse sends short full pulses, dimming turns it down. Its box or its sheet says which.",
        ),
        Question(
            SET_POINT,
            "What temperature will you set?",
            "For cooler nights tell both numbers and the hours of the night.",
            f"28 °C, or 82 °F, or {NIGHT_LIKE}",
            set_point,
            more=lambda answers: _of_profile(answers, own_species, _usual_temperature),
        ),
        _words(
            PROBE,
            "Where does the probe of the thermostat sit?",
            "The probe is the sensor on a wire. A probe box is an egg box with damp medium and no eggs, kept for the probe.",
        ),
        Question(
            f"{BOX}.inside",
            "How many egg boxes are there, and how large are they inside?",
            "The small boxes with medium and eggs: number of length x width x height. Of a jar tell its width and height, "
            "of an open tray that it has no lid.",
            "2 of 20 x 14 x 9 cm, or 2 of 8 x 6 x 4 in",
            boxes,
        ),
        Question(
            f"{BOX}.medium",
            "What do the eggs lie in, and how do you mix it with water?",
            "The medium, or two with their shares, then dry parts to parts of water, by volume or by mass.",
            "vermiculite, 4 to 1 by volume",
            medium,
        ),
        Question(
            f"{BOX}.lid.holes",
            "How many air holes has one egg box, and how wide is a hole?",
            "In the lid or high in the walls, or none.",
            "5 of 2 mm, or 5 of 5/64 in",
            holes,
        ),
        Question(
            REPEATS,
            "Will she lay again this season: how many more clutches, and how far apart?",
            "Without the days between clutches, those of the profile are taken.",
            "4 more, or 4 more every 15 to 22 days, or no",
            repeats,
            seldom=True,
            more=lambda answers: _of_profile(answers, own_species, _usual_interval),
        ),
        Question(
            EXTRAS,
            "Is there any of these in or on the outer box: fan, vents, glass door or window, cooling, water dish?",
            "Each with its size or watts, a comma between two.",
            "fan 2 W always on, 2 high and 2 low holes of 10 mm, glass front 4 mm, water dish 20 x 10 cm, or none",
            extras,
            seldom=True,
        ),
    )


def plan_check(own_species: Path | None = None) -> Callable[[Answers], Document]:
    """Reads and checks the plan that comes of the answers so far; raises `InputError`."""

    def check(answers: Answers) -> Document:
        text = plan_text(answers, "", own_species)
        _, document = read_document(parse_yaml(text.encode(), "your answers"), (), own_species)
        return document

    return check


def plan_text(
    answers: Answers, run_next: str, own_species: Path | None = None, whole: Whole | None = None
) -> str:
    """The plan file: every answer at its place, everything else as a comment with an example.

    whole: the plan with what was proposed, to write in place of the answers alone.
    """
    layout = layout_of(answers, own_species)
    if whole is not None:
        layout = _filled(layout, answers, whole)
    head = (
        f"# A planned set-up, started with `advisor new` (clutch-advisor {__version__}).\n"
        "# A line that starts with # is not read. To add an entry, take the # and the space behind it away, and write your\n"
        "# own value. What stands behind a # on the right only explains.\n"
        "# Every number has its unit: 29 °C or 84 °F, 20 x 14 x 9 cm or 8 x 6 x 4 in. Dates: year-month-day.\n"
        f"# Then run: {run_next}\n"
    )
    if whole is not None:
        head += '# What is marked "proposed" nobody has told. Make it so, or correct it and run the check again.\n'
    return head + "\n".join(commented(load_schema("plan"), layout)) + "\n"


def told_alone(document: Document, answers: Answers) -> Document:
    """The plan of the answers, without the egg box that stands in it so that its entries can be shown."""
    if any(path.startswith("egg_boxes") for path in answers):
        return document
    data = {key: value for key, value in document.data.items() if key != "egg_boxes"}
    data["clutches"] = [{key: clutch[key] for key in clutch if key != "box"} for clutch in data["clutches"]]
    return replace(document, data=data)


def layout_of(answers: Answers, own_species: Path | None) -> Layout:
    """The entries, examples and comments of the plan of the answers."""
    units = "us" if answered_in_us(answers) else "metric"
    filled: dict[str, Any] = {
        "format": 1,
        "units": units,
        f"{BOX}.name": "eggs",
        f"{BOX}.holds": "eggs",
        "clutches[0].box": "eggs",
        **answers,
    }
    comments = {"format": "Version of this file format.", f"{BOX}.holds": "Eggs lie in this kind of box."}
    if answers.get(PROBE) == "probe box medium":
        filled |= {"egg_boxes[1].name": "probe", "egg_boxes[1].count": 1, "egg_boxes[1].holds": "probe"}
        comments["egg_boxes[1].name"] = (
            "The probe box. Size, lid and medium are best the same as those of the egg boxes: add them below."
        )
    examples = dict(_US_BLOCKS if units == "us" else _BLOCKS)
    examples |= _probe_box_like(answers)
    if SPECIES in answers:
        more_examples, more_comments = _from_profile(
            profile_called(answers[SPECIES], own_species), Show(units)
        )
        examples |= more_examples
        comments |= more_comments
    return Layout(filled, examples, comments, _away(answers), units == "us")


def _filled(layout: Layout, answers: Answers, whole: Whole) -> Layout:
    """The layout with the whole plan in place of what was answered."""
    told = {*answers, *whole.remarks}
    ones = {path for path in told if not any(other.startswith(f"{path}.") for other in whole.remarks)}
    entries = dict(_entries(whole.data, load_schema("plan"), "", ones))
    comments = {path: text for path, text in layout.comments.items() if not path.startswith("egg_boxes[1]")}
    comments |= {
        path: "proposed"
        for path in entries
        if any(path.startswith((f"{block}[", f"{block}.")) for block in whole.remarks)
    }
    return replace(
        layout, answers=entries, comments={**comments, **whole.remarks}, away=layout.away | _away(entries)
    )


def _entries(
    data: Mapping[str, Any], schema: Mapping[str, Any], path: str, ones: set[str]
) -> Iterator[tuple[str, Any]]:
    """The data entry by entry; the blocks in `ones`, told or proposed as one, stay one."""
    for key, value in data.items():
        here = f"{path}.{key}" if path else key
        entry = resolved(entries_in(schema)[key], load_schema("plan"))
        if isinstance(value, dict) and here not in ones:
            yield from _entries(value, entry, here, ones)
        elif isinstance(value, list) and "properties" in entry.get("items", {}):
            for index, row in enumerate(value):
                yield from _entries(row, entry["items"], f"{here}[{index}]", ones)
        else:
            yield here, value


def _probe_box_like(answers: Answers) -> dict[str, str]:
    """Examples for the probe box that make it like the egg boxes."""
    medium = {
        entry: answers[f"{BOX}.medium.{entry}"]
        for entry in ("material", "mixed_with", "mix")
        if f"{BOX}.medium.{entry}" in answers
    }
    like = {
        "inside": answers.get(f"{BOX}.inside"),
        "medium": medium,
        "lid": answers.get(f"{BOX}.lid")
        or ({"holes": answers[f"{BOX}.lid.holes"]} if f"{BOX}.lid.holes" in answers else None),
        "shape": answers.get(f"{BOX}.shape"),
    }
    return {f"egg_boxes[1].{entry}": flow(value) for entry, value in like.items() if value}


def _from_profile(species: Species, show: Show) -> tuple[dict[str, str], dict[str, str]]:
    """Examples and comments that fit the species; they stay comments, since the profile is not this clutch."""
    examples = {
        entry.replace("[]", "[0]"): example for entry, example in profile_examples(species, show).items()
    }
    comments = {SPECIES: f"Its profile is {species.id}."}
    if species.eggs.mass is not None:
        low, high = species.eggs.mass.low, species.eggs.mass.high
        comments["clutches[0].egg_mass"] = (
            f"Mass of one fresh egg. The profile of {species.name} has "
            f"{show.mass(low) if low == high else f'{show.mass(low)} to {show.mass(high)}'}: weigh yours."
        )
    return examples, comments


def _as_named(text: str, own_species: Path | None) -> str:
    """The name as the profile spells it, or the id."""
    found = named(text, profile_files(own_species))
    return found.called or found.id


def _of_profile(answers: Answers, own_species: Path | None, told: Callable[[Species], str]) -> str:
    return told(profile_called(answers[SPECIES], own_species)) if SPECIES in answers else ""


def _usual_clutch(species: Species) -> str:
    clutch = species.eggs.clutch
    if clutch is None:
        return ""
    number = f"{clutch.low:.0f}" if clutch.low == clutch.high else f"{clutch.low:.0f} to {clutch.high:.0f}"
    return f"The profile of {species.name} has {number} eggs a clutch."


def _usual_interval(species: Species) -> str:
    following = species.laying.next_clutch if species.laying else None
    if following is None:
        return f"The profile of {species.name} names no days between clutches."
    return f"The profile of {species.name} has {Show().days_range(following.low, following.high)} between clutches."


def _usual_temperature(species: Species) -> str:
    if species.aim is None:
        return f"The profile of {species.name} names no temperature to aim for."
    both = " or ".join(
        Show(units).temperature_range(species.aim.low, species.aim.high) for units in ("metric", "us")
    )
    return f"The profile of {species.name} aims for {both}."


def _words(path: str, text: str, help: str) -> Question:
    entry = entry_at("plan", path_key(path))
    words = tuple(word for word in entry["enum"] if isinstance(word, str))
    return Question(path, text, help, str(entry["examples"][0]), one_of(path, words, also_of(entry)), words)


def answered_in_us(answers: Mapping[str, Any]) -> bool:
    """Whether the first temperature, or else the first length, was told in US units."""
    for paths in (
        ("room.temperature", SET_POINT),
        ("outer_box.inside", "outer_box.wall.thickness", f"{BOX}.inside"),
    ):
        for path in paths:
            found = re.search(r"[^\d\s.]+$", str(answers.get(path, "")).strip())
            unit = known_unit(found[0]) if found else None
            if unit is not None:
                return unit in ("°F", "in", "ft")
    return False


def _away(entries: Mapping[str, Any]) -> frozenset[str]:
    """Entries that may not stand beside one that is answered."""
    return frozenset(other for entry, other in INSTEAD.items() if entry in entries)
