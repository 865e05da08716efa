"""The form holds every entry of a plan: what it shows is what the file says, and what is typed is what gets written."""

from pathlib import Path
from typing import Any

import pytest
import yaml

from advisor.advice.plan_text import edited
from advisor.interview.questions import question_about
from advisor.reading.plan import read_document
from advisor.reading.schema import entries_in, items_of, load_schema, resolved
from advisor.reading.yaml_text import parse_yaml, read_yaml
from advisor.serve.form import changes, entries_of, form_of, ids_of, nearest_place, opened, place_id
from tests.fuzz.drawn import drawn_plan
from tests.interview.test_answers import ROWS, TABLE
from tests.support import ROOT

WHOLE = sorted((*(ROOT / "examples").glob("*.yaml"), *(ROOT / "tests" / "setups" / "sound").glob("*.yaml")))
EMPTY = "format: 1\nclutches:\n  - species: corn snake\n"


def like(value: Any) -> Any:
    """Data as text throughout: a file holds no numbers. An empty block tells nothing."""
    if isinstance(value, dict):
        return {key: like(entry) for key, entry in value.items() if entry != {}}
    if isinstance(value, list):
        return [like(entry) for entry in value]
    return {True: "yes", False: "no"}[value] if isinstance(value, bool) else str(value)


def shown(data: Any) -> dict[str, str]:
    return {entry.path: entry.value for entry in entries_of(form_of(data, {}, False))}


@pytest.mark.parametrize("path", WHOLE, ids=lambda path: path.stem)
def test_what_was_not_touched_is_no_change(path: Path) -> None:
    data = read_yaml(path).data
    assert changes(data, shown(data), False) == ()


@pytest.mark.parametrize("path", WHOLE, ids=lambda path: path.stem)
def test_a_plan_typed_from_nothing_is_the_same_plan(path: Path) -> None:
    """Every entry of the file has its field, and comes into a new file as it was."""
    wanted = read_yaml(path).data
    settings = changes(parse_yaml(EMPTY.encode(), "").data, shown(wanted), False)
    assert like(parse_yaml(edited(EMPTY, settings).encode(), "").data) == like(wanted)


@pytest.mark.parametrize("seed", range(40))
def test_a_drawn_plan_typed_from_nothing_is_the_same_plan(seed: int) -> None:
    wanted = parse_yaml(drawn_plan(seed), "").data
    settings = changes(parse_yaml(EMPTY.encode(), "").data, shown(wanted), False)
    assert like(parse_yaml(edited(EMPTY, settings).encode(), "").data) == like(wanted)


def test_a_field_takes_what_the_question_of_its_entry_takes() -> None:
    """Every answer of the table whose entry is a field to type in: numbers, sizes and dates as people write them."""
    data = {"clutches": [{"species": "corn snake"}], "egg_boxes": [{"name": "eggs"}]}
    fields = {
        entry.path: entry
        for entry in entries_of(form_of(data, {}, False))
        if entry.quantity and not entry.words
    }
    rows = [
        (path, row["typed"], row["takes"])
        for path, row in ROWS
        if isinstance(row.get("takes"), str) and row["takes"]
    ]
    rows += [
        ("clutches[0].laying.expected", row["typed"], row["takes"]["expected"])
        for row in TABLE["clutches[0].laying"]
        if row.get("takes") and "expected" in row["takes"]
    ]
    own = {"control.set_to"}  # its question takes nights too, another entry
    tried = [row for row in rows if row[0] in fields.keys() - own]
    assert len(tried) > 40
    for path, typed, takes in tried:
        (setting,) = changes(data, {path: typed}, False)
        assert (setting.path, str(setting.value)) == (path, takes), typed


@pytest.mark.parametrize("path", WHOLE, ids=lambda path: path.stem)
def test_a_plan_can_be_emptied_entry_by_entry(path: Path) -> None:
    """What is left is what the format asks for; no empty block stays behind."""
    text = path.read_text("utf-8")
    data = read_yaml(path).data
    typed = {entry: "" for entry in shown(data) if not entry.endswith((".species", ".name"))}
    left = parse_yaml(edited(text, changes(data, {**shown(data), **typed}, False)).encode(), "").data
    names = [{"name": box["name"]} for box in data.get("egg_boxes", [])]
    species = [{"species": clutch["species"]} for clutch in data["clutches"]]
    assert left == {"format": 1, **({"egg_boxes": names} if names else {}), "clutches": species}


def leaves(schema: dict[str, Any], path: str) -> list[str]:
    """The paths of the format that hold a value, items of a list by the first."""
    schema = resolved(schema, load_schema("plan"))
    inner = entries_in(schema)
    if inner:
        return [leaf for name, entry in inner.items() for leaf in leaves(entry, f"{path}.{name}")]
    items = items_of(schema)
    return leaves(items, f"{path}[0]") if items else [path]


