"""What if: each number dragged changes itself alone, before and after are what the check says, nothing is saved by it."""

import html
import json
from pathlib import Path
from urllib.parse import urlencode

import pytest

from advisor.advice.plan_text import edited
from advisor.assess import assess, assess_document
from advisor.model.changes import Setting
from advisor.reading.yaml_text import parse_yaml
from advisor.report.screen import verdict_text
from advisor.serve.what_if import dials, settings_of
from tests.papers.pages import EXAMPLES, hostile_plan
from tests.serve.pages import Site, site, tree, words
from tests.support import ROOT

PLAN = "first-season.yaml"


@pytest.fixture
def page(tmp_path: Path) -> Site:
    return site(tmp_path, PLAN)


def asked(page: Site, moves: dict[str, str], name: str = PLAN) -> str:
    answer = page.get(f"/plans/{name}/what-if?{urlencode(moves)}")
    assert answer.status_code == 200
    return answer.text


def sent(shown: str) -> list[list[str]]:
    """The settings that the button would take."""
    found = [one.get("value") for one in tree(shown).iter("input") if one.get("name") == "set"]
    return json.loads(found[0]) if found else []


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_a_number_dragged_changes_itself_alone(path: Path) -> None:
    """Over every number of every example: its entry keeps all other numbers and words, and no other entry is touched."""
    data = assess(path).document.data
    groups = dials(data)
    found = [dial for group in groups.values() for dial in group]
    assert found and not list(settings_of({dial.name: f"{dial.value:g}" for dial in found}, groups, data))
    for dial in found:
        assert dial.low <= dial.value <= dial.high and dial.step > 0, dial
        to = min(dial.value + 4 * dial.step, dial.high)
        (changed,) = settings_of({dial.name: f"{to:.6g}"}, groups, data)
        assert changed.path == dial.path
        pairs = zip(dial.text.split(), changed.value.split(), strict=True)
        ((_, new),) = [(old, new) for old, new in pairs if old != new]
        assert float(new.rstrip("%")) == pytest.approx(to, rel=1e-5), dial


def test_the_sliders_are_the_numbers_of_the_plan(page: Site) -> None:
    shown = asked(page, {})
    sliders = {
        one.get("name"): float(one.get("value"))
        for one in tree(shown).iter("input")
        if one.get("type") == "range"
    }
    groups = dials(assess(page.folder / PLAN).document.data)
    assert (
        sliders == {dial.name: dial.value for group in groups.values() for dial in group}
        and sent(shown) == []
    )
    twice = {"w:room.temperature:1": "30", "w:room.temperature:0": "5"}
    assert sent(asked(page, twice)) == [["room.temperature", "5 to 30 °C"]]


def test_after_is_what_the_check_says_of_the_changed_plan(page: Site) -> None:
    shown = asked(page, {"w:control.set_to:0": "30", "w:room.temperature:0": "9", "side": "floor"})
    settings = [Setting("control.set_to", "30 °C"), Setting("room.temperature", "9 to 23 °C"), Setting("heat.place", "floor")]  # fmt: skip
    assert [Setting(*one) for one in sent(shown)] == settings
    after = assess_document(parse_yaml(edited(page.text(PLAN), settings).encode(), PLAN))
    told = words(shown).replace("\u00a0", " ")
    verdicts = [verdict_text(one.report) for one in (assess(page.folder / PLAN), after)]
    for side, verdict in zip(("Before", "After"), verdicts, strict=True):
        assert verdict.replace("Verdict", side, 1) in told
    for finding in after.report.findings:
        assert " ".join(finding.message.split()) in told
    assert html.unescape(shown).count("Before</figcaption>") == html.unescape(shown).count("After</figcaption>") >= 4  # fmt: skip
    names = [one.get("id") for one in tree(shown).iter() if one.get("id")]
    assert len(names) == len(set(names))
    assert page.text(PLAN) == (ROOT / "examples" / PLAN).read_text("utf-8")


def test_a_number_that_no_plan_may_have_is_told(page: Site) -> None:
    shown = asked(page, {"w:room.temperature:0": "80"})
    assert "room.temperature" in words(shown) and "Take this into the plan" not in shown


@pytest.mark.parametrize("number", ["nan", "inf", "1e9", "٣", "1;2", "--1", "9" * 400, "<b>"])
def test_what_is_no_number_is_refused(number: str, page: Site) -> None:
    assert page.get(f"/plans/{PLAN}/what-if?{urlencode({'w:heat.power:0': number})}").status_code == 400


def test_hostile_words_of_a_plan_move_nothing(page: Site) -> None:
    hostile_plan(page.folder / "hostile.yaml")
    shown = asked(page, {"w:heat.power:0": "20", "side": "floor"}, "hostile.yaml")
    assert not [one for one in tree(shown).iter("script") if one.get("src") != "/static/what_if.js"]
    assert not list(tree(shown).iter("img"))


@pytest.mark.parametrize("name", ["ten-gecko-clutches.yaml", "leopard-tortoise-two-seasons.yaml", "two-tortoises-one-season.yaml"])  # fmt: skip
def test_what_is_the_same_for_several_clutches_is_told_once(name: str, tmp_path: Path) -> None:
    """As many as the verdict above them counts."""
    place = site(tmp_path)
    (tmp_path / name).write_bytes((ROOT / "tests/setups/sound" / name).read_bytes())
    found = [
        one
        for one in tree(asked(place, {}, name)).iter("div")
        if (one.get("class") or "").startswith("told ")
    ]
    told = [" ".join("".join(one.itertext()).split()) for one in found]
    assert told and len(set(told)) == len(told)
