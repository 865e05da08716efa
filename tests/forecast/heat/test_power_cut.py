"""Power cuts of whole plans: a referee with scipy's integrator, a computed 2-D cool-down, and what more or less of a thing does."""

import dataclasses
import math
import random
from collections.abc import Mapping

import pytest
from msgspec import structs

from advisor.forecast.heat import power_cut
from advisor.forecast.heat.egg_limits import bearing_of
from advisor.forecast.heat.power_cut import (
    COLD_ALREADY,
    NEVER,
    Cooling,
    forecast_litre,
    forecast_power_cut,
    power_cut_course,
    typical_hours_to_harm,
)
from advisor.forecast.heat.steady import HeatResults, forecast_heat
from advisor.forecast.heat.times import BOTTLE_SURFACE, Capacity, heat_capacity
from advisor.model.figures import Figure, Result, Unknown
from advisor.model.species import Limits, Species, Support
from advisor.reading.names import profile_files
from advisor.reading.species import load_species
from tests.forecast.boxes import plan_with
from tests.formulas.heat.test_warming_and_cooling import COOL_DOWN, WITH_BOTTLE, WITHOUT_BOTTLE
from tests.referees import cooling

CORN_SNAKE = load_species("pantherophis-guttatus")
HOUR = 3600.0
SPECIES = sorted(profile_files())


def harmed_below(celsius: float) -> Species:
    return structs.replace(
        CORN_SNAKE, harmful=Limits(celsius, None, Support(("judgement",), "common practice"))
    )


def forecast(changes: dict[str, str | None], species: Species = CORN_SNAKE) -> HeatResults:
    return forecast_heat(plan_with(changes), {species.id: species})


def figure(result: Result) -> Figure:
    assert isinstance(result, Figure), result
    return result


BOTTLES: dict[str, str | None] = {"power_cut.prepared": "water bottles"}


def test_heat_capacity_by_hand() -> None:
    # Vermiculite of 100 g a litre, 1:1 by mass: 4 boxes of 1.2 litres, 2590 J/(kg K). Outside of a box of 1 mm, 20.2 x 15.2 x
    # 9.2 cm: 0.1265 m2, of polypropylene (910 kg/m3, 1800 J/(kg K)). Shell: 0.070 kJ/K of air and half of 0.99 of foam.
    capacity = heat_capacity(plan_with({"egg_boxes[0].medium.litre_mass": "100 g"}))
    assert not isinstance(capacity, Unknown)
    assert capacity.egg_box_surface == pytest.approx(4 * 0.1265, rel=0.005)
    assert capacity.medium == pytest.approx(4 * (1.2 * 0.1 * 2 * 2590 + 0.1265 * 1.638e3), rel=0.005)
    assert capacity.box == pytest.approx(70 + 990 / 2, rel=0.01)
    assert (capacity.bottles, capacity.bottle_surface) == (0.0, 0.0)
    bottles = heat_capacity(plan_with({**BOTTLES, "power_cut.water": "2 L"}))
    assert not isinstance(bottles, Unknown)
    assert bottles.bottles == pytest.approx(2 * 4180, rel=0.005)
    assert bottles.bottle_surface == pytest.approx(0.10)  # of a 2-litre bottle


def test_a_bottle_has_the_surface_of_a_slim_cylinder() -> None:
    # Two litres, three times as high as wide: 2e-3 = pi/4 d² x 3 d, d = 9.5 cm; pi d x 3 d + pi/2 d² = 0.099 m2.
    diameter = (2e-3 / (0.75 * math.pi)) ** (1 / 3)
    assert pytest.approx(3.5 * math.pi * diameter**2, rel=0.03) == 2e-3 * BOTTLE_SURFACE


