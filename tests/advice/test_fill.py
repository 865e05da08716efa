"""A plan of three lines becomes a whole set-up, for every profile that has a usual band."""

import datetime
import random
import re

import pytest
import yaml

from advisor.advice.suggest import Bounds, Suggestion, suggestion_for
from advisor.advice.trials import SERIOUS
from advisor.assess import assess_document
from advisor.forecast.egg_box.air import MOST_DRILLED
from advisor.lesson.sound_plan import ABOUT_THE_ANIMAL
from advisor.model.species import Species
from advisor.reading.problems import InputError
from advisor.reading.schema import entry_at
from advisor.reading.yaml_text import parse_yaml
from tests.fuzz.damage import PLANS
from tests.fuzz.drawn import as_yaml, holed
from tests.profiles import PROFILES

TODAY = datetime.date(2027, 3, 1)
# What a proposal makes or breaks by itself: rules that find no fault with anything that was told.
OWN_FAULTS = {
    "control-probe-box-differs",
    "air-short-of-oxygen-late",
    "watching-no-power-cut-plan",
    "moisture-mix-too-wet",
}


def filled(species: Species, room: str) -> Suggestion:
    eggs = round(species.eggs.clutch.middle) if species.eggs.clutch else 8
    text = f"format: 1\nroom: {{temperature: {room}}}\nclutches: [{{species: {species.id}, eggs: {eggs}}}]\n"
    return suggestion_for(
        assess_document(parse_yaml(text.encode(), "three.yaml")), Bounds(today=TODAY), fill=True
    )


@pytest.mark.parametrize(
    "species", [species for species in PROFILES.values() if species.aim], ids=lambda species: species.id
)
def test_three_lines_become_a_whole_set_up(species: Species) -> None:
    report = filled(species, "17 to 23 °C").after.report
    about_the_box = [finding for finding in report.findings if not finding.rule.startswith(ABOUT_THE_ANIMAL)]
    assert not [finding.message for finding in about_the_box if finding.severity in SERIOUS]
    # More holes than anyone drills into one box may stay a note: those that are there do, but for the bad end of the range.
    own = [found.message for found in about_the_box if found.rule in OWN_FAULTS]
    assert not [
        told
        for told in own
        if not (holes := re.search(r"alone it takes (\d+) to be sure", told)) or int(holes[1]) <= MOST_DRILLED
    ]
    # What only a profile or a curve can tell is not for the plan to tell.
    assert not [
        (answer.rule, need)
        for answer in report.not_judged
        for need in answer.needs
        if " " not in need and not need.startswith("species/")
    ]


@pytest.mark.parametrize("prepared", entry_at("plan", ("power_cut", "prepared"))["enum"])
def test_no_water_is_proposed_for_bottles_that_are_not_there(prepared: str) -> None:
    found = filled(PROFILES["pantherophis-guttatus"], f"17 to 23 °C}}\npower_cut: {{prepared: {prepared}")
    rows = {row.path: row for row in found.rows if row.proposed}
    assert ("power_cut.water" in rows) is (prepared in ("water bottles", "unknown"))


@pytest.mark.parametrize(
    "species", ["correlophus-ciliatus", "eublepharis-macularius", "anolis-sagrei", "gekko-gecko"]
)
def test_a_season_of_small_clutches_has_its_boxes_on_a_small_floor(species: str) -> None:
    text = (
        "format: 1\nroom: {temperature: 18 to 21 °C}\nouter_box: {kind: ready-built, inside: 30 x 25 x 22 cm}\n"
        f"clutches: [{{species: {species}, eggs: 2, laying: {{expected: 2027-05-01}}, repeats: {{times: 3}}}}]\n"
    )
    base = assess_document(parse_yaml(text.encode(), "season.yaml"))
    found = suggestion_for(base, Bounds(today=TODAY), fill=True).after.report.findings
    assert not [one.message for one in found if one.rule in ("eggs-no-box-free", "eggs-boxes-do-not-fit")]


@pytest.mark.parametrize(
    "species", ["elaphe-taeniura", "hydrodynastes-gigas", "varanus-albigularis", "eublepharis-macularius"]
)
def test_what_is_proposed_finds_no_fault_with_itself_in_inches_or_a_large_box(species: str) -> None:
    """Holes as the whole plan needs them, the probe box like the eggs' to the drill, water to the size of the box."""
    room = "62 to 74 °F}\nunits: us\nouter_box: {inside: 28 x 20 x 24 in"
    found = filled(PROFILES[species], room).after.report.findings
    assert not [finding.message for finding in found if finding.rule in OWN_FAULTS]


def untold_once_filled(text: str, *parts: str) -> list[str]:
    """Entries of some parts of a plan that its rules still lack when all was proposed; asserts that nothing is to put right."""
    base = assess_document(parse_yaml(text.encode(), "plan.yaml"))
    report = suggestion_for(base, Bounds(today=TODAY), fill=True).after.report
    assert report.verdict not in SERIOUS
    return [need for answer in report.not_judged for need in answer.needs if need.startswith(parts)]


