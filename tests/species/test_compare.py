"""`advisor species compare`: shared bands, the split, what is not known; the same on the screen and as a page."""

import re
from pathlib import Path

import html5lib

from advisor.reading.names import profile_files
from advisor.reading.species import load_species
from tests.species.test_pages import HOSTILE, IDS, run


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
