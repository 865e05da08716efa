"""What the keeper wrote down: read with exact messages; eggs left, weighings and hatching as `advisor follow` uses them."""

import datetime
import json
import math
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.assess import situation_for
from advisor.forecast.egg_box.water_inputs import leakier, typical_values, uncertain_inputs, water_box
from advisor.forecast.follow.outcome import mean_day
from advisor.forecast.follow.plan_now import eggs_now, laid_as_told
from advisor.forecast.follow.whole import followed_of
from advisor.formulas.water.egg_box_water import add_water, box_mass, start_state, steps_of, water_content
from advisor.model.figures import Figure, Unknown
from advisor.model.follow import ClutchFollowed, Followed, Happening, Record
from advisor.model.water_answers import WeighingAnswer
from advisor.reading.happened import read_happened
from advisor.reading.plan import read_plan
from advisor.reading.problems import InputError, problem_lines
from advisor.reading.species_lints import check_profile
from advisor.report.outcome import record_lines
from advisor.wording import clutch_names
from tests.follow.logs import LAID, log_of, plan_of, sensor
from tests.forecast.water_plans import model_with, situation_with
from tests.support import ROOT, situation_of

DAY = datetime.timedelta(days=1)


def read(
    folder: Path, entries: str, plan: Path = ROOT / "examples" / "first-season.yaml"
) -> tuple[Happening, ...]:
    path = folder / "happened.yaml"
    path.write_text(f"format: 1\nhappened:\n{entries}", "utf-8")
    return read_happened(path, read_plan(plan)[0])


# --- Reading ---


def test_every_kind_is_read(tmp_path: Path) -> None:
    told = read(tmp_path, """  - {on: 2027-07-09, what: hatched, eggs: 7, males: 3, females: 4}
  - {on: 2027-05-11, what: laid}
  - {on: 2027-05-11, what: weighed, box: eggs 2, mass: 1 lb}
  - {on: 2027-05-20, what: topped up, box: eggs 1, mass: 8 g}
  - {on: 2027-05-20, what: weighed, box: eggs 1, mass: 0.64 kg, egg_mass: 12.5 g}
  - {on: 2027-05-20, what: candled, eggs: 12}
  - {on: 2027-05-21, what: removed, eggs: 1, box: eggs 2, says: mould}
""")  # fmt: skip
    assert [one.what for one in told] == [
        "laid",
        "weighed",
        "topped up",
        "weighed",
        "candled",
        "removed",
        "hatched",
    ]
    assert [one.box for one in told] == [None, (0, 2), (0, 1), (0, 1), None, (0, 2), None]
    assert told[1].mass == pytest.approx(0.45359237) and told[3].mass == 0.64 and told[3].egg_mass == 0.0125
    assert (told[-1].eggs, told[-1].males, told[-1].females) == (7, 3, 4)


@settings(max_examples=20)
@given(st.lists(st.sampled_from(("corn snake", "ball python", "leopard gecko")), min_size=1, max_size=6))
def test_each_clutch_is_found_by_the_name_and_by_the_number_of_the_papers(kinds: list[str]) -> None:
    clutches = "\n".join(f"  - {{species: {kind}}}" for kind in kinds)
    with TemporaryDirectory() as folder:
        plan = Path(folder) / "plan.yaml"
        plan.write_text(f"format: 1\nclutches:\n{clutches}\n", "utf-8")
        situation = situation_for(read_plan(plan)[0])
        for place, name in enumerate(clutch_names(situation.plan.clutches, situation.species)):
            nth = kinds[: place + 1].count(kinds[place])
            for words in (f"species: {name}", f"species: {kinds[place]}, clutch: {nth}"):
                (told,) = read(Path(folder), f"  - {{on: 2027-05-11, what: laid, {words}}}\n", plan)
                assert told.clutch == place


