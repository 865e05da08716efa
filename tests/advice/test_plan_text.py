"""Entries are written into a plan's file: what was asked is there, and all else is as it was."""

import difflib
import re
from pathlib import Path
from typing import Any

import pytest

from advisor.advice.entries import with_entry
from advisor.advice.plan_text import edited
from advisor.model.changes import Setting
from advisor.reading.marks import path_key
from advisor.reading.yaml_text import parse_yaml
from tests.support import ROOT

PLANS = [*sorted((ROOT / "examples").glob("*.yaml")), *sorted((ROOT / "tests/setups/sound").glob("*.yaml"))]
SETTINGS = (
    Setting("control.cut_out", {"set_to": "31 °C"}),
    Setting("control.cut_out.set_to", "31.5 °C"),
    Setting("control.switching_band", "0.5 °C"),
    Setting("room.altitude", "300 m"),
    Setting("egg_boxes[0].lid.holes", {"count": 9, "diameter": "2 mm"}),
    Setting("egg_boxes[0].top_up", {"every": "14 days"}),
    Setting("clutches[0].cool_period", None),
    Setting("clutches[0].marked", "yes"),
    Setting("checks.rhythm", [{"every": "7 days", "to_day": 20}, {"every": "3 days"}]),
    Setting("accept", [{"rule": "people-venomous", "because": "no: none here"}]),
)


def plain(data: Any) -> Any:
    """Data with numbers as text: the file does not tell them apart."""
    if isinstance(data, dict):
        return {key: plain(value) for key, value in data.items()}
    return [plain(item) for item in data] if isinstance(data, list) else f"{data}"


def read(text: str) -> Any:
    return plain(parse_yaml(text.encode(), "plan.yaml").data)


@pytest.mark.parametrize("path", PLANS, ids=lambda path: path.stem)
def test_nothing_set_changes_no_byte(path: Path) -> None:
    text = path.read_text("utf-8")
    assert edited(text, ()) == text


@pytest.mark.parametrize("path", PLANS, ids=lambda path: path.stem)
@pytest.mark.parametrize("setting", SETTINGS, ids=lambda setting: setting.path)
def test_one_entry_is_set_and_all_else_kept(path: Path, setting: Setting) -> None:
    text = path.read_text("utf-8")
    if setting.path.startswith("egg_boxes") and "egg_boxes" not in read(text):
        pytest.skip("no egg box in this plan")
    new = edited(text, (setting,))
    assert read(new) == plain(with_entry(read(text), path_key(setting.path), setting.value))
    for comment in re.findall(r"#.*", text):
        assert comment.strip() in new
    gone = [row for row in difflib.ndiff(text.splitlines(), new.splitlines()) if row.startswith("- ")]
    assert len(gone) <= 3  # the line of the entry, or those of its old value
    again = edited(new, (setting,))
    assert again == new


COMMENTED = """\
# top
format: 1
room: {temperature: 17 to 23 °C}   # cold loft

# the box
outer_box:
  inside: 55 x 35 x 22 cm
  # thick
  lid_fits: well # mine
# end of box
clutches:
- {species: corn snake, eggs: "014"}
"""


def test_remarks_stand_behind_new_entries_and_take_no_old_comment() -> None:
    new = edited(
        COMMENTED,
        (
            Setting("outer_box.wall.thickness", "30 mm"),
            Setting("room.humidity", "50 %"),
            Setting("clutches[0].box", "eggs"),
            Setting("heat.power", "20 W"),
            Setting("heat.source", "mat"),
        ),
        {
            "outer_box.wall.thickness": "proposed: thick",
            "room.humidity": "proposed: usual",
            "clutches[0].box": "proposed: the box",
            "heat.power": "proposed: watts",
            "outer_box.lid_fits": "as it was",
        },
    )
    for comment in re.findall(r"#.*", COMMENTED):
        assert comment.removeprefix("#").strip() in new
    lines = {line.split("#")[0].strip(): line for line in new.splitlines()}
    for entry, remark in (
        ("wall: {thickness: 30 mm}", "thick"),
        ("power: 20 W", "watts"),
        ("box: eggs", "the box"),
        ("lid_fits: well", "mine; as it was"),
    ):
        assert lines[entry].endswith(remark)
    names = [line.partition(":")[0] for line in new.splitlines() if re.match(r"\w", line)]
    assert names == ["format", "room", "outer_box", "heat", "clutches"]  # in the order of the format
    assert 'eggs: "014"' in new
    assert new.index("source: mat") < new.index("power: 20 W")
