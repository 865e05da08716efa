"""How vapour moves in the moist air of a heated box: from a bath and open trays, to cool surfaces, and into the room."""

from collections.abc import Iterator

from advisor.formulas.heat.box_geometry import Geometry, outer_faces
from advisor.formulas.heat.box_setup import BoxSetup, has_moist_air, is_water_bath, open_tiers
from advisor.formulas.heat.convection import forced_film, vapour_transfer_coefficient
from advisor.formulas.heat.fresh_air import fresh_air
from advisor.formulas.heat.heat_balance import VapourLeak, VapourPath

_WATER_BATH_FILM = 2.5  # W/(m2 K), convection that carries the vapour over a water bath; judgement
# the same where open trays alone give it off: they are hardly warmer than the air; judgement
_TRAY_FILM = 1.5
_STREAM = 0.3  # m, length along which a fan's air streams over trays, water and walls; judgement


def wet_faces(setup: BoxSetup) -> tuple[str, ...]:
    """Nodes from which water evaporates into the outer box. setup: the box. Result: names."""
    bath = ("heater",) if is_water_bath(setup) else ()
    return (*bath, *(f"{tier} lid" for tier in open_tiers(setup)))


def vapour_paths(setup: BoxSetup, geometry: Geometry) -> Iterator[VapourPath]:
    """From every wet face to the air, and from the air to every surface below its dew point.

    setup: the box; its geometry. Result: paths, none without moist air. A fan carries at least as much as it does along
    0.3 m. Reference: `convection.vapour_transfer_coefficient`, `convection.forced_film`.
    """
    if not has_moist_air(setup):
        return
    still = _WATER_BATH_FILM if is_water_bath(setup) else _TRAY_FILM
    film = max(still, forced_film(setup.uncertain.air_speed, _STREAM))
    speed = setup.uncertain.convection_factor * vapour_transfer_coefficient(film)
    faces, dew = dict(outer_faces(setup, geometry)), geometry.names.index("dew point")
    wet = wet_faces(setup)
    for name in wet:
        yield VapourPath(geometry.names.index(name), dew, faces.pop(name), speed, True)
    for name, area in faces.items():
        yield VapourPath(dew, geometry.names.index(name), area, speed, False)


def vapour_leak(setup: BoxSetup, geometry: Geometry) -> VapourLeak | None:
    """What open trays lose to the room; None without them: over a bath alone hardly any heat goes that way.

    setup: the box; its geometry. Reference: the exchange and the room's vapour of the set-up, `fresh_air`.
    """
    if not open_tiers(setup):
        return None
    exchange = setup.vapour_exchange * setup.uncertain.vapour_exchange + fresh_air(setup)
    return VapourLeak(geometry.names.index("dew point"), exchange, setup.room_vapour)
