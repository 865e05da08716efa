"""The page of a species on the screen and in HTML: all that is known, readable, inert."""

import datetime
import re
from pathlib import Path

import html5lib
import pytest
from click.testing import CliRunner, Result

from advisor.cli import main
from advisor.forecast.clutch.curves import days_curve, expected_in_band, sexes_curve
from advisor.model.curves import Curve
from advisor.model.species import Species
from advisor.reading.names import profile_files
from advisor.reading.sources import shipped_sources
from advisor.reading.species import load_species
from advisor.reading.species_lints import cited_keys
from advisor.reading.yaml_text import read_yaml
from advisor.report.screen import WIDTH as COLUMNS
from advisor.show import Show
from advisor.species_pages.html import species_html
from advisor.species_pages.page import SpeciesPage, species_page
from advisor.species_pages.screen import species_lines

IDS = sorted(profile_files())
DAY = datetime.date(2027, 4, 1)


def run(*arguments: str | Path) -> Result:
    return CliRunner().invoke(main, [str(argument) for argument in arguments])


def page_of(species: Species, show: Show) -> SpeciesPage:
    return species_page(
        species,
        days_curve(species),
        sexes_curve(species),
        expected_in_band(species),
        shipped_sources(),
        show,
    )


def text_of(identifier: str, units: str = "metric") -> str:
    show = Show(units)
    return "\n".join(line.text for line in species_lines(page_of(load_species(identifier), show), show))


def html_of(identifier: str, units: str = "metric") -> str:
    show = Show(units)
    return species_html(page_of(load_species(identifier), show), show, DAY)


@pytest.mark.parametrize("identifier", IDS)
def test_every_source_stands_on_the_page_with_its_citation(identifier: str) -> None:
    page = page_of(load_species(identifier), Show())
    cited = {key for _, key in cited_keys(read_yaml(profile_files()[identifier]))}
    assert [key for key, _, _ in page.sources] == sorted(cited)
    bibliography = shipped_sources()
    for key, cite, known in page.sources:
        assert cite.startswith(bibliography[key].cite) and known == bibliography[key].known


@pytest.mark.parametrize("identifier", IDS)
def test_every_point_of_the_profile_is_a_row(identifier: str) -> None:
    species = load_species(identifier)
    tables = {
        table.heads[1]: table for section in page_of(species, Show()).sections for table in section.tables
    }
    assert len(tables["Days"].rows) == len(species.duration)
    assert len(tables["Males"].rows) == len(species.sex.observed)
    assert len(tables["Hatched"].rows) == len(species.hatched)
    assert all(len(row) == len(table.heads) for table in tables.values() for row in table.rows)


@pytest.mark.parametrize("identifier", IDS)
def test_the_screen_page_holds_bands_cautions_notes_and_fits(identifier: str) -> None:
    species, text = load_species(identifier), text_of(identifier)
    flat = " ".join(text.split())
    for band in (species.aim, species.tolerated):
        assert Show().temperature_range(band.low, band.high) in flat if band else "not known" in flat
    for caution in species.cautions:
        assert caution.word in flat
    for line in species.notes.strip().splitlines():
        assert " ".join(line.split()) in flat
    assert all(len(line) <= COLUMNS for line in text.splitlines())
    assert ": None" not in flat and "nan" not in flat.split()


def test_how_a_figure_is_known_stands_beside_it() -> None:
    text = " ".join(text_of("chrysemys-picta").split())
    assert "Harmful: below 23 °C, above 32 °C [published: les-2009, schwarzkopf-1985]" in text
    assert "les-2009: Les et al. 2009, Physiol Biochem Zool 82:105-112" in text
    assert "read through Noble et al. 2018" in text
    assert "Days: points: 31 published" in text


def test_unknown_is_said() -> None:
    text = " ".join(text_of("gekko-gecko").split())
    assert "Usual: not known" in text and "Tolerated: not known" in text


def test_us_units_are_shown_throughout() -> None:
    for shown in (text_of("chrysemys-picta", "us"), html_of("chrysemys-picta", "us")):
        # Notes are the contributor's own words and stay as they are.
        plain = shown.replace("\u00a0", " ")
        assert "77 to 86 °F" in plain
        assert "25 to 30 °C [" not in plain


@pytest.mark.parametrize("identifier", IDS)
def test_the_page_tells_days_at_the_usual_band_or_asks_for_a_record(identifier: str) -> None:
    species = load_species(identifier)
    asked = "no usable record" in " ".join(text_of(identifier).split())
    curve = days_curve(species)
    at = (
        [point.temperature for piece in curve.pieces for point in piece.points]
        if isinstance(curve, Curve)
        else []
    )
    if species.aim is not None:
        at = [temperature for temperature in at if species.aim.low <= temperature <= species.aim.high]
    assert asked != bool(at)


@pytest.mark.parametrize("identifier", IDS)
def test_the_page_tells_the_next_clutch_and_the_climate(identifier: str) -> None:
    species, flat = load_species(identifier), " ".join(text_of(identifier).split())
    following = species.laying.next_clutch if species.laying else None
    told = f"To the next clutch: {Show().days_range(following.low, following.high)} [" if following else ""
    assert told in flat if following else "To the next clutch" not in flat
    assert (
        f"Short cold spells: judged as for a {species.climate.kind if species.climate else 'tropical'}"
        in flat
    )


