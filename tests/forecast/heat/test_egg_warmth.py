"""Which layer the probe and the eggs are in, and what that does to the eggs' temperature, days and sexes."""

import copy
import math
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import yaml

from advisor.forecast.clutch.days_and_sexes import thermostat_error
from advisor.forecast.clutch.evidence import incubation_length, share_model
from advisor.forecast.heat.egg_warmth import AIR_OFF, eggs_held_at
from advisor.forecast.heat.steady import forecast_heat
from advisor.formulas.numerics.no_data import NoData
from advisor.formulas.sexes.male_share import male_share_at
from advisor.model.figures import Figure, Result, Unknown
from advisor.rules.engine import Situation
from tests.changes import changed
from tests.forecast.boxes import fragment_with
from tests.support import ROOT, situation_of

SOUND = sorted((ROOT / "tests" / "setups" / "sound").glob("*.yaml"))
SLIDER = "trachemys-scripta"  # both sexes and days are known from 25 to 33 °C


def situation(
    eggs: str, probe: str, place: str = "lid", sits_in: str = "probe box medium", room: str = "20 °C"
) -> Situation:
    """Two egg boxes and a probe box in the box of the heat references, layers as told."""
    plan: Any = fragment_with({"heat.place": place, "room.temperature": room, "control.set_to": "28.5 °C"})
    box = {**plan["egg_boxes"][0], "count": "2", "tier": eggs}
    plan = {
        **plan,
        "egg_boxes": [
            box,
            {**copy.deepcopy(box), "name": "probe", "holds": "probe", "count": "1", "tier": probe},
        ],
        "clutches": [{"species": SLIDER, "box": "eggs"}],
    }
    return situation_of(changed(plan, "control.probe.sits_in", sits_in))


def figure(found: Result) -> Figure:
    assert isinstance(found, Figure), found
    return found


@pytest.mark.parametrize(
    ("eggs", "probe", "signs"),
    [
        ("lower", "lower", [0]),
        ("upper", "upper", [0]),
        ("upper", "lower", [1]),
        ("lower", "upper", [-1]),
        ("two", "lower", [0, 1]),
        ("two", "upper", [0, -1]),
        ("lower", "two", [0, -1]),
        ("upper", "two", [0, 1]),
        ("two", "two", [0, 1, -1]),
        ("two", "one", [0, 1]),  # beside stacked boxes a single one stands below
        ("one", "one", [0]),
    ],
)
@pytest.mark.parametrize(("place", "warmer_above"), [("lid", 1), ("floor", -1)])
def test_eggs_are_off_by_the_whole_step_between_the_layers_when_the_probe_is_in_the_other(
    eggs: str, probe: str, signs: list[int], place: str, warmer_above: int
) -> None:
    found = situation(eggs, probe, place)
    warmth = found.forecast.clutches[0].warmth
    # The step is that of the box with the probe below (+) or above (-): the rises differ, and the steps go with them.
    offsets = forecast_heat(found.plan, found.species).tier_offsets
    step = {0: 0.0}
    if offsets.probe_upper:
        step = {0: 0.0, 1: figure(offsets.probe_lower[1]).value, -1: figure(offsets.probe_upper[0]).value}
        assert step[1] * warmer_above > 0.0 > step[-1] * warmer_above
    assert sorted(way.value for way in warmth.ways) == pytest.approx(
        sorted(step[sign] for sign in signs), abs=1e-6
    )
    assert bool(warmth.missing) == (len(signs) > 1)


def test_the_likeliest_way_stands_first_and_is_a_peak() -> None:
    found = situation("two", "two")
    ways = found.forecast.clutches[0].warmth.ways
    medium = figure(found.forecast.egg_boxes[0].heat.medium_temperature)
    assert ways[0].value == 0.0
    assert medium.value in [28.5 + way.value for way in ways]
    assert all(medium.low < 28.5 + way.value < medium.high for way in ways)
    assert "in the layer of the probe" in medium.basis and "probe in the lower one" in medium.basis


def test_a_probe_in_the_only_box_feels_what_the_eggs_feel() -> None:
    plan: Any = fragment_with({"egg_boxes[0].count": "1", "egg_boxes[0].tier": "one"})
    (way,) = situation_of(plan).forecast.clutches[0].warmth.ways
    assert (way.value, way.low, way.high) == pytest.approx((0.0, 0.0, 0.0), abs=1e-6)


def test_without_a_heat_forecast_there_is_no_way_and_it_is_said_what_is_missing() -> None:
    plan: Any = fragment_with({"heat.place": None})
    warmth = situation_of(plan).forecast.clutches[0].warmth
    assert warmth.ways == () and "heat.place" in warmth.missing


# --- Draws: nature picks the layers, the step between them, the thermostat's error and the place in a layer ---

