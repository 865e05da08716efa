"""Advice on eggs, checks, dates, people and sexes: what is told works, and no fact is changed to make a finding go away."""

import re
from pathlib import Path
from typing import Any

import pytest
import yaml

from advisor.advice import remedies
from advisor.advice.levers import all_levers, case_at, lever_of
from advisor.assess import assess
from advisor.forecast.clutch.sex_steering import usual_band
from advisor.model.findings import NOTE
from advisor.reading.species import load_species
from tests.advice.followed import Told, told_for
from tests.changes import with_entries
from tests.profiles import PROFILES
from tests.setups.test_setups import HERE, ROWS, SOUND, planted
from tests.support import ROOT, situation_of

EGGS = ("buried", "detached", "cool-period", "looked-for", "not-marked", "parted")
MINE = ("air-checks", "timing", "watching", "people", "sex", "profile", *(f"eggs-{word}" for word in EGGS))
# A fact of the keeper or of the species, or more than an entry of the plan: words, and nothing tried.
WORDS_ALONE = {
    "people-infection",
    "people-venomous",
    "eggs-cool-period-missing",  # only the keeper knows where the parents come from
    "timing-not-ready-before-laying",  # the row's eggs are laid already
    "profile-missing",
    "profile-thin-evidence",
}
FACTS = re.compile(
    r"people\.children_under_five|accept.*|clutches\[\d+\]\.(species|eggs|egg_mass|laying.*|wanted)"
)
OPEN_ROWS = [row for row in ROWS if row["rule"].startswith(MINE) and row["level"] != NOTE]


@pytest.mark.parametrize("row", OPEN_ROWS, ids=[f"{row['rule']}: {row['plan']}" for row in OPEN_ROWS])
def test_what_is_told_of_a_planted_fault_works(row: dict[str, Any]) -> None:
    own = HERE / row["species_dir"] if "species_dir" in row else None
    told = told_for(planted(row), row["rule"], own)
    assert told
    for one in told:
        if row["rule"] in WORDS_ALONE:
            assert not one.finding.changes and not one.finding.obstacle and one.finding.remedy
        else:
            assert_works(one)


def assert_works(one: Told) -> None:
    assert one.after is not None, one.finding.obstacle
    assert one.finding.remedy.startswith(one.finding.changes[0].words)
    assert one.clears and not one.brings


CORN, GLUED, BATH = "corn-snake-spare-room", "glued-gecko-on-bark", "slider-water-bath"
MORE = [
    ("timing-not-ready-before-laying", CORN, {"trial_run": {"from": "2027-05-14", "days": "10"}}),
    ("timing-not-ready-before-laying", CORN, {"clutches[1].lay_box": {"ready_on": "2027-06-20"}}),
    ("timing-trial-too-short", CORN, {"trial_run": {"from": "2027-05-11", "days": "1"}}),
    ("eggs-detached", GLUED, {"clutches[0].placed": "half buried", "clutches[0].parted": "later"}),
    ("eggs-detached", GLUED, {"clutches[0].parted": "while fresh"}),
    ("eggs-detached", CORN, {"clutches[0].placed": "attached to its surface"}),
    ("eggs-looked-for-too-rarely", CORN, {"clutches[1].looked_for": "every 30 h"}),
    ("people-mains-near-water", BATH, {"people.drip_loop": "no", "people.residual_current_device": "no"}),
    ("air-checks-too-often-early", CORN, {"checks": {"opens": "egg boxes", "lasting": "5 s", "rhythm": [{"every": "1 days"}]}}),
    ("sex-not-as-wanted", "pond-turtle-males", {"clutches[0].wanted": "females"}),
]  # fmt: skip


@pytest.mark.parametrize(("rule", "plan", "fault"), MORE)
def test_what_is_told_of_other_faults_works(rule: str, plan: str, fault: dict[str, Any]) -> None:
    told = told_for(with_entries(plan_of(plan), fault), rule)
    assert [one for one in told if one.finding.changes]
    for one in told:
        if one.finding.levers:  # not the water level of a water bath
            assert_works(one)


def plan_of(name: str) -> Any:
    return yaml.load(SOUND[name].read_text("utf-8"), Loader=yaml.BaseLoader)


def test_a_wish_that_no_set_point_gives_says_what_stands_in_the_way() -> None:
    # Females of the Japanese gecko hatch near 31.5 °C, where this thermostat leaves it open what hatches.
    plan = with_entries(plan_of("glued-gecko-on-bark"), {"clutches[0].wanted": "females"})
    (told,) = told_for(plan, "sex-not-as-wanted")
    assert "Set the thermostat to" in told.finding.obstacle and "too close to call" in told.finding.obstacle