def drawn(draw: random.Random) -> tuple[dict[str, str | None], cooling.Box, float, float]:
    """A plan that somebody might build, the same for the referee, set point and room; uncertain factors drawn too."""
    wall = draw.choice(sorted(cooling.WALLS))
    thin = wall in ("plywood", "solid plastic")
    thickness = round(draw.uniform(8, 18) if thin else draw.uniform(20, 50), 1)
    inside = tuple(round(draw.uniform(*ends), 1) for ends in ((40, 80), (30, 50), (25, 45)))
    egg_box = tuple(round(draw.uniform(*ends), 1) for ends in ((10, 20), (8, 14), (7, 10)))
    count, depth = draw.randint(1, 6), round(draw.uniform(3, 5.5), 1)
    water = draw.choice((0.0, 0.0, round(draw.uniform(0.5, 8), 1)))
    set_to, room = round(draw.uniform(27, 31.5), 1), round(draw.uniform(5, 20), 1)
    changes: dict[str, str | None] = {
        "outer_box.inside": "{} x {} x {} cm".format(*inside),
        "outer_box.wall.material": wall,
        "outer_box.wall.thickness": f"{thickness} mm",
        "egg_boxes[0].inside": "{} x {} x {} cm".format(*egg_box),
        "egg_boxes[0].count": f"{count}",
        "egg_boxes[0].medium.depth": f"{depth} cm",
        "egg_boxes[0].medium.litre_mass": "100 g",
        "control.set_to": f"{set_to} °C",
        "room.temperature": f"{room} °C",
        "power_cut.prepared": "water bottles" if water else "nothing",
        "power_cut.water": f"{water} L" if water else None,
    }
    box = cooling.Box(
        inside=(inside[0] / 100, inside[1] / 100, inside[2] / 100),
        wall=wall,
        thickness=thickness / 1000,
        egg_boxes=count,
        egg_box=(egg_box[0] / 100, egg_box[1] / 100, egg_box[2] / 100),
        depth=depth / 100,
        water=water,
        to_egg_box=draw.triangular(3, 6, 5),
        to_bottle=draw.triangular(6, 10, 7.5),
        medium_factor=draw.triangular(0.75, 1.25, 1.0),
        loss_factor=draw.triangular(0.9, 1.1, 1.0),
    )
    return changes, box, set_to, room


DRAWS = [drawn(random.Random(20270411 + number)) for number in range(17)]


@pytest.mark.parametrize(("changes", "box", "set_to", "room"), DRAWS)
def test_the_range_holds_what_a_referee_computes(
    changes: dict[str, str | None], box: cooling.Box, set_to: float, room: float
) -> None:
    heat = forecast(changes, harmed_below(22.0)).heat
    lost, harm = figure(heat.hours_to_lose_3_K), figure(heat.hours_to_harm)
    assert lost.low / HOUR <= cooling.hours_until_below(box, set_to, room, set_to - 3) <= lost.high / HOUR
    referee = cooling.hours_until_harm(box, set_to, room, 22.0)
    assert harm.low / HOUR <= min(referee, 240.0) <= harm.high / HOUR
    # With the referee at typical values both are one model, put together twice: 3 % for the films and edges of the heat loss.
    typical = dataclasses.replace(box, to_egg_box=5.0, to_bottle=7.5, medium_factor=1.0, loss_factor=1.0)
    assert lost.value / HOUR == pytest.approx(
        cooling.hours_until_below(typical, set_to, room, set_to - 3), rel=0.03
    )


def test_the_draws_have_plans_with_and_without_bottles() -> None:
    assert 4 <= sum(box.water > 0 for _, box, _, _ in DRAWS) <= 13


