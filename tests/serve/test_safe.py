"""Only this machine's own page may ask, nothing leads out of the folder, and text that wishes harm does nothing."""

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.reading.file_bytes import LARGEST_FILE
from advisor.serve.contribute import QUESTIONS
from advisor.serve.folder import sound_name
from tests.papers.pages import HOSTILE, hostile_plan, without_ticks
from tests.serve.pages import HOST, PORT, Site, site, tree, words
from tests.support import ROOT

PLAN = "first-season.yaml"
SPECIES = {"e:id": "Novolacerta minor", "e:names.common": "small lizard", "e:group": "lacertid"}
SCRIPTS = {f"/static/{path.name}" for path in (ROOT / "advisor" / "serve" / "static").glob("*.js")}
OTHER_HOSTS = ("evil.example", f"evil.example:{PORT}", "127.0.0.1", "127.0.0.1:80", f"127.0.0.1.evil.example:{PORT}", f"[::1]:{PORT}", f"0.0.0.0:{PORT}", "")  # fmt: skip
OTHER_ORIGINS = ("http://evil.example", "null", "http://127.0.0.1", "http://127.0.0.1:80", f"https://{HOST}", f"http://localhost:{PORT}")  # fmt: skip
LEADING_OUT = (
    "../secret.yaml", "..%2fsecret.yaml", "%2e%2e/secret.yaml", "..\\secret.yaml", "..%5csecret.yaml", "/etc/passwd",
    "%2fetc%2fpasswd", "sub/secret.yaml", ".advisor-undo/x.yaml", ".hidden.yaml", "a%00.yaml", "C:%5csecret.yaml",
    "con.yaml", "outside.yaml", "pipe.yaml", "folder.yaml", "secret.txt", "first-season.yaml%0a",
)  # fmt: skip


@pytest.fixture
def page(tmp_path: Path) -> Site:
    """A folder with one plan, and beside it what must not be reached."""
    folder = tmp_path / "plans"
    (folder / "sub").mkdir(parents=True)
    (folder / "folder.yaml").mkdir()
    for place in (tmp_path / "secret.yaml", folder / "sub" / "secret.yaml", folder / "secret.txt", folder / ".hidden.yaml"):  # fmt: skip
        place.write_text("format: 1\ntitle: SECRET\nclutches: [{species: corn snake}]\n", "utf-8")
    (folder / "outside.yaml").symlink_to(tmp_path / "secret.yaml")
    os.mkfifo(folder / "pipe.yaml")
    (folder / "species").mkdir()
    shutil.copy(ROOT / "species" / "pantherophis-guttatus.yaml", folder / "species")
    return site(folder, PLAN)


def addresses(page: Site) -> Iterator[tuple[str, str]]:
    """Every route with its method, its blanks filled in."""
    for rule in page.client.application.url_map.iter_rules():
        path = rule.rule.replace("<name>", PLAN).replace("<path:filename>", "page.css")
        identifier = "air-no-holes" if "rules" in path else "pantherophis-guttatus"
        path = path.replace("<identifier>", identifier).replace("<rule>", "air-no-holes")
        for method in (rule.methods or set()) & {"GET", "POST"}:
            yield method, path


def test_another_host_is_refused_everywhere(page: Site) -> None:
    asked = list(addresses(page))
    assert len(asked) > 15
    for method, path in asked:
        for host in OTHER_HOSTS:
            answer = page.client.open(path, method=method, headers={"Host": host}, data={"token": page.token})
            assert answer.status_code == 403, (method, path, host)
            assert "corn snake" not in answer.text


def test_another_page_is_refused_everywhere(page: Site) -> None:
    for method, path in addresses(page):
        for headers in (
            *({"Origin": origin} for origin in OTHER_ORIGINS),
            {"Sec-Fetch-Site": "cross-site"},
            {"Sec-Fetch-Site": "same-site"},
        ):
            answer = page.client.open(
                path, method=method, base_url=f"http://{HOST}", headers=headers, data={"token": page.token}
            )
            assert answer.status_code == 403, (method, path, headers)


