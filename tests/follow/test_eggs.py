"""Development, hatching and sexes by values worked here by hand, and by logs whose temperatures are known by construction."""

import calendar
import datetime
import math
import random

import pytest

from advisor.forecast.follow.clutch import gaps_of, halvings_of
from advisor.forecast.follow.egg_course import EggCourse, egg_course, readings
from advisor.forecast.follow.whole import noon
from advisor.forecast.trial.courses import courses_of
from advisor.formulas.days.swings import hatching_day
from advisor.formulas.sexes.equivalent_temperature import development_weighted_share, equivalent_of_readings
from advisor.model.figures import Figure, Unknown
from advisor.model.logs import ROOM
from advisor.reading.names import profile_files
from tests.follow.logs import LAID, clutch, followed, log_of, plan_of, sensor
from tests.support import situation_of


def two_steps(warm: float, cool: float, hours: float = 12.0) -> list[float]:
    return [warm if hour < hours else cool for hour in range(24)]


@pytest.mark.parametrize(
    ("day", "expected"),
    [
        # Curve of Mauremys reevesii, D = 42.74 exp(4.30/(T - 17.28)) days, Du et al. 2007: days to a sum of 1, by hand
        # 2 / (1/D(warm) + 1/D(cool)). 31 and 25: D 58.47 and 74.60, so 65.56. 34 and 22: 55.27 and 106.3, 72.73.
        (two_steps(31.0, 25.0), 65.56),
        (two_steps(34.0, 22.0), 72.73),
        (two_steps(30.0, 24.0, 16.0), 65.63),  # 3 / (2/59.93 + 1/81.05)
        ([28.0] * 24, 63.83),
    ],
)
def test_days_of_swings_by_the_rates_summed(day: list[float], expected: float) -> None:
    def rate(temperature: float) -> float:
        return 1 / (42.74 * math.exp(4.30 / (temperature - 17.28)))

    # A reading an hour makes a step as long: within a percent.
    assert hatching_day(rate, readings(day * 110)) == pytest.approx(expected, rel=0.01)


def test_a_day_in_two_steps_gives_every_answer_about_the_sexes() -> None:
    # 14 h at 30.0, 10 h at 26.5 °C; threshold 18.21 °C, 636.3 degree-days. Share of males 1/(1 + exp((T - 29.2)/0.202)).
    def rate(temperature: float) -> float:
        return (temperature - 18.21) / 636.3

    def males(temperature: float) -> float:
        return 1 / (1 + math.exp((temperature - 29.2) / 0.202))

    day = two_steps(30.0, 26.5, 14.0)
    mean = sum(day) / 24
    # (14 x 30.0 + 10 x 26.5)/24 = 28.54; males (29.2 - 28.54)/0.202 = 3.26: 0.963. The same 61.6 days as at that mean.
    assert mean == pytest.approx(28.54, abs=0.005)
    assert males(mean) == pytest.approx(0.963, abs=0.002)
    assert hatching_day(rate, readings(day * 70)) == pytest.approx(61.6, abs=0.2)
    # Of the development 14 x 11.79 = 165.1 is done warm, 10 x 8.29 = 82.9 cool: half of it at 30.0. exp(3.96): 0.019.
    assert males(equivalent_of_readings(day * 20, rate)) == pytest.approx(0.019, abs=0.001)
    # 0.019 x 165.1/248 + 1.0 x 82.9/248 = 0.347; hourly readings pass the steep part twice a day.
    assert development_weighted_share(males, rate, readings(day * 20)) == pytest.approx(0.347, abs=0.03)


