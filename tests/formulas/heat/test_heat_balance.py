"""The solver against scipy, hand calculations and numerical slopes."""

import numpy
import pytest
from msgspec.structs import replace
from scipy.optimize import root

from advisor.formulas.air.moist_air import saturation_vapour_density
from advisor.formulas.heat import convection, heat_balance
from advisor.formulas.heat.box_geometry import geometry_of
from advisor.formulas.heat.box_links import build_network
from advisor.formulas.heat.box_network import probe_of
from advisor.formulas.heat.box_setup import BoxSetup, EggBoxes
from advisor.formulas.heat.headspace import Headspace, layer_heat, side_condensation
from advisor.formulas.heat.heat_balance import (
    AirLayers,
    Film,
    Gap,
    HeatNetwork,
    HeldProbe,
    NoSteadyState,
    Plume,
    VapourPath,
)
from advisor.formulas.heat.insulated_box import BoxSize
from tests.referees.latent_heat import latent_heat

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
        given=(0.0, 0.0, 0.0),
        exchange=((), (), ()),
        films=(),
        gaps=(),
        air_layers=(AirLayers(1, 2, 3.0, 0.3),),
        plumes=(),
        headspaces=(),
        vapour_paths=(),
        geometry=geometry_of(LID_HEAT),
    )


def test_two_resistances_in_a_row() -> None:
    # Hand calculation: 6 W over 2 and 1 W/K: 3 K and 6 K above a room of 20 °C. Linear, so only rounding
    # remains.
    temperatures, power = heat_balance.solve_balance(two_walls(2.0, 1.0), 20.0, [20.0] * 3, 6.0)
    assert power == 6.0
    assert temperatures == pytest.approx([29.0, 26.0, 26.0], abs=1e-9)


def test_power_for_a_held_node() -> None:
    # The same by hand, the other way round: the air at 26 °C needs 6 W.
    temperatures, power = heat_balance.solve_balance(
        two_walls(2.0, 1.0), 20.0, [20.0] * 3, 1.0, HeldProbe(((1, 1.0),), 26.0)
    )
    assert power == pytest.approx(6.0, abs=1e-9)
    assert temperatures[0] == pytest.approx(29.0, abs=1e-9)


def test_one_film_by_hand() -> None:
    # h = 0.5 + 2 dT^0.25, behind 0.1 m2 K/W, 0.3 m2: at 16 K h = 4.5, so 0.3 x 16/(1/4.5 + 0.1) = 14.90 W.
    network = replace(
        two_walls(2.0, 1.0),
        matrix=((0.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 0.0)),
        to_room=(0.0, 1.0, 0.0),
        films=(Film(0, 1, 0.3, 0.5, 0.0, 2.0, 0.25, 1.0, 0.2, 0.1),),
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
        given=(0.0,) * 4,
        exchange=((),) * 4,
        vapour_paths=(VapourPath(0, 3, 0.2, 2e-3, True), VapourPath(3, 1, 0.2, 2e-3, False)),
    )
    t, _ = heat_balance.solve_balance(network, 20.0, [35.0, 25.0, 25.0, 30.0], 5.0)
    density = saturation_vapour_density
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
    probe = probe_of(setup, network.geometry)
    start = [29.0 + 0.1 * number for number in range(len(network.names))]
    temperatures, power = heat_balance.solve_balance(network, 20.0, start, 9.0, probe)

    def errors(unknown: numpy.ndarray) -> list[float]:
        *trial, heater = unknown
        flows, _ = heat_balance.balance(network, 20.0, trial)
        sums = [flow - heater * share for flow, share in zip(flows, network.sources, strict=True)]
        return [*sums, probe.off_target(trial)]

    found = root(errors, [value + 0.3 for value in temperatures] + [1.2 * power], method="hybr", tol=1e-12)
    # scipy stops at about 1e-9 of the unknowns; dew has a kink where it begins.
    assert power == pytest.approx(found.x[-1], rel=1e-6)
    assert temperatures == pytest.approx(list(found.x[:-1]), abs=1e-5)


def test_air_heated_from_below_mixes_and_from_above_only_conducts() -> None:
    network = two_walls(2.0, 1.0)
    for lower, upper, conductance in ((26.0, 25.0, 3.0), (25.0, 26.0, 0.3)):
        flows, slopes = heat_balance.balance(network, 20.0, [30.0, lower, upper])
        assert flows[2] == pytest.approx(-conductance * (lower - upper), abs=1e-12)
        assert slopes[2][2] == pytest.approx(conductance, abs=1e-12)


@pytest.mark.parametrize(("depth", "difference"), [(0.01, 0.1), (0.02, -3.0), (0.025, 10.0), (0.03, 20.0)])
def test_a_gap_is_a_layer_heated_from_below_or_above(depth: float, difference: float) -> None:
    # Nu x k/depth x area x difference, Nu 1 when the upper face is warmer; 1e-12 is rounding.
    rest = 0.06 * convection.AIR_CONDUCTIVITY / depth
    nusselt = convection.layer_nusselt(convection.rayleigh_number(max(difference, 0.0), depth))
    heat, slope = heat_balance._gap_heat(Gap(0, 1, rest, depth), difference)
    assert heat == pytest.approx(rest * nusselt * difference, rel=1e-12)
    step, _ = heat_balance._gap_heat(Gap(0, 1, rest, depth), difference + 1e-6)
    assert slope == pytest.approx((step - heat) / 1e-6, rel=1e-4)