@pytest.mark.parametrize(
    ("start", "bottles", "computed"), [(28.2, 26600.0, WITH_BOTTLE), (27.75, 0.0, WITHOUT_BOTTLE)]
)
def test_the_range_holds_the_box_computed_in_two_dimensions(
    start: float, bottles: float, computed: tuple[float, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    # The box and its lumps: tests/formulas/heat/test_warming_and_cooling.py. Heat loss known to 12 %, as for foam boxes.
    capacity = Capacity(7570.0, bottles, 2250.0, 0.5, 0.32 if bottles else 0.0)
    strip = Cooling(capacity, Figure(1.04, 0.92, 1.16, "conductance"), start, 17.0)
    monkeypatch.setattr(power_cut, "cooling_of", lambda plan, conductance: strip)
    for limit, hours in zip(COOL_DOWN, computed, strict=True):
        monkeypatch.setattr(power_cut, "LOST", start - limit)
        found = forecast_power_cut(plan_with(), {CORN_SNAKE.id: CORN_SNAKE}, strip.conductance)
        lost = figure(found["hours_to_lose_3_K"])
        assert lost.low / HOUR <= hours <= lost.high / HOUR, limit


def test_smaller_egg_boxes_hardly_change_the_hours_of_bottles(monkeypatch: pytest.MonkeyPatch) -> None:
    # One outer box and 4 litres, 28 to 22 °C and to harm: as one lump with its bottles the medium took 10.6 to 29.6 h, the
    # longer the smaller its box.
    monkeypatch.setattr(power_cut, "LOST", 6.0)
    water: dict[str, str | None] = {
        **BOTTLES, "power_cut.water": "4 L", "room.temperature": "17 °C", "control.set_to": "28 °C", "egg_boxes[0].count": "2",
    }  # fmt: skip
    hours = []
    for size in ("24 x 18 x 9 cm", "20 x 15 x 9 cm", "16 x 12 x 9 cm", "12 x 9 x 9 cm", "9 x 7 x 8 cm"):
        heat = forecast({**water, "egg_boxes[0].inside": size}, harmed_below(24.0)).heat
        hours.append((figure(heat.hours_to_lose_3_K).value, figure(heat.hours_to_harm).value))
    for column in zip(*hours, strict=True):
        assert max(column) < 4 / 3 * min(column)
        assert list(column) == sorted(column, reverse=True)


def test_more_of_what_stores_heat_gives_more_hours_and_more_loss_fewer() -> None:
    base: dict[str, str | None] = {**BOTTLES, "power_cut.water": "1 L", "room.temperature": "10 °C"}

    def hours(changes: Mapping[str, str]) -> tuple[float, ...]:
        heat = forecast({**base, **changes}).heat
        return tuple(
            figure(found).value
            for found in (heat.hours_to_lose_3_K, heat.hours_to_harm, heat.medium_after_12_h)
        )

    usual = hours({})
    for better in (
        {"power_cut.water": "3 L"},
        {"outer_box.wall.thickness": "50 mm"},
        {"room.temperature": "12 °C"},
    ):
        assert all(more > less for more, less in zip(hours(better), usual, strict=True)), better


def test_a_litre_adds_what_the_forecast_with_it_says() -> None:
    changes: dict[str, str | None] = {**BOTTLES, "power_cut.water": "1 L", "room.temperature": "10 °C"}
    plan, more = plan_with(changes), plan_with({**changes, "power_cut.water": "2 L"})
    species = {CORN_SNAKE.id: CORN_SNAKE}
    heat, fuller = forecast_heat(plan, species).heat, forecast_heat(more, species).heat
    litre = figure(forecast_litre(plan, species, heat.conductance))
    gained = figure(fuller.hours_to_harm).value - figure(heat.hours_to_harm).value
    assert litre.value == pytest.approx(gained, rel=1e-6)
    assert litre.low < litre.value < litre.high
    hours = typical_hours_to_harm(plan, CORN_SNAKE, heat.conductance)
    assert hours is not None and hours * HOUR == pytest.approx(figure(heat.hours_to_harm).value, rel=1e-6)


def test_where_no_harm_is_forecast_the_reason_is_told() -> None:
    warm = forecast({"room.temperature": "24 to 26 °C"}).heat
    assert warm.hours_to_harm == NEVER
    litre = forecast_litre(
        plan_with({"room.temperature": "24 to 26 °C"}), {CORN_SNAKE.id: CORN_SNAKE}, warm.conductance
    )
    assert isinstance(litre, Unknown) and "does not take the eggs" in litre.reason
    assert (
        forecast({"control.set_to": "21 °C", "room.temperature": "15 °C"}).heat.hours_to_harm == COLD_ALREADY
    )
    close = forecast({"room.temperature": "27 to 28 °C"}).heat
    assert isinstance(close.hours_to_lose_3_K, Unknown)
    assert figure(close.medium_after_12_h).value >= 27.0


def test_hours_are_told_no_longer_than_ten_days() -> None:
    # At 20.5 °C a colubrid whose harm starts at 22 °C bears 10 days, known to a factor of two.
    harm = figure(forecast({"room.temperature": "20.5 °C"}, harmed_below(22.0)).heat.hours_to_harm)
    assert harm.value == harm.high == 240 * HOUR
    assert 100 * HOUR < harm.low < 240 * HOUR
    assert harm.basis.endswith("followed for 10 days at most")


def test_the_species_that_comes_to_harm_first_decides() -> None:
    changes: dict[str, str | None] = {"room.temperature": "12 °C"}
    python = load_species("python-regius")
    plan = plan_with({**changes, "control.set_to": "31 °C"})
    loss = forecast_heat(plan, {CORN_SNAKE.id: CORN_SNAKE}).heat.conductance
    one, other, both = (
        figure(forecast_power_cut(plan, {entry.id: entry for entry in profiles}, loss)["hours_to_harm"]).value
        for profiles in ((CORN_SNAKE,), (python,), (CORN_SNAKE, python))
    )
    assert other < one
    assert both == other


def test_the_climate_of_the_profile_decides_and_an_unknown_one_counts_as_tropical() -> None:
    climate = CORN_SNAKE.climate
    assert climate is not None and climate.kind == "temperate"
    assert bearing_of(CORN_SNAKE).temperate
    for other in (structs.replace(climate, kind="tropical"), None):
        assert not bearing_of(structs.replace(CORN_SNAKE, climate=other)).temperate


@pytest.mark.parametrize("name", SPECIES)
def test_a_night_in_a_heated_home_harms_no_species(name: str) -> None:
    # 12 h in a room of 17 °C without bottles, from the middle of the aim: no harm is known for any.
    profile = load_species(name)
    aim = profile.aim or profile.tolerated
    if aim is None or bearing_of(profile).cold is None:
        pytest.skip("the profile tells no limit")
    changes: dict[str, str | None] = {
        "room.temperature": "17 °C",
        "control.set_to": f"{(aim.low + aim.high) / 2} °C",
    }
    harm = forecast(changes, profile).heat.hours_to_harm
    assert harm == NEVER or figure(harm).low > 12 * HOUR


def test_a_bath_is_not_guessed() -> None:
    heat = forecast({"heat.source": "water bath", "heat.place": "in water", "heat.size": None}).heat
    for result in (heat.hours_to_harm, heat.hours_to_lose_3_K, heat.medium_after_12_h):
        assert isinstance(result, Unknown)
        assert "water of the bath" in result.reason


def test_figures_are_finite_and_in_order() -> None:
    for changes, *_ in DRAWS:
        heat = forecast(changes).heat
        for result in (heat.hours_to_harm, heat.hours_to_lose_3_K, heat.medium_after_12_h):
            found = figure(result)
            assert math.isfinite(found.value) and found.low <= found.value <= found.high


@pytest.mark.parametrize(
    "changes", [{}, {**BOTTLES, "power_cut.water": "2 L"}, {"room.temperature": "35 °C"}]
)
def test_the_course_on_paper_is_told_at_whole_hours_of_two_days_and_passes_through_the_figures(
    changes: dict[str, str | None],
) -> None:
    plan, heat = plan_with(changes), forecast(changes).heat
    course = power_cut_course(plan, heat.conductance)
    assert isinstance(course, tuple)
    hours = [hour for hour, _ in course]
    assert hours == sorted({float(round(hour)) for hour in hours}) and (hours[0], hours[-1]) == (0.0, 48.0)
    told, night = dict(course), figure(heat.medium_after_12_h)
    begin, noon = told[0.0], told[12.0]
    assert begin.value == begin.low == begin.high == plan.control.set_to
    assert (noon.value, noon.low, noon.high) == pytest.approx((night.value, night.low, night.high), rel=1e-9)
    room = plan.room.temperature
    assert room is not None
    away = [abs(one.value - room.low) for one in told.values()]
    assert away == sorted(away, reverse=True) and away[-1] > 0.0
