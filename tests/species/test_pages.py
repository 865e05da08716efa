"""The page of a species on the screen and in HTML, and the comparison: all that is known, readable, inert."""

import datetime
import itertools
import re
import xml.etree.ElementTree as ElementTree
from collections.abc import Iterator
from pathlib import Path

import html5lib
import pytest
from click.testing import CliRunner, Result

from advisor.cli import main
from advisor.drawings.canvas import WIDTH, Drawing, svg_of
from advisor.drawings.species_curve import curve_drawing
from advisor.drawings.text_plot import plot_lines
from advisor.forecast.clutch.curves import days_curve, expected_in_band, sexes_curve
from advisor.model.curves import Curve, CurvePiece, CurvePoint, ObservedPoint
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
from tests.referees.label_boxes import label_box

IDS = sorted(profile_files())
SVG = "{http://www.w3.org/2000/svg}"
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


# --- What every page says ---


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


# --- The plot in text ---


def marks(lines: list[str]) -> Iterator[str]:
    for line in lines[:-3]:
        yield from line[8:]


def made_curve() -> Curve:
    points = tuple(CurvePoint(24.0 + t, 80 - 5 * t, 70 - 5 * t, 90 - 5 * t) for t in range(9))
    observed = (
        ObservedPoint(25.0, 75, 75, 20, "published"),
        ObservedPoint(28.0, 55, 65, None, "common practice"),
        ObservedPoint(31.0, 45, 45, 10, "published"),
    )
    return Curve((CurvePiece(points, "published"),), observed)


def test_the_plot_shows_points_curve_and_range() -> None:
    lines = list(plot_lines(made_curve(), "days", Show()))
    drawn = list(marks(lines))
    assert (drawn.count("o"), drawn.count("x")) == (2, 1)
    assert drawn.count("|") >= 1  # the range that the source states
    assert drawn.count("-") > 40 and drawn.count(".") > 100
    assert lines[-1].startswith("o published")


def test_the_plot_is_to_scale() -> None:
    lines = list(plot_lines(made_curve(), "days", Show()))[:-3]
    places = {
        (row, column - 8) for row, line in enumerate(lines) for column, sign in enumerate(line) if sign == "o"
    }
    # 24 to 32 °C over 66 columns, 30 to 90 days over 15 rows: 75 days at 25 °C, 45 at 31 °C, each within half a cell.
    for at, days in ((25, 75), (31, 45)):
        column, row = (at - 24) / 8 * 65, (90 - days) / 60 * 14
        assert any(abs(x - column) <= 0.5 and abs(y - row) <= 0.5 for y, x in places)


def test_the_plot_leaves_gaps_empty() -> None:
    whole = made_curve()
    points = whole.pieces[0].points
    cut = Curve((CurvePiece(points[:3], "published"), CurvePiece(points[6:], "published")), whole.observed)
    lines = list(plot_lines(cut, "days", Show()))[:-3]
    column = 8 + round(4.0 / 8 * 65)  # 28 °C, in the gap; only the stated range stands there
    assert {line[column] for line in lines if len(line) > column} <= {" ", "|", "x"}


def test_the_axis_counts_in_the_keepers_unit() -> None:
    metric, us = (list(plot_lines(made_curve(), "days", Show(units)))[-2] for units in ("metric", "us"))
    assert metric.split() == ["24", "25", "26", "27", "28", "29", "30", "31", "32", "°C"]
    assert us.split()[0] == "74" and us.split()[-1] == "°F"


# --- The drawn curves ---


def drawings(identifier: str, units: str) -> Iterator[tuple[Curve, str, Drawing]]:
    species = load_species(identifier)
    for what, curve in (("days", days_curve(species)), ("share", sexes_curve(species))):
        if isinstance(curve, Curve):
            yield curve, what, curve_drawing(curve, what, species.name, Show(units), f"curve-{what}")


