"""Limits of mixes and top-ups that no plan meets to the last digit; each test carries the name of its rule."""

from advisor.forecast.egg_box.medium import Mixed
from advisor.formulas.air.vents import LikelyRange
from advisor.model.findings import Finding
from advisor.model.plan import Medium, Mix
from advisor.rules.shared import drier_mix, undecided
from tests.rules.test_rules import HERE, answers, loaded, plan_of

BY_MASS = Medium("vermiculite", "medium", mix=Mix(1, 1, "mass"))


def test_moisture_mix_too_wet_tells_water_from_a_hundredth_of_the_medium_on() -> None:
    # Less than 10 g of water to a kilogram is as good as none (judgement).
    assert drier_mix(BY_MASS, 0.0095) == "Use the medium dry."
    assert drier_mix(BY_MASS, 0.01) == "Use no more water than 0.01 times the weight of the dry medium."


def test_moisture_mix_too_wet_is_undecided_only_while_the_weight_of_the_medium_decides() -> None:
    def mix(*left_open: str) -> Mixed:
        return Mixed(None, LikelyRange(1.0, 1.5, 2.0), left_open, "volume")

    assert [undecided(mix("grade"), limit) for limit in (0.9, 1.0, 1.9, 2.0)] == [False, True, True, False]
    assert not undecided(mix(), 1.5)


def test_moisture_mix_too_short_tells_six_top_ups() -> None:
    cases = loaded(HERE / "moisture_mix_too_short.yaml")
    case = next(case for case in cases if case["name"] == "many top-ups are not all told")
    (found,) = answers("moisture-mix-too-short", plan_of(case))
    assert isinstance(found, Finding)
    assert found.remedy.count(" on day ") == 6
