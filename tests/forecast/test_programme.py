"""Programmes of a clutch: days by summed rates, sexes by the sensitive time, the steps by their days."""

import datetime
import math
from typing import Any

import pytest
from msgspec.structs import replace

from advisor.drawings.ladder import ladder
from advisor.forecast.clutch.rate import Development, development_of
from advisor.forecast.follow.clutch import progress_of
from advisor.forecast.follow.exposures import spells_of
from advisor.forecast.heat.egg_limits import bearing_of
from advisor.forecast.heat.stuck_heater import STAGE, stage_of
from advisor.forecast.programme import Day, _course
from advisor.model.figures import Figure, Unknown
from advisor.model.follow import LIKELY
from advisor.model.species import Species
from advisor.reading.species import load_species
from tests.profiles import PROFILES
from tests.support import merged, situation_of


def reeves_rate(temperature: float) -> float:
    """Mauremys reevesii, Du et al. 2007, Aquaculture 272:747: 42.74 exp(4.30/(T - 17.28)) days; no growth at 17.28 °C and below."""
    return 0.0 if temperature <= 17.28 else 1 / (42.74 * math.exp(4.30 / (temperature - 17.28)))


def day_of(day: float, night: float, cool: int) -> Day:
    return ((day, day, day),) * (24 - cool) + ((night, night, night),) * cool


# Rates of that curve added up by another program. By hand for 28/24 half a day each: 1/63.83 and 1/81.05 a day, so
# 2/(1/63.83 + 1/81.05) = 71.42 days. The mean of the rates over 16 and 8 h for the last column: 3/(2/63.83 + 1/81.05) = 68.70.
@pytest.mark.parametrize(
    ("day", "night", "half_and_half", "sixteen_and_eight"),
    [
        (30.0, 26.0, 64.57, 62.94),
        (30.0, 24.0, 68.91, 65.63),
        (28.0, 24.0, 71.42, 68.70),
        (28.0, 22.0, 79.76, 73.64),
        (28.0, 20.0, 97.65, 82.99),
        (30.0, 20.0, 93.02, 78.56),
    ],
)
def test_days_of_cooler_nights_are_summed_rates(
    day: float, night: float, half_and_half: float, sixteen_and_eight: float
) -> None:
    known = development_of(load_species("mauremys-reevesii"), 28.0)
    assert isinstance(known, Development)
    growth = replace(known, rate=reeves_rate)
    for cool, expected in ((12, half_and_half), (8, sixteen_and_eight)):
        course = _course([day_of(day, night, cool)], (0.0,), growth, 0.0)
        mean = sum(course.likely) / len(course.likely)
        # Between two hours a course goes in a line: twice a day the bent curve gives (r1 + 4 rm + r2)/6 for an hour in place of
        # half of both ends, 1.1 % of all for 28/20 °C. Days come first, which is 0.3 days at most at hatching.
        ends, middle = (reeves_rate(day), reeves_rate(night)), reeves_rate((day + night) / 2)
        rounded = (sum(ends) + 4 * middle) / 6 - sum(ends) / 2
        found = progress_of(course, growth, mean, 0.25).days.value
        assert found == pytest.approx(1 / (1 / expected + rounded / 12), abs=0.35)


HEAT = {
    "room": {"temperature": "16 to 20 °C"},
    "outer_box": {
        "inside": "60 x 40 x 25 cm", "wall": {"material": "expanded polystyrene", "thickness": "30 mm"},
        "lid_fits": "well", "stands_on": "shelf",
    },
    "heat": {"source": "mat", "place": "lid", "power": "30 W", "size": "40 x 30 cm"},
    "power_cut": {"prepared": "nothing"},
    "egg_boxes": [
        {"name": "eggs", "count": 2, "holds": "eggs", "inside": "20 x 15 x 9 cm", "stands": "on a rack", "tier": "one",
         "medium": {"material": "vermiculite", "grade": "medium", "depth": "4 cm", "mix": {"medium": 4, "water": 1, "by": "volume"}}}
    ],
}  # fmt: skip
TURTLE = {"species": "mauremys-reevesii", "laying": {"laid_on": "2027-05-01"}}


