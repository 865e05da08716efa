"""Days and sexes of a clutch at its set point, against published points, facts of the trade and the edges of the data."""

import datetime
import math
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.forecast.clutch.days_and_sexes import AS_PROBE, incubation_days, male_share, thermostat_error
from advisor.forecast.clutch.sex_steering import (
    best_set_point,
    entries_missing,
    possible_settings,
    shares_between,
    temperatures_with,
)
from advisor.model.figures import Figure, Result, Unknown
from advisor.model.forecast import ClutchForecast, EggWarmth
from advisor.model.plan import Control
from advisor.model.species import Species
from advisor.reading.names import profile_files
from advisor.reading.species import load_species
from tests.support import situation_of

EVEN = AS_PROBE
CHECKED = "ice point"


def days_of(identifier: str, at: float) -> Result:
    return incubation_days(Control(set_to=at, checked_against=CHECKED), load_species(identifier))


def share_of(identifier: str, at: float, warmth: EggWarmth = EVEN, checked: str = CHECKED) -> Result:
    return male_share(Control(set_to=at, checked_against=checked), load_species(identifier), warmth)


def figure(found: Result) -> Figure:
    assert isinstance(found, Figure), found
    return found


# --- Published points ---

DAYS = [
    ("centrochelys-sulcata", 28.5, 110.8),  # Ligon et al. 2009, Can J Zool 87:64
    ("centrochelys-sulcata", 32.5, 78.3),  # the same
    ("chamaeleo-calyptratus", 28, 227),  # Ballen et al. 2015, Behaviour
    ("chrysemys-picta", 28.5, 56.0),  # Les et al. 2007, J Exp Zool A 307:274, via Noble et al. 2018
    ("chrysemys-picta", 31, 48.0),  # Les et al. 2009, Physiol Biochem Zool 82:105
    ("elaphe-carinata", 30, 44.4),  # Ji & Du 2001, Comp Biochem Physiol A 129:461
    ("mauremys-reevesii", 28, 62.9),  # Du et al. 2007, Aquaculture 272:747
    ("pelodiscus-sinensis", 34, 39.4),  # Du et al. 2003, J Therm Biol 28:279, via Noble et al. 2018
    ("pituophis-melanoleucus", 28, 63.8),  # Burger & Zappalorti 1988, Am Nat 132:492
    ("plestiodon-chinensis", 24, 41.7),  # Ji & Zhang 2001, Acta Zool Sinica 47:256, via Noble et al. 2018
    ("trachemys-scripta", 31, 50.1),  # Les et al. 2009, Physiol Biochem Zool 82:105
    ("varanus-albigularis", 29, 141.5),  # Phillips & Packard 1994, Biol Conserv 69:131
]

SHARES = [
    ("centrochelys-sulcata", 30.5, 13 / 17),  # Ligon et al. 2009, Can J Zool 87:64
    ("chamaeleo-calyptratus", 28, 24 / 51),  # Ballen et al. 2016, J Herpetol 50:548
    ("chrysemys-picta", 28, 0.62),  # McGaugh et al. 2011, J Evol Biol 24:784: 186 eggs
    ("eublepharis-macularius", 26, 0.0),  # Viets et al. 1993, J Exp Zool 265:679: 0 of 120
    ("eublepharis-macularius", 31, 38 / 46),  # the same
    ("malacochersus-tornieri", 30, 4 / 9),  # Ewert, Hatcher & Goode 2004, J Herpetol 38:291
    ("mauremys-reevesii", 28, 0.38),  # Du et al. 2009, via Noble et al. 2018: 14 of 37
    ("pelodiscus-sinensis", 24, 0.50),  # Mu et al. 2015, via Noble et al. 2018: 107 eggs, chromosomes
    ("pituophis-melanoleucus", 28, 0.49),  # Burger & Zappalorti 1988, Am Nat 132:492: 170 eggs, chromosomes
    (
        "trachemys-scripta",
        28.5,
        0.97,
    ),  # Les et al. 2007, J Exp Zool A 307:274, via Noble et al. 2018: 55 eggs
]


@pytest.mark.parametrize(("identifier", "at", "days"), DAYS)
def test_published_days_lie_in_the_stated_range(identifier: str, at: float, days: float) -> None:
    found = figure(days_of(identifier, at))
    assert found.low <= days <= found.high


@pytest.mark.parametrize(("identifier", "at", "share"), SHARES)
def test_published_shares_lie_in_the_stated_range(identifier: str, at: float, share: float) -> None:
    found = figure(share_of(identifier, at))
    # A hair of 1e-9, for a range that starts at 1e-30 where none of 120 were males.
    assert found.low - 1e-9 <= share <= found.high + 1e-9


