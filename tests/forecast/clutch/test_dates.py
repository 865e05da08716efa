"""Dates of a clutch: laying window, the day all must be ready, hatch window, checks by thirds and by a custom rhythm."""

import datetime
import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from advisor.forecast.clutch.dates import check_days, hatch_window, laying_entry, laying_window, ready_by
from advisor.model.care import Checks, RhythmStep
from advisor.model.figures import Figure, Unknown
from advisor.model.plan import Clutch, Laying, Range, Repeats
from advisor.reading.names import profile_files
from advisor.reading.species import load_species

DAY = 86400.0
MAY_2 = datetime.date(2027, 5, 2)
DATES = st.dates(datetime.date(2020, 1, 1), datetime.date(2100, 1, 1))


def in_days(value: float, low: float, high: float) -> Figure:
    return Figure(value, low, high, "days")


def date(text: str) -> datetime.date:
    return datetime.date.fromisoformat(text)


def clutch(laying: Laying, every: tuple[float, float] | None = None, nth: int = 0) -> Clutch:
    repeats = Repeats(Range(*every), 9) if every else None
    return Clutch("pantherophis-guttatus", laying=laying, repeats=repeats, nth=nth)


# --- Laying and being ready ---


def test_t12_a_colubrid_lays_one_to_two_weeks_after_the_shed() -> None:
    # common practice, no source: rat snakes and many colubrids lay 7 to 14 days after the shed that precedes laying.
    window = laying_window(clutch(Laying(shed_on=MAY_2)), load_species("pantherophis-guttatus"))
    assert window == (date("2027-05-09"), date("2027-05-16"))


def test_an_expected_window_goes_before_the_shed() -> None:
    window = (date("2027-05-20"), date("2027-05-25"))
    species = load_species("pantherophis-guttatus")
    assert laying_window(clutch(Laying(shed_on=MAY_2, expected=window)), species) == window


def test_the_day_they_were_laid_goes_before_all() -> None:
    laying = Laying(
        shed_on=MAY_2, expected=(date("2027-05-20"), date("2027-05-25")), laid_on=date("2027-05-12")
    )
    found = laying_window(clutch(laying), load_species("pantherophis-guttatus"))
    assert found == (date("2027-05-12"), date("2027-05-12"))


def test_no_window_without_a_word_on_laying() -> None:
    assert laying_window(clutch(Laying()), load_species("pantherophis-guttatus")) is None


def test_a_shed_tells_nothing_where_the_profile_knows_no_days_from_it() -> None:
    assert laying_window(clutch(Laying(shed_on=MAY_2)), load_species("chrysemys-picta")) is None


def test_a_clutch_that_follows_is_laid_so_many_intervals_later_and_its_window_widens() -> None:
    # 3 x 15 = 45 days after the first day, 3 x 22 = 66 after the last.
    laying, corn = Laying(expected=(MAY_2, date("2027-05-09"))), load_species("pantherophis-guttatus")
    assert laying_window(clutch(laying, (15, 22)), corn) == (MAY_2, date("2027-05-09"))
    assert laying_window(clutch(laying, (15, 22), 3), corn) == (date("2027-06-16"), date("2027-07-14"))
    # From a shed and from the day that the first was laid on, too.
    assert laying_window(clutch(Laying(laid_on=MAY_2), (30, 30), 2), corn) == (
        date("2027-07-01"),
        date("2027-07-01"),
    )
    assert laying_window(clutch(Laying(shed_on=MAY_2), (30, 40), 1), corn) == (
        date("2027-06-08"),
        date("2027-06-25"),
    )


def test_clutches_without_a_told_interval_come_as_far_apart_as_the_profile_tells() -> None:
    for identifier in profile_files():
        species = load_species(identifier)
        usual = species.laying.next_clutch if species.laying else None
        untold = Clutch(identifier, laying=Laying(laid_on=MAY_2), repeats=Repeats(None, 3), nth=2)
        if usual is None:
            assert laying_window(untold, species) is None
            assert laying_entry(untold, species) == "repeats.every"
            continue
        told = replace(untold, repeats=Repeats(Range(usual.low, usual.high), 3))
        assert laying_window(untold, species) == laying_window(told, species) is not None
        assert laying_entry(untold, species) == "laying.expected"
        assert laying_window(replace(untold, nth=0), species) == (MAY_2, MAY_2)