def test_a_plume_carries_its_heat_to_the_top_and_as_much_air_sinks() -> None:
    # By hand: 1 W/K of film at 10 K gives 10 W, a current of 10/(0.4 x 10) = 2.5 W/K. Layers at 25, 26 and 28 °C: the
    # lowest receives 2.5 x (26 - 25) = 2.5 W, the next 2.5 x 2 = 5 W, the top 10 W and loses 2.5 x 3 = 7.5 W.
    network = replace(
        two_walls(0.0, 0.0),
        names=("heater", "air 0", "air 1", "air 2"),
        matrix=((0.0,) * 4,) * 4,
        exchange=((),) * 4,
        to_room=(0.0,) * 4,
        sources=(1.0, 0.0, 0.0, 0.0),
        given=(0.0,) * 4,
        air_layers=(),
        plumes=(Plume(0, (1, 2, 3), 1.0, 1.0, 0.0, 0.0, 0.25, 0.4),),
    )
    flows, _ = heat_balance.balance(network, 20.0, [35.0, 25.0, 26.0, 28.0])
    assert flows == pytest.approx([10.0, -2.5, -5.0, -10.0 + 7.5], abs=1e-12)
    assert sum(flows) == pytest.approx(0.0, abs=1e-12)
    # A heater that is cooler than its air has no plume, only its film.
    flows, _ = heat_balance.balance(network, 20.0, [20.0, 25.0, 26.0, 28.0])
    assert flows == pytest.approx([-5.0, 5.0, 0.0, 0.0], abs=1e-12)


def test_medium_and_lid_exchange_convection_and_dew() -> None:
    # By hand, 5 cm, 30 over 29 °C: convection 1.4, latent 5.1 W/(m2 K); radiation stands apart.
    space = Headspace(0, 1, 2, 3, 0.03, 0.035, 0.05, 0.0, 1.0)
    assert layer_heat(space, 30.0, 29.0) / 0.03 == pytest.approx(1.4 + 5.1, rel=0.02)
    # A warmer lid: still air, 0.0266/0.05 W/(m2 K).
    assert layer_heat(space, 29.0, 30.0) / 0.03 == pytest.approx(-0.532, rel=1e-3)


def test_heat_from_medium_to_lid_is_conduction_and_dew() -> None:
    # 1 cm and 0.2 K: the air stands still. Dew gives off its latent heat at the mean temperature.
    space = Headspace(0, 1, 2, 3, 0.06, 0.007, 0.01, 0.0, 1.0)
    dew = 0.06 * convection.layer_condensation(29.0, 28.8, 0.01)
    expected = 0.06 * convection.AIR_CONDUCTIVITY / 0.01 * 0.2 + dew * latent_heat(28.9)
    # 1e-4: a straight line stands for CoolProp's latent heat.
    assert layer_heat(space, 29.0, 28.8) == pytest.approx(expected, rel=1e-4)
    upside_down = 0.06 * convection.AIR_CONDUCTIVITY / 0.01 * -0.2
    assert layer_heat(space, 28.8, 29.0) == pytest.approx(upside_down, rel=1e-12)


def test_dew_on_the_sides_by_hand() -> None:
    # Warm lid, so diffusion alone crosses: 0.03 x 2.627e-5/0.05 = 1.576e-5 m3/s at 29.9 °C. Film on the side 1 K cooler:
    # Ra = 8.878e7 x 1.25e-4 = 1.110e4, Nu = 0.68 + 0.5148 x 10.26 = 5.96, h = 3.17, h_m = 2.99e-3 m/s x 0.035 m2/2.
    # Upper half at 28.9 °C, lower at (2 x 28.9 + 29.3)/3 = 29.03 °C; densities 30.185, 28.574 and 28.779 g/m3.
    space = Headspace(0, 1, 2, 3, 0.03, 0.035, 0.05, 0.0, 1.0)
    resistance = 1.0 / 1.576e-5 + 2.0 / (0.035 * 2.99e-3)
    expected = (30.185 - 28.574 + 30.185 - 28.779) * 1e-3 / resistance
    assert side_condensation(space, 29.9, 31.0, 28.9, 29.3) == pytest.approx(
        expected, rel=0.015
    )  # four figures by hand
    assert side_condensation(space, 29.9, 31.0, 30.0, 30.0) == 0.0


def test_far_first_guesses_lead_to_the_same_solution() -> None:
    network = build_network(SETUPS["floor"])
    probe = probe_of(SETUPS["floor"], network.geometry)
    ends = [
        heat_balance.solve_balance(network, 20.0, [level] * len(network.names), power, probe)
        for level, power in ((29.0, 9.0), (20.0, 0.0), (60.0, 200.0), (-10.0, 1.0))
    ]
    for temperatures, power in ends[1:]:
        assert power == pytest.approx(ends[0][1], rel=1e-6)
        assert temperatures == pytest.approx(ends[0][0], abs=1e-6)


def test_steps_that_do_not_settle_are_no_result(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(heat_balance, "_MOST_STEPS", 2)
    network = build_network(LID_HEAT)
    with pytest.raises(NoSteadyState, match="could not be solved"):
        heat_balance.solve_balance(network, 20.0, [20.0] * len(network.names), 500.0)
