"""The solver against scipy, hand calculations and numerical slopes."""

from dataclasses import replace

import numpy
import pytest
from scipy.optimize import root

from advisor.physics import convection, heat_balance, moist_air
from advisor.physics.box_links import build_network
from advisor.physics.box_setup import BoxSetup, EggBoxes
from advisor.physics.foam_box import BoxSize
from advisor.physics.heat_balance import AirLayers, Film, Headspace, HeatNetwork, NoSteadyState, VapourPath

EGGS = EggBoxes(2, 0.20, 0.15, 0.09, 0.04)
LID_HEAT = BoxSetup(BoxSize(0.60, 0.40, 0.25), 0.03, 0.035, 20.0, 29.0, "mat", "lid", 0.12, EGGS, EGGS)
SETUPS = {
    "lid": LID_HEAT,
    "floor": replace(LID_HEAT, heat_place="floor"),
    "side": replace(LID_HEAT, heat_place="one side"),
    "bath": replace(LID_HEAT, heat_place="in water", heat_source="water bath", heater_area=0.24),
    "bulb": replace(LID_HEAT, heat_source="bulb", heater_area=0.015),
    "one tier": replace(LID_HEAT, upper=None, boxes_stand="on the floor", probe="air"),
}


def two_walls(conductance_1: float, conductance_2: float) -> HeatNetwork:
    """Heater - air - room in a row; the second air node hangs on by a constant link."""
    return HeatNetwork(
        names=("heater", "air", "other air"),
        matrix=(
            (conductance_1, -conductance_1, 0.0),
            (-conductance_1, conductance_1 + conductance_2, 0.0),
            (0.0, 0.0, 0.0),
        ),
        to_room=(0.0, conductance_2, 0.0),
        sources=(1.0, 0.0, 0.0),
        own_heat=(0.0, 0.0, 0.0),
        films=(),
        air_layers=AirLayers(1, 2, 0.24, 0.125, 1.0, 3.0, 0.3),
        headspaces=(),
        vapour_paths=(),
    )


def test_two_resistances_in_a_row() -> None:
    # Hand calculation: 6 W over 2 and 1 W/K: 3 K and 6 K above a room of 20 °C. Linear, so only rounding
    # remains.
    temperatures, power = heat_balance.solve_balance(two_walls(2.0, 1.0), 20.0, [20.0] * 3, 6.0)
    assert power == 6.0
    assert temperatures == pytest.approx([29.0, 26.0, 26.0], abs=1e-9)


def test_power_for_a_held_node() -> None:
    # The same by hand, the other way round: the air at 26 °C needs 6 W.
    temperatures, power = heat_balance.solve_balance(two_walls(2.0, 1.0), 20.0, [20.0] * 3, 1.0, 1, 26.0)
    assert power == pytest.approx(6.0, abs=1e-9)
    assert temperatures[0] == pytest.approx(29.0, abs=1e-9)


def test_one_film_by_hand() -> None:
    # h = 0.5 + 2 dT^0.25, behind 0.1 m2 K/W, 0.3 m2: at 16 K h = 4.5, so 0.3 x 16/(1/4.5 + 0.1) = 14.90 W.
    network = replace(
        two_walls(2.0, 1.0),
        matrix=((0.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 0.0)),
        to_room=(0.0, 1.0, 0.0),
        films=(Film(0, 1, 0.3, 0.5, 2.0, 0.25, 1.0, 0.2, 0.1),),
    )
    power = 0.3 * 16.0 / (1.0 / 4.5 + 0.1)
    temperatures, _ = heat_balance.solve_balance(network, 20.0, [40.0, 20.0, 20.0], power)
    assert temperatures[0] - temperatures[1] == pytest.approx(16.0, abs=1e-6)
    assert temperatures[1] == pytest.approx(20.0 + power, abs=1e-6)


def test_dew_point_between_water_and_a_cool_wall() -> None:
    # By hand: two equal paths in a row: the vapour density of the air lies half-way between water and wall.
    network = replace(
        two_walls(2.0, 1.0),
        names=("water", "wall", "other air", "dew point"),
        matrix=((0.0,) * 4, (0.0, 1.0, 0.0, 0.0), (0.0,) * 4, (0.0,) * 4),
        to_room=(0.0, 1.0, 0.0, 0.0),
        sources=(1.0, 0.0, 0.0, 0.0),
        own_heat=(0.0,) * 4,
        vapour_paths=(VapourPath(0, 3, 0.2, 2e-3, True), VapourPath(3, 1, 0.2, 2e-3, False)),
    )
    t, _ = heat_balance.solve_balance(network, 20.0, [35.0, 25.0, 25.0, 30.0], 5.0)
    density = heat_balance.saturation_vapour_density
    assert density(t[3]) == pytest.approx((density(t[0]) + density(t[1])) / 2.0, rel=1e-9)
    assert t[1] == pytest.approx(25.0, abs=1e-8)  # 5 W over 1 W/K


@pytest.mark.parametrize("name", list(SETUPS))
def test_slopes_are_those_of_the_flows(name: str) -> None:
    network = build_network(SETUPS[name])
    # Uneven temperatures on both sides of every link; no two alike.
    for seed in (1, 2, 3):
        random = numpy.random.default_rng(seed)
        temperatures = list(29.0 + 4.0 * random.standard_normal(len(network.names)))
        _, slopes = heat_balance.balance(network, 20.0, temperatures)
        for column in range(len(temperatures)):
            up, down = list(temperatures), list(temperatures)
            up[column] += 1e-5
            down[column] -= 1e-5
            higher, _ = heat_balance.balance(network, 20.0, up)
            lower, _ = heat_balance.balance(network, 20.0, down)
            numerical = [(a - b) / 2e-5 for a, b in zip(higher, lower, strict=True)]
            # The headspace has one-sided slopes of 0.1 mK: 1e-4 of its conductance, and more where a kink is
            # near.
            assert [row[column] for row in slopes] == pytest.approx(numerical, abs=2e-4, rel=1e-4)


