"""A plan worked on through the page, as forms send it: begun, filled, put right, saved, taken back, kept from harm."""

from pathlib import Path

import pytest

from advisor.advice.remedies import advised
from advisor.assess import assess
from advisor.report.screen import verdict_text
from advisor.serve.answer import BEING_TRIED
from tests.papers.pages import EXAMPLES
from tests.serve.pages import Site, form_in, site, tree, words
from tests.support import ROOT


@pytest.fixture
def page(tmp_path: Path) -> Site:
    return site(tmp_path, "floor-heat.yaml", "first-season.yaml", "nearly-empty.yaml")


def beside(html: str, place: str) -> str:
    """The fault told beside a field."""
    found = next(one for one in tree(html).iter() if one.get("id") == f"{place}-fault")
    return " ".join("".join(found.itertext()).split())


def do_this(html: str) -> list[str]:
    """What the buttons of tried changes send."""
    return [one.get("value") for one in tree(html).iter("button") if one.text == "Do this"]


def test_an_empty_folder_greets_with_three_ways(tmp_path: Path) -> None:
    shown = words(site(tmp_path).get("/").text)
    assert all(way in shown for way in ("Start a plan", "Open an example", "Look round"))


def test_a_plan_begins_with_its_species(page: Site) -> None:
    answer = page.post("/plans", {"species": "corn snake", "title": "Shelf: #2, {new}"})
    assert answer.status_code == 303 and answer.headers["Location"] == "/plans/shelf-2-new.yaml"
    assessment = assess(page.folder / "shelf-2-new.yaml")
    assert assessment.situation.plan.title == "Shelf: #2, {new}"
    assert page.get("/plans/shelf-2-new.yaml").status_code == 200
    again = page.post("/plans", {"species": "corn snake", "title": "Shelf 2 new"})
    assert again.status_code == 400 and "exists already" in again.text


def test_an_example_is_copied_once(page: Site) -> None:
    assert page.post("/plans", {"example": "two-species.yaml"}).status_code == 303
    assert (page.folder / "two-species.yaml").read_bytes() == (ROOT / "examples" / "two-species.yaml").read_bytes()  # fmt: skip
    assert page.post("/plans", {"example": "two-species.yaml"}).status_code == 400


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_the_page_says_what_the_check_says(path: Path, tmp_path: Path) -> None:
    found = advised(assess(path)).report
    shown = words(site(tmp_path, path.name).get(f"/plans/{path.name}").text)
    assert verdict_text(found) in shown
    for finding in found.findings:
        assert " ".join(finding.message.split()) in shown.replace("\u00a0", " ")


@pytest.mark.parametrize(
    "address",
    [
        "/plans/first-season.yaml",
        "/plans/nearly-empty.yaml",
        "/plans/floor-heat.yaml/suggest",
        "/species/new",
    ],
)
def test_no_two_places_of_a_page_have_one_name(address: str, page: Site) -> None:
    """Else a link leads to the wrong one, and a fault is told twice."""
    places = [one.get("id") for one in tree(page.get(address).text).iter() if one.get("id")]
    assert places and len(places) == len(set(places))


def test_a_plan_without_enough_told_is_not_called_watch(page: Site) -> None:
    shown = tree(page.get("/plans/nearly-empty.yaml").text)
    assert next(one for one in shown.iter() if one.get("id") == "state").text == "NOT ENOUGH TOLD"


def test_do_this_puts_a_plan_right_and_tells_what_it_cleared(page: Site) -> None:
    sent = do_this(page.get("/plans/floor-heat.yaml").text)
    assert sent == ['[["heat.place", "lid"]]']
    answer = page.save("floor-heat.yaml", {"set": sent[0]})
    assert answer.status_code == 303
    shown = words(page.get(answer.headers["Location"]).text)
    assert "Cleared: The heat comes from under the wet medium" in shown
    assert do_this(page.get("/plans/floor-heat.yaml").text) == []
    assert page.text("floor-heat.yaml") == (ROOT / "examples" / "floor-heat.yaml").read_text("utf-8").replace(
        "place: floor", "place: lid"
    )


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_button_of_a_plan_clears_its_finding(path: Path, tmp_path: Path) -> None:
    """Pressed one by one until none is left: each leaves a plan that can be read, with less to put right or other."""
    page = site(tmp_path, path.name)
    for _ in range(12):
        before = page.get(f"/plans/{path.name}").text
        sent = do_this(before)
        if not sent:
            break
        assert page.save(path.name, {"set": sent[0]}).status_code == 303
        left = do_this(page.get(f"/plans/{path.name}").text)
        assert sent[0] not in left
    assert sent == []