@pytest.mark.parametrize("token", [None, "", "x", "é", "0" * 43])
def test_no_change_without_the_token(token: str | None, page: Site) -> None:
    before = page.text(PLAN)
    form = page.form(PLAN)
    for method, path in addresses(page):
        if method == "POST":
            sent = {**form, "e:title": "Changed", "example": "floor-heat.yaml", **SPECIES} | (
                {"token": token} if token is not None else {}
            )
            if token is None:
                del sent["token"]
            assert page.client.post(path, data=sent, base_url=f"http://{HOST}").status_code == 403, path
    assert page.text(PLAN) == before
    assert not (page.folder / "floor-heat.yaml").exists()
    assert len(list((page.folder / "species").iterdir())) == 1


def test_only_the_page_itself_and_a_post_change_anything(page: Site) -> None:
    """What a link or a picture could ask for changes nothing."""
    before = sorted(page.folder.rglob("*"))
    for method, path in addresses(page):
        if method == "GET":
            assert page.get(path).status_code in (200, 400), path
    assert sorted(page.folder.rglob("*")) == before


def test_every_page_says_what_it_may_do(page: Site) -> None:
    for method, path in addresses(page):
        if method != "GET":
            continue
        answer = page.get(path)
        policy = answer.headers["Content-Security-Policy"]
        assert "default-src 'none'" in policy and "frame-ancestors 'none'" in policy
        assert "unsafe" not in policy and "http" not in policy and "*" not in policy
        assert answer.headers["X-Content-Type-Options"] == "nosniff"
        if answer.mimetype == "text/html":
            _nothing_inline(without_ticks(answer.text))


def _nothing_inline(html: str) -> None:
    for one in tree(html).iter():
        if one.tag == "script":
            assert one.get("src") in SCRIPTS and not (one.text or "").strip()
        attributes = {name.lower(): value for name, value in one.attrib.items() if isinstance(name, str)}
        assert not [name for name in attributes if name.startswith("on") or name == "style"], one.tag
        for name in ("href", "src", "action", "formaction"):
            address = attributes.get(name, "")
            assert "://" not in address and not address.startswith(("//", "javascript:")), address
            assert not address.startswith("data:") or address == "data:,"


@pytest.mark.parametrize("name", LEADING_OUT)
def test_no_name_leads_out_of_the_folder(name: str, page: Site, tmp_path: Path) -> None:
    held = {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}
    form = page.form(PLAN)
    for part in ("", "/text", "/mark", "/papers", "/checklist", "/cards", "/calendar.ics", "/weigh", "/why/air-no-holes"):  # fmt: skip
        answer = page.get(f"/plans/{name}{part}")
        assert answer.status_code in (404, 308, 405), (part, answer.status_code)
        assert "SECRET" not in answer.text
    for part in ("", "/answer", "/text", "/undo"):
        answer = page.post(f"/plans/{name}{part}", {**form, "text": "format: 1\n", "mark": "x"})
        assert answer.status_code in (404, 308, 405), (part, answer.status_code)
    assert {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()} == held


def test_the_list_names_only_plans_of_the_folder(page: Site) -> None:
    shown = page.get("/").text
    assert "/plans/first-season.yaml" in shown
    assert not [name for name in ("outside", "hidden", "secret", "pipe", "folder.yaml") if f"/plans/{name}" in shown]  # fmt: skip


@given(st.text(min_size=1, max_size=40).map(lambda name: f"{name}.yaml"))
@settings(max_examples=300, deadline=None)
def test_a_sound_name_stays_in_the_folder(name: str) -> None:
    if sound_name(name):
        assert Path(name).name == name and not name.startswith(".") and "\\" not in name and ":" not in name
        assert (Path("/plans") / name).resolve().parent == Path("/plans")


@pytest.mark.parametrize(
    "example", ["../README.md", "/etc/passwd", "../examples/first-season.yaml", "none.yaml"]
)
def test_an_example_is_one_of_ours(example: str, page: Site) -> None:
    assert page.post("/plans", {"example": example}).status_code == 404


def test_the_store_of_undo_is_no_way_out(page: Site, tmp_path: Path) -> None:
    before, form = page.text(PLAN), page.form(PLAN)
    (page.folder / ".advisor-undo").symlink_to(tmp_path)
    answer = page.save(PLAN, {"title": "Changed"}, form)
    assert answer.status_code == 400 and "no folder of ours" in answer.text
    assert page.text(PLAN) == before
    assert not (tmp_path / PLAN).exists()