# Layers of eggs and probe as the plan has them, and those that nature may pick.
CASES = [
    ("lower", "lower"),
    ("upper", "lower"),
    ("lower", "upper"),
    ("upper", "two"),
    ("two", "lower"),
    ("two", "two"),
]
DRAWS = 200


def possible(word: str) -> tuple[str, ...]:
    return ("lower", "upper") if word == "two" else (word,)


@pytest.mark.parametrize(("eggs", "probe"), CASES)
@pytest.mark.parametrize("place", ["lid", "floor"])
def test_the_printed_ranges_hold_at_least_nine_of_ten_draws(eggs: str, probe: str, place: str) -> None:
    found = situation(eggs, probe, place, room="24 °C")
    forecast, species = found.forecast, found.species[SLIDER]
    clutch, error = forecast.clutches[0], thermostat_error(found.plan.control)
    draw, stacked = np.random.default_rng(11), {eggs, probe} != {"lower"}
    step = figure(forecast.heat.spread)
    upward = 1 if place == "lid" else -1
    ranges = [
        figure(forecast.egg_boxes[0].heat.medium_temperature),
        figure(clutch.incubation_days),
        figure(clutch.male_share),
    ]
    held = np.zeros(3)
    for _ in range(DRAWS):
        normal = draw.normal() / 1.96
        between = step.value + normal * (step.high - step.value if normal > 0 else step.value - step.low)
        layers = [draw.choice(possible(word)) for word in (eggs, probe)]
        sign = (layers[0] == "upper") - (layers[1] == "upper")
        # A box of a layer scatters by a quarter of the usual 0.4 K; the difference of two by 2^0.5 times that.
        beside = draw.normal(0.0, 0.1 * math.sqrt(2))
        at = 28.5 + draw.normal(0.0, error) + (upward * sign * between if stacked else 0.0) + beside
        days, share = incubation_length(species, round(at, 2), 0.0), male_share_at(share_model(species), at)
        assert not isinstance(days, NoData) and not isinstance(share, NoData)
        half = math.log(days.high / days.days) / 1.96
        truth = [at, days.days * math.exp(draw.normal() * half), draw.beta(share.a, share.b)]
        held += [one.low - 1e-6 <= value <= one.high + 1e-6 for one, value in zip(ranges, truth, strict=True)]
    assert all(held >= 0.9 * DRAWS), held / DRAWS


def test_unknown_layers_leave_no_days_where_one_of_them_has_no_data() -> None:
    # Nobody counted sliders' days near 20 °C; the rule on data says at which temperature and in which layer.
    found = situation_of(
        changed(
            {**fragment_with({"control.set_to": "33 °C"}), "clutches": [{"species": SLIDER, "box": "eggs"}]},
            "room.temperature",
            "10 °C",
        )
    )
    assert isinstance(found.forecast.clutches[0].incubation_days, Unknown)


def with_probe(path: Path, place: str) -> Situation:
    data = yaml.load(path.read_text("utf-8"), Loader=yaml.BaseLoader)
    data["control"]["probe"] = {**data["control"].get("probe", {}), "sits_in": place}
    return situation_of(data)


@pytest.mark.parametrize("place", ["air", "water", "probe box medium"])
@pytest.mark.parametrize("path", SOUND, ids=[path.stem for path in SOUND])
def test_what_rules_take_for_the_eggs_is_what_the_report_tells_of_the_medium(path: Path, place: str) -> None:
    """Wherever the probe sits, in one layer: within what the air beside a medium is off in any box."""
    found = with_probe(path, place)
    control, boxes = found.plan.control, zip(found.plan.egg_boxes, found.forecast.egg_boxes, strict=True)
    media = {box.name: forecast.heat.medium_temperature for box, forecast in boxes if not box.stacked}
    for clutch, forecast in zip(found.plan.clutches, found.forecast.clutches, strict=True):
        medium, held = media.get(clutch.box or ""), eggs_held_at(control, forecast.warmth)
        if isinstance(medium, Figure) and held is not None:
            assert held == pytest.approx(medium.value, abs=AIR_OFF + 1e-6)


def test_a_programme_over_a_bath_goes_through_what_the_eggs_have() -> None:
    """Held by steps that are all alike, the eggs have what they have at that one set point."""
    path = next(path for path in SOUND if path.stem == "bath-probe-in-water")
    data = yaml.load(path.read_text("utf-8"), Loader=yaml.BaseLoader)
    steady = situation_of(data)
    at = data["control"].pop("set_to")
    data["control"]["programme"] = {
        "steps": [{"from_day": "0", "set_to": at}, {"from_day": "20", "set_to": at}]
    }
    found = situation_of(data)
    programme = found.forecast.clutches[0].programme
    held = eggs_held_at(steady.plan.control, steady.forecast.clutches[0].warmth)
    assert programme is not None and steady.plan.control.set_to is not None and held is not None
    assert [step.mean for step in programme.steps] == pytest.approx([held, held])
    assert abs(held - steady.plan.control.set_to) > AIR_OFF  # or the test could not fail