@pytest.mark.parametrize("share", [0.02, 0.32, 0.35, 0.5, 0.74, 0.76, 0.98])
def test_heat_is_borne_half_as_long_in_the_first_third_and_the_last_quarter_of_the_development(
    share: float,
) -> None:
    # 40 days at 30 °C do 2/3, by 1/60 a day; 40 days at 25 °C the rest, by half as much.
    course = EggCourse(1000.0, (30.0,) * 960, (), (), (), (25.0,) * 24)
    day = 60.0 * share if share <= 2 / 3 else 40.0 + 120.0 * (share - 2 / 3)
    halved = halvings_of(course, lambda at: (at - 20.0) / 600.0)(1000.0 + 86_400.0 * day)
    assert halved == (0 if 1 / 3 < share < 3 / 4 else 1)


def test_noon_is_that_of_the_calendar() -> None:
    for day in (datetime.date(1999, 12, 31), LAID, datetime.date(2028, 2, 29)):
        assert noon(day) == calendar.timegm((day.year, day.month, day.day, 12, 0, 0))


def test_gap_of_five_days_holds_what_the_days_beside_and_the_extremes_say() -> None:
    # Threshold 15 °C, 700 degree-days. 27 °C before and after: 5 x 12/700 = 0.0857. One degree: 5/700 = 0.0071.
    def temperature(hour: float) -> float:
        return 28.0 if 24 <= hour < 28 else 26.0 if 72 <= hour < 76 else 27.0

    log = log_of(sensor(temperature, 480.0, gaps=[(192.0, 312.0)]))
    course = egg_course(courses_of(log), noon(LAID), courses_of(log).end, 0.0)
    assert course is not None
    (gap,) = gaps_of(course, lambda at: max(at - 15.0, 0.0) / 700.0, None)
    assert (gap.low + gap.high) / 2 == pytest.approx(0.0857, rel=0.01)
    assert (gap.high - gap.low) / 2 == pytest.approx(0.0071, rel=0.02)


def test_gap_that_ends_colder_may_have_been_as_cold_as_the_room() -> None:
    # 5 days at a room of 19 °C: 5 x 4/700 = 0.0286.
    def temperature(hour: float) -> float:
        return 24.0 if 312 <= hour < 316 else 27.0

    room = sensor(lambda _: 19.0, 480.0, ROOM, "T2")
    log = log_of(sensor(temperature, 480.0, gaps=[(192.0, 312.0)]), room)
    course = egg_course(courses_of(log), noon(LAID), courses_of(log).end, 0.0)
    assert course is not None
    (gap,) = gaps_of(course, lambda at: max(at - 15.0, 0.0) / 700.0, None)
    assert gap.low == pytest.approx(0.0286, rel=0.02)


@pytest.mark.parametrize("species", sorted(profile_files(None)))
def test_constant_log_gives_the_plans_days(species: str) -> None:
    profile = situation_of({"clutches": [{"species": species}]}).species[species]
    if profile.aim is None:
        pytest.skip("no usual band to set the thermostat to")
    at = (profile.aim.low + profile.aim.high) / 2
    plan = plan_of(species, control={"set_to": f"{at} °C", "checked_against": "ice point"})
    found = clutch(lambda _: at, 200.0, plan, every=1800.0)
    days, planned = found.days, found.planned_days
    if isinstance(planned, Unknown) or planned.basis.endswith("on top"):
        pytest.skip("the plan tells no days either")
    warmth = situation_of(plan).forecast.clutches[0].warmth.ways
    assert isinstance(days, Figure) and isinstance(found.developed, Figure)
    if all(abs(way.value) < 1e-9 for way in warmth):
        assert days.value == pytest.approx(planned.value, abs=0.01)
    assert found.developed.value == pytest.approx(200.0 / 24 / days.value, rel=0.01)
    assert isinstance(found.days_to_go, Figure)
    assert found.days_to_go.value == pytest.approx(days.value - 200.0 / 24, abs=0.05)


