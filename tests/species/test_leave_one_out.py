"""What the forecast promises, held on points it has not seen (the profiles' published points, each left out in turn)."""

from tests.species.leave_one_out import days_left_out, sexes_left_out


def test_days_to_hatching_miss_little_and_ranges_hold() -> None:
    found = days_left_out()
    assert found.predicted >= 100
    assert found.median_miss <= 0.06
    assert found.high_miss <= 0.15
    assert found.held >= 0.90


def test_ranges_of_the_male_share_hold() -> None:
    found = sexes_left_out()
    assert found.predicted >= 80
    assert found.held >= 0.90