def test_every_entry_of_the_format_has_its_place_in_the_form() -> None:
    data = {"egg_boxes": [{"name": "a"}], "clutches": [{"species": "corn snake"}]}
    form = form_of(data, {}, False)
    known = frozenset(ids_of(form))
    for name, schema in load_schema("plan")["properties"].items():
        for leaf in leaves(schema, name):
            assert leaf == "format" or nearest_place(leaf, known), leaf
            # Lists that are written on one line stand whole in one field.
            assert leaf in known or leaf == "format" or leaf.count("[") > leaf.count("egg_boxes[") + leaf.count("clutches["), leaf  # fmt: skip
    assert len({place_id(path) for path in known}) == len(known)


def test_what_lies_in_a_block_is_not_asked_among_the_first() -> None:
    first = form_of({}, {}, us=False)[0]
    assert [part.path for part in first.parts] == ["title", "units"]


def test_a_word_in_place_of_a_block_goes_before_what_stands_in_the_block() -> None:
    data = yaml.safe_load(
        "format: 1\nclutches: [{species: corn snake}]\ncontrol: {cut_out: {set_to: 30 °C}}\n"
    )
    typed = {**shown(data), "control.cut_out": "none"}
    assert [(one.path, one.value) for one in changes(data, typed, False)] == [("control.cut_out", "none")]


def test_a_block_in_place_of_a_word() -> None:
    text = "format: 1\nclutches: [{species: corn snake}]\ncontrol: {cut_out: none}\n"
    data = parse_yaml(text.encode(), "").data
    typed = {**shown(data), "control.cut_out": "", "control.cut_out.set_to": "30 °C"}
    left = parse_yaml(edited(text, changes(data, typed, False)).encode(), "").data
    assert left["control"] == {"cut_out": {"set_to": "30 °C"}}


def test_comments_and_order_stay() -> None:
    text = (ROOT / "examples" / "first-season.yaml").read_text("utf-8")
    data = parse_yaml(text.encode(), "").data
    changed = edited(text, changes(data, {**shown(data), "heat.power": "20 W"}, False))
    assert changed == text.replace("power: 14 W", "power: 20 W")


TWO_ITEMS = {"egg_boxes": [{"name": "a"}], "clutches": [{"species": "corn snake"}, {"species": "corn snake"}]}


def test_each_word_of_a_drawn_choice_has_a_picture_of_its_own_and_none_is_a_way_out() -> None:
    """A word that the format gets has to be drawn as well; words without drawings stay words."""
    drawn = {
        one.path: one.choices
        for one in entries_of(form_of(TWO_ITEMS, {}, False))
        if one.words and one.choices[1][2]
    }
    assert list(drawn) == ["heat.place", "control.probe.sits_in", "clutches[0].placed", "clutches[1].placed"]
    for path, choices in drawn.items():
        assert choices[0] == ("", "don't know yet", ""), path
        pictures = [picture for _, _, picture in choices[1:]]
        assert all(pictures) and len(set(pictures)) == len(pictures), path
        assert not any("<text" in picture or "id=" in picture for picture in pictures), path


def test_a_word_in_place_of_a_block_says_where_the_block_is_told() -> None:
    data = {**TWO_ITEMS, "control": {"cut_out": {"set_to": "30 °C"}}}
    empty = {one.path: one.empty for one in entries_of(form_of(data, {}, False)) if one.words}
    assert empty["control.cut_out"] == "as told below" and empty["egg_boxes[0].lid"] == "don't know yet"


def test_descriptions_call_entries_as_the_form_does() -> None:
    """A name out of the file (`set_to`) tells a keeper who sees only the form nothing."""
    told = {one.path: one.description for one in entries_of(form_of(TWO_ITEMS, {}, False))}
    assert [path for path, text in told.items() if "`" in text or "_" in text] == []
    assert "“Outside size”" in told["outer_box.inside"]


def test_blocks_are_unfolded_where_something_is_told_or_wanted() -> None:
    form = form_of({**TWO_ITEMS, "outer_box": {"wall": {"thickness": "4 cm"}}}, {}, False)
    assert opened(form, ()) >= {"outer_box", "outer_box.wall"}
    assert not opened(form, ()) & {"outer_box.vents", "heat", "control.probe"}
    assert opened(form, ("control.probe.sits_in",)) - opened(form, ()) == {"control", "control.probe"}


@pytest.mark.parametrize(
    ("typed", "takes"),
    [
        ("every 7 days", [{"every": "every 7 days"}]),
        ("5 days", [{"every": "5 days"}]),
        ("{every: 4 days}", [{"every": "4 days"}]),
        ("[{to_day: 20, every: 7 days}, {every: 3 days}]", [{"to_day": 20, "every": "7 days"}, {"every": "3 days"}]),
        ("by thirds", "thirds"),
    ],
)  # fmt: skip
def test_a_list_takes_one_step_as_people_write_it(typed: str, takes: Any) -> None:
    """On the page as at the terminal; what goes into the file can be read."""
    data = parse_yaml(EMPTY.encode(), "").data
    (setting,) = changes(data, {"checks.rhythm": typed}, False)
    assert setting.value == takes == question_about("checks.rhythm", "", False).read(typed)["checks.rhythm"]
    assert read_document(parse_yaml(edited(EMPTY, (setting,)).encode(), ""))
