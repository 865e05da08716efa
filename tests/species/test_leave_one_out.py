"""What the forecast promises, held on points it has not seen (the profiles' published points, each left out in turn)."""

from tests.species.leave_one_out import days_left_out, sexes_left_out, swings_left_out


def test_days_to_hatching_miss_little_and_ranges_hold() -> None:
    found = days_left_out()
    assert found.predicted >= 100
    assert found.median_miss <= 0.06
    assert found.high_miss <= 0.15
    assert 0.93 <= found.held <= 0.97


def test_ranges_of_the_male_share_hold() -> None:
    found = sexes_left_out()
    assert found.predicted >= 80
    assert found.held >= 0.90


def test_days_of_a_study_not_yet_seen_miss_little_more() -> None:
    # Nothing was promised for it; the misses asked for of single points and a fifth more are a guard.
    found = days_left_out(whole_study=True)
    assert found.predicted >= 80
    assert found.median_miss <= 0.06 * 1.2
    assert found.high_miss <= 0.15 * 1.2
    assert 0.93 <= found.held <= 0.97
    # Ranges neither too wide nor too narrow for a laboratory not yet seen, which is what a keeper is.
    assert 0.9 <= (found.spread or 0.0) <= 1.1


def test_days_at_daily_swings_are_foretold_by_steady_points() -> None:
    found = swings_left_out()
    assert found.predicted >= 40
    assert found.median_miss <= 0.06
    # 40 points hold 92.5 % where 95 is meant, within chance (one standard deviation is 3.4 %).
    assert found.held >= 0.90


def test_ranges_of_the_male_share_hold_for_a_population_not_yet_seen() -> None:
    found = sexes_left_out(whole_study=True)
    assert found.predicted >= 60
    assert found.held >= 0.90