def situation(programme: Any = None, clutches: Any = (TURTLE,), **control: Any) -> Any:
    told = {
        "thermostat": "pulse",
        "checked_against": "ice point",
        "probe": {"sits_in": "egg box medium"},
    } | control
    if programme is not None:
        told["programme"] = programme
    return situation_of(merged(HEAT, {"control": told, "clutches": list(clutches)}))


def days(found: Any, index: int = 0) -> Figure:
    result = found.forecast.clutches[index].incubation_days
    assert isinstance(result, Figure), result
    return result


def test_two_equal_steps_are_one_set_point() -> None:
    steady = situation(set_to="28 °C")
    steps = situation({"steps": [{"from_day": 0, "set_to": "28 °C"}, {"from_day": 30, "set_to": "28 °C"}]})
    one, other = days(steady), days(steps)
    # Hatching is found to the hour; the curve that holds near 28 °C is the same.
    assert (other.value, other.low, other.high) == pytest.approx((one.value, one.low, one.high), rel=0.01)
    male, same = (found.forecast.clutches[0].male_share for found in (steady, steps))
    assert (same.value, same.low, same.high) == pytest.approx((male.value, male.low, male.high), abs=0.01)


def test_steps_add_up_by_hand() -> None:
    cool, warm = days(situation(set_to="26 °C")).value, days(situation(set_to="28 °C")).value
    steps = situation({"steps": [{"from_day": 0, "set_to": "26 °C"}, {"from_day": 40, "set_to": "28 °C"}]})
    # 40 days at 26 °C do 40/cool of the work, the rest goes at 28 °C. One curve serves both, two serve the steady ones.
    assert days(steps).value == pytest.approx(40 + (1 - 40 / cool) * warm, rel=0.02)


def test_the_sexes_follow_the_sensitive_third() -> None:
    # Males below the change-over at 28.2 °C: a warm end after the sensitive third of the development changes nothing.
    def males(*steps: tuple[int, float]) -> float:
        told = [{"from_day": day, "set_to": f"{at} °C"} for day, at in steps]
        share = situation({"steps": told}).forecast.clutches[0].male_share
        assert isinstance(share, Figure)
        return share.value

    assert males((0, 25.0), (60, 31.0)) > 0.8
    assert males((0, 25.0), (15, 31.0)) < 0.2


def test_steps_by_date_count_from_laying() -> None:
    steps = [{"from": "2027-04-01", "set_to": "26 °C"}, {"from": "2027-06-10", "set_to": "28 °C"}]
    by_day = [{"from_day": 0, "set_to": "26 °C"}, {"from_day": 40, "set_to": "28 °C"}]
    assert days(situation({"steps": steps})) == days(situation({"steps": by_day}))


def test_days_count_from_the_laying_of_the_first_clutch() -> None:
    later = TURTLE | {"laying": {"laid_on": "2027-05-21"}}
    steps = {"steps": [{"from_day": 0, "set_to": "26 °C"}, {"from_day": 40, "set_to": "28 °C"}]}
    both = situation(steps, (TURTLE, later))
    own = situation({"steps": [{"from_day": 0, "set_to": "26 °C"}, {"from_day": 20, "set_to": "28 °C"}]})
    assert days(both, 1).value == pytest.approx(days(own).value, abs=1e-9)
    assert days(both, 1).value < days(both).value
    unknown = situation(steps, (TURTLE, {"species": "mauremys-reevesii"})).forecast.clutches[1]
    assert isinstance(unknown.incubation_days, Unknown)
    assert unknown.incubation_days.needs == ("clutches[1].laying.expected",)


def test_a_laying_window_widens_what_a_dated_step_leaves_open() -> None:
    steps = {"steps": [{"from": "2027-04-01", "set_to": "25 °C"}, {"from": "2027-06-10", "set_to": "30 °C"}]}
    window = TURTLE | {"laying": {"expected": "2027-04-20 to 2027-05-12"}}
    known, wide = days(situation(steps)), days(situation(steps, (window,)))
    assert wide.low < known.low and wide.high > known.high


def test_a_box_that_is_not_told_leaves_the_nights_open() -> None:
    night = {"day": "29 °C", "night": "24 °C", "hours": 12}
    told = situation_of({"control": {"programme": night}, "clutches": [TURTLE]}).forecast
    full = situation(night).forecast
    assert isinstance(told.heat.night_reached, Unknown)
    assert told.heat.night_reached.needs
    open_, known = told.clutches[0].incubation_days, full.clutches[0].incubation_days
    assert open_.high - open_.low > known.high - known.low