def test_a_file_that_is_too_large_is_refused(page: Site) -> None:
    large = page.folder / "large.yaml"
    large.write_text("# " + "x" * LARGEST_FILE, "utf-8")
    assert page.get("/plans/large.yaml").status_code == 400
    answer = page.post(f"/plans/{PLAN}/text", {**page.form(PLAN), "text": "# " + "x" * LARGEST_FILE + "\n" + page.text(PLAN)})  # fmt: skip
    assert answer.status_code == 400 and "too large" in answer.text


def test_a_request_that_is_too_large_is_refused(page: Site) -> None:
    answer = page.post(f"/plans/{PLAN}/text", {"text": "x" * 2_000_000})
    assert answer.status_code == 413


def test_hostile_text_is_shown_and_does_nothing(page: Site) -> None:
    hostile_plan(page.folder / "hostile.yaml")
    for part in ("", "/text", "/papers", "/checklist", "/cards", "/weigh", "/why/air-no-holes"):
        answer = page.get(f"/plans/hostile.yaml{part}")
        assert answer.status_code == 200, part
        _nothing_inline(without_ticks(answer.text))
        assert not list(tree(answer.text).iter("img"))
    assert "<script>alert(1)</script>" in words(page.get("/plans/hostile.yaml/checklist").text)


def test_hostile_words_typed_anywhere_do_nothing(page: Site) -> None:
    """Into every field at once, and into every other place that takes text."""
    form = page.form(PLAN)
    typed = {name: HOSTILE if name.startswith("e:") else value for name, value in form.items()}
    answer = page.post(f"/plans/{PLAN}", typed)
    assert answer.status_code == 400
    _nothing_inline(answer.text)
    _nothing_inline(page.post(f"/plans/{PLAN}/answer", typed).text)
    _nothing_inline(page.post(f"/plans/{PLAN}/text", {**form, "text": HOSTILE}).text)
    for path in ("/species", "/mix", f"/plans/{PLAN}/weigh"):
        for name in ("q", "days", "group", "ratio", "day", "box", "mass", "material", "units"):
            _nothing_inline(page.get(path, query_string={"ratio": "4:1", "day": "3", name: HOSTILE}).text)
    _nothing_inline(page.get("/species/compare", query_string={"id": [HOSTILE, "corn snake"]}).text)
    typed = {f"e:{question.path}": HOSTILE for question in QUESTIONS}
    for told in (typed, {**typed, **SPECIES}):
        for path in ("/species/new", "/species/new/answer"):
            answer = page.post(path, told)
            assert not list(tree(answer.text).iter("img"))
            _nothing_inline(answer.text)
    assert page.post("/plans", {"species": HOSTILE, "title": HOSTILE}).status_code in (303, 400)


@pytest.mark.parametrize(
    "path", sorted((ROOT / "tests" / "input").glob("*.yaml")), ids=lambda path: path.stem
)
def test_a_broken_file_is_told_and_kept(path: Path, page: Site) -> None:
    (page.folder / "broken.yaml").write_bytes(path.read_bytes())
    for part in ("", "/text", "/checklist", "/calendar.ics"):
        answer = page.get(f"/plans/broken.yaml{part}")
        assert answer.status_code in (200, 400), (part, words(answer.text))
        if answer.mimetype == "text/html":
            _nothing_inline(answer.text)
    assert page.get("/").status_code == 200
    assert (page.folder / "broken.yaml").read_bytes() == path.read_bytes()


@pytest.mark.parametrize("sent", ["[", "{}", '[["heat.power"]]', '[["nothing.here", "1"]]', "[[1, 2]]", "[" * 5000, '[["", 1]]'])  # fmt: skip
def test_a_button_sets_only_entries_of_a_plan(sent: str, page: Site) -> None:
    before = page.text(PLAN)
    assert page.save(PLAN, {"set": sent}).status_code == 400
    assert page.text(PLAN) == before


@pytest.mark.parametrize("base", ["", "x", "é", "Zm9v"])
def test_a_page_that_was_tampered_with_changes_nothing(base: str, page: Site) -> None:
    before = page.text(PLAN)
    answer = page.post(f"/plans/{PLAN}", {**page.form(PLAN), "base": base, "e:title": "Changed"})
    assert answer.status_code in (400, 409)
    assert page.text(PLAN) == before