@pytest.mark.parametrize("units", ["metric", "us"])
@pytest.mark.parametrize("identifier", IDS)
def test_labels_stand_inside_the_sheet_and_apart(identifier: str, units: str) -> None:
    for _, _, drawing in drawings(identifier, units):
        boxes = [label_box(label) for label in drawing.labels]
        for box, label in zip(boxes, drawing.labels, strict=True):
            assert box.left >= -0.1 and box.right <= WIDTH + 0.1, label.text
            assert box.top >= -1 and box.bottom <= drawing.height + 0.1, label.text
        for one, other in itertools.combinations(boxes, 2):
            across = min(one.right, other.right) - max(one.left, other.left)
            down = min(one.bottom, other.bottom) - max(one.top, other.top)
            assert across <= 0 or down <= 0.2


@pytest.mark.parametrize("identifier", IDS)
def test_each_curve_has_axes_points_band_and_words_in_black_and_white(identifier: str) -> None:
    for curve, what, drawing in drawings(identifier, "metric"):
        root = ElementTree.fromstring(svg_of(drawing))
        assert root.attrib["role"] == "img"
        title, words = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
        assert title is not None and words is not None and title.text and words.text
        assert "days" in words.text if what == "days" else "%" in words.text
        (explained,) = [entry for entry in root if entry.attrib.get("class") == "key"]
        root.remove(explained)
        published = sum(point.known == "published" for point in curve.observed)
        assert len(list(root.iter(f"{SVG}ellipse"))) == published
        assert len(list(root.iter(f"{SVG}rect"))) == len(curve.observed) - published
        assert len(list(root.iter(f"{SVG}polyline"))) == len(curve.pieces)
        assert len(list(root.iter(f"{SVG}polygon"))) == sum(len(piece.points) > 1 for piece in curve.pieces)
        colours = set(re.findall(r"#[0-9a-fA-F]{3,6}\b", svg_of(drawing)))
        assert colours <= {"#000", "#fff"}


def test_points_are_drawn_where_they_belong_and_larger_for_more_eggs() -> None:
    observed = (
        ObservedPoint(25.0, 0.25, 0.25, 50, "published"),
        ObservedPoint(31.0, 0.75, 0.75, 200, "published"),
    )
    points = tuple(CurvePoint(24.0 + t, 0.1 * t, 0.0, 1.0) for t in range(9))
    drawing = curve_drawing(
        Curve((CurvePiece(points, "published"),), observed), "share", "made up", Show(), "c"
    )
    root = ElementTree.fromstring(svg_of(drawing))
    ends = {
        label.text: label.x
        for label in drawing.labels
        if label.text in ("24", "32") and label.anchor == "middle"
    }
    levels = {label.text: label.y for label in drawing.labels if label.text.endswith("%")}
    small, large = (entry for entry in root if entry.tag == f"{SVG}ellipse")
    for ellipse, at, level in ((small, 25, "25 %"), (large, 31, "75 %")):
        across = ends["24"] + (at - 24) / 8 * (ends["32"] - ends["24"])
        assert float(ellipse.attrib["cx"]) == pytest.approx(across, abs=0.2)
        # The label of a level stands with its middle at the line: 0.35 of 9.5 below.
        assert float(ellipse.attrib["cy"]) == pytest.approx(levels[level] - 0.35 * 9.5, abs=0.2)
    # The area goes with the count: four times the eggs, twice the radius.
    assert float(large.attrib["rx"]) == pytest.approx(
        2 * float(small.attrib["rx"]), abs=0.15
    )  # coordinates are written to a tenth


# --- The HTML page ---


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


# --- The commands ---


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


