"""The warmth of late eggs in the medium's temperature: where it is told, and how large it is."""

import pytest
from msgspec.structs import replace

from advisor.forecast import forecast_plan
from advisor.forecast.egg_box.eggs import BoxLoad, load_of
from advisor.forecast.heat.egg_heat import late_lift
from advisor.formulas.air.vents import LikelyRange
from advisor.model.figures import Figure, Unknown
from advisor.model.plan import Plan
from advisor.reading.species import load_species
from tests.forecast.boxes import plan_with

PYTHON = load_species("python-bivittatus")
LARGE: dict[str, str | None] = {
    "outer_box.inside": "90 x 60 x 45 cm",
    "heat.size": "80 x 50 cm",
    "heat.power": "60 W",
    "control.set_to": "31.5 °C",
    "control.probe.sits_in": "air",
    "egg_boxes[0].count": "1",
    "egg_boxes[0].tier": "one",
    "egg_boxes[0].inside": "60 x 40 x 25 cm",
    "egg_boxes[0].medium.depth": "8 cm",
    "egg_boxes[0].medium.grade": "coarse",
    "clutches[0].species": "python-bivittatus",
    "clutches[0].eggs": "30",
    "clutches[0].egg_mass": "250 g",
}


def medium_of(plan: Plan) -> Figure:
    found = forecast_plan(plan, {PYTHON.id: PYTHON}).egg_boxes[0].heat.medium_temperature
    assert isinstance(found, Figure)
    return found


def load_in(plan: Plan) -> BoxLoad:
    species = {PYTHON.id: PYTHON}
    load = load_of(plan, 0, species, forecast_plan(plan, species).clutches)
    assert isinstance(load, BoxLoad)
    return load


def test_lift_of_a_large_python_clutch_is_what_the_arithmetic_says() -> None:
    """By hand: 1000 ml/h x 20.1 J/ml is 5.58 W; the box has 0.98 m2 outside: 5.58 W / (4.5 W/(m2 K) x 0.98 m2), 1.266 K.

    Low: 800 ml/h x 19.6 J/ml / (6 x 0.98), 0.741 K. High: 1200 ml/h x 20.9 J/ml / (3.5 x 0.98), 2.031 K.
    """
    plan = plan_with(LARGE)
    load = load_in(plan)
    hourly = 1e-6 / 3600  # m3/s for each ml/h
    lift = late_lift(
        plan.egg_boxes[0], replace(load, peak_oxygen=LikelyRange(800 * hourly, 1000 * hourly, 1200 * hourly))
    )
    assert lift is not None
    assert (lift.low, lift.typical, lift.high) == pytest.approx((0.741, 1.266, 2.031), abs=0.001)
    # 7.5 kg x 0.12 ml/(g h) at 30 °C (Van Mierop & Barnard 1978), by 2.2 for each 10 °C.
    assert isinstance(load.peak_oxygen, LikelyRange)
    assert load.peak_oxygen.typical / hourly == pytest.approx(
        900 * 2.2 ** ((load.temperature - 30) / 10), rel=0.001
    )


def test_late_heat_widens_the_warm_end_alone() -> None:
    plan = plan_with(LARGE)
    lift = late_lift(plan.egg_boxes[0], load_in(plan))
    assert lift is not None
    with_eggs, fewer = medium_of(plan), medium_of(plan_with({**LARGE, "clutches[0].eggs": "1"}))
    assert "near hatching" in with_eggs.basis and "near hatching" not in fewer.basis
    assert (with_eggs.value, with_eggs.low) == (fewer.value, fewer.low)
    assert with_eggs.high - fewer.high == pytest.approx(lift.high)


def test_a_probe_among_the_eggs_makes_up_for_their_heat() -> None:
    assert (
        "near hatching"
        not in medium_of(plan_with({**LARGE, "control.probe.sits_in": "egg box medium"})).basis
    )


def test_nothing_is_told_without_the_eggs_breathing_or_the_size() -> None:
    plan = plan_with(LARGE)
    load = load_in(plan)
    assert late_lift(plan.egg_boxes[0], replace(load, peak_oxygen=Unknown("not known"))) is None
    assert late_lift(replace(plan.egg_boxes[0], inside=None), load) is None
