"""Open trays, round boxes, mixtures, a water dish and two heaters in whole plans, worked by hand and by psychrolib."""

import math
from typing import Any

import pytest
import yaml
from scipy.optimize import brentq

from advisor.forecast.heat.setup import HeatSetup, heat_setup
from advisor.forecast.heat.tiers import solve
from advisor.formulas.heat.box_geometry import geometry_of, outer_faces
from advisor.model.figures import Unknown
from advisor.rules.engine import Situation
from tests.changes import changed
from tests.forecast.water_plans import box_with, figure, model_with, situation_with
from tests.formulas.air.test_outer_vapour import density_at
from tests.support import ROOT, situation_of

BOX, MEDIUM = "egg_boxes[0]", "egg_boxes[0].medium"
OPEN = {f"{BOX}.lid": "none"}
SPEED = 9.4e-4  # m/s at 1 W/(m2 K): Chilton-Colburn, worked in the facts of formulas.heat.convection
HALF_PERLITE = {f"{MEDIUM}.mixed_with": {"material": "perlite", "share": "50 %"}}


def sound(name: str, **changes: Any) -> Situation:
    plan = yaml.load((ROOT / f"tests/setups/sound/{name}.yaml").read_text("utf-8"), Loader=yaml.BaseLoader)
    for path, value in changes.items():
        plan = changed(plan, path.replace("__", "."), value)
    return situation_of(plan)


def test_humidity_over_a_bath_is_psychrolibs_balance_of_all_faces() -> None:
    """Bath and trays give, walls and lids take, leak and foam trade with the room: all at the solved temperatures."""
    situation = sound("open-trays-over-bath")
    setup = heat_setup(situation.plan)
    assert isinstance(setup, HeatSetup)
    state = solve(setup, {})
    geometry = geometry_of(setup.base)
    at = dict(zip(geometry.names, state.temperatures, strict=True))
    faces = [
        (area, at[name], name in ("heater", "lower lid")) for name, area in outer_faces(setup.base, geometry)
    ]
    # 55 x 35 x 30 cm: 0.2 changes an hour; extruded foam of 40 mm, factor 150: 1.95e-10/150 x shape x 461.5 T.
    shape = (2 * (0.55 * 0.35 + 0.55 * 0.30 + 0.35 * 0.30)) / 0.04 + 0.54 * 4 * 1.2 + 8 * 0.15 * 0.04
    leak = 0.05775 * 0.2 / 3600 + 1.95e-10 / 150 * shape * 461.5 * (273.15 + state.lower.beside)
    room = density_at(21.0, 0.5)

    def surplus(density: float) -> float:
        gained = 0.0
        for area, temperature, wet in faces:
            step = density_at(temperature, 1.0) - density
            gained += 2.5 * SPEED * area * (step if wet else min(step, 0.0))
        return gained - leak * (density - room)

    density = brentq(surplus, room, density_at(35.0, 1.0))
    told = situation.forecast.heat.outer_humidity
    # Told at the set point of 28 °C; psychrolib's air of the trays' temperature holds 0.5 % more at most.
    pressure = density * 461.5 * (273.15 + state.lower.beside)
    assert figure(told).value == pytest.approx(
        pressure / 3782.2, rel=0.01
    )  # saturation at 28 °C, Hyland-Wexler
    settles = sum(
        2.5 * SPEED * area * max(density - density_at(t, 1.0), 0.0) for area, t, wet in faces if not wet
    )
    assert figure(situation.forecast.heat.outer_condensation).value == pytest.approx(settles, rel=0.1)


def test_open_tray_loses_what_a_film_carries_off() -> None:
    """28 x 10^-3 m2 at 28 °C, water free; 20 °C and 50 % in the room are 31 % at 28 °C (1169 of 3782 Pa)."""
    dry = density_at(28.0, 1.0) - density_at(28.0, 0.5 * 2338.8 / 3782.2)
    loss = figure(box_with(OPEN).water.water_loss)
    assert loss.value == pytest.approx(0.028 * 1.5 * SPEED * dry, rel=0.02)
    assert loss.low < loss.value / 2 and loss.high > 1.5 * loss.value


def test_open_tray_breathes_freely_and_has_nothing_of_a_lid() -> None:
    box = box_with(OPEN)
    assert figure(box.air.oxygen_lowest).low > 0.205
    assert isinstance(box.air.holes_enough, Unknown) and not box.air.holes_enough.needs
    assert figure(box.water.opening_loss).value == 0.0
    trays = sound("open-trays-over-bath").forecast.egg_boxes[0].heat
    for result in (trays.lid_minus_medium, trays.condensation, trays.condensation_if_lid_heated):
        assert isinstance(result, Unknown) and not result.needs