@pytest.mark.parametrize(
    ("words", "message"),
    [
        ("what: laid", ":3:5: happened[0]: the plan has 2 clutches of pantherophis-guttatus, and nothing says which is meant\n    Add its number, from 1 to 2, for example: clutch: 2"),
        ("what: laid, species: corn snake", ":3:5: happened[0]: the plan has 2 clutches of pantherophis-guttatus, and nothing says which is meant\n    Add its number, from 1 to 2, for example: clutch: 2"),
        ("what: laid, species: corn snake 3", ":3:5: happened[0]: there is no clutch 3 of pantherophis-guttatus\n    The plan has 2: write 1 to 2."),
        ("what: hatched, eggs: 2, clutch: 3", ":3:5: happened[0]: there is no clutch 3 of pantherophis-guttatus\n    The plan has 2: write 1 to 2."),
    ],
)  # fmt: skip
def test_one_clutch_of_several_is_asked_for(tmp_path: Path, words: str, message: str) -> None:
    plan = tmp_path / "plan.yaml"
    plan.write_text("format: 1\nclutches: [{species: corn snake, repeats: {times: 1}}]\n", "utf-8")
    with pytest.raises(InputError) as refused:
        read(tmp_path, f"  - {{on: 2027-05-20, {words}}}\n", plan)
    assert message in "\n".join(problem_lines(refused.value.problems))
    assert read(tmp_path, "  - {on: 2027-05-20, what: noted, says: a storm}\n", plan)[0].clutch is None


@pytest.mark.parametrize(
    ("entries", "message"),
    [
        ("  - {on: 2027-05-20, what: weighed, box: eggs 1}\n", ":3:5: happened[0]: 'weighed' lacks mass\n    Add it, for example mass: 640 g."),
        ("  - {on: 2027-05-20, what: hatched}\n", ":3:5: happened[0]: 'hatched' lacks eggs\n    Add it, for example eggs: 12."),
        ("  - {on: 2027-05-20, what: candled, eggs: 12, mass: 5 g}\n", ":3:47: happened[0].mass: 'candled' has no mass\n    It belongs to `weighed` or `topped up`. Take it out, or write it as `says`."),
        ("  - {on: 2027-05-20, what: weighed, mass: 640 g}\n", ":3:5: happened[0]: the plan has several boxes with eggs, and nothing says which is meant\n    Add box. Boxes: eggs 1, eggs 2."),
        ("  - {on: 2027-05-20, what: weighed, box: eggs 1, mass: 640 g}\n  - {on: 2027-05-21, what: removed, eggs: 1}\n", ":4:5: happened[1]: the plan has several boxes with eggs, and nothing says which is meant\n    Add box. Boxes: eggs 1, eggs 2."),
        ("  - {on: 2027-05-20, what: topped up, box: eggs 3, mass: 8 g}\n", ":3:39: happened[0].box: there is no box 'eggs 3' with eggs\n    Boxes: eggs 1, eggs 2."),
        ("  - {on: 2027-05-20, what: topped up, box: probe, mass: 8 g}\n", ":3:39: happened[0].box: there is no box 'probe' with eggs\n    Boxes: eggs 1, eggs 2."),
        ("  - {on: 2027-07-09, what: hatched, eggs: 3, males: 2, females: 2}\n", ":3:5: happened[0]: 4 males and females, and 3 eggs that hatched\n    Correct one of the numbers."),
        ("  - {on: 2027-07-09, what: hatched, eggs: 12}\n  - {on: 2027-07-10, what: removed, eggs: 3}\n", ":4:37: happened[1].eggs: 15 eggs so far, and the plan has 14 (clutches[0].eggs)\n    Correct the number here or in the plan."),
        ("  - {on: 2027-05-20, what: candled, eggs: 15}\n", ":3:37: happened[0].eggs: 15 eggs so far, and the plan has 14 (clutches[0].eggs)\n    Correct the number here or in the plan."),
        ("  - {on: 2027-05-11, what: laid}\n  - {on: 2027-05-10, what: weighed, box: eggs 1, mass: 640 g}\n", ":4:6: happened[1].on: 2027-05-10 is before the laying day, 2027-05-11\n    Correct one of the two days."),
        ("  - {on: 2027-05-20, what: weighed, box: eggs 1, mass: 640}\n", ":3:50: happened[0].mass: "),
    ],
)  # fmt: skip
def test_what_does_not_fit_is_told(entries: str, message: str, tmp_path: Path) -> None:
    with pytest.raises(InputError) as caught:
        read(tmp_path, entries)
    told = "\n".join(problem_lines(caught.value.problems))
    assert message in told and told.count("happened.yaml:") == 1