@pytest.mark.parametrize("identifier", IDS)
def test_the_html_page_is_sound_and_complete_in_itself(identifier: str) -> None:
    html = html_of(identifier)
    html5lib.HTMLParser(strict=True).parse(html)
    document = html5lib.parse(html, namespaceHTMLElements=False)
    tags = {
        str(element.tag).rpartition("}")[2] for element in document.iter() if isinstance(element.tag, str)
    }
    assert not tags & {"script", "img", "link", "iframe", "object", "embed", "form", "base", "audio"}
    for element in document.iter():
        assert not any(str(name).startswith("on") or name in ("src", "style") for name in element.attrib)
        assert element.attrib.get("href", "#").startswith("#")
    ids = [element.attrib["id"] for element in document.iter() if "id" in element.attrib]
    assert len(set(ids)) == len(ids)
    assert {link.attrib["href"][1:] for link in document.iter("a")} <= set(ids)
    levels = [
        int(str(tag)[1])
        for tag in (element.tag for element in document.iter())
        if str(tag) in ("h1", "h2", "h3")
    ]
    assert levels[0] == 1 and levels.count(1) == 1
    style = "".join(element.text or "" for element in document.iter("style"))
    assert "url(" not in style and "@import" not in style


HOSTILE = (
    "<script>alert(1)</script> ![p](http://a.invalid/x.png) [click](javascript:alert(2)) {{ 7*7 }} "
    '</style> <img src=x onerror=alert(3)> &amp; "quoted"'
)


def test_words_that_wish_harm_are_shown_and_do_nothing(tmp_path: Path) -> None:
    text = (profile_files()["chamaeleo-calyptratus"]).read_text("utf-8")
    start = text.index("notes:")
    (tmp_path / "chamaeleo-calyptratus.yaml").write_text(
        text[:start].replace("common: [", f"common: ['{HOSTILE.replace(chr(39), '')[:80]}', ", 1)
        + "notes: |\n  "
        + HOSTILE
        + "\n",
        "utf-8",
    )
    result = run("species", "show", "chamaeleo-calyptratus", "--html", "--species", tmp_path)
    assert result.exit_code == 0, result.output
    html = result.stdout
    assert "<script" not in html and "<img" not in html
    assert set(re.findall(r"href=(..)", html)) == {'"#'}
    shown = "".join(html5lib.parse(html, namespaceHTMLElements=False).itertext())
    assert "<script>alert(1)</script>" in shown and "{{ 7*7 }}" in shown and "javascript:alert(2)" in shown
    screen = run("species", "show", "chamaeleo-calyptratus", "--species", tmp_path)
    assert all(character.isprintable() or character == "\n" for character in screen.stdout)
    assert "read from" in screen.stdout


def test_show_writes_a_page_and_keeps_an_existing_one(tmp_path: Path) -> None:
    file = tmp_path / "page.html"
    assert run("species", "show", "trachemys-scripta", "-o", file, "--date", "2027-04-01").exit_code == 0
    first = file.read_bytes()
    assert run("species", "show", "trachemys-scripta", "--html", "-o", file).exit_code == 2
    assert file.read_bytes() == first
    again = run("species", "show", "trachemys-scripta", "--html", "--date", "2027-04-01")
    assert again.stdout.encode() == first
    assert b"<svg" in first and b"Thu 1 April 2027" in first


def test_show_refuses_what_it_cannot_do() -> None:
    assert "Did you mean trachemys-scripta" in run("species", "show", "trachemis-scripta").stderr
    assert run("species", "show", "trachemys-scripta", "-o", "page.pdf").exit_code == 2


def test_show_in_us_units() -> None:
    shown = run("species", "show", "pantherophis-guttatus", "--units", "us").stdout
    assert "Set the thermostat: 81 to 84 °F" in shown


@pytest.mark.parametrize(
    ("gain", "name", "told"),
    [
        ("-0.77", "Water given off until hatching", "77 %"),
        ("-0.2 to -0.1", "Water given off until hatching", "10 to 20 %"),
        ("-0.1 to 0.2", "Water until hatching", "from 10 % given off to 20 % taken up"),
        ("0.3 to 0.6", "Water taken up until hatching", "30 to 60 %"),
    ],
)
def test_water_lost_is_not_told_as_taken_up(gain: str, name: str, told: str, tmp_path: Path) -> None:
    text = profile_files()["chelydra-serpentina"].read_text("utf-8")
    assert "gain: 0.6" in text
    (tmp_path / "chelydra-serpentina.yaml").write_text(text.replace("gain: 0.6", f"gain: {gain}"), "utf-8")
    page = page_of(load_species("chelydra-serpentina", tmp_path), Show())
    facts = {fact.what: fact.says for section in page.sections for fact in section.facts}
    assert facts[name] == told
    assert len([fact for fact in facts if fact.startswith("Water") and "until" in fact]) == 1