def test_compare_names_the_shared_band_days_and_sexes() -> None:
    shown = run(
        "species", "compare", "pantherophis-guttatus", "pogona-vitticeps", "eublepharis-macularius"
    ).stdout
    assert "Yes. All usual bands meet at 28 to 29 °C." in shown
    rows = [re.split(r"\s{2,}", line.strip()) for line in shown.splitlines()]
    at = {(row[0], row[1]): row[2:] for row in rows if len(row) == 4 and row[0].endswith("°C")}
    assert set(at) == {
        (set_to, species)
        for set_to in ("28 °C", "28.5 °C", "29 °C")
        for species in ("corn snake", "central bearded dragon", "leopard gecko")
    }
    # Viets et al. 1993: no male of 43 at 28 °C.
    assert at["28 °C", "leopard gecko"][1].startswith("1 %")


def test_compare_proposes_the_split() -> None:
    shown = run("species", "compare", "correlophus-ciliatus", "python-regius", "pantherophis-guttatus").stdout
    assert "No. No set point suits all of them." in shown
    assert "Split into 3 boxes:" in shown
    assert re.search(r"1 +23 °C +crested gecko +78 days", shown)
    assert "Box 3: anything from 31 to 32.2 °C is usual for royal python." in shown


def test_compare_says_when_only_the_tolerated_bands_meet() -> None:
    shown = run("species", "compare", "pantherophis-guttatus", "python-regius").stdout
    assert "Perhaps. The usual bands do not all meet, but all tolerate 30 to 31 °C." in shown
    assert "Split into 2 boxes:" in shown


def test_compare_leaves_out_what_is_not_known() -> None:
    shown = run("species", "compare", "gekko-gecko", "python-regius").stdout
    assert "The usual or the tolerated band of tokay gecko is not known" in shown
    assert "nothing can be compared" in shown


def test_compare_in_us_units_and_with_a_wrong_name() -> None:
    shown = run("species", "compare", "trachemys-scripta", "chrysemys-picta", "--units", "us").stdout
    assert "meet at 79 to 86 °F" in shown and "°C" not in shown
    assert run("species", "compare", "trachemys-scripta").exit_code == 2
    assert "Did you mean" in run("species", "compare", "trachemys-scripta", "crysemys-picta").stderr


def test_the_comparison_as_a_page_says_what_the_screen_says(tmp_path: Path) -> None:
    names = ("testudo-hermanni", "testudo-graeca", "pantherophis-guttatus", "python-regius")
    file = tmp_path / "page.html"
    assert run("species", "compare", *names, "-o", file, "--date", "2027-04-01").exit_code == 0
    html = file.read_text("utf-8")
    html5lib.HTMLParser(strict=True).parse(html)
    page = re.sub(r"<style.*?</style>|<title>.*?</title>", "", html, flags=re.DOTALL)
    told = " ".join(" ".join(html5lib.parse(page, namespaceHTMLElements=False).itertext()).split())
    for line in run("species", "compare", *names).stdout.splitlines():
        for cell in re.split(r"\s{2,}", line.strip()):
            assert cell in told
    assert run("species", "compare", *names, "-o", file).exit_code == 2  # an existing file is kept
    assert run("species", "compare", *names, "-o", tmp_path / "page.pdf").exit_code == 2


def test_a_comparison_with_a_name_that_wishes_harm_does_nothing(tmp_path: Path) -> None:
    text = profile_files()["chamaeleo-calyptratus"].read_text("utf-8")
    harm = HOSTILE.replace("'", "")[:80]
    (tmp_path / "chamaeleo-calyptratus.yaml").write_text(
        text.replace("common: [", f"common: ['{harm}', ", 1), "utf-8"
    )
    file = tmp_path / "page.html"
    names = ("chamaeleo-calyptratus", "pantherophis-guttatus")
    assert run("species", "compare", *names, "-o", file, "--species", tmp_path).exit_code == 0
    html = file.read_text("utf-8")
    assert "<script" not in html and "<img" not in html and "href" not in html
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in html


def test_compare_names_a_cool_period() -> None:
    periods = {name: load_species(name).cool_period for name in IDS}
    cool = [name for name, period in periods.items() if period and period.needed_by != "none"]
    assert cool
    shown = run("species", "compare", cool[0], "pantherophis-guttatus").stdout
    assert "needs in some populations a cool period of" in shown


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