def test_a_published_curve_of_days_is_followed() -> None:
    # Mauremys reevesii, Du et al. 2007, Aquaculture 272:747: D = 42.74 exp(4.30/(T - 17.28)), 24 to 34 °C. Other
    # laboratories in the profile lie up to 20 % above it (Wei et al. 2021: 86.3 days at 26 °C, the curve 70.0), so the
    # middle of all may lie half of that off.
    for at in (24, 26, 28, 30, 32):
        published = 42.74 * math.exp(4.30 / (at - 17.28))
        assert figure(days_of("mauremys-reevesii", at)).value == pytest.approx(published, rel=0.10)


def test_a_range_is_no_wider_than_a_keeper_can_use() -> None:
    # Laboratories differ by 5 to 10 % (facts of 72 species): a range past half of the days either way would say nothing.
    for identifier, at, days in DAYS:
        found = figure(days_of(identifier, at))
        assert days * 0.5 < found.low and found.high < days * 1.5


# --- Facts of the trade ---


def of_groups(*groups: str) -> list[Species]:
    return [found for name in profile_files() if (found := load_species(name)).group in groups]


def test_t9_most_kept_snakes_hatch_after_about_sixty_days() -> None:
    # common practice, no source: about 60 days at 28 to 32 °C. Asked of every snake profile with days in that range.
    held = []
    for species in of_groups("colubrid", "python", "other snake"):
        for at in (28.0, 29.0, 30.0, 31.5):
            found = incubation_days(Control(set_to=at, checked_against=CHECKED), species)
            if isinstance(found, Figure) and species.aim and species.aim.low <= at <= species.aim.high:
                held.append(found.low <= 60 <= found.high)
    assert len(held) >= 15
    assert sum(held) / len(held) > 0.6


@pytest.mark.parametrize(
    "identifier",
    [
        "eublepharis-macularius",
        "pogona-vitticeps",
        "pantherophis-guttatus",
        "pantherophis-obsoletus",
        "lampropeltis-californiae",
        "lampropeltis-triangulum",
    ],
)
def test_t10_28_to_29_is_usual(identifier: str) -> None:
    # common practice, no source: 28 to 29 °C is safe for leopard geckos, bearded dragons and most colubrids.
    aim = load_species(identifier).aim
    assert aim is not None
    assert aim.low <= 28 and aim.high >= 29


def test_t10_royal_pythons_want_31_5_to_32() -> None:
    # common practice, no source.
    aim = load_species("python-regius").aim
    assert aim is not None
    assert aim.low <= 31.5 and aim.high >= 32


def test_t10_at_28_to_29_leopard_geckos_come_out_nearly_all_female() -> None:
    # Viets et al. 1993, beside the fact of the trade: 0 of 43 at 28 °C, 4 of 20 at 29 °C.
    assert figure(share_of("eublepharis-macularius", 28)).value < 0.05
    assert figure(share_of("eublepharis-macularius", 29)).value < 0.2


def test_t17_temperature_sets_the_sex_of_many_geckos_and_tortoises() -> None:
    # common practice, no source.
    set_by = {species.id: species.sex.set_by for species in of_groups("gecko", "tortoise")}
    by_temperature = [identifier for identifier, how in set_by.items() if how == "temperature"]
    assert {"eublepharis-macularius", "testudo-hermanni", "centrochelys-sulcata"} <= set(by_temperature)
    assert len(by_temperature) >= 8


# --- Past the data there is no number ---


@pytest.mark.parametrize("identifier", sorted(profile_files()))
@pytest.mark.parametrize("at", [5.0, 45.0])
def test_nothing_is_said_far_outside_the_data(identifier: str, at: float) -> None:
    assert isinstance(days_of(identifier, at), Unknown)
    species = load_species(identifier)
    found = share_of(identifier, at)
    half_for_sure = species.sex.set_by == "chromosomes" or (species.sex.reversal is not None and at == 5.0)
    if half_for_sure:
        assert figure(found).value == pytest.approx(0.5)
    else:
        assert isinstance(found, Unknown)


def test_no_data_names_the_nearest() -> None:
    found = days_of("centrochelys-sulcata", 26)
    assert isinstance(found, Unknown)
    assert "28.5" in found.reason
    assert found.needs == ("species/centrochelys-sulcata.yaml: duration",)


def test_no_share_is_read_across_a_gap_in_which_males_could_hide() -> None:
    own = Path(__file__).parents[2] / "rules" / "profiles"
    found = male_share(
        Control(set_to=29, checked_against=CHECKED), load_species("gekko-exemplaris-lata", own), EVEN
    )
    assert isinstance(found, Unknown)
    assert "too far apart" in found.reason


def test_no_figure_without_a_set_point() -> None:
    species = load_species("trachemys-scripta")
    for found in (incubation_days(Control(), species), male_share(Control(), species, EVEN)):
        assert isinstance(found, Unknown)
        assert found.needs == ("control.set_to",)