# --- Eggs left ---


@given(
    st.lists(
        st.tuples(st.sampled_from(["candled", "removed", "hatched", "noted"]), st.integers(0, 14)), max_size=8
    )
)
def test_growing_eggs_are_never_more_than_those_left(entries: list[tuple[str, int]]) -> None:
    left, growing = eggs_now(14, [Happening(LAID, what, 0, eggs) for what, eggs in entries])
    gone = sum(eggs for what, eggs in entries if what in ("removed", "hatched"))
    assert left is not None and growing is not None
    assert 0 <= growing <= left == max(14 - gone, 0)


def test_the_dead_are_taken_out_first() -> None:
    told = [Happening(LAID, "candled", 0, 12), Happening(LAID, "removed", 0, 2)]
    assert eggs_now(14, told) == (12, 12)
    assert eggs_now(14, [*told, Happening(LAID, "hatched", 0, 5)]) == (7, 7)
    assert eggs_now(None, told) == (None, None)


# --- Weighings ---


def boxes(changes: dict[str, Any], happened: list[Happening]) -> Followed:
    situation = situation_with({"clutches[0].laying": {"laid_on": str(LAID)}, **changes})
    log = log_of(sensor(lambda _: 28.0, 48.0))
    return followed_of(situation.plan, situation.species, situation.forecast, log, happened)


def weighings(changes: dict[str, Any], leak: float, days: list[int], top_up: float = 0.0, offset: float = 0.0, **values: float) -> tuple[list[Happening], Any, Any]:  # fmt: skip
    """What a scale in grams shows of a box that leaks so much, topped up after each weighing; its state at the last."""
    model = model_with(changes)
    box = leakier(water_box(model, {**typical_values(uncertain_inputs(model)), **values}), leak)
    state, told = start_state(box), []
    for day in range(days[-1] + 1):
        if day in days:
            mass = round(box_mass(box, state) + 0.09 + offset, 3)
            told.append(Happening(LAID + day * DAY, "weighed", None, box=(0, 1), mass=mass))
            last = state
            if top_up and day != days[-1]:
                told.append(Happening(LAID + day * DAY, "topped up", None, box=(0, 1), mass=top_up))
                state = add_water(state, top_up)
        state = steps_of(box)(state, 1.0)
    return told, box, last


@pytest.mark.parametrize("leak", [0.5, 1.0, 2.0, 4.0])
@pytest.mark.parametrize("top_up", [0.0, 0.012])
def test_weighings_give_back_the_leak_however_the_box_was_filled(leak: float, top_up: float) -> None:
    # The medium is heavier than the plan's, the empty box was never weighed, and no weighing is of the laying day.
    told, box, last = weighings({}, leak, [7, 14, 21, 35], top_up, offset=0.031, density=84.0)
    ((name, answer),) = boxes({}, told).weighed
    assert isinstance(answer, WeighingAnswer), answer
    assert name == "eggs"
    # Two readings to the gram may be half a gram off each; the loss of the weeks between them is the unit.
    assert answer.leak.value == pytest.approx(leak, abs=0.001 / (weeks(box, 7, 35) / leak))
    assert answer.leak.low <= leak <= answer.leak.high
    assert answer.content.low <= water_content(box, last) <= answer.content.high


def weeks(box: Any, first: int, last: int) -> float:
    """What left a box from one day to another [kg]."""
    state, lost = start_state(box), {}
    for day in range(last + 1):
        lost[day] = state.lost
        state = steps_of(box)(state, 1.0)
    return float(lost[last] - lost[first])


