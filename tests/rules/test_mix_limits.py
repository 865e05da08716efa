"""Limits of mixes and top-ups that no plan meets to the last digit; each test carries the name of its rule."""

from advisor.forecast.egg_box.medium import Mixed
from advisor.formulas.air.vents import LikelyRange
from advisor.rules.shared import undecided


def test_moisture_mix_too_wet_is_undecided_only_while_the_weight_of_the_medium_decides() -> None:
    def mix(*left_open: str) -> Mixed:
        return Mixed(None, LikelyRange(1.0, 1.5, 2.0), left_open, "volume")

    assert [undecided(mix("grade"), limit) for limit in (0.9, 1.0, 1.9, 2.0)] == [False, True, True, False]
    assert not undecided(mix(), 1.5)