def test_chromosomes_need_no_thermostat_check() -> None:
    found = figure(share_of("pantherophis-guttatus", 28))
    assert (found.value, found.matters_most) == (0.5, "")


def test_heat_that_overrides_chromosomes_is_open_at_the_threshold_and_untold_above() -> None:
    # Bearded dragon: 32 °C (Holleley et al. 2015 and later work); nobody's counts stand in the profile.
    assert figure(share_of("pogona-vitticeps", 29)).value == 0.5
    near = figure(share_of("pogona-vitticeps", 32))
    assert near.high - near.low > 0.5
    assert isinstance(share_of("pogona-vitticeps", 33), Unknown)


# --- Thermostat and spread ---


def test_a_check_in_ice_halves_the_error() -> None:
    assert thermostat_error(Control(checked_against="ice point")) == 0.25
    assert thermostat_error(Control(checked_against="reference thermometer")) == 0.25
    assert thermostat_error(Control(checked_against="nothing")) == 0.5
    assert thermostat_error(Control()) == 0.5


def test_an_unchecked_thermostat_widens_both_ranges() -> None:
    checked, unchecked = (
        incubation_days(Control(set_to=28, checked_against=how), load_species("elaphe-carinata"))
        for how in ("ice point", "nothing")
    )
    assert figure(unchecked).high > figure(checked).high
    narrow, wide = (
        figure(share_of("trachemys-scripta", 29.2, checked=how)) for how in ("ice point", "nothing")
    )
    assert wide.high - wide.low > narrow.high - narrow.low


def ways(*offsets: tuple[float, float, float]) -> EggWarmth:
    """Medium minus set point, value, low and high [K], one for each way."""
    return EggWarmth(tuple(Figure(*one, "step", f"way {number}") for number, one in enumerate(offsets)))


def test_what_is_open_about_the_layer_averages_the_sexes() -> None:
    # Sliders, S = 0.2 K (fit to seven papers, Noble et al. 2018): 0.3 K under the pivot 82 % males.
    # A range of 1 K either way is 0.5 °C of standard deviation, and the share falls to 1/(1 + exp(-0.3/S')),
    # S' = S sqrt(1 + pi sd^2/(8 S^2)) (average of a logistic curve over a normal error), with the checked error of 0.25 K.
    even = figure(share_of("trachemys-scripta", 28.9))
    wide = figure(share_of("trachemys-scripta", 28.9, ways((0.0, -1.0, 1.0))))
    assert wide.value < even.value
    for found, sd in ((even, 0.25), (wide, math.hypot(0.25, 0.5))):
        width = 0.202 * math.sqrt(1 + math.pi * sd**2 / (8 * 0.202**2))
        # 0.05: the profile's own fit has its pivot at 29.18 and a width of 0.19.
        assert found.value == pytest.approx(1 / (1 + math.exp(-0.3 / width)), abs=0.05)


def test_temperatures_of_the_eggs_add_error_and_the_range_of_their_tier_in_quadrature() -> None:
    setting = (Control(checked_against="nothing"), Figure(2.0, 1.5, 3.0, "step"))
    low, high = temperatures_with(setting, 28.0)
    assert high - 30 == pytest.approx(math.hypot(1.0, 1.0))
    assert low - 30 == pytest.approx(-math.hypot(1.0, 0.5))


def test_warmer_eggs_are_forecast_at_their_own_temperature() -> None:
    control, slider = Control(set_to=28, checked_against=CHECKED), load_species("trachemys-scripta")
    warmer = ways((2.5, 2.5, 2.5))
    assert incubation_days(control, slider, warmth=warmer) == days_of("trachemys-scripta", 30.5)
    assert share_of("trachemys-scripta", 28, warmer) == share_of("trachemys-scripta", 30.5)


def test_of_two_peaks_one_is_told_and_the_range_holds_both() -> None:
    # Sliders: males at 28, females at 30.5 °C. Nothing between the two would be true of any box.
    both, peaks = ways((0.0, 0.0, 0.0), (2.5, 2.5, 2.5)), (28.0, 30.5)
    found, ends = (
        figure(share_of("trachemys-scripta", 28, both)),
        [figure(share_of("trachemys-scripta", at)) for at in peaks],
    )
    assert found.value in [end.value for end in ends]
    assert (found.low, found.high) == (min(end.low for end in ends), max(end.high for end in ends))
    assert "way 0, or" in found.basis and "way 1" in found.basis and "tier" in found.matters_most
    days = figure(incubation_days(Control(set_to=28), load_species("trachemys-scripta"), warmth=both))
    assert days.low < 50 < days.value  # 48 to 53 days near 30.5 °C, 60 near 28 °C (Les et al. 2009)