def test_more_weighings_narrow_the_leak() -> None:
    widths = []
    for days in ([0, 35], [0, 7, 14, 21, 28, 35]):
        told, _, _ = weighings({}, 2.0, days)
        ((_, answer),) = boxes({}, told).weighed
        assert isinstance(answer, WeighingAnswer)
        widths.append(answer.leak.high - answer.leak.low)
    assert widths[1] <= widths[0]


def test_eggs_taken_out_are_no_leak() -> None:
    told, _, _ = weighings({}, 1.0, [0, 14, 28])
    out = Happening(LAID + 20 * DAY, "removed", 0, 2, box=(0, 1))
    egg = situation_with({}).plan.clutches[0].egg_mass
    assert egg is not None
    lighter = [
        *told[:2],
        out,
        Happening(told[2].on, "weighed", None, box=(0, 1), mass=(told[2].mass or 0.0) - 2 * egg),
    ]
    found = [boxes({}, entries).weighed[0][1] for entries in (told, lighter)]
    assert all(isinstance(answer, WeighingAnswer) for answer in found)
    # The scale alone would find two eggs of 11 g more lost, the water of weeks; what is left is what they would have drunk.
    assert found[1].leak.value == pytest.approx(found[0].leak.value, rel=0.1)


@pytest.mark.parametrize(
    ("days", "reason"),
    [
        ([0], "it was weighed on the laying day alone"),
        ([20], "one weighing tells nothing without the empty box"),
    ],
)
def test_weighings_that_tell_nothing_say_so(days: list[int], reason: str) -> None:
    ((_, answer),) = boxes({}, weighings({}, 1.0, days)[0]).weighed
    assert isinstance(answer, Unknown) and reason in answer.reason


# --- After hatching ---

# Red-eared sliders: temperature sets their sex, and the profile has counts.
TURTLE = "trachemys-scripta"


def hatched(temperature: float, day: float, *, swing: float = 0.0, males: int = 0, eggs: int = 10, hours: float = 0.0) -> ClutchFollowed:  # fmt: skip
    plan = plan_of(TURTLE, title="A box")
    plan["clutches"][0]["eggs"] = 12
    on = LAID + math.floor(day) * DAY
    young = [
        Happening(on, "hatched", 0, eggs - 2, males=males, females=eggs - 2 - males),
        Happening(on + DAY, "hatched", 0, 2),
    ]
    situation = situation_of(plan)
    log = log_of(
        sensor(
            lambda hour: temperature + swing / 2 * math.sin(hour / 24 * 2 * math.pi),
            hours or 24.0 * (day + 20),
        )
    )
    followed = followed_of(situation.plan, situation.species, situation.forecast, log, young)
    return followed.clutches[0]


def planned_days(temperature: float) -> Figure:
    days = (
        situation_of({**plan_of(TURTLE), "control": {"set_to": f"{temperature} °C"}})
        .forecast.clutches[0]
        .incubation_days
    )
    assert isinstance(days, Figure)
    return days


def test_outcome_tells_whether_the_forecast_held() -> None:
    usual = planned_days(28.0).value
    good, late = hatched(28.0, usual), hatched(28.0, usual * 1.5)
    for clutch, held in ((good, True), (late, False)):
        assert clutch.outcome is not None and clutch.outcome.hatched == 10
        by = {one.what: one for one in clutch.outcome.compared}
        assert by["days, by the log"].agree is held
        assert by["days, by the log"].found.high - by["days, by the log"].found.low == 1.0
    # What the box did when the young were out counts for nothing.
    assert isinstance(good.mean, Figure) and good.day == pytest.approx(usual, abs=1.5)


def test_warm_log_after_hatching_counts_for_nothing() -> None:
    day = planned_days(28.0).value
    plan, young = plan_of(TURTLE), [Happening(LAID + math.floor(day) * DAY, "hatched", 0, 10)]
    situation = situation_of(plan)
    log = log_of(sensor(lambda hour: 28.0 if hour < 24 * day else 40.0, 24.0 * (day + 10)))
    clutch = followed_of(situation.plan, situation.species, situation.forecast, log, young).clutches[0]
    assert isinstance(clutch.mean, Figure) and clutch.mean.value == pytest.approx(28.0, abs=0.01)
    assert clutch.spells == () and clutch.outcome is not None and isinstance(clutch.outcome.record, Record)


