"""A species contributed on the page: what the command asks and checks, told beside the field, and the same file at the end."""

import datetime
from pathlib import Path

import pytest
from click.testing import CliRunner

from advisor.cli import main
from advisor.reading.species_lints import check_profile
from advisor.serve.contribute import QUESTIONS
from tests.interview.asked import PROFILE_ANSWERS
from tests.serve.pages import Site, form_in, site, tree, words

NAME = "Novolacerta minor"
FILE = "novolacerta-minor.yaml"


@pytest.fixture
def page(tmp_path: Path) -> Site:
    (tmp_path / "plans").mkdir()
    return site(tmp_path / "plans")


def answered(page: Site, **changes: str) -> dict[str, str]:
    """The form with every question answered, some of them otherwise; the path of a question is written with __ for its points."""
    form = form_in(page.get("/species/new").text, "species")
    told = dict(zip((question.path for question in QUESTIONS), [NAME, *PROFILE_ANSWERS], strict=True))
    told |= {path.replace("__", "."): text for path, text in changes.items()}
    return {**form, **{f"e:{path}": text for path, text in told.items()}}


def beside(html: str) -> dict[str, str]:
    """What is told beside each field, by its path on the page."""
    told = {
        one.get("id").removeprefix("at-").removesuffix("-fault"): " ".join("".join(one.itertext()).split())
        for one in tree(html).iter("div")
        if one.get("class") == "fault"
    }
    return {place: text for place, text in told.items() if text}


def in_answer(html: str) -> dict[str, str]:
    """The faults of the answer, by the place that each is told beside."""
    return {
        one.get("data-place").removeprefix("at-"): " ".join(
            "".join(next(one.iter("span")).itertext()).split()
        )
        for one in tree(html).iter("li")
        if one.get("data-place") is not None
    }


def test_every_question_of_the_command_has_its_field(page: Site) -> None:
    form = form_in(page.get("/species/new").text, "species")
    assert {name for name in form if name.startswith("e:")} == {f"e:{one.path}" for one in QUESTIONS}
    shown = words(page.get("/species/new").text)
    assert all(question.text in shown for question in QUESTIONS)


@pytest.mark.parametrize("left_out", [0, 3, 9, 22])
def test_the_file_is_that_of_the_command(left_out: int, page: Site, tmp_path: Path) -> None:
    """With all answers (the first is needed), and with one left out: another source goes on, a block falls away."""
    answers = [*PROFILE_ANSWERS]
    if not QUESTIONS[left_out + 1].required:
        answers[left_out] = ""
    piped = "".join(f"{answer}\n" for answer in answers)
    told = CliRunner().invoke(main, ["species", "new", FILE[:-5], "-o", str(tmp_path / FILE)], input=piped)
    assert told.exit_code == 0, told.output
    sent = answered(page, **{QUESTIONS[left_out + 1].path.replace(".", "__"): answers[left_out]})
    answer = page.post("/species/new", sent)
    assert answer.status_code == 303, words(answer.text)
    written = page.folder / "species" / FILE
    assert written.read_bytes() == (tmp_path / FILE).read_bytes()
    assert check_profile(written).scientific == NAME
    counted = page.post("/species/new/answer", sent).text
    of_the_command = next(part for part in told.output.splitlines() if part.startswith("Wrote "))
    known = int(of_the_command.split(": ")[1].split(" of ")[0])
    assert f"{known + 1} of {len(QUESTIONS)} questions answered" in counted


def test_what_was_written_is_known_at_once_and_can_be_downloaded(page: Site) -> None:
    answer = page.post("/species/new", answered(page))
    told = page.get(answer.location)
    assert f"The profile of {NAME} is saved" in words(told.text)
    for one in tree(told.text).iter("a"):
        assert page.get(one.get("href")).status_code == 200 or one.get("class") == "skip", one.get("href")
    sent = page.get(f"/species/{FILE[:-5]}/file")
    assert sent.data == (page.folder / "species" / FILE).read_bytes()
    assert f"attachment; filename={FILE}" in sent.headers["Content-Disposition"]
    assert FILE[:-5] in page.get("/species?q=garden+lizard").text
    plan = page.post("/plans", {"species": "garden lizard", "title": "One"}).location
    assert "there is no profile" not in words(page.get(plan).text)


def test_nothing_is_ever_overwritten(page: Site) -> None:
    page.post("/species/new", answered(page))
    before = (page.folder / "species" / FILE).read_bytes()
    again = answered(page, notes="Another tale.")
    assert "There is a profile of" in page.post("/species/new/answer", again).text
    answer = page.post("/species/new", again)
    assert answer.status_code == 400 and f"{FILE} exists already" in words(answer.text)
    assert form_in(answer.text, "species")["e:notes"] == "Another tale."
    assert (page.folder / "species" / FILE).read_bytes() == before