def test_a_fault_stands_beside_its_field_and_nothing_is_saved(page: Site) -> None:
    before = page.text("first-season.yaml")
    typed = {"heat.power": "14 Wat", "room.temperature": "cold", "heat.count": "many", "clutches[0].species": "corm snake", "clutches[0].laying.expected": "soon"}  # fmt: skip
    answer = page.save("first-season.yaml", typed)
    assert answer.status_code == 400
    for path in typed:
        place = "at-" + path.replace("[0].", "-0-").replace(".", "-")
        assert beside(answer.text, place), path
    assert "did you mean" in beside(answer.text, "at-clutches-0-species").lower()
    assert beside(answer.text, "at-control-set_to") == ""
    kept = form_in(answer.text, "plan")
    assert {path: kept[f"e:{path}"] for path in typed} == typed
    assert page.text("first-season.yaml") == before


def test_a_fault_is_told_in_the_words_of_the_form(page: Site) -> None:
    """No path of the file format, beside the field and in the list alike; what was refused counts as not saved."""
    typed = {"clutches[0].laying.expected": "June 10", "clutches[0].laying.laid_on": "", "heat.power": "20"}
    answer = page.save("first-season.yaml", typed)
    assert answer.status_code == 400 and "data-unsaved" in answer.text
    assert "data-unsaved" not in page.get("/plans/first-season.yaml").text
    told = beside(answer.text, "at-heat-power")
    assert told.startswith("Heat: heater power: the number 20 has no unit. Write ")
    listed = words(answer.text)
    assert (
        "Clutch 1: expected: 'June 10'" in listed
        and "heat.power" not in listed
        and "clutches[0]" not in listed
    )


def test_the_first_answer_says_that_changes_are_being_tried(page: Site) -> None:
    form = page.form("floor-heat.yaml")
    first = page.post("/plans/floor-heat.yaml/answer", form).text
    assert BEING_TRIED in first and "not tried" not in first
    assert BEING_TRIED not in page.post("/plans/floor-heat.yaml/answer", {**form, "tried": "1"}).text


def test_the_live_answer_is_that_of_the_saved_plan(page: Site) -> None:
    form = {**page.form("floor-heat.yaml"), "e:heat.place": "lid", "e:heat.power": "3 W"}
    before = page.text("floor-heat.yaml")
    live = page.post("/plans/floor-heat.yaml/answer", {**form, "tried": "1"}).text
    assert page.text("floor-heat.yaml") == before
    page.post("/plans/floor-heat.yaml", form)
    saved = page.get("/plans/floor-heat.yaml").text
    assert "".join(tree(live).find("body").itertext()).split() == "".join(
        next(one for one in tree(saved).iter("section") if one.get("id") == "answer").itertext()
    ).split()  # fmt: skip


def test_a_change_on_disk_is_noticed_and_both_hands_are_kept(page: Site) -> None:
    name = "first-season.yaml"
    form = {**page.form(name), "e:heat.power": "20 W"}
    (page.folder / name).write_text(page.text(name).replace("set_to: 28 °C", "set_to: 27.5 °C"), "utf-8")
    assert "has changed on the disk" in page.post(f"/plans/{name}/answer", form).text
    answer = page.post(f"/plans/{name}", form)
    assert answer.status_code == 409 and "has changed on the disk" in words(answer.text)
    assert "20 W" not in page.text(name)
    both = form_in(answer.text, "plan")
    assert both["e:heat.power"] == "20 W" and both["e:control.set_to"] == "27.5 °C"
    assert page.post(f"/plans/{name}", both).status_code == 303
    assert "power: 20 W" in page.text(name) and "set_to: 27.5 °C" in page.text(name)