def test_warm_days_bring_the_hatching_forward_and_cool_days_back() -> None:
    days = {}
    for at in (27.0, 28.5, 30.0):
        found = clutch(lambda _, at=at: at, 480.0, plan_of("trachemys-scripta"))  # type: ignore[misc]
        assert isinstance(found.days, Figure)
        days[at] = found.days.value
        window = found.hatch_window
        assert window is not None and window[0] == LAID + datetime.timedelta(days=int(found.days.low))
    assert days[27.0] > days[28.5] + 2 and days[28.5] > days[30.0] + 2


def test_eggs_that_have_hatched_have_no_days_to_go() -> None:
    found = clutch(lambda _: 28.0, 100 * 24.0, plan_of(), every=3600.0)
    assert isinstance(found.developed, Figure) and isinstance(found.days_to_go, Figure)
    assert (found.developed.value, found.days_to_go.value) == (1.0, 0.0)
    assert found.settled


def test_cold_box_tells_no_date() -> None:
    found = clutch(lambda hour: 28.0 if hour < 400 else 12.0, 480.0, plan_of())
    assert isinstance(found.days, Unknown) and "hardly anything develops" in found.days.reason
    assert found.hatch_window is None


@pytest.mark.parametrize("seed", range(4))
def test_nine_days_without_readings_widen_and_never_narrow(seed: int) -> None:
    dice = random.Random(seed)
    first, swing = dice.uniform(60, 400), dice.uniform(1.5, 3.0)

    def temperature(hour: float) -> float:
        return 28.0 + swing * math.sin(2 * math.pi * hour / 24)

    whole, gapped = (
        clutch(temperature, 700.0, plan_of(), every=1800.0, gaps=gaps)
        for gaps in ([], [(first, first + 216.0)])
    )
    for name in ("days", "developed", "days_to_go"):
        one, other = getattr(whole, name), getattr(gapped, name)
        assert isinstance(one, Figure) and isinstance(other, Figure)
        assert other.high - other.low > one.high - one.low
        assert other.low <= one.value <= other.high
        if name == "days":  # both ends move away from the middle
            assert other.high / other.value > one.high / one.value * 1.0005
            assert other.low / other.value < one.low / one.value * 0.9995


def test_sexes_of_a_steady_log_are_told_and_of_a_day_in_two_steps_are_not() -> None:
    plan = plan_of("trachemys-scripta")
    steady = clutch(lambda _: 27.0, 900.0, plan, every=1800.0)
    assert isinstance(steady.male_share, Figure) and steady.male_share.value > 0.9
    steps = clutch(lambda hour: 30.5 if hour % 24 < 14 else 26.0, 900.0, plan, every=1800.0)
    assert isinstance(steps.male_share, Unknown) and "cannot be told" in steps.male_share.reason
    assert steps.undecided is not None and steps.undecided.high - steps.undecided.low > 0.3


def test_only_the_sensitive_time_counts_for_the_sexes() -> None:
    plan = plan_of("trachemys-scripta")
    # All early and late days warm, the middle of the development cool: males.
    early = clutch(lambda hour: 31.0 if hour < 300 else 26.5, 1800.0, plan, every=3600.0)
    whole = clutch(lambda hour: 31.0, 1800.0, plan, every=3600.0)
    assert isinstance(early.male_share, Figure) and isinstance(whole.male_share, Figure)
    assert early.male_share.value > 0.9 and whole.male_share.value < 0.1
    assert early.sensitive is not None and early.sensitive[0] > LAID + datetime.timedelta(days=12)


def test_clutch_without_a_day_and_log_without_medium_are_told() -> None:
    found = followed({"clutches": [{"species": "pantherophis-guttatus"}]}, log_of(sensor(lambda _: 28.0, 50)))
    assert isinstance(found.clutches[0].developed, Unknown)
    assert found.clutches[0].developed.needs == ("clutches[0].laying.laid_on",)
    room = followed(plan_of(), log_of(sensor(lambda _: 20.0, 50.0, ROOM)))
    assert isinstance(room.clutches[0].developed, Unknown)
    assert "no sensor lies in the medium" in room.clutches[0].developed.reason