@pytest.mark.parametrize(
    "told", ["", ", power: 20 W", ", size: 28 x 28 cm", ", place: lid", ", place: one side, power: 15 W"]
)
@pytest.mark.parametrize("source", ["mat", "cable", "bulb", "ceramic emitter", "water bath"])
def test_whatever_is_told_of_the_heater_the_rest_is_proposed(source: str, told: str) -> None:
    text = (
        f"format: 1\nroom: {{temperature: 18 to 24 °C}}\nheat: {{source: {source}{told}}}\n"
        "clutches: [{species: python-regius, eggs: 7}]\n"
    )
    assert not untold_once_filled(text, "heat.")


@pytest.mark.parametrize("seed", range(60))
def test_nothing_is_left_to_tell_wherever_entries_are_left_out(seed: int) -> None:
    """Sound plans with entries left out at random, the room among them."""
    source = random.Random(seed)
    text = as_yaml(holed(yaml.safe_load(source.choice(PLANS)), source))
    try:
        base = assess_document(parse_yaml(text, "holed.yaml"))
    except InputError:  # what is left makes no plan
        return
    report = suggestion_for(base, Bounds(today=TODAY), fill=True).after.report
    needs = {need for answer in report.not_judged for need in answer.needs}
    assert not [need for need in needs if " " not in need and not need.startswith("species/")]


def test_a_room_that_is_too_warm_is_named() -> None:
    suggestion = filled(PROFILES["correlophus-ciliatus"], "29 to 33 °C")
    assert suggestion.after.report.verdict in SERIOUS
    assert "room" in suggestion.obstacle and "33 °C" in suggestion.obstacle


def test_nothing_of_a_ready_built_box_is_guessed_or_changed() -> None:
    """Its walls, heater and thermostat are as they were bought: neither proposed where untold nor altered where faulty."""
    text = (
        "format: 1\nroom: {temperature: 5 to 31 °C}\nheat: {power: 2 W}\n"
        "outer_box: {kind: ready-built, inside: 40 x 30 x 25 cm}\nclutches: [{species: eublepharis-macularius, eggs: 2}]\n"
    )
    document = parse_yaml(text.encode(), "bought.yaml")
    changed = [
        row.path for row in suggestion_for(assess_document(document), Bounds(today=TODAY), fill=True).rows
    ]
    assert "control.set_to" in changed
    built_in = ("heat", "outer_box", "control.thermostat", "control.switching_band", "control.probe")
    assert [entry for entry in changed if entry.startswith(built_in)] == []


def test_the_days_between_clutches_are_proposed_where_she_lays_again_and_the_profile_tells() -> None:
    def proposed(species: str, repeats: str) -> object:
        text = (
            f"format: 1\nroom: {{temperature: 20 °C}}\nclutches: [{{species: {species}, eggs: 2{repeats}}}]\n"
        )
        base = assess_document(parse_yaml(text.encode(), "season.yaml"))
        rows = suggestion_for(base, Bounds(today=TODAY), fill=True).rows
        return next((row.after for row in rows if row.path == "clutches[0].repeats.every"), None)

    assert proposed("eublepharis-macularius", ", repeats: {times: 3}") == "15 to 22 days"
    assert proposed("eublepharis-macularius", "") is None
    assert proposed("python-regius", ", repeats: {times: 1}") is None


@pytest.mark.parametrize("species", ["chamaeleo-calyptratus", "testudo-hermanni", "pantherophis-guttatus"])
def test_nothing_is_proposed_for_a_female_that_has_laid(species: str) -> None:
    """No lay box and no looking for eggs that lie in the box already, and no rule misses them."""
    text = (
        "format: 1\nroom: {temperature: 18 to 24 °C}\n"
        f"clutches: [{{species: {species}, eggs: 9, laying: {{laid_on: 2027-02-20}}}}]\n"
    )
    found = suggestion_for(
        assess_document(parse_yaml(text.encode(), "laid.yaml")), Bounds(today=TODAY), fill=True
    )
    needs = {need for answer in found.after.report.not_judged for need in answer.needs}
    for entry in ("clutches[0].lay_box", "clutches[0].looked_for"):
        assert not [one for one in (*needs, *(row.path for row in found.rows)) if one.startswith(entry)]


@pytest.mark.parametrize("wall", entry_at("plan", ("outer_box", "wall", "material"))["enum"])
@pytest.mark.parametrize("units", ["metric", "us"])
def test_whatever_the_walls_are_of_their_thickness_is_proposed(wall: str, units: str) -> None:
    """And with it the watts, which hang on it."""
    text = (
        f"format: 1\nunits: {units}\nroom: {{temperature: 18 to 24 °C}}\nouter_box: {{wall: {{material: {wall}}}}}\n"
        "clutches: [{species: python-regius, eggs: 7}]\n"
    )
    assert not untold_once_filled(text, "heat.", "outer_box.")