def test_a_swing_of_4_kelvin_widens_the_days() -> None:
    narrow, wide = (
        days(situation({"day": f"{28 + half} °C", "night": f"{28 - half} °C", "hours": 12}))
        for half in (1.9, 2.1)
    )
    # 5 % more in quadrature on a range of some 20 %: a few hundredths of it, against a shift of the days by less.
    assert math.log(wide.high / wide.low) > math.log(narrow.high / narrow.low) * 1.01


def test_the_warmest_set_point_is_what_the_heater_has_to_hold() -> None:
    night = situation({"day": "29 °C", "night": "26 °C", "hours": 12})
    steady = situation(set_to="29 °C")
    assert night.forecast.heat.watts_needed == steady.forecast.heat.watts_needed
    # A power cut that begins in the cold of the night leaves less time.
    assert night.forecast.heat.medium_after_12_h.value < steady.forecast.heat.medium_after_12_h.value


def test_the_hatch_window_follows() -> None:
    found = situation({"day": "29 °C", "night": "26 °C", "hours": 12}).forecast.clutches[0]
    assert found.hatch_window[0] == datetime.date(2027, 5, 1) + datetime.timedelta(
        days=int(found.incubation_days.low)
    )


@pytest.mark.parametrize("species", PROFILES.values(), ids=PROFILES)
def test_cooler_nights_lie_between_their_two_set_points(species: Species) -> None:
    """Of every profile with days: the programme hatches no sooner than its days, and no later than its nights, all the time."""
    if species.aim is None or species.sex.set_by is None:
        return
    day, night = species.aim.high, max(species.aim.low, species.aim.high - 3.0)
    if night >= day:
        return

    def forecast(**control: Any) -> Any:
        return situation_of({"control": control, "clutches": [{"species": species.id}]}).forecast.clutches[0]

    found = forecast(programme={"day": f"{day} °C", "night": f"{night} °C", "hours": 12})
    warm, cool = (forecast(set_to=f"{at} °C") for at in (day, night))
    if not all(isinstance(one.incubation_days, Figure) for one in (found, warm, cool)):
        return
    # Each steady figure has its own points near it; the programme has one curve for all: 6 % (median of profiles' errors 5.6 %).
    ends = sorted((warm.incubation_days.value, cool.incubation_days.value))
    assert ends[0] * 0.94 <= found.incubation_days.value <= ends[1] * 1.06
    assert found.incubation_days.low < found.incubation_days.value < found.incubation_days.high
    share = found.male_share
    if isinstance(share, Figure):
        assert 0.0 <= share.low <= share.value <= share.high <= 1.0


def test_eggs_at_rest_bear_a_cool_step_that_eggs_at_work_do_not() -> None:
    # Chamaeleo chamaeleon rests after laying; at rest 16 °C for four months cost no eggs (Andrews et al. 2008).
    resting = load_species("chamaeleo-chamaeleon")
    assert resting.pause is not None and bearing_of(resting).cold is not None
    rest = resting.pause.days.low
    cold = [(hour * 3600.0, 17.0) for hour in range(round(24 * rest))]
    assert spells_of(cold, resting, 0.0, lambda _: 1) == ()
    later = [(time + rest * 86400.0, value) for time, value in cold]
    assert [spell.harm for spell in spells_of(later, resting, 0.0, lambda _: 1)] == [LIKELY]


def test_low_oxygen_halves_the_hours_of_heat_once_more() -> None:
    forecast = situation({"day": "29 °C", "night": "26 °C", "hours": 12}).forecast
    low, enough = (
        replace(
            forecast,
            egg_boxes=(
                replace(box, air=replace(box.air, oxygen_lowest=Figure(share, share, share, "gas share"))),
            ),
        )
        for box in forecast.egg_boxes
        for share in (0.169, 0.171)
    )
    assert (stage_of(low), stage_of(enough)) == (STAGE + 1, STAGE)


def test_the_ladder_shows_day_and_night() -> None:
    told = situation({"day": "29 °C", "night": "26 °C", "hours": 12})
    drawn = ladder(told.plan, told.forecast, tuple(told.species.values()), told.show).description
    assert "SET POINT BY DAY 29 °C." in drawn and "SET POINT BY NIGHT 26 °C." in drawn