@pytest.mark.parametrize("plan", SOUND)
def test_no_lever_changes_a_fact_that_is_told(plan: str) -> None:
    base = assess(SOUND[plan])
    for entry, lever in all_levers().items():
        root, listed, rest = entry.partition("[]")
        count = len(base.document.data.get(root, ())) if listed else 1
        for index in range(count):
            path = f"{root}[{index}]{rest}" if listed else entry
            for ladder in lever.values(case_at(base.situation, path)):
                for change in ladder.changes:
                    assert not [one for one in change.paths if FACTS.fullmatch(one)], change


@pytest.mark.parametrize(
    ("told", "entry", "value"),
    [
        ({"species": "pantherophis-guttatus"}, "eggs", 17),
        ({"species": "pantherophis-guttatus"}, "egg_mass", "8.4 g"),
        ({"species": "pantherophis-guttatus"}, "wanted", "any"),
        ({"species": "pantherophis-guttatus"}, "cool_period", "none"),
        ({"species": "pantherophis-guttatus"}, "parted", "left together"),
        ({"species": "eublepharis-macularius"}, "parted", "while fresh"),
        ({"species": "gekko-japonicus"}, "placed", "attached to its surface"),
        ({"species": "pantherophis-guttatus"}, "placed", "half buried"),
        ({"species": "pantherophis-guttatus", "parted": "while fresh"}, "looked_for", "every 12 h"),
        ({"species": "eublepharis-macularius", "parted": "while fresh"}, "looked_for", "every 24 h"),
        ({"species": "stigmochelys-pardalis"}, "cool_period", None),
    ],
)
def test_what_is_proposed_where_nothing_is_told(told: dict[str, str], entry: str, value: Any) -> None:
    path = f"clutches[0].{entry}"
    lever = lever_of(path)
    assert lever is not None
    ladders = list(lever.values(case_at(situation_of({"clutches": [told]}), path)))
    first = ladders[0].changes[0].settings[0].value if ladders else None
    assert first == value


def set_points(species: str, checked: str, own: Path | None = None) -> list[float]:
    plan = {"control": {"set_to": "20 °C", "checked_against": checked}, "clutches": [{"species": species}]}
    lever = lever_of("control.set_to")
    assert lever is not None
    ladders = lever.values(case_at(situation_of(plan, own), "control.set_to"))
    told = [change.settings[0].value for ladder in ladders for change in ladder.changes]
    return [float(value.removesuffix(" °C")) for value in told]


@pytest.mark.parametrize("checked", ["ice point", "nothing"])
@pytest.mark.parametrize(
    "species", [one for one in PROFILES.values() if usual_band(one)], ids=lambda one: one.id
)
def test_set_points_stay_in_the_usual_band_and_away_from_harm(species: Any, checked: str) -> None:
    band, harmful = usual_band(species), species.harmful
    tried = set_points(species.id, checked)
    assert tried and band is not None
    assert min(tried) >= band.low - 1e-6 and max(tried) <= band.high + 1e-6
    if harmful is not None and harmful.above is not None:
        assert max(tried) <= harmful.above - 1 + 1e-6
    if harmful is not None and harmful.below is not None:
        assert min(tried) >= harmful.below + 1 - 1e-6


@pytest.mark.parametrize("checked", ["ice point", "nothing"])
def test_the_limit_of_harm_cuts_the_set_points_of_a_warm_species(checked: str) -> None:
    # This invented turtle is harmed from 30.8 °C on, and its usual band ends at 30.4 °C.
    own = HERE.parent / "rules" / "profiles"
    assert load_species("emys-exemplaris-calida", own).harmful is not None
    tried = set_points("emys-exemplaris-calida", checked, own)
    # Unchecked: 1 °C of the thermostat and 1 °C between boxes, root of the sum of squares 1.41 °C, so 29.39 °C at most.
    assert max(tried) == (29.0 if checked == "nothing" else 29.5)


@pytest.mark.parametrize(
    "plan", ["floor-heat", "chameleon-short-mix", "late-start", "bulb-in-foam", "wrong-sexes"]
)
def test_what_no_change_can_be_tried_for_still_says_what_to_do(
    plan: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(remedies, "attempts", lambda *_: iter(()))
    told = remedies.advised(assess(ROOT / "examples" / f"{plan}.yaml")).report.findings
    tried = [finding for finding in told if finding.obstacle]
    assert tried and all(finding.remedy for finding in tried)
