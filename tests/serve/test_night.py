"""The club night on the page: the pack that the command writes, shown slide by slide."""

import io
import zipfile
from pathlib import Path

import pytest
from click.testing import CliRunner

from advisor.cli import main
from advisor.lesson.night import Night, night_of
from advisor.reading.species import load_species
from advisor.serve.house import today
from tests.serve.pages import Site, site, tree, words


@pytest.fixture
def page(tmp_path: Path) -> Site:
    (tmp_path / "plans").mkdir()
    return site(tmp_path / "plans")


def squeezed(text: str) -> str:
    return "".join(text.replace("\u00a0", " ").split())


def worked(species: str, seed: int, units: str) -> Night:
    return night_of(load_species(species), seed, units, today())


@pytest.mark.parametrize(("species", "seed", "units"), [("pantherophis-guttatus", 1, "metric"), ("eublepharis-macularius", 7, "us")])  # fmt: skip
def test_every_answer_of_the_pack_is_on_its_slide(species: str, seed: int, units: str, page: Site) -> None:
    pack = worked(species, seed, units).pack
    answer = page.get(f"/club-night?species={species}&seed={seed}&units={units}")
    shown = squeezed(words(answer.text))
    for set_up in pack.set_ups:
        for told in (set_up.verdict, *(one.says for one in set_up.rows), *(one.message for one in set_up.answers), *(one.remedy for one in set_up.answers)):  # fmt: skip
            assert squeezed(told) in shown, told
    for row in (*pack.compared,):
        assert all(squeezed(cell) in shown for cell in (row.what, row.lid, row.floor))
    slides = [one for one in tree(answer.text).iter("section") if one.get("class") == "slide"]
    assert len(slides) == 2 + bool(pack.sexes) + len(pack.set_ups)


def test_no_answer_is_open_before_it_is_asked_for(page: Site) -> None:
    """What the rules find stands inside what is revealed, and nowhere else."""
    html = page.get("/club-night?species=corn+snake").text
    pack = worked("pantherophis-guttatus", 1, "metric").pack
    root = tree(html)
    assert not [one for one in root.iter("details") if one.get("open") is not None]
    for inner in root.iter():
        for one in [child for child in inner if child.tag == "details"]:
            inner.remove(one)
    left = squeezed("".join(root.itertext()))
    answers = [one for set_up in pack.set_ups for one in set_up.answers]
    assert answers and not [one.message for one in answers if squeezed(one.message) in left]


def test_the_pack_is_that_of_the_command(page: Site, tmp_path: Path) -> None:
    answer = page.get("/club-night/pack.zip?species=corn+snake&seed=3&paper=letter")
    assert answer.mimetype == "application/zip" and "attachment" in answer.headers["Content-Disposition"]
    folder = tmp_path / "night"
    ran = CliRunner().invoke(main, ["lesson", "-o", str(folder), "--seed", "3", "--paper", "letter"])
    assert ran.exit_code == 0
    with zipfile.ZipFile(io.BytesIO(answer.data)) as archive:
        packed = {name.removeprefix("club-night/"): archive.read(name) for name in archive.namelist()}
    assert packed == {path.name: path.read_bytes() for path in folder.iterdir()}


@pytest.mark.parametrize("asked", ["species=no+such+animal", "species=corn+snake&seed=0", "species=corn+snake&seed=1e3", "species=corn+snake&seed=1000000"])  # fmt: skip
def test_what_makes_no_night_is_told(asked: str, page: Site) -> None:
    for path in ("/club-night?", "/club-night/pack.zip?"):
        answer = page.get(path + asked)
        assert answer.status_code == 400 and ("no profile" in answer.text or "is no whole number" in answer.text)  # fmt: skip
