"""Incubation length: published curves, fits against scipy, points left out, pauses, swings and traces."""

import itertools
import math
import time
from collections.abc import Callable

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from advisor.formulas.days.fit import (
    fit_development,
)
from advisor.formulas.days.forms import log_days
from advisor.formulas.days.incubation_days import (
    IncubationLength,
    evidence_for,
    length_from_curve,
    predicted_days,
)
from advisor.formulas.days.points import DurationPoint, own_variance
from advisor.formulas.days.swings import (
    development_done,
    hatching_day,
    swing_temperatures,
)
from advisor.formulas.numerics.no_data import NoData
from tests.formulas.days.data_days import DAYS


def points(species: str) -> list[DurationPoint]:
    return [DurationPoint(*row) for row in DAYS[species]]


def test_the_warm_bend_is_seen() -> None:
    # Centrochelys sulcata (Ligon et al. 2009): the line of 30.5 °C and below gives 73.3 days at 32.5 °C,
    # found were 78.3; the fitted form must follow the bend within the 2 % scatter of one study.
    found = predicted_days(points("Centrochelys sulcata"), 32.5)
    assert fit_development(points("Centrochelys sulcata")).form != "straight line"
    assert found.days == pytest.approx(78.3, rel=0.02)


def test_repeats_in_one_study_are_no_further_evidence() -> None:
    one = [DurationPoint(26, 70, 20, "a"), DurationPoint(30, 52, 20, "a")]
    # Splitting each group in two changes nothing but the rounding.
    split = [DurationPoint(t, d, 10, "a") for t, d in ((26, 70), (26, 70), (30, 52), (30, 52))]
    a, b = predicted_days(one, 28), predicted_days(split, 28)
    assert (a.days, a.low, a.high) == pytest.approx((b.days, b.low, b.high))


def test_studies_that_disagree_widen_the_range() -> None:
    base = [(24, 90.0), (27, 68.0), (30, 55.0)]
    agree = [DurationPoint(t, d, 20, s) for s in "abc" for t, d in base]
    differ = [
        DurationPoint(t, d * factor, 20, s)
        for s, factor in zip("abc", (0.85, 1, 1.18), strict=True)
        for t, d in base
    ]
    one, other = predicted_days(agree, 28), predicted_days(differ, 28)
    # The offsets are 0.85 to 1.18, a standard deviation of 16 %; the usual 5 % still counts for four studies.
    assert fit_development(differ).spread > 1.5 * fit_development(agree).spread
    assert other.high / other.low > 1.2 * one.high / one.low
    assert other.days == pytest.approx(one.days, rel=0.03)


@settings(max_examples=40, deadline=None)
@given(
    level=st.floats(30, 250),
    threshold=st.floats(8, 19),
    count=st.integers(2, 6),
    at=st.floats(0, 1),
)
def test_made_up_lines_come_back(level: float, threshold: float, count: int, at: float) -> None:
    grid = [23 + 7 * i / (count - 1) for i in range(count)]
    made = [DurationPoint(t, level * (28 - threshold) / (t - threshold), 20, "made up") for t in grid]
    assume(all(p.days < 1400 for p in made))
    temperature = 23 + 7 * at
    expected = level * (28 - threshold) / (temperature - threshold)
    found = predicted_days(made, temperature)
    assert found.low < expected < found.high
    # With two points a threshold far from other species' is only half believed between them.
    assert found.days == pytest.approx(expected, rel=0.06)


@pytest.mark.parametrize("species", sorted(DAYS))
def test_warmer_is_never_slower_up_to_32_degrees(species: str) -> None:
    data = points(species)
    low, high = min(p.temperature for p in data), min(32.0, max(p.temperature for p in data))
    found = [predicted_days(data, low + (high - low) * i / 8).days for i in range(9)]
    # Past the peak of a species' curve days rise again: allowed is a thousandth.
    assert all(b <= a * 1.001 for a, b in itertools.pairwise(found))