def test_trays_and_lids_in_one_layer_are_not_guessed() -> None:
    lid = {"fit": "clip", "thickness": "1 mm", "holes": "none"}
    heat = sound("open-trays-over-bath", **{"egg_boxes[1]__lid": lid}).forecast.heat
    assert isinstance(heat.watts_needed, Unknown) and not heat.watts_needed.needs


def test_open_trays_need_the_humidity_of_the_room() -> None:
    heat = sound("open-trays-over-bath", room__humidity=None).forecast.heat
    assert isinstance(heat.watts_needed, Unknown) and heat.watts_needed.needs == ("room.humidity",)


def test_jar_holds_the_medium_of_a_circle_and_leaks_round_its_rim() -> None:
    """A jar of 14 cm: pi/4 of the box of 14 x 14 cm in medium, its rim pi x 14 cm in place of 4 x 14 cm."""
    sides = {f"{BOX}.inside": "14 x 14 x 9 cm"}
    jar, box = model_with({**sides, f"{BOX}.shape": "round"}), model_with(sides)
    assert jar.contents.volume == pytest.approx(math.pi / 4 * 0.14**2 * 0.05)
    assert jar.vents.perimeter / box.vents.perimeter == pytest.approx(math.pi / 4)
    assert figure(box_with({**sides, f"{BOX}.shape": "round"}).places_for_eggs).value < (
        figure(box_with(sides).places_for_eggs).value
    )


def test_half_perlite_weighs_and_holds_as_its_halves() -> None:
    """1.4 litres: 0.7 of 78 g and 0.7 of 100 g are 125 g. By 4:1 350 ml of water: 2.81 g/g."""
    model, box = model_with(HALF_PERLITE), box_with(HALF_PERLITE)
    assert model.contents.dry_mass.typical == pytest.approx(0.1246, rel=1e-3)
    assert figure(box.water.water_per_dry_mass).value == pytest.approx(0.35 / 0.1246, rel=1e-3)
    # It holds 0.276 litre a litre (78 g x 3.5 g/g = 273 ml, and 280 ml): 386 ml, so that all 350 are held.
    assert figure(box.water.free_water).value == 0.0
    assert isinstance(box.water.water_potential, Unknown)
    assert "vermiculite with perlite" in box.water.water_potential.reason


def test_a_litre_that_was_weighed_stands_for_the_mixture() -> None:
    model = model_with({**HALF_PERLITE, f"{MEDIUM}.litre_mass": "90 g"})
    assert model.contents.dry_mass.low == model.contents.dry_mass.high == pytest.approx(0.126)


def test_mixture_with_a_medium_of_unknown_density_is_not_judged() -> None:
    water = box_with({f"{MEDIUM}.mixed_with": {"material": "coconut fibre", "share": "50 %"}}).water
    assert isinstance(water.water_per_dry_mass, Unknown)
    assert water.water_per_dry_mass.needs == (f"{MEDIUM}.litre_mass",)


def test_a_dish_of_water_moistens_the_air() -> None:
    dry = sound("corn-snake-spare-room").forecast.heat.outer_humidity
    damp = [
        sound("corn-snake-spare-room", outer_box__water_dish=size).forecast.heat.outer_humidity
        for size in ("8 x 8 cm", "20 x 10 cm")
    ]
    values = [figure(one).value for one in (dry, *damp)]
    assert values == sorted(values) and values[-1] > values[0] + 0.05


def test_watts_of_a_second_heater_count_with_the_first() -> None:
    situation = sound("both-sides")
    assert situation.plan.heat.power == pytest.approx(17.0)
    assert situation.plan.heat.floor_share == pytest.approx(5 / 17)
    heat = situation.forecast.heat
    assert figure(heat.power_share).value == pytest.approx(figure(heat.watts_needed).value / 17.0)


def test_probe_in_water_without_a_bath_leaves_the_heat_open() -> None:
    heat = sound("corn-snake-spare-room", control__probe__sits_in="water").forecast.heat
    assert isinstance(heat.watts_needed, Unknown) and "no water bath" in heat.watts_needed.reason


def test_eggs_over_a_bath_that_holds_the_probe_are_cooler_in_every_plan_of_it() -> None:
    for set_to in ("26 °C", "28.5 °C", "30 °C"):
        situation = sound("bath-probe-in-water", control__set_to=set_to)
        medium = figure(situation.forecast.egg_boxes[0].heat.medium_temperature)
        assert medium.value < float(set_to.split()[0]) - 0.3
        assert medium.low < medium.value < medium.high
        (way,) = situation.forecast.clutches[0].warmth.ways
        assert way.value < -0.3  # days, sexes and limits are told for the cooler eggs


def test_a_box_with_corners_is_the_usual_one() -> None:
    assert situation_with({f"{BOX}.shape": "rectangular"}).forecast == situation_with({}).forecast
