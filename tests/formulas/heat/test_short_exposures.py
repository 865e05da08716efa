"""The time-temperature rule against published exposures, and its own shape.

The constants are judgement; each published outcome stands with its source, and with what the rule has to say of it.
"possible" is a dose of 1 and more by the hours until harm is possible, "likely" by those until it is likely.
"""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.forecast.heat.egg_limits import bearing_of
from advisor.formulas.heat.short_exposures import (
    RESTING_LIMIT,
    Bearing,
    allowed_cold,
    allowed_heat,
    dose,
    hot_at_once,
    hours_of_cold,
    hours_of_heat,
    hours_to_dose,
)
from advisor.reading.species import load_species

Trace = list[tuple[float, float]]


def held(temperature: float, hours: float) -> Trace:
    return [(0.0, temperature), (hours, temperature)]


def approach(start: float, settled: float, constant: float, hours: float) -> Trace:
    """An exponential approach, in steps of 0.02 h."""
    return [
        (0.02 * step, settled + (start - settled) * math.exp(-0.02 * step / constant))
        for step in range(round(hours / 0.02) + 1)
    ]


def said(trace: Trace, eggs: Bearing, halvings: int = 0, hot: bool = True) -> str:
    """What the rule says of an exposure: clear, possible or likely."""
    for word, likely in (("likely", True), ("possible", False)):
        allowed = allowed_heat(eggs, likely, halvings) if hot else allowed_cold(eggs, likely)
        assert allowed is not None
        if dose(trace, allowed, trace[-1][0]) >= 1.0:
            return word
    return "clear"


TEMPERATE_LIZARD = Bearing(34.0, 22.0, temperate=True, tender=False)

# --- published exposures -------------------------------------------------------------------------------------------


@pytest.mark.parametrize("temperature", [17.0, 14.0, 11.0, 8.0])
def test_five_cold_days_of_fence_lizards_never_count_as_likely_harm(temperature: float) -> None:
    # Sceloporus, four species, 5 days at 8 to 17 °C: no more deaths than controls (Andrews, Qualls & Rose 1997, Copeia 827).
    assert said(held(temperature, 120.0), TEMPERATE_LIZARD, hot=False) in ("clear", "possible")


def test_a_cold_night_after_laying_is_clear_for_a_sea_turtle() -> None:
    # Caretta caretta, 7 to 10 °C for about 14 h: viability unchanged (Harry & Limpus 1989).
    assert said(held(8.5, 14.0), Bearing(34.0, 24.0, temperate=True, tender=True), hot=False) == "clear"


def test_resting_chameleon_eggs_bear_a_winter() -> None:
    # Chamaeleo chamaeleon at rest, 4 months at 16 °C: hatch (Andrews et al. 2008).
    resting = bearing_of(load_species("chamaeleo-chamaeleon"), resting=True)
    assert resting.cold == RESTING_LIMIT
    assert said(held(16.0, 120 * 24.0), resting, hot=False) == "clear"
    active = bearing_of(load_species("chamaeleo-chamaeleon"))
    assert said(held(16.0, 120 * 24.0), active, hot=False) == "likely"


def test_a_night_at_19_is_clear_for_a_grass_snake() -> None:
    # Natrix natrix, 25 ± 6 °C: 0.90 of 29 hatch (Lowenborg et al. 2012).
    assert said(held(19.0, 12.0), bearing_of(load_species("natrix-natrix")), hot=False) == "clear"


def test_five_days_at_15_are_at_least_possible_harm_to_a_wall_lizard() -> None:
    # Podarcis sicula, 5 days at 15 °C: early eggs died (Simoniello et al. 2016).
    assert said(held(15.0, 120.0), TEMPERATE_LIZARD, hot=False) == "possible"


@pytest.mark.parametrize(
    ("limit", "peak", "expected"),
    [
        # Sceloporus undulatus: a short 44 °C kills all; 42 °C killed all in a first trial and none in a second (Levy et al.,
        # meeting abstract; harm from a constant 34 °C).
        (34.0, 44.0, "likely"),
        (34.0, 42.0, "possible"),
        # Anolis sagrei: 45 to 46 °C kill by shock, ramp and daily peak alike (Hall, congress summary; harm from 35 °C).
        (35.0, 45.5, "likely"),
        (35.0, 40.0, "clear"),
    ],
)
def test_short_peaks_of_heat(limit: float, peak: float, expected: str) -> None:
    # "Brief" is taken as 15 minutes: the abstracts do not tell.
    assert said(held(peak, 0.25), Bearing(limit, None, temperate=True, tender=False)) == expected


def test_two_hot_days_are_possible_but_not_likely_harm_to_an_early_sea_turtle() -> None:
    # Natator depressus, above 36 °C for 48 h in the first 2 weeks: hatching not reduced (Howard et al. 2015, J Exp Biol
    # 218:3330). Harm from 34 °C is judgement.
    turtle = Bearing(34.0, None, temperate=False, tender=True)
    assert said(held(36.0, 48.0), turtle, halvings=1) == "possible"


@pytest.mark.parametrize("halvings", [0, 1])
def test_three_hours_at_35_are_clear_for_a_garden_lizard(halvings: int) -> None:
    # Calotes versicolor, 35 °C for 1 to 3 h a day: harmless (Radder et al. 2002). Harm from 33 °C.
    lizard = Bearing(33.0, None, temperate=False, tender=False)
    assert said(held(35.0, 3.0), lizard, halvings) == "clear"


# --- arithmetic worked by hand from the constants: 48 h, a tenth for 4 K, five times until likely, the cold table --------