# --- Points left out: errors and ranges ---


def left_out(by_study: bool) -> list[tuple[float, bool]]:
    """Relative error and whether the 95 % range held, for every point left out alone or with its study."""
    results = []
    for species in sorted(DAYS):
        data = points(species)
        studies = sorted({p.study for p in data})
        if by_study and len(studies) < 2:
            continue
        for i, point in enumerate(data):
            if by_study:
                rest = [p for p in data if p.study != point.study]
            else:
                rest = [p for j, p in enumerate(data) if j != i]
            found = predicted_days(rest, point.temperature)
            if isinstance(found, IncubationLength):
                results.append((abs(found.days / point.days - 1), found.low <= point.days <= found.high))
    return results


def test_points_left_out_are_predicted_within_the_limits_asked_for() -> None:
    # Asked for: median error at most 6 %, nine tenths within 15 %, 95 % ranges that hold at least 90 %.
    results = left_out(by_study=False)
    errors = sorted(error for error, _ in results)
    assert len(results) > 150
    assert errors[len(errors) // 2] <= 0.06
    assert errors[int(0.9 * len(errors))] <= 0.15
    assert sum(held for _, held in results) / len(results) >= 0.90


@pytest.mark.parametrize("by_point", [False, True], ids=["from one study", "from one point"])
def test_one_source_alone_gives_ranges_that_hold_for_others(by_point: bool) -> None:
    # Most species kept at home have one study or one figure: its range must hold for other studies' points.
    held = []
    for species in sorted(DAYS):
        merged: dict[tuple[str, float], DurationPoint] = {}
        for p in points(species):
            merged.setdefault((p.study, p.temperature), p)
        single = [[p] for p in merged.values()]
        whole = [[p for p in merged.values() if p.study == study] for study in {s for s, _ in merged}]
        for known in single if by_point else whole:
            if not by_point and len(known) < 2:
                continue
            for other in merged.values():
                found = predicted_days(known, other.temperature)
                if other.study != known[0].study and isinstance(found, IncubationLength):
                    held.append(found.low <= other.days <= found.high)
    assert len(held) > 100
    assert sum(held) / len(held) >= 0.90


def test_studies_left_out_are_predicted_almost_as_well() -> None:
    # The harder question: a laboratory not yet seen.
    results = left_out(by_study=True)
    errors = sorted(error for error, _ in results)
    assert len(results) > 80
    assert errors[len(errors) // 2] <= 0.06
    assert sum(held for _, held in results) / len(results) >= 0.90


# --- How far data reach, and which data ---


@pytest.mark.parametrize(("temperature", "told"), [(28.0, True), (27.9, False), (33.0, True), (33.1, False)])
def test_half_a_kelvin_past_the_data_is_the_end(temperature: float, told: bool) -> None:
    found = predicted_days(points("Centrochelys sulcata"), temperature)
    assert told == isinstance(found, IncubationLength)
    if isinstance(found, NoData):
        assert (found.lowest, found.highest) == (28.5, 32.5)


@pytest.mark.parametrize(("temperature", "told"), [(27.0, True), (29.0, True), (26.9, False), (29.1, False)])
def test_one_temperature_reaches_one_kelvin_with_the_usual_slope(temperature: float, told: bool) -> None:
    single = [DurationPoint(28, 60, 20, "a")]
    found = predicted_days(single, temperature)
    assert told == isinstance(found, IncubationLength)
    if isinstance(found, IncubationLength):
        assert found.one_temperature
        # Usual threshold 14.8 °C (9.8 to 18.7 in 80 % of species): days change as (28 - T0)/(T - T0).
        usual = 60 * (28 - 14.8) / (temperature - 14.8)
        extremes = [60 * (28 - t0) / (temperature - t0) for t0 in (9.8, 18.7)]
        assert found.days == pytest.approx(usual, rel=0.005)
        assert found.low < min(extremes)
        assert found.high > max(extremes)


@pytest.mark.parametrize(("temperature", "told"), [(28.1, True), (29.9, True), (27.9, False), (30.1, False)])
def test_points_close_together_count_as_one_temperature(temperature: float, told: bool) -> None:
    # 28.8 and 29.2 °C: their middle and 1 K round it, no less than a single point at 29 °C has.
    close = [DurationPoint(28.8, 61, 20, "a"), DurationPoint(29.2, 60, 20, "b")]
    found = predicted_days(close, temperature)
    assert told == isinstance(found, IncubationLength)
    if isinstance(found, IncubationLength):
        assert found.one_temperature
        # The slope is that of other species (T0 14.8 °C), hardly that of two points 0.4 K apart.
        assert found.days == pytest.approx(60.5 * (29 - 14.8) / (temperature - 14.8), rel=0.01)


def test_published_points_outweigh_practice() -> None:
    data = [
        DurationPoint(27, 70, 30, "a"),
        DurationPoint(30, 56, 30, "a"),
        DurationPoint(28, 100, None, "keepers", 90, 110, "common practice"),
        DurationPoint(32, 50, None, "keepers", 45, 55, "common practice"),
    ]
    inside, warm = predicted_days(data, 28.5), predicted_days(data, 31.5)
    assert inside.evidence == "published"
    assert inside == predicted_days(data[:2], 28.5)
    assert warm.evidence == "common practice"
    assert warm.points == 4


def test_points_from_memory_come_before_practice() -> None:
    data = [
        DurationPoint(28, 60, None, "a", kind="from memory"),
        DurationPoint(28, 80, None, "keepers", kind="common practice"),
    ]
    assert evidence_for(data, 28) == (data[0],)


def test_practice_gives_a_wider_range_than_a_published_point() -> None:
    kinds = [
        predicted_days([DurationPoint(28, 60, 20, "a", kind=kind)], 28)
        for kind in ("published", "from memory", "common practice")
    ]
    widths = [found.high / found.low for found in kinds]
    assert widths[0] < widths[1] < widths[2]


def test_a_wide_stated_range_widens_the_answer() -> None:
    narrow = predicted_days([DurationPoint(28, 60, None, "k", 58, 62, "common practice")], 28)
    wide = predicted_days([DurationPoint(28, 60, None, "k", 40, 80, "common practice")], 28)
    assert wide.high - wide.low > 1.2 * (narrow.high - narrow.low)


def test_no_points_no_days() -> None:
    assert predicted_days([], 28) == NoData((), None, None)


def test_many_studies_that_agree_still_differ_from_the_next_by_a_tenth() -> None:
    # No floor is set: 60 studies that agree leave 4/63 of the usual variance of studies (5 %), little of that within
    # them (3 %), 0.4 K of temperature (slope 1/(27 - 14.8) per K) and nothing of the curve.
    data = [DurationPoint(t, 700 / (t - 14.8), 500, str(i)) for i in range(60) for t in (24, 26, 28, 30)]
    found = predicted_days(data, 27)
    expected = 1.96 * math.sqrt(4 / 63 * 0.05**2 + 4 / 183 * 0.03**2 + (0.4 / 12.2) ** 2)
    assert math.log(found.high / found.days) == pytest.approx(expected, rel=0.02)
    assert math.log(found.days / found.low) == pytest.approx(expected, rel=0.02)


def test_a_temperature_error_widens_the_range_by_its_share() -> None:
    curve = fit_development(points("Elaphe carinata"))
    _, _, plain = length_from_curve(curve, 28)
    days, _, wider = length_from_curve(curve, 28, temperature_error=1.0)
    slope = (
        log_days(curve.form, curve.parameters, 28.1)[0] - log_days(curve.form, curve.parameters, 27.9)[0]
    ) / 0.2
    # Quadrature (JCGM 100) of 1.96 standard deviations.
    expected = math.hypot(math.log(plain / days), 1.96 * slope)
    assert math.log(wider / days) == pytest.approx(expected, rel=1e-3)


def test_a_prediction_is_quick() -> None:
    # 5 ms is the aim on the machine this was written on; three times that leaves room for a busy one.
    for species in ("Pelodiscus sinensis", "Dipsosaurus dorsalis", "Plestiodon chinensis"):
        data = points(species)
        best = math.inf
        for _ in range(5):
            start = time.process_time()
            assert isinstance(predicted_days(data, 30), IncubationLength)
            best = min(best, time.process_time() - start)
        assert best < 0.015


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: predicted_days([DurationPoint(28, 0, 5, "a")], 28), "must be from 1 to 1500 days"),
        (lambda: predicted_days([DurationPoint(28, 60, 0, "a")], 28), "above 0"),
        (lambda: predicted_days([DurationPoint(28, 60, 5, "a", 50)], 28), "both its low and its high end"),
        (lambda: predicted_days([DurationPoint(28, 60, 5, "a", 61, 65)], 28), "in their range 61 to 65"),
        (lambda: predicted_days([DurationPoint(28, 60)], 28, temperature_error=9), "between 0 and 5 K"),
        (lambda: fit_development([]), "at least 1 point"),
        (lambda: fit_development([DurationPoint(90, 60)]), "between -20 and 70 °C"),
        (lambda: development_done(lambda t: 0.1, [(0, 28)]), "at least 2 readings"),
        (lambda: development_done(lambda t: 0.1, [(1, 28), (0, 28)]), "in order of time"),
        (lambda: hatching_day(lambda t: 0.1, [(0, 28), (1, 28)], done=1), "between 0 and 1"),
        (lambda: swing_temperatures(28, -1), "at least 0 K"),
    ],
)
def test_impossible_input_is_refused(call: Callable[[], object], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        call()


def test_a_logged_clutch_counts_by_its_eggs_and_bends_nothing() -> None:
    made = [DurationPoint(t, 700 / (t - 14.8), 20, "made up") for t in (22.0, 24.0, 26.0, 30.0)]

    def with_clutch(eggs: float | None, days: float = 60.0) -> float:
        clutch = DurationPoint(28.0, days, eggs, "keeper", kind="common practice", logged=True)
        found = predicted_days([*made, clutch], 28.0)
        assert isinstance(found, IncubationLength) and found.evidence == "published"
        return found.days

    alone = predicted_days(made, 28.0)
    assert isinstance(alone, IncubationLength)
    # 53 days by the others: a clutch of 60 days draws them on, more the more eggs it had, and never all the way.
    assert alone.days < with_clutch(1) < with_clutch(4) < with_clutch(40) < 60.0
    # Practice figures stay out where published ones reach.
    practice = DurationPoint(28.0, 60.0, 40, "keeper", kind="common practice")
    assert predicted_days([*made, practice], 28.0) == alone


def test_a_logged_clutch_is_surer_than_a_figure_of_practice() -> None:
    logged, told = (
        DurationPoint(28.0, 60.0, 9, "k", kind="common practice", logged=log) for log in (True, False)
    )
    # Eggs of a clutch 0.05/sqrt(9), clutches 0.05; against 0.08 of a keeper's thermometer.
    assert own_variance(logged) == pytest.approx(0.05**2 / 9 + 0.05**2)
    assert own_variance(told) == pytest.approx(0.05**2 / 9 + 0.08**2)


def test_logged_clutches_alone_are_practice() -> None:
    clutch = DurationPoint(28.0, 60.0, 9, "keeper", kind="common practice", logged=True)
    found = predicted_days([clutch], 28.0)
    assert isinstance(found, IncubationLength) and found.evidence == "common practice"
    assert found.days == pytest.approx(60.0)
