"""The curve of days held to a species' own values: bands in order, nothing moved without need, order kept."""

import itertools
import math

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from advisor.formulas.days.fit import fit_development, log_days_of
from advisor.formulas.days.incubation_days import predicted_days
from advisor.formulas.days.own_values import ObservedSpan, in_order, own_band
from advisor.formulas.days.points import DurationPoint

bands = st.lists(
    st.tuples(st.floats(3, 6), st.floats(0, 0.5), st.booleans()).map(
        lambda drawn: ObservedSpan(drawn[0], drawn[0] + drawn[1], drawn[2])
    ),
    min_size=1,
    max_size=8,
)


@given(bands)
def test_bands_in_order_fall_and_are_not_empty(drawn: list[ObservedSpan]) -> None:
    ordered = in_order(drawn)
    assert all(band.low <= band.high + 1e-12 for band in ordered)
    for cold, warm in itertools.pairwise(ordered):
        assert cold.low >= warm.low - 1e-12
        assert cold.high >= warm.high - 1e-12


@given(bands)
def test_bands_that_do_not_contradict_each_other_are_only_cut(drawn: list[ObservedSpan]) -> None:
    falls = [ObservedSpan(band.low - 2 * i, band.high - 2 * i, band.several) for i, band in enumerate(drawn)]
    if any(cold.high < warm.low for cold, warm in itertools.combinations(falls, 2)):
        return
    for before, after in zip(falls, in_order(falls), strict=True):
        assert before.low <= after.low <= after.high <= before.high


def test_one_study_gives_way_to_several_and_two_meet_half_way() -> None:
    several, alone = ObservedSpan(4.1, 4.2, True), ObservedSpan(4.3, 4.3, False)
    assert in_order([several, alone])[1].low == 4.2
    assert in_order([alone, ObservedSpan(4.5, 4.6, True)])[0].high == 4.5
    cold, warm = in_order([ObservedSpan(4.0, 4.0, False), ObservedSpan(4.2, 4.2, False)])
    assert cold.high == warm.low == pytest.approx(4.1)


def test_a_stated_range_and_a_further_spread_widen_the_band() -> None:
    points = [
        DurationPoint(28, 60, 20, "a", 55, 66),
        DurationPoint(28.2, 70, 20, "b", spread=0.05),
        DurationPoint(29, 40, 20, "c"),
    ]
    band = own_band(points, 28)
    assert (band.low, band.high, band.several) == (math.log(55), math.log(70) + 0.1, True)
    assert not own_band(points, 29).several
    with pytest.raises(ValueError, match=r"no point lies within 0\.25 K of 27 °C"):
        own_band(points, 27)


@example(threshold=10.0, off=[0.875, 0.8125, 1.0, 1.25])  # own values that turn before the fitted peak does
@settings(max_examples=60, deadline=None)
@given(
    threshold=st.floats(10, 18),
    off=st.lists(st.floats(0.8, 1.25), min_size=4, max_size=4),
)
def test_warmer_is_never_slower_whatever_studies_say(threshold: float, off: list[float]) -> None:
    made = [
        DurationPoint(t, factor * 800 / (t - threshold), 20, str(i % 3))
        for i, (t, factor) in enumerate(zip((24, 26, 28, 30), off, strict=True))
    ]
    curve = fit_development(made)
    peak = curve.parameters[2] if curve.form == "Dallwitz-Higgins curve" else math.inf
    grid = [temperature for temperature in (24 + 0.1 * i for i in range(61)) if temperature <= peak]
    days = [log_days_of(curve, temperature) for temperature in grid]
    assert all(warm <= cold + 1e-9 for cold, warm in itertools.pairwise(days))
    # No jump: a tenth of a kelvin changes the days by less than a tenth.
    assert all(abs(warm - cold) < 0.1 for cold, warm in itertools.pairwise(days))


def test_a_curve_above_every_study_is_brought_back() -> None:
    # Mauremys reevesii at 28 °C: two studies found 61.1 and 62.9 days, others elsewhere far more.
    made = [DurationPoint(28, 61.1, 23, "a"), DurationPoint(28, 62.9, 51, "b")]
    made += [DurationPoint(t, d, 20, "c") for t, d in ((23, 117.1), (26, 86.3), (29, 72.1))]
    found = predicted_days(made, 28)
    assert 61.1 - 1e-9 <= found.days <= 62.9 + 1e-9
    # The range says that the other study may be right.
    assert found.high > 72