@pytest.mark.parametrize(
    ("above", "hours", "expected"), [(3, 12, 0.79), (3, 24, 1.58), (3, 80, 5.27), (5, 8, 1.67)]
)
def test_dose_of_heat(above: float, hours: float, expected: float) -> None:
    allowed = allowed_heat(Bearing(33.0, None, temperate=True, tender=False))
    assert dose(held(33.0 + above, hours), allowed, hours) == pytest.approx(expected, abs=0.006)


@pytest.mark.parametrize(
    ("settled", "hours", "expected"), [(38.0, 4, 0.05), (38.0, 10, 0.74), (38.0, 24, 3.54), (42.0, 10, 5.85)]
)
def test_dose_of_a_stuck_heater(settled: float, hours: float, expected: float) -> None:
    # From 28 °C with a time constant of 3 h, harm from 33 °C; without what harms at once.
    found = dose(approach(28.0, settled, 3.0, hours), lambda celsius: hours_of_heat(celsius, 33.0), hours)
    assert found == pytest.approx(expected, abs=0.006)


@pytest.mark.parametrize(
    ("temperate", "start", "limit", "room", "hours", "expected"),
    [
        (True, 28.0, 22.0, 15.0, 12, 0.04),
        (True, 28.0, 22.0, 5.0, 24, 0.63),
        (False, 31.5, 27.0, 15.0, 12, 0.14),
        (False, 31.5, 27.0, 18.0, 48, 0.81),
        (False, 31.5, 27.0, 10.0, 24, 1.11),
    ],
)
def test_dose_of_a_power_cut(
    temperate: bool, start: float, limit: float, room: float, hours: float, expected: float
) -> None:
    # Time constant 8 h.
    allowed = allowed_cold(Bearing(None, limit, temperate, tender=False))
    assert allowed is not None
    assert dose(approach(start, room, 8.0, hours), allowed, hours) == pytest.approx(expected, abs=0.006)


@pytest.mark.parametrize(
    ("temperature", "possible", "likely"),
    [(17.0, 1.0, 0.26), (14.0, 1.8, 0.38), (11.0, 2.3, 0.47), (8.0, 4.3, 0.81)],
)
def test_dose_of_five_cold_days(temperature: float, possible: float, likely: float) -> None:
    for known, expected in ((False, possible), (True, likely)):
        allowed = allowed_cold(TEMPERATE_LIZARD, known)
        assert allowed is not None
        assert dose(held(temperature, 120.0), allowed, 120.0) == pytest.approx(expected, rel=0.03)


def test_what_harms_at_once() -> None:
    # The lower of a step above the limit and a ceiling; turtles, tortoises and cool-climate eggs bear less.
    assert hot_at_once(Bearing(32.0, None, temperate=True, tender=False)) == 40.0
    assert hot_at_once(Bearing(36.0, None, temperate=True, tender=False)) == 42.0
    assert hot_at_once(Bearing(36.0, None, temperate=True, tender=False), likely=True) == 43.0
    assert hot_at_once(Bearing(32.0, None, temperate=True, tender=True)) == 38.0
    assert hot_at_once(Bearing(30.0, None, temperate=True, tender=False)) == 36.0
    assert hot_at_once(Bearing(None, None, temperate=True, tender=True)) == 40.0
    assert allowed_heat(Bearing(None, None, temperate=True, tender=True))(39.9) == math.inf


# --- shape ---------------------------------------------------------------------------------------------------------

LIMITS = st.floats(26.0, 36.0)
EGGS = st.builds(Bearing, LIMITS, st.floats(16.0, 26.0), st.booleans(), st.booleans())


@given(EGGS, st.floats(26.0, 50.0), st.floats(0.0, 5.0), st.integers(0, 2))
def test_hotter_eggs_bear_less(eggs: Bearing, celsius: float, more: float, halvings: int) -> None:
    for likely in (False, True):
        allowed = allowed_heat(eggs, likely, halvings)
        assert allowed(celsius + more) <= allowed(celsius)
    assert allowed_heat(eggs)(celsius) <= allowed_heat(eggs, likely=True)(celsius)
    assert allowed_heat(eggs, halvings=1)(celsius) <= allowed_heat(eggs)(celsius)


@given(EGGS, st.floats(-10.0, 26.0), st.floats(0.0, 5.0))
def test_colder_eggs_bear_less_and_tropical_ones_least(eggs: Bearing, celsius: float, less: float) -> None:
    assert eggs.cold is not None
    for likely in (False, True):
        for temperate in (False, True):
            colder, here = (
                hours_of_cold(at, eggs.cold, temperate, likely) for at in (celsius - less, celsius)
            )
            assert colder <= here * (1 + 1e-12)
        assert hours_of_cold(celsius, eggs.cold, False, likely) <= hours_of_cold(
            celsius, eggs.cold, True, likely
        )
    assert hours_of_cold(celsius, eggs.cold, eggs.temperate) <= hours_of_cold(
        celsius, eggs.cold, eggs.temperate, likely=True
    )


@given(EGGS, st.floats(26.0, 45.0), st.floats(0.5, 12.0), st.floats(0.1, 5.0))
def test_hours_to_a_dose_give_that_dose(
    eggs: Bearing, settled: float, constant: float, target: float
) -> None:
    trace, allowed = approach(25.0, settled, constant, 20.0), allowed_heat(eggs)
    hours = hours_to_dose(trace, allowed, target)
    if math.isinf(hours):
        assert eggs.hot is not None
        assert trace[-1][1] <= eggs.hot  # where the course ends, it stays
    elif settled < hot_at_once(eggs):
        assert dose(trace, allowed, hours) == pytest.approx(target, rel=0.02)
    else:
        assert dose(trace, allowed, hours + 0.05) >= target


def test_at_the_limit_all_of_the_incubation_is_borne() -> None:
    assert hours_of_heat(33.0, 33.0) == math.inf == hours_of_cold(22.0, 22.0, temperate=True)