def test_mean_day_counts_every_young() -> None:
    young = [Happening(LAID + 60 * DAY, "hatched", 0, 9), Happening(LAID + 64 * DAY, "hatched", 0, 1)]
    assert mean_day(young, LAID) == pytest.approx(60.4)


def test_sexes_are_compared_by_what_their_count_stands_for() -> None:
    # By the profile nearly all are males at 26 °C. Eight females of eight deny it; six males of eight do not.
    day = planned_days(26.0).value
    for males, agrees in ((0, False), (8, True)):
        outcome = hatched(26.0, day, males=males).outcome
        assert outcome is not None
        by = {one.what: one for one in outcome.compared}
        assert by["males, by the log"].agree is agrees


@pytest.mark.parametrize("swing", [0.0, 6.0])
def test_record_is_a_part_of_a_profile(swing: float, tmp_path: Path) -> None:
    clutch = hatched(28.0, planned_days(28.0).value, swing=swing, males=3)
    assert clutch.outcome is not None
    record = clutch.outcome.record
    assert isinstance(record, Record)
    assert record.at == pytest.approx(28.0, abs=0.05)
    assert record.swing is None if not swing else record.swing == pytest.approx(swing, rel=0.05)
    lines = list(record_lines(clutch, record, 'My "box": #1, first season, with a title that has no end'))
    text = (ROOT / "species" / f"{TURTLE}.yaml").read_text("utf-8")
    part: dict[str, str] = {}
    for line in lines:
        name = line.strip().removesuffix(":") if line.endswith(":") else ""
        key = name or key  # type: ignore[has-type]  # noqa: F821
        part[key] = "" if name else line
    for key, line in part.items():
        text = (
            text.replace(
                f"\n{' ' * (2 * (key == 'observed'))}{key}:\n",
                f"\n{' ' * (2 * (key == 'observed'))}{key}:\n{line}\n",
                1,
            )
            if line
            else text
        )
    path = tmp_path / f"{TURTLE}.yaml"
    path.write_text(text, "utf-8")
    before, after = check_profile(ROOT / "species" / f"{TURTLE}.yaml"), check_profile(path)
    assert len(after.duration) == len(before.duration) + 1
    assert len(after.sex.observed) == len(before.sex.observed) + 1
    assert after.duration[0].eggs == 10 and after.duration[0].support.known == "common practice"
    assert after.sex.observed[0].value.low == 0.375 and after.sex.observed[0].eggs == 8


def test_a_log_with_holes_gives_no_record() -> None:
    day = planned_days(28.0).value
    outcome = hatched(28.0, day, hours=24.0 * day * 0.8).outcome
    assert outcome is not None and isinstance(outcome.record, Unknown)


def test_laying_days_told_go_before_those_of_the_plan() -> None:
    plan = situation_of(plan_of()).plan
    assert laid_as_told(plan, []) == plan
    told = laid_as_told(plan, [Happening(LAID + DAY, "laid", 0)])
    assert told.clutches[0].laying.laid_on == LAID + DAY


def test_fewer_eggs_breathe_less() -> None:
    plan = json.loads(json.dumps({"clutches[0].laying": {"laid_on": str(LAID)}}))
    situation = situation_with(plan)
    log = log_of(sensor(lambda _: 28.0, 48.0))
    all_eggs = situation.forecast.egg_boxes[0].air.oxygen_lowest
    eggs = situation.plan.clutches[0].eggs
    assert eggs is not None and isinstance(all_eggs, Figure)
    told = [Happening(LAID + DAY, "candled", 0, eggs // 2)]
    ((_, fewer),) = followed_of(situation.plan, situation.species, situation.forecast, log, told).oxygen
    assert isinstance(fewer, Figure) and fewer.value > all_eggs.value
    assert followed_of(situation.plan, situation.species, situation.forecast, log, ()).oxygen == ()
