"""The table of suggestions through the page: what is ticked is taken, what is not is left, and nothing else changes."""

import html
import json
from pathlib import Path

import pytest

from advisor.advice.entries import value_at
from advisor.advice.season_boxes import suggestions_for
from advisor.advice.suggest import Bounds, suggestion_for
from advisor.assess import assess
from advisor.reading.marks import path_key
from advisor.serve.house import today
from tests.papers.pages import EXAMPLES
from tests.serve.pages import Site, form_in, site, tree, words
from tests.support import ROOT


@pytest.fixture
def page(tmp_path: Path) -> Site:
    return site(tmp_path, "floor-heat.yaml", "bulb-in-foam.yaml", "nearly-empty.yaml", "two-species.yaml")


def ticks(shown: str) -> list[str]:
    return [one.get("value") for one in tree(shown).iter("input") if one.get("name") == "set"]


def taken(page: Site, name: str, shown: str, sets: list[str]) -> None:
    base = next(one.get("value") for one in tree(shown).iter("input") if one.get("name") == "base")
    answer = page.client.post(
        f"/plans/{name}", data={"token": page.token, "base": base, "set": sets}, base_url="http://127.0.0.1:8317"
    )  # fmt: skip
    assert answer.status_code == 303


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_all_that_is_ticked_gives_the_plan_that_was_found(path: Path, tmp_path: Path) -> None:
    base = assess(path)
    if suggestions_for(base, Bounds(today=today()), False, None):
        return
    found = suggestion_for(base, Bounds(today=today()))
    page = site(tmp_path, path.name)
    shown = page.get(f"/plans/{path.name}/suggest?find=1").text
    paths = [one[0] for text in ticks(shown) for one in json.loads(text)]
    assert paths == [row.path for row in found.rows]
    assert (found.obstacle in words(shown).replace("\u00a0", " ")) and "tried" in words(shown)
    if paths:
        taken(page, path.name, shown, ticks(shown))
    assert assess(tmp_path / path.name).report.verdict == found.after.report.verdict


def test_what_is_left_stays_as_it_was(page: Site) -> None:
    name = "nearly-empty.yaml"
    shown = page.get(f"/plans/{name}/suggest?find=1&fill=1").text
    sent = [json.loads(one) for one in ticks(shown)]
    assert len(sent) > 20
    left = [one for group in sent[1:] for one in group]
    taken(page, name, shown, ticks(shown)[:1])
    data = assess(page.folder / name).document.data
    for path, value, remark in sent[0]:
        assert value_at(data, path_key(path)) == value
        assert f"# {remark}" in page.text(name)  # a proposal is marked in the file, as the command marks it
    before = assess(ROOT / "examples" / name).document.data
    assert all(
        value_at(data, path_key(path)) == value_at(before, path_key(path)) for path, *_ in left
    )  # fmt: skip


def test_entries_for_one_thing_are_taken_together(page: Site) -> None:
    name = "bulb-in-foam.yaml"
    found = suggestion_for(assess(page.folder / name), Bounds(today=today()))
    alike = {row.why for row in found.rows}
    assert len(ticks(page.get(f"/plans/{name}/suggest?find=1").text)) == len(alike) < len(found.rows)


def test_nothing_is_sought_before_it_is_asked_for(page: Site) -> None:
    shown = page.get("/plans/floor-heat.yaml/suggest").text
    assert not ticks(shown) and "Find the changes" in shown


def test_a_season_is_parted_into_plans_beside_the_first(page: Site) -> None:
    name = "two-species.yaml"
    before = page.text(name)
    assert "Write two-species-1.yaml, two-species-2.yaml" in html.unescape(page.get(f"/plans/{name}/suggest?find=1").text)  # fmt: skip
    assert page.post(f"/plans/{name}/suggest", {}).status_code == 303
    worst = [assess(page.folder / f"two-species-{number}.yaml").report.verdict for number in (1, 2)]
    assert worst == ["watch", "watch"] and page.text(name) == before
    again = page.post(f"/plans/{name}/suggest", {})
    assert again.status_code == 400 and "exists already" in again.text


@pytest.mark.parametrize(
    "sent", ["[[]]", '[["heat.place"]]', '[["no.such", 1]]', '[["heat.place", "lid", 7]]', "{}", "[1]", '"x"']
)
def test_what_no_table_sends_is_refused(sent: str, page: Site) -> None:
    before = page.text("floor-heat.yaml")
    form = form_in(page.get("/plans/floor-heat.yaml").text, "plan")
    answer = page.post("/plans/floor-heat.yaml", {**form, "set": sent})
    assert answer.status_code in (303, 400) and page.text("floor-heat.yaml") == before
