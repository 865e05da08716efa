"""What is read without script: species, rules, papers, calculators. It is what the commands say."""

from pathlib import Path

import pytest
from click.testing import CliRunner

from advisor.cli import main
from advisor.forecast.clutch.curves import expected_at
from advisor.model.figures import Figure
from advisor.reading.names import profile_files
from advisor.reading.species import load_species
from advisor.rules import all_rule_modules
from advisor.serve.house import ON_THE_PAGE
from tests.serve.pages import Site, site, tree, words
from tests.support import ROOT

PLAN = "first-season.yaml"


@pytest.fixture
def page(tmp_path: Path) -> Site:
    return site(tmp_path, PLAN)


def command(*arguments: str) -> str:
    """What a command prints, without line ends and indents."""
    done = CliRunner().invoke(main, arguments, catch_exceptions=False)
    assert done.exit_code == 0, done.output
    return " ".join(done.output.split())


def on_the_page(told: str) -> str:
    """What a command prints with a page's fields for its options, without spaces."""
    for option, field in ON_THE_PAGE.items():
        told = told.replace(option, field) if option.startswith("--") else told
    return told.replace(" ", "")


def test_every_species_is_listed_and_has_its_page(page: Site) -> None:
    listed = page.get("/species").text
    for identifier in profile_files():
        assert f'href="/species/{identifier}?units=metric"' in listed
        answer = page.get(f"/species/{identifier}")
        assert answer.status_code == 200 and "Sources" in words(answer.text)
        assert page.get(f"/species/{identifier}?units=us").status_code == 200


@pytest.mark.parametrize(
    ("query", "holds", "lacks"),
    [
        ({"q": "Corn SNAKE"}, "pantherophis-guttatus", "pogona-vitticeps"),
        ({"q": "vitticeps"}, "pogona-vitticeps", "pantherophis-guttatus"),
        ({"group": "tortoise"}, "testudo-hermanni", "pantherophis-guttatus"),
        ({"sexes": "temperature"}, "testudo-hermanni", "pantherophis-guttatus"),
        ({"sexes": "other"}, "pantherophis-guttatus", "testudo-hermanni"),
    ],
)
def test_the_list_is_narrowed(query: dict[str, str], holds: str, lacks: str, page: Site) -> None:
    shown = page.get("/species", query_string=query).text
    assert f"/species/{holds}?" in shown and f"/species/{lacks}?" not in shown


@pytest.mark.parametrize("at", ["27 °C", "82.4 °F", "31.5 °C"])
def test_the_list_is_narrowed_by_the_usual_band(at: str, page: Site) -> None:
    celsius = {"82.4 °F": 28.0}.get(at) or float(at.split()[0])
    shown = page.get("/species", query_string={"at": at}).text
    profiles = [load_species(name) for name in profile_files(None)]
    fits = {one.id for one in profiles if one.aim and one.aim.low <= celsius <= one.aim.high}
    assert fits and {one.id for one in profiles if f"/species/{one.id}?" in shown} == fits
    assert f"Only the {len([one for one in profiles if one.aim])} whose usual band is known" in words(shown)


@pytest.mark.parametrize(
    ("days", "least", "most"), [("60", 60, 60), ("50 to 55 days", 50, 55), ("1 to 1000", 1, 1000)]
)
@pytest.mark.parametrize("at", ["", "28 °C"])
def test_the_list_is_narrowed_by_the_days_that_the_species_page_tells(
    days: str, least: int, most: int, at: str, page: Site
) -> None:
    shown = page.get("/species", query_string={"days": days, "at": at}).text
    fits = {}
    for one in map(load_species, profile_files(None)):
        if one.aim and (not at or one.aim.low <= 28.0 <= one.aim.high):
            middle = 28.0 if at else (one.aim.low + one.aim.high) / 2
            told = expected_at(one, middle).days
            if isinstance(told, Figure) and round(told.low) <= most and least <= round(told.high):
                fits[one.id] = f"{round(told.low)} to {round(told.high)} days"
    assert fits and {name for name in profile_files(None) if f"/species/{name}?" in shown} == set(fits)
    for one in tree(shown).iter("tr"):
        box = next(one.iter("input"), None)
        if box is not None:
            assert "".join(list(one)[-1].itertext()).replace("\u00a0", " ") == fits[box.get("value")]


@pytest.mark.parametrize("days", ["soon", "-4", "70 to 50", "9000", "<b>"])
def test_days_that_cannot_be_read_are_told(days: str, page: Site) -> None:
    shown = page.get("/species", query_string={"days": days}).text
    assert "Days to hatching: " in words(shown) and "/species/pantherophis-guttatus?" in shown


