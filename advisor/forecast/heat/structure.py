"""What the heat network misses by its build, for each kind of heat."""

from msgspec import Struct
from msgspec.structs import astuple, replace

from advisor.formulas.heat.box_geometry import geometry_of
from advisor.formulas.heat.box_setup import POINT_SOURCES, BoxSetup, open_tiers


class Structure(Struct, frozen=True):
    """What the network misses by its build, against finite-volume models of whole boxes (tests/referees).

    watts: factor on the power and on the heater's rise; difference: factor on lid minus medium and on the spread; down,
    up: range of a difference as shares of it; least: the same at least, as a share of the rise over the room; lid_up:
    how much warmer an upper lid may be, as a share of that rise; watts_error, surface_down, surface_up: ranges as shares
    of power and of the heater's rise.
    """

    watts: float
    difference: float
    down: float
    up: float
    least: float = 0.0
    lid_up: float = 0.0
    watts_error: float = 0.05
    surface_down: float = 0.05
    surface_up: float = 0.10


STRUCTURES = {
    # At the same watts differences come out 5 to 20 % too small, and 1 to 8 % fewer watts do: both count at a set point.
    "lid": Structure(1.04, 1.1 * 1.04, 0.3, 0.3),
    # Differences between half and 1.7 of the computed ones; a lid may be 0.45 K off at a rise of 9 K.
    "floor": Structure(1.0, 1.0, 0.6, 0.7, least=0.05),
    # Lower lids 0.7 to 0.8 of the computed ones, spread 0.54; an upper lid came out with the wrong sign.
    "side": Structure(1.04, 1.1 * 1.04, 0.3, 0.8, lid_up=0.13),
    # Not computed: of lid and floor together the wider; baths, bulbs, emitters, trays, air that a fan moves 0.3 K in 9 K;
    # judgement.
    "both": Structure(1.02, 1.1 * 1.02, 0.6, 0.7, least=0.05),
    "rough": Structure(1.0, 1.0, 0.4, 0.4, least=0.033, watts_error=0.1, surface_down=0.15, surface_up=0.15),
}
# Under a mat close above the lids and narrower than they are, a lid came out at 0.7 of the computed rise. Where that
# begins, and the range then: judgement.
NARROW_MAT = 0.6  # share of the lids that lies under the mat
NARROW_GAP = 0.03  # m; judgement
UNDER_NARROW_MAT = 0.5  # share, how much more a lid may be warmer then; judgement


def structure_of(setup: BoxSetup) -> Structure:
    """What the network leaves open for this kind of heat; where two hold, the wider of each."""
    known = [STRUCTURES[name] for name in _kinds(setup)]
    widest = Structure(*(max(values) for values in zip(*map(astuple, known), strict=True)))
    return replace(widest, up=max(widest.up, UNDER_NARROW_MAT)) if _narrow_mat(setup) else widest


def _kinds(setup: BoxSetup) -> tuple[str, ...]:
    """What of the structures holds: of the place of a sheet, and of all that was not computed."""
    no_sheet = setup.heat_source in POINT_SOURCES or setup.heat_place == "in water"
    if no_sheet and not setup.floor_share:
        return ("rough",)
    place = setup.heat_place if setup.heat_place in ("lid", "floor") else "side"
    found = "both" if setup.floor_share else place
    return (found, "rough") if no_sheet or open_tiers(setup) or setup.uncertain.air_speed else (found,)


def _narrow_mat(setup: BoxSetup) -> bool:
    """Whether a mat on the lid hangs close over egg boxes and covers less than their lids."""
    if setup.heat_place != "lid":
        return False
    geometry = geometry_of(setup)
    lids = geometry.over_lids + geometry.heater_over_lids
    near = geometry.size[2] - geometry.tiers[-1].top < NARROW_GAP
    return near and 0.0 < geometry.heater_over_lids < NARROW_MAT * lids
