"""Open trays, a probe in the bath and heat from both sides in the steady network: balances, limits, random boxes."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from advisor.formulas.air.moist_air import NoSolution, saturation_vapour_density
from advisor.formulas.heat.box_links import build_network
from advisor.formulas.heat.box_network import BoxState, moved_states, state_at_power, state_at_set_point
from advisor.formulas.heat.box_setup import BoxSetup, OpenHoles
from advisor.formulas.heat.fresh_air import vents_flow
from advisor.formulas.heat.heat_balance import vapour_flow
from tests.formulas.air.test_outer_vapour import density_at
from tests.formulas.heat.books import books_of
from tests.formulas.heat.test_box_network import BATH, FLOOR_HEAT, LID_HEAT

ROOM_VAPOUR = density_at(20.0, 0.5)
ONE_LIDDED = replace(LID_HEAT, upper=None)
OPEN = replace(LID_HEAT.lower, is_open=True)
TRAYS = replace(ONE_LIDDED, lower=OPEN, vapour_exchange=2e-5, room_vapour=ROOM_VAPOUR)
TRAYS_OVER_BATH = replace(
    BATH, lower=OPEN, upper=None, probe="air", vapour_exchange=2e-5, room_vapour=ROOM_VAPOUR
)
few = settings(max_examples=25, deadline=None)


def flows_of(setup: BoxSetup, state: BoxState) -> tuple[float, float]:
    """What wet faces give to the air and what it settles elsewhere [kg/s]."""
    network = build_network(setup)
    t = state.temperatures
    given_, settled = (
        sum(
            vapour_flow(path, t[path.node], t[path.other])
            for path in network.vapour_paths
            if path.both_ways == wet
        )
        for wet in (True, False)
    )
    return given_, settled


@pytest.mark.parametrize("setup", [TRAYS, TRAYS_OVER_BATH], ids=["trays", "trays over a bath"])
def test_vapour_of_open_trays_is_balanced_by_psychrolibs_air(setup: BoxSetup) -> None:
    """What trays and bath give off settles or leaks: the leak done with psychrolib at the dew point that was found."""
    state = state_at_set_point(setup)
    books = books_of(setup, state)
    assert books.dew_point is not None
    given_, settled = flows_of(setup, state)
    leaks = 2e-5 * (density_at(books.dew_point, 1.0) - ROOM_VAPOUR)
    assert given_ == pytest.approx(settled + leaks, rel=5e-3)
    assert abs(books.residual) < 1e-6


@pytest.mark.parametrize("where", ["lid", "high and low", "low"])
@pytest.mark.parametrize("speed", [0.0, 0.3])
@pytest.mark.parametrize("setup", [TRAYS, TRAYS_OVER_BATH], ids=["trays", "trays over a bath"])
def test_vents_take_vapour_with_the_air_that_takes_heat(setup: BoxSetup, speed: float, where: str) -> None:
    """The air that passes the vents carries off vapour too, done with psychrolib; with a fan and without; no heat is lost."""
    vents = OpenHoles(4, 0.025, where)  # type: ignore[arg-type]
    known = replace(setup.uncertain, air_speed=speed, vent_factor=1.3)
    vented = replace(setup, vents=vents, uncertain=known, fan_power=2.0 if speed else 0.0)
    state = state_at_set_point(vented)
    books = books_of(vented, state)
    assert books.dew_point is not None
    through = 1.3 * vents_flow(vents, setup.inside.height, setup.wall_thickness, setup.set_point, setup.room)
    assert through > 2e-6
    given_, settled = flows_of(vented, state)
    leaks = (2e-5 + through) * (density_at(books.dew_point, 1.0) - ROOM_VAPOUR)
    assert given_ == pytest.approx(settled + leaks, rel=5e-3)
    assert abs(books.residual) < 1e-6
    without = replace(vented, vents=None)
    closed = state_at_set_point(without)
    damper = books_of(without, closed).dew_point
    assert damper is not None and books.dew_point < damper
    assert state.power > closed.power


def test_a_fan_dries_open_trays_in_a_vented_box() -> None:
    """Moving air takes more vapour off the medium: the air gets damper and more goes out with what leaves through the vents."""
    vented = replace(TRAYS, vents=OpenHoles(4, 0.025, "high and low"))
    speeds = (0.0, 0.3, 1.0)
    states = {
        speed: state_at_set_point(replace(vented, uncertain=replace(vented.uncertain, air_speed=speed)))
        for speed in speeds
    }
    lost = [flows_of(replace(vented, uncertain=replace(vented.uncertain, air_speed=speed)), state)[0]
            for speed, state in states.items()]  # fmt: skip
    assert lost[1] > 1.2 * lost[0]
    assert lost[2] > lost[1]


def test_an_open_tray_is_cooled_by_its_vapour_the_drier_the_air() -> None:
    """Between no vapour lost and a very leaky box; never below the dew point of the air."""
    flows = (0.0, 2e-5, 5e-5, 2e-4)
    setups = [replace(TRAYS, probe="air", vapour_exchange=flow) for flow in flows]
    states = [state_at_set_point(setup) for setup in setups]
    media = [state.lower.medium for state in states]
    assert media == sorted(media, reverse=True)
    assert media[0] - media[-1] > 0.5
    for setup, state in zip(setups, states, strict=True):
        dew_point = books_of(setup, state).dew_point
        assert dew_point is not None
        assert state.lower.surface > dew_point - 1e-6


def test_vapour_that_leaks_costs_watts() -> None:
    less, more = (state_at_set_point(replace(TRAYS, vapour_exchange=flow)) for flow in (1e-6, 5e-5))
    assert more.power > less.power + 0.3


def test_no_water_settles_on_a_lid_that_is_not_there() -> None:
    assert state_at_set_point(TRAYS).lower.condensation_per_box == 0.0
    assert state_at_set_point(TRAYS).lower.lid_minus_surface == pytest.approx(0.0, abs=0.05)


def test_probe_in_the_bath_holds_the_water_and_the_eggs_are_cooler() -> None:
    water = state_at_set_point(replace(BATH, probe="water"))
    assert water.heater == pytest.approx(29.0, abs=1e-6)
    assert water.lower.medium < 28.9
    # Held at the medium that it then has, the same box is the same box.
    again = state_at_set_point(replace(BATH, set_point=water.lower.medium))
    assert again.heater == pytest.approx(29.0, abs=0.02)
    assert again.power == pytest.approx(water.power, rel=2e-3)


def test_only_a_bath_has_water_for_a_probe() -> None:
    with pytest.raises(ValueError, match="probe"):
        state_at_set_point(replace(LID_HEAT, probe="water"))


def test_heat_from_both_sides_runs_from_lid_heat_to_floor_heat() -> None:
    """With all watts on a floor that is heated whole it is floor heat, with none lid heat; lid minus medium falls between."""
    floor = 0.6 * 0.4

    def at(share: float) -> BoxState:
        return state_at_set_point(
            replace(LID_HEAT, upper=None, floor_share=share, floor_heater_area=floor if share else 0.0)
        )

    steps = [at(share).lower.lid_minus_medium for share in (0.0, 0.25, 0.5, 0.75, 0.999)]
    assert steps == sorted(steps, reverse=True)
    whole = state_at_set_point(replace(FLOOR_HEAT, upper=None, heater_area=floor, heater_length=0.6))
    # The bare sheet in the lid still takes part in radiation, and its plumes are not those of a floor heater: to 15 %.
    assert at(0.999).power == pytest.approx(whole.power, rel=0.15)
    assert at(0.999).lower.lid_minus_medium < 0.0
    assert at(0.0) == state_at_set_point(replace(LID_HEAT, upper=None))


def test_a_small_sheet_on_the_floor_is_the_hotter_one() -> None:
    halves = replace(LID_HEAT, upper=None, floor_share=0.5, floor_heater_area=0.24)
    small = replace(halves, floor_heater_area=0.03)
    assert state_at_set_point(small).heater > state_at_set_point(halves).heater + 3.0


def test_a_second_heater_comes_with_one_in_the_lid() -> None:
    with pytest.raises(NoSolution, match="lid"):
        state_at_set_point(replace(FLOOR_HEAT, floor_share=0.5, floor_heater_area=0.1))


@few
@given(
    st.floats(0.0, 0.9), st.floats(0.02, 0.2), st.booleans(), st.floats(0.0, 5e-5), st.floats(14.0, 26.0),
    st.sampled_from(["medium", "air"]),
)  # fmt: skip
def test_random_boxes_balance(
    share: float, area: float, is_open: bool, exchange: float, room: float, probe: str
) -> None:
    setup = replace(
        LID_HEAT,
        room=room,
        upper=None,
        lower=replace(LID_HEAT.lower, is_open=is_open),
        floor_share=share,
        floor_heater_area=area,
        vapour_exchange=exchange,
        room_vapour=0.5 * saturation_vapour_density(room),
        probe=probe,
    )
    state = state_at_set_point(setup)
    assert abs(books_of(setup, state).residual) < 1e-5
    back = state_at_power(setup, state.power, state)
    assert back.lower.medium == pytest.approx(state.lower.medium, abs=1e-3)
    (moved,) = moved_states(setup, state, [replace(setup, room=room + 0.1)])
    solved = state_at_set_point(replace(setup, room=room + 0.1))
    assert moved.power == pytest.approx(solved.power, abs=0.02)