def test_everything_stands_ready_the_day_before_the_first_egg() -> None:
    assert ready_by((date("2027-03-01"), date("2027-03-09"))) == date("2027-02-28")
    assert ready_by(None) is None


# --- Hatching ---


def test_the_hatch_window_goes_from_the_first_egg_and_the_shortest_to_the_last_and_the_longest() -> None:
    window = hatch_window((MAY_2, date("2027-05-09")), in_days(60, 55, 66))
    assert window == (MAY_2 + datetime.timedelta(days=55), date("2027-05-09") + datetime.timedelta(days=66))


@pytest.mark.parametrize(
    ("laying", "days"),
    [(None, in_days(60, 55, 66)), ((MAY_2, MAY_2), Unknown("no data at this temperature"))],
)
def test_no_hatch_window_without_laying_or_days(
    laying: tuple[datetime.date, datetime.date] | None, days: Figure | Unknown
) -> None:
    assert hatch_window(laying, days) is None


@settings(max_examples=100, deadline=None)
@given(
    first=DATES,
    late=st.integers(0, 60),
    low=st.floats(1, 300),
    wider=st.floats(0, 200),
    wider_still=st.floats(0, 200),
)
def test_no_date_of_hatching_is_ever_before_laying(
    first: datetime.date, late: int, low: float, wider: float, wider_still: float
) -> None:
    last = first + datetime.timedelta(days=late)
    found = hatch_window((first, last), in_days(low + wider, low, low + wider + wider_still))
    assert found is not None
    assert first < found[0] <= found[1]
    assert last < found[1]
    ready = ready_by((first, last))
    assert ready is not None and ready < first


# --- Checks ---


def test_t8_checks_every_7_5_and_3_days_in_three_twenties() -> None:
    # common practice, no source: once every 7 days in the first third, every 5 in the second, every 3 in the last
    # (60 days in three twenties). The day of one check decides how long it is to the next.
    days = check_days(Checks(rhythm=()), in_days(60, 55, 66))
    assert days == (7, 14, 21, 26, 31, 36, 41, 44, 47, 50, 53, 56, 59)


@settings(max_examples=60, deadline=None)
@given(length=st.integers(20, 400))
def test_thirds_scale_with_the_incubation(length: int) -> None:
    # common practice, no source: t8 scaled by thirds of the expected incubation.
    days = (0, *check_days(Checks(rhythm=()), in_days(length, length, length)))
    for day, following in itertools.pairwise(days):
        third = 7 if day < round(length / 3) else 5 if day < round(2 * length / 3) else 3
        assert following - day == third
    assert length - 3 < days[-1] <= length or length - 7 < days[-1] <= length < 21


def test_a_custom_rhythm_is_kept() -> None:
    rhythm = (RhythmStep(7 * DAY, 20), RhythmStep(4 * DAY, 30), RhythmStep(2 * DAY))
    assert check_days(Checks(rhythm=rhythm), in_days(40, 38, 42)) == (7, 14, 21, 25, 29, 33, 35, 37, 39)


def test_a_rhythm_that_ends_early_has_no_checks_after() -> None:
    assert check_days(Checks(rhythm=(RhythmStep(10 * DAY, 20),)), in_days(60, 55, 66)) == (10, 20)


def test_looks_many_times_a_day_count_once_a_day() -> None:
    days = check_days(Checks(rhythm=(RhythmStep(3600.0),)), in_days(10, 9, 11))
    assert days == tuple(range(1, 11))


@pytest.mark.parametrize(
    ("checks", "days"),
    [(Checks(), in_days(60, 55, 66)), (Checks(rhythm=()), Unknown("no data at this temperature"))],
)
def test_no_checks_without_a_rhythm_or_a_length(checks: Checks, days: Figure | Unknown) -> None:
    assert check_days(checks, days) == ()