@pytest.mark.parametrize("at", ["warm", "28", "900 °C", "27 to 29 °C", "<b>"])
def test_a_temperature_that_cannot_be_read_is_told(at: str, page: Site) -> None:
    shown = page.get("/species", query_string={"at": at}).text
    assert "Usual at: " in words(shown) and "/species/pantherophis-guttatus?" in shown


def test_species_are_compared_and_misspelt_ones_asked_back(page: Site) -> None:
    shown = words(page.get("/species/compare?id=corn+snake&id=pogona-vitticeps").text)
    assert "corn snake" in shown and "bearded dragon" in shown
    assert page.get("/species/compare?id=corn+snake").status_code == 400
    answer = page.get("/species/pantherophis-gutatus")
    assert answer.status_code == 404 and "pantherophis-guttatus" in answer.text


def test_every_rule_has_its_page(page: Site) -> None:
    listed = words(page.get("/rules").text)
    for module in all_rule_modules():
        assert module.RULE.title in listed
        shown = words(page.get(f"/rules/{module.RULE.id}").text)
        assert module.RULE.title in shown
    assert page.get("/rules/no-such-rule").status_code == 404


def test_the_mix_is_that_of_the_command(page: Site) -> None:
    told = command("mix", "--ratio", "4:1", "--medium-amount", "3 litres", "--grade", "medium")
    shown = page.get("/mix?ratio=4:1&medium-amount=3+litres&grade=medium").text
    assert on_the_page(told) in words(shown).replace("\u00a0", "").replace(" ", "")


def test_the_weighing_is_that_of_the_command(page: Site) -> None:
    plan = str(ROOT / "examples" / PLAN)
    told = command("weigh", plan, "--box", "eggs", "--day", "20", "--mass", "612 g", "--tare", "90 g")
    shown = page.get(f"/plans/{PLAN}/weigh?box=eggs&day=20&mass=612+g&tare=90+g").text
    assert on_the_page(told) in words(shown).replace("\u00a0", "").replace(" ", "")


@pytest.mark.parametrize(
    ("path", "says"),
    [
        ("/mix?ratio=four", "is no ratio"),
        ("/mix?ratio=4:1&medium-amount=3+stones", "medium-amount"),
        ("/mix?ratio=4:1&litre-mass=heavy", "litre-mass"),
        (f"/plans/{PLAN}/weigh?box=no&day=20&mass=612+g", "there is no egg box"),
        (f"/plans/{PLAN}/weigh?box=eggs&day=x&mass=612+g", "is no whole number from 1 to 600"),
        (f"/plans/{PLAN}/weigh?box=eggs&day=20&mass=&tare=1", "mass"),
    ],
)
def test_what_is_not_understood_is_asked_again(path: str, says: str, page: Site) -> None:
    answer = page.get(path)
    notice = next(one for one in tree(answer.text).iter("p") if one.get("role") == "alert")
    assert says in "".join(notice.itertext())


@pytest.mark.parametrize("part", ["checklist", "checklist?long=1", "cards?paper=letter"])
def test_a_paper_is_that_of_the_command_with_our_ways_back(part: str, page: Site, tmp_path: Path) -> None:
    name, _, query = part.partition("?")
    options = {"": (), "long=1": ("--long",), "paper=letter": ("--paper", "letter")}[query]
    out = tmp_path / "out.html"
    command(name, str(page.folder / PLAN), "-o", str(out), *options)
    shown = page.get(f"/plans/{PLAN}/{part}").text
    start, end = (
        shown.index('<nav class="bar"'),
        shown.index("</nav>", shown.index('<nav class="bar"')) + len("</nav>"),
    )
    bare = shown[:start].rstrip("\n") + shown[end:]
    bare = bare.replace(
        '<link rel="stylesheet" href="/static/bar.css">\n<link rel="icon" href="data:,">\n', ""
    )
    bare = bare.replace('<figure tabindex="0">', "<figure>")  # on a phone the keyboard moves a wide picture
    assert bare.split() == out.read_text("utf-8").split()


def test_the_calendar_is_that_of_the_command(page: Site, tmp_path: Path) -> None:
    command("calendar", str(page.folder / PLAN), "-o", str(tmp_path / "out.ics"))
    answer = page.get(f"/plans/{PLAN}/calendar.ics")
    assert answer.data == (tmp_path / "out.ics").read_bytes()
    assert "attachment" in answer.headers["Content-Disposition"]