@pytest.mark.parametrize("name", list(SETUPS))
def test_solution_is_scipys(name: str) -> None:
    setup = SETUPS[name]
    network = build_network(setup)
    probe = network.names.index(f"{setup.probe_tier} {setup.probe}")
    start = [29.0 + 0.1 * number for number in range(len(network.names))]
    temperatures, power = heat_balance.solve_balance(network, 20.0, start, 9.0, probe, 29.0)

    def errors(unknown):
        trial = list(unknown)
        heater, trial[probe] = trial[probe], 29.0
        flows, _ = heat_balance.balance(network, 20.0, trial)
        return [flow - heater * share for flow, share in zip(flows, network.sources, strict=True)]

    guess = [value + 0.3 for value in temperatures]
    guess[probe] = 1.2 * power
    found = root(errors, guess, method="hybr", tol=1e-12)
    expected = list(found.x)
    # scipy stops at about 1e-9 of the unknowns.
    assert power == pytest.approx(expected[probe], rel=1e-6)
    expected[probe] = 29.0
    assert temperatures == pytest.approx(expected, abs=1e-6)


def test_slopes_of_rolling_air() -> None:
    # With no least exchange the convection cells count: their slope against a difference of 2 mK.
    for difference in (0.005, 0.02, 0.3, 2.0):
        network = replace(two_walls(2.0, 1.0), air_layers=AirLayers(1, 2, 0.24, 0.125, 1.0, 0.01, 0.01))

        def flow(step: float, network: HeatNetwork = network, lower: float = 25.0 + difference) -> float:
            return heat_balance.balance(network, 20.0, [30.0, lower + step, 25.0])[0][2]

        _, slopes = heat_balance.balance(network, 20.0, [30.0, 25.0 + difference, 25.0])
        numerical = (flow(1e-4) - flow(-1e-4)) / 2e-4
        assert slopes[2][1] == pytest.approx(numerical, rel=1e-4)


def test_medium_and_lid_exchange_twelve_watts() -> None:
    # Derived by hand, 5 cm, 30 over 29 °C: radiation 5.3, convection 1.4, latent 5.1 W/(m2 K), about 12 in all.
    space = Headspace(0, 1, 0.03, 0.05, 5.3, 0.0, 1.0)
    assert heat_balance.headspace_heat(space, 30.0, 29.0) / 0.03 == pytest.approx(5.3 + 1.4 + 5.1, rel=0.02)
    # A warmer lid: still air, 0.0266/0.05 W/(m2 K), and radiation.
    assert heat_balance.headspace_heat(space, 29.0, 30.0) / 0.03 == pytest.approx(-(5.3 + 0.532), rel=1e-3)


def test_far_first_guesses_lead_to_the_same_solution() -> None:
    network = build_network(SETUPS["floor"])
    probe = network.names.index("lower medium")
    ends = [
        heat_balance.solve_balance(network, 20.0, [level] * len(network.names), power, probe, 29.0)
        for level, power in ((29.0, 9.0), (20.0, 0.0), (60.0, 200.0), (-10.0, 1.0))
    ]
    for temperatures, power in ends[1:]:
        # Steps stop at an imbalance of 1e-9 of the power.
        assert power == pytest.approx(ends[0][1], rel=1e-6)
        assert temperatures == pytest.approx(ends[0][0], abs=1e-6)


def test_steps_that_do_not_settle_are_no_result(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(heat_balance, "_MOST_STEPS", 2)
    network = build_network(LID_HEAT)
    with pytest.raises(NoSteadyState, match="could not be solved"):
        heat_balance.solve_balance(network, 20.0, [20.0] * len(network.names), 500.0)


@pytest.mark.parametrize(("depth", "difference"), [(0.01, 0.1), (0.125, 1.0), (0.2, 2.0)])
def test_heat_between_the_layers_of_air_is_that_of_a_layer_heated_from_below(
    depth: float, difference: float
) -> None:
    # Nu x k/depth x area x difference; the stirring of 0.01 W/K is smaller here. 1e-12 is rounding.
    layers = AirLayers(0, 1, 0.24, depth, 1.0, 0.01, 0.01)
    nusselt = convection.layer_nusselt(convection.rayleigh_number(difference, depth))
    expected = 0.24 * convection.AIR_CONDUCTIVITY / depth * nusselt * difference
    heat, _ = heat_balance._air_layers_heat(layers, difference)
    assert heat == pytest.approx(expected, rel=1e-12)


def test_heat_from_medium_to_lid_is_conduction_radiation_and_dew() -> None:
    # 1 cm and 0.2 K: the air stands still. Dew gives off its latent heat at the mean temperature.
    space = Headspace(0, 1, 0.06, 0.01, 5.1, 0.0, 1.0)
    dew = 0.06 * convection.layer_condensation(29.0, 28.8, 0.01)
    expected = 0.06 * (convection.AIR_CONDUCTIVITY / 0.01 + 5.1) * 0.2 + dew * moist_air.latent_heat(28.9)
    assert heat_balance.headspace_heat(space, 29.0, 28.8) == pytest.approx(expected, rel=1e-12)
    upside_down = 0.06 * (convection.AIR_CONDUCTIVITY / 0.01 + 5.1) * -0.2
    assert heat_balance.headspace_heat(space, 28.8, 29.0) == pytest.approx(upside_down, rel=1e-12)