def test_undo_and_save_again(page: Site) -> None:
    name, before = "first-season.yaml", page.text("first-season.yaml")
    page.save(name, {"heat.power": "20 W"})
    after = page.text(name)
    assert after != before

    def step(**more: str) -> None:
        html = page.get(f"/plans/{name}").text
        mark = next(one.get("value") for one in tree(html).iter("input") if one.get("name") == "mark")
        assert page.post(f"/plans/{name}/undo", {"mark": mark, **more}).status_code == 303

    step()
    assert page.text(name) == before
    step(again="1")
    assert page.text(name) == after
    (page.folder / name).write_text(before + "# by hand\n", "utf-8")
    assert page.post(f"/plans/{name}/undo", {"mark": "x"}).status_code == 409
    assert page.text(name) == before + "# by hand\n"


def test_a_box_and_a_clutch_are_added_and_taken_away(page: Site) -> None:
    name = "nearly-empty.yaml"
    before = page.get(f"/plans/{name}").text
    answer = page.post(f"/plans/{name}", {**page.form(name), "add": "egg_boxes"})
    place = next(one for one in tree(before).iter("button") if one.get("value") == "egg_boxes").get(
        "formaction"
    )
    assert place.startswith(f"/plans/{name}#")  # the button leads to what it added
    added = place.partition("#")[2]
    assert f'id="{added}"' in answer.text and f'id="{added}"' not in before
    form = form_in(answer.text, "plan")
    count = sum(entry.endswith("].name") and entry.startswith("e:egg_boxes") for entry in form)
    filled = {**form, f"e:egg_boxes[{count - 1}].name": "new box", f"e:egg_boxes[{count - 1}].holds": "eggs"}
    assert page.post(f"/plans/{name}", filled).status_code == 303
    boxes = assess(page.folder / name).situation.plan.egg_boxes
    assert boxes[-1].name == "new box" and len(boxes) == count
    assert page.save(name, {"set": f'[["egg_boxes[{count - 1}]", null]]'}).status_code == 303
    assert len(assess(page.folder / name).situation.plan.egg_boxes) == count - 1


def test_the_text_is_saved_once_it_can_be_read(page: Site) -> None:
    name, before = "first-season.yaml", page.text("first-season.yaml")
    base = page.form(name)["base"]
    faulty = before.replace("power: 14 W", "power: 14 Wat")
    answer = page.post(f"/plans/{name}/text", {"base": base, "text": faulty})
    line = before[: before.index("power: 14 W")].count("\n") + 1
    assert answer.status_code == 400 and f"Line {line}:" in words(answer.text)
    assert page.text(name) == before and "14 Wat" in answer.text
    sound = before.replace("power: 14 W", "power: 15 W").replace("\n", "\r\n")  # as a browser sends it
    assert page.post(f"/plans/{name}/text", {"base": base, "text": sound}).status_code == 303
    assert page.text(name) == before.replace("power: 14 W", "power: 15 W")
    stale = page.post(f"/plans/{name}/text", {"base": base, "text": before})
    assert stale.status_code == 409 and "power: 15 W" in page.text(name)


def test_lines_of_windows_stay_so(page: Site) -> None:
    name = "first-season.yaml"
    path = page.folder / name
    path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))
    base = page.form(name)["base"]
    text = path.read_bytes().decode().replace("power: 14 W", "power: 15 W")
    assert page.post(f"/plans/{name}/text", {"base": base, "text": text}).status_code == 303
    assert path.read_bytes().decode() == text


def test_what_would_tell_leads_to_its_field(page: Site) -> None:
    html = page.get("/plans/nearly-empty.yaml").text
    places = {one.get("id") for one in tree(html).iter() if one.get("id")}
    section = next(one for one in tree(html).iter("section") if one.get("aria-labelledby") == "wanted")
    links = [one.get("href").removeprefix("#") for one in section.iter("a")]
    assert len(links) > 5 and set(links) <= places


def test_why_opens_the_working(page: Site) -> None:
    shown = words(page.get("/plans/floor-heat.yaml/why/heat-from-below-wet-medium").text)
    assert "The heater is under the wet medium" in shown and "Sources" in shown
    assert page.get("/plans/floor-heat.yaml/why/nothing-of-the-kind").status_code == 404