@pytest.mark.parametrize("place", [place for place in range(len(QUESTIONS)) if not QUESTIONS[place].words])
@pytest.mark.parametrize("text", ["<script>alert(1)</script>", "x [no-such-source]", "99 °C: 1 [practice]", "none; [", "\x00\ud800", "7" * 400])  # fmt: skip
def test_an_answer_is_taken_or_told_beside_its_own_field(place: int, text: str, page: Site) -> None:
    """What one field holds is never told beside another, and a file is written only when nothing is told."""
    path = QUESTIONS[place].path
    sent = answered(page, **{path.replace(".", "__"): text})
    sent = {name: value.encode("utf-8", "replace").decode() for name, value in sent.items()}
    answer = page.post("/species/new", sent)
    if answer.status_code == 303:
        check_profile(next((page.folder / "species").glob("*.yaml")))
        return
    assert answer.status_code == 400
    told = beside(answer.text)
    assert set(told) == {path.replace(".", "-")}
    assert not (page.folder / "species").exists()
    live = in_answer(page.post("/species/new/answer", sent).text)
    assert set(live) == set(told)


@pytest.mark.parametrize(
    ("path", "text", "place", "says"),
    [
        ("temperature__tolerated", "28 to 30 °C [practice]", "temperature-aim", "is not inside tolerated"),
        ("temperature__harmful", "above 28 °C [practice]", "temperature-harmful", "cuts into the band"),
        ("duration", "28 °C: 60 [practice]; 28 °C: 60 [practice]", "duration", "is the same as"),
        ("eggs__clutches_per_year", "1 to 12", "laying-next_clutch", "more than a year"),
        ("eggs__clutches_per_year", "1", "laying-next_clutch", "tells of one clutch"),
        ("sex__observed", "26 °C: 1 of 20 [practice]; 29 °C: 10 of 20 [practice]; 32 °C: 19 of 20 [practice]", "sex-pattern", "yet the eggs counted"),
        ("id", "Lacerta 2", "id", "Lacerta agilis"),
        ("names__common", "x" * 2001, "names-common", "2001 characters"),
    ],
)  # fmt: skip
def test_what_contradicts_is_told_while_typing(
    path: str, text: str, place: str, says: str, page: Site
) -> None:
    told = in_answer(page.post("/species/new/answer", answered(page, **{path: text})).text)
    assert place in told and says in told[place], told


def test_an_empty_form_is_asked_for_what_is_needed_and_blames_nothing(page: Site) -> None:
    empty = form_in(page.get("/species/new").text, "species")
    shown = page.get("/species/new").text
    assert beside(shown) == {} and "Still needed" in words(shown)
    assert in_answer(page.post("/species/new/answer", empty).text) == {}
    answer = page.post("/species/new", empty)
    assert answer.status_code == 400
    assert set(beside(answer.text)) == {one.path.replace(".", "-") for one in QUESTIONS if one.required}


def test_a_link_out_of_the_folder_is_no_place_for_profiles(page: Site, tmp_path: Path) -> None:
    (tmp_path / "elsewhere").mkdir()
    (page.folder / "species").symlink_to(tmp_path / "elsewhere")
    answer = page.post("/species/new", answered(page))
    assert answer.status_code == 400 and "is a link to another folder" in words(answer.text)
    (tmp_path / "elsewhere" / FILE).write_text("id: SECRET\n", "utf-8")
    for part in ("file", "written"):
        told = page.get(f"/species/{FILE[:-5]}/{part}")
        assert told.status_code == 404 and "SECRET" not in told.text
    assert FILE[:-5] not in page.get("/species").text


def test_what_cannot_be_written_is_told_and_kept(page: Site) -> None:
    (page.folder / "species").write_text("no folder", "utf-8")
    answer = page.post("/species/new", answered(page))
    assert answer.status_code == 400 and "cannot be made" in words(answer.text)
    assert form_in(answer.text, "species")["e:notes"] == PROFILE_ANSWERS[-1]


def test_a_paper_beside_the_keepers_own_profiles_is_a_source(page: Site, tmp_path: Path) -> None:
    typed = answered(page, temperature__harmful="above 32 °C [invented-2027]")
    refused = page.post("/species/new", typed)
    assert refused.status_code == 400
    assert "is not in the list of sources" in beside(refused.text)["temperature-harmful"]
    own = tmp_path / "plans" / "species"
    own.mkdir()
    (own / "sources.yaml").write_text(
        "format: 1\nsources:\n  invented-2027: {cite: Invented 2027, known: published}\n", "utf-8"
    )
    assert "Invented 2027" in page.get("/species/new").text
    assert page.post("/species/new", typed).status_code == 303
    assert list(check_profile(own / FILE).harmful.support.sources) == ["invented-2027"]


@pytest.mark.parametrize("identifier", ["pantherophis-guttatus", "..%2fplans", "%2e%2e", "sources", "novolacerta-minor%0a"])  # fmt: skip
def test_only_a_profile_of_ones_own_is_sent(identifier: str, page: Site) -> None:
    page.post("/species/new", answered(page))
    for part in ("file", "written"):
        assert page.get(f"/species/{identifier}/{part}").status_code == 404


def test_the_day_is_that_of_today(page: Site) -> None:
    assert (
        f"reviewed: {datetime.date.today().isoformat()}"
        in page.post("/species/new/answer", answered(page)).text
    )