def test_no_figure_where_one_of_the_ways_has_no_data() -> None:
    assert isinstance(share_of("trachemys-scripta", 28, ways((0.0, 0.0, 0.0), (12.0, 12.0, 12.0))), Unknown)


def test_what_the_plan_leaves_out_is_tried_both_ways() -> None:
    open_spread = EggWarmth((), ("outer_box.wall.material",))
    assert len(possible_settings(Control(), open_spread)) == 4
    assert len(possible_settings(Control(checked_against="nothing"), EVEN)) == 1
    assert entries_missing(Control(), open_spread) == ("control.checked_against", "outer_box.wall.material")
    assert entries_missing(Control(checked_against="nothing"), EVEN) == ()


def test_the_best_set_point_for_females_lies_on_the_warm_side_for_sliders_and_on_a_cool_one_for_geckos() -> (
    None
):
    setting = (Control(set_to=29.2, checked_against=CHECKED), EVEN.ways[0])
    warm = best_set_point(load_species("trachemys-scripta"), "females", setting, 0.1)
    cool = best_set_point(load_species("trachemys-scripta"), "males", setting, 0.1)
    assert warm is not None and cool is not None
    # Pivot 29.2 °C, both sexes between 28.6 and 29.8 °C (TRT 1.19 K: fit to seven papers, Noble et al. 2018).
    assert cool.temperature < 28.6 and warm.temperature > 29.8
    gecko = best_set_point(load_species("eublepharis-macularius"), "females", setting, 0.1)
    assert gecko is not None and gecko.temperature < 29


def test_shares_between_two_temperatures_hold_a_peak_inside() -> None:
    # Leopard geckos: about 0.8 males near 32 °C, under 0.4 at 30 °C (Viets et al. 1993).
    found = shares_between(load_species("eublepharis-macularius"), 30.0, 32.0)
    assert found is not None
    assert found[0] < 0.4 and found[1] > 0.7
    assert shares_between(load_species("eublepharis-macularius"), 10.0, 12.0) is None


# --- Whole clutches ---


def clutches(*parts: dict[str, Any], set_to: str = "28 °C") -> tuple[ClutchForecast, ...]:
    plan = {"control": {"set_to": set_to}, "checks": {"rhythm": "thirds"}, "clutches": list(parts)}
    return situation_of(plan).forecast.clutches


def test_several_clutches_each_have_their_own_dates() -> None:
    corn, gecko = clutches(
        {"species": "pantherophis-guttatus", "laying": {"laid_on": "2027-05-11"}},
        {"species": "eublepharis-macularius", "laying": {"expected": "2027-04-01 to 2027-04-05"}},
    )
    assert corn.laying_window == (datetime.date(2027, 5, 11), datetime.date(2027, 5, 11))
    assert gecko.laying_window == (datetime.date(2027, 4, 1), datetime.date(2027, 4, 5))
    assert gecko.ready_by == datetime.date(2027, 3, 31)
    assert corn.hatch_window is not None and gecko.hatch_window is not None
    assert corn.hatch_window[0] - datetime.date(2027, 5, 11) == datetime.timedelta(
        days=int(figure(corn.incubation_days).low)
    )
    assert gecko.hatch_window[1] - datetime.date(2027, 4, 5) == datetime.timedelta(
        days=round(figure(gecko.incubation_days).high)
    )
    assert len(corn.check_days) > len(gecko.check_days)


def test_two_clutches_of_one_species_hatch_as_far_apart_as_they_were_laid() -> None:
    first, second = clutches(
        {"species": "pantherophis-guttatus", "laying": {"laid_on": "2027-05-01"}},
        {"species": "pantherophis-guttatus", "laying": {"laid_on": "2027-06-01"}},
    )
    assert first.hatch_window is not None and second.hatch_window is not None
    assert second.hatch_window[0] - first.hatch_window[0] == datetime.timedelta(days=31)
    assert first.check_days == second.check_days


@settings(max_examples=60, deadline=None)
@given(
    identifier=st.sampled_from(sorted(profile_files())),
    laid=st.dates(datetime.date(2024, 1, 1), datetime.date(2040, 1, 1)),
    set_to=st.floats(20, 34).map(lambda value: round(value, 1)),
)
def test_no_date_is_ever_before_the_laying_date(identifier: str, laid: datetime.date, set_to: float) -> None:
    (found,) = clutches(
        {"species": identifier, "laying": {"laid_on": laid.isoformat()}}, set_to=f"{set_to} °C"
    )
    assert found.laying_window == (laid, laid)
    assert all(day > 0 for day in found.check_days)
    if found.hatch_window is not None:
        assert laid < found.hatch_window[0] <= found.hatch_window[1]
        assert max(found.check_days, default=1) <= figure(found.incubation_days).high
    else:
        assert isinstance(found.incubation_days, Unknown)
        assert found.check_days == ()
