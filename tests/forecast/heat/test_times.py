"""What takes time: warm-up, swing of the thermostat, what stores heat."""

import pytest

from advisor.forecast.heat.times import NEVER_WARM, heat_capacity
from advisor.model.figures import Figure, Unknown
from tests.forecast.boxes import plan_with, reference_foam
from tests.forecast.heat.test_heat import forecast, value


@pytest.fixture
def foam(monkeypatch: pytest.MonkeyPatch) -> None:
    """Expanded polystyrene as in the reference solutions."""
    monkeypatch.setattr("advisor.forecast.heat.shell.wall_named", reference_foam)


# 2.56 kg of eggs (3300 J/(kg K)) stand in for medium: with it the boxes hold the 10.4 kJ/K of 4 kg of medium.
FULL: dict[str, str | None] = {"clutches[0].eggs": "100", "clutches[0].egg_mass": "25.6 g"}


def test_a_heavy_wall_stores_heat_too() -> None:
    # By hand: 60 litres of air hold 70 J/K (as above). Wall: mean of the inner face, 2 (0.24 + 0.15 + 0.10) = 0.98 m2, and
    # the outer one, 2 (0.3036 + 0.2046 + 0.1426) = 1.3016 m2, times 30 mm: 0.0342 m3. Plywood of 500 kg/m3 and
    # 1600 J/(kg K) (ISO 10456): 27.4 kJ/K, half of it 13.7. Tolerance 1 %: rounding.
    plywood = heat_capacity(plan_with({"outer_box.wall.material": "plywood"}))
    assert not isinstance(plywood, Unknown)
    assert plywood.box == pytest.approx(70 + 13690, rel=0.01)
    foam = forecast({"outer_box.wall.material": "expanded polystyrene"}).heat
    # It holds 28 times as much heat as foam and loses less than three times as much: the eggs have longer.
    assert value(forecast({"outer_box.wall.material": "plywood"}).heat.hours_to_lose_3_K) > value(
        foam.hours_to_lose_3_K
    )


def test_heat_in_the_water_of_a_bath_is_not_guessed() -> None:
    heat = forecast({"heat.source": "water bath", "heat.place": "in water", "heat.size": None}).heat
    for result in (heat.swing, heat.warm_up_hours):
        assert isinstance(result, Unknown)
        assert "bath" in result.reason


@pytest.mark.parametrize(("water", "hours"), [(None, 1.24), ("2 L", 2.19)])
def test_warm_up(water: str | None, hours: float) -> None:
    # A network of air layers with capacities (box of 60 x 40 x 25 cm, two boxes on a rack with 2.9 kJ/K in all, mat on the
    # lid, room 20 °C) takes 1.24 h to 28.5 °C at twice its steady watts, 2.19 h with a 2-litre bottle; 25 % either way.
    changes: dict[str, str | None] = {
        "heat.power": "21.9 W",
        "egg_boxes[0].count": "2",
        "egg_boxes[0].tier": "one",
        "egg_boxes[0].medium.litre_mass": "216 g",
        "power_cut.prepared": "water bottles" if water else "nothing",
        "power_cut.water": water,
    }
    found = forecast(changes).heat.warm_up_hours
    assert isinstance(found, Figure)
    assert found.value / 3600 == pytest.approx(hours, rel=0.25)
    assert found.low / 3600 < 0.75 * hours and found.high / 3600 > 1.25 * hours


@pytest.mark.parametrize("watts", ["5 W", "8 W", "10 W", "12 W", "15 W", "40 W"])
def test_a_warm_up_is_told_just_where_the_heater_suffices_for_the_coldest_room(watts: str) -> None:
    # Half a kelvin below the set point counts as warm, and ten days are followed: a share of 1.05 may get there, and no more.
    heat = forecast({"heat.power": watts}).heat
    share = heat.power_share
    assert isinstance(share, Figure)
    assert isinstance(heat.warm_up_hours, Figure) == (share.value < 1.05)
    assert heat.warm_up_hours == NEVER_WARM or value(heat.warm_up_hours) < 240 * 3600


@pytest.mark.usefixtures("foam")
@pytest.mark.parametrize(
    ("probe", "watts", "swing"),
    [
        ("egg box medium", 15, 0.5),
        ("egg box medium", 30, 0.7),
        ("egg box medium", 60, 1.1),
        ("air", 15, 0.1),
        ("air", 30, 0.0),
    ],
)
def test_on_off_swing(probe: str, watts: int, swing: float) -> None:
    # Simulated in steps with the same nodes (see tests/formulas/heat/test_thermostat.py), band 0.3 K, room 20 °C, 29 °C: medium 28.7 to 29.2 with 15 W, 28.8 to
    # 29.5 with 30 W, 28.8 to 29.9 with 60 W; with the probe in the air 28.9 to 29.0 and steady. Ends are rounded to
    # 0.1 K: 0.1 K on the difference; the lid, a node more here, moves it by less than 0.05 K.
    changes = {
        **FULL,
        "control.switching_band": "0.3 °C",
        "control.probe.sits_in": probe,
        "heat.power": f"{watts} W",
    }
    found = forecast(changes).heat.swing
    assert value(found) == pytest.approx(swing, abs=0.15)


def test_proportional_control_hardly_swings() -> None:
    # Pulses of 10 s, by P D (1 - D) t/C = 30 x 0.29 x 0.71 x 10/1200, leave 0.05 K in the air and nothing in the medium.
    swing = forecast({"control.thermostat": "pulse"}).heat.swing
    assert isinstance(swing, Figure)
    assert swing.value < 0.05 and swing.high <= 0.2
