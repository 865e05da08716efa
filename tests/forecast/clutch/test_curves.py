"""Curves of the profiles: the same figures as the forecast, gaps where nothing is told, every point drawn."""

import pytest
from scipy import stats

from advisor.forecast.clutch.curves import days_curve, expected_at, expected_in_band, sexes_curve
from advisor.forecast.clutch.evidence import (
    duration_points,
    incubation_length,
    sex_points,
    share_model,
    steady,
)
from advisor.formulas.numerics.beta_distribution import beta_quantile
from advisor.model.curves import Curve
from advisor.model.figures import Figure, Unknown
from advisor.reading.names import profile_files
from advisor.reading.species import load_species
from tests.support import ROOT

IDS = sorted(profile_files())
PROFILES = ROOT / "tests" / "rules" / "profiles"


@pytest.mark.parametrize("identifier", IDS)
def test_the_curve_of_days_is_the_forecast(identifier: str) -> None:
    species = load_species(identifier)
    curve = days_curve(species)
    if isinstance(curve, Unknown):
        assert duration_points(species) == ()
        return
    assert len(curve.observed) == len(duration_points(species))
    for piece in curve.pieces:
        for point in (piece.points[0], piece.points[len(piece.points) // 2], piece.points[-1]):
            found = incubation_length(species, point.temperature, 0.0)
            assert (point.value, point.low, point.high, piece.known) == (
                found.days,
                found.low,
                found.high,
                found.evidence,
            )


@pytest.mark.parametrize("identifier", IDS)
def test_curves_reach_the_points_and_at_most_one_degree_past_them(identifier: str) -> None:
    species = load_species(identifier)
    for curve in (days_curve(species), sexes_curve(species)):
        if isinstance(curve, Unknown) or not curve.pieces:
            continue
        data = [point.temperature for point in curve.observed]
        drawn = [point.temperature for piece in curve.pieces for point in piece.points]
        assert set(data) <= set(drawn)
        assert min(data) - 1 <= min(drawn) <= max(drawn) <= max(data) + 1
        assert all(point.low <= point.value <= point.high for piece in curve.pieces for point in piece.points)


@pytest.mark.parametrize("identifier", IDS)
def test_the_curve_of_the_sexes_shows_every_count(identifier: str) -> None:
    species = load_species(identifier)
    curve = sexes_curve(species)
    if species.sex.set_by in (None, "chromosomes") or not steady(species.sex.observed):
        assert isinstance(curve, Unknown)
    else:
        assert isinstance(curve, Curve)
        assert len(curve.observed) == len(steady(species.sex.observed))


def test_nothing_is_drawn_across_a_gap_in_which_males_could_hide() -> None:
    # The invented gecko gave no males of 60 at 24 and at 34 °C, and nothing was counted between.
    curve = sexes_curve(load_species("gekko-exemplaris-lata", PROFILES))
    assert isinstance(curve, Curve)
    assert len(curve.pieces) == 2
    assert curve.pieces[0].points[-1].temperature < 26
    assert curve.pieces[1].points[0].temperature > 32


def test_a_piece_ends_where_weaker_evidence_begins() -> None:
    # Royal python: published near 29.2 °C, keepers' figures above (profile).
    curve = days_curve(load_species("python-regius"))
    assert isinstance(curve, Curve)
    assert [piece.known for piece in curve.pieces] == ["published", "common practice"]


def test_expected_in_the_usual_band() -> None:
    species = load_species("pantherophis-guttatus")
    assert species.aim is not None
    found = expected_in_band(species)
    assert [at.temperature for at in found] == [27, 28, 29]
    assert all(isinstance(at.days, Figure) for at in found)
    # Warmer eggs hatch sooner.
    assert found[0].days.value > found[-1].days.value
    assert expected_in_band(load_species("lacerta-exemplaris", PROFILES)) == ()


def test_no_figure_where_there_are_no_data() -> None:
    found = expected_at(load_species("eublepharis-macularius"), 26.0)
    assert isinstance(found.days, Unknown)
    assert isinstance(found.male_share, Figure)


def test_a_curve_past_all_doubt_does_not_overflow() -> None:
    # Shares this near to 0 once overflowed; the quantile is x = (p a B(a, b))^(1/a) there (DLMF 8.17, small x).
    share_model(load_species("trachemys-scripta"))
    assert 0 <= beta_quantile(0.025, 0.0052, 3.0) < 1e-300
    assert beta_quantile(0.025, 0.006, 0.5) == pytest.approx(stats.beta.ppf(0.025, 0.006, 0.5), rel=1e-6)


@pytest.mark.parametrize(
    ("identifier", "source", "groups"),
    [
        # Ewert et al. 2005 counted six samples; Doody et al. 2006 four populations; Ligon 2009 one group of eggs.
        ("chelydra-serpentina", "ewert-2005", 6),
        ("intellagama-lesueurii", "doody-2006", 4),
        ("centrochelys-sulcata", "ligon-2009", 1),
    ],
)
def test_populations_of_one_paper_count_as_groups_of_their_own(
    identifier: str, source: str, groups: int
) -> None:
    points = sex_points(load_species(identifier))
    assert len({point.study for point in points if source in point.study}) == groups
