"""Air in whole plans: the worked box with 15 eggs of 12 g, trade check values, draws of all inputs, missing entries."""

import numpy as np
import pytest

from advisor.eggs.oxygen import box_air, clutch_oxygen_use, peak_factors
from advisor.forecast.load import load_of
from advisor.forecast.vents_of import vents_of
from advisor.model.figures import Unknown
from advisor.physics.vents import carbon_dioxide_diffusivity, oxygen_diffusivity, vents_conductance
from tests.forecast.water_plans import (
    CHAMELEON,
    box_with,
    figure,
    findings_with,
    fragment_with,
    severities,
    situation_with,
)
from tests.support import situation_of

LID = "egg_boxes[0].lid"
# The worked box: 15 eggs of 12 g at 30 °C in a box with 1 m of rim; a species that has data at 30 °C.
WORKED = {
    "egg_boxes[0].inside": "30 x 20 x 9 cm",
    "control.set_to": "30 °C",
    "clutches[0].species": "testudo-hermanni",
    "clutches[0].eggs": "15",
    "clutches[0].egg_mass": "12 g",
}


def lid(fit: str, count: int, diameter: str = "2 mm") -> dict[str, object]:
    return {"fit": fit, "thickness": "1 mm", "holes": {"count": str(count), "diameter": diameter}}


@pytest.mark.parametrize(
    ("planned", "oxygen"),
    [
        (lid("gasket", 5), 0.1599),  # worked value g3
        (lid("clip", 5), 0.1907),  # worked value g4, a gap of 0.05 mm
        (lid("clip", 0), 0.179),  # the slot of 0.05 mm alone
        (lid("gasket", 9), 0.182),
        (lid("gasket", 3, "5 mm"), 0.184),
    ],
)
def test_worked_oxygen(planned: dict[str, object], oxygen: float) -> None:
    # The worked values take oxygen's diffusivity as 2.1e-5 m2/s; ours is 2 % lower (Fuller et al. 1966), which lowers
    # the oxygen by 2 % of what is missing to 20.95 %: 0.12 points at most. They are printed to 0.1 points.
    found = figure(box_with({**WORKED, LID: planned}).oxygen_lowest).value
    assert found == pytest.approx(oxygen, abs=0.0018)


@pytest.mark.parametrize(
    ("fit", "count", "carbon_dioxide"), [("gasket", 5, 0.047), ("clip", 5, 0.018), ("gasket", 9, 0.026)]
)
def test_worked_carbon_dioxide(fit: str, count: int, carbon_dioxide: float) -> None:
    # Worked with a respiratory quotient of 0.75 and without the carbon dioxide of fresh air (0.04 %); ours is 0.72: 5 %.
    found = figure(box_with({**WORKED, LID: lid(fit, count)}).carbon_dioxide_highest).value
    assert found == pytest.approx(carbon_dioxide, rel=0.05)


def test_worked_holes_for_a_tight_lid() -> None:
    # "For 18 % with a tight lid: 9 holes of 2 mm (6 to 14), or 3 of 5 mm."
    enough = figure(box_with({**WORKED, LID: lid("gasket", 5)}).holes_enough)
    assert (enough.value, enough.high) == (9, 14)
    # The low end is for eggs that breathe little under a gasket that leaks as the tightest clip lid: below 6.
    assert enough.low <= 6
    assert figure(box_with({**WORKED, LID: lid("gasket", 5, "5 mm")}).holes_enough).value == 3


@pytest.mark.parametrize("holes", [4, 5])
def test_t7_holes_and_a_clip_lid_pass_for_a_usual_clutch(holes: int) -> None:
    """common practice, no source"""
    found = severities(findings_with({LID: lid("clip", holes)}))
    assert set(found) <= {"air-short-of-oxygen-late"} and set(found.values()) <= {"note"}


def test_t7_a_gasketed_lid_without_holes_does_not() -> None:
    """common practice, no source"""
    no_holes = {LID: {"fit": "gasket", "thickness": "1 mm", "holes": "none"}}
    assert severities(findings_with(no_holes))["air-no-holes"] == "stop"
    assert figure(box_with(no_holes).oxygen_lowest).high < 0.16


def test_t7_a_large_late_clutch_under_a_gasket_is_told_how_many_holes_it_takes() -> None:
    """common practice, no source"""
    changes = {**WORKED, LID: lid("gasket", 5)}
    told = next(found for found in findings_with(changes) if found.rule == "air-short-of-oxygen-late")
    assert told.severity == "stop"
    assert "Make 9 holes of 2 mm" in told.remedy
    # That many are enough: the typical value is then above 18 %.
    repaired = {**WORKED, LID: lid("gasket", 9)}
    assert figure(box_with(repaired).oxygen_lowest).value >= 0.18
    assert severities(findings_with(repaired)).get("air-short-of-oxygen-late") in (None, "note", "watch")


@pytest.mark.parametrize("fit", ["gasket", "clip"])
@pytest.mark.parametrize("eggs", [10, 20, 30])
@pytest.mark.parametrize("diameter", ["1.5 mm", "2 mm", "4 mm"])
def test_the_holes_told_are_enough_and_one_less_is_not(fit: str, eggs: int, diameter: str) -> None:
    changes = {**WORKED, "clutches[0].eggs": str(eggs), LID: lid(fit, 1, diameter)}
    enough = round(figure(box_with(changes).holes_enough).value)
    assert figure(box_with({**changes, LID: lid(fit, enough, diameter)}).oxygen_lowest).value >= 0.18 - 1e-9
    if enough > 1:
        fewer = box_with({**changes, LID: lid(fit, enough - 1, diameter)})
        assert figure(fewer.oxygen_lowest).value < 0.18


def test_oxygen_falls_to_hatching_and_the_last_day_is_the_lowest() -> None:
    box = box_with(CHAMELEON)
    shares = [share for _, share in box.oxygen_by_day]
    assert shares == sorted(shares, reverse=True)
    assert shares[-1] == pytest.approx(figure(box.oxygen_lowest).value, abs=1e-9)
    # Until the middle demand is a quarter of the peak (worked values o3), so a quarter of the oxygen is missing.
    middle = dict(box.oxygen_by_day)[round(figure(box.oxygen_lowest_day).value / 2)]
    assert 0.2095 - middle == pytest.approx(0.246 * (0.2095 - shares[-1]), rel=0.02)


def test_the_range_holds_what_draws_of_all_inputs_give() -> None:
    # 300 draws, each input from a two-sided normal whose 95 % are its low and high: a 95 % range should hold 285 of
    # them, standard error 4. Oxygen bends with the vents, quadrature does not: 0.89 to 1.
    situation = situation_with({})
    load = load_of(situation.plan, 0, situation.species, situation.forecast.clutches)
    vents = vents_of(situation.plan.egg_boxes[0], "egg_boxes[0]")
    assert not isinstance(load, Unknown) and not isinstance(vents, Unknown)
    factors = peak_factors(load.egg_mass)
    draw = np.random.default_rng(7)

    def drawn(low: float, typical: float, high: float) -> float:
        step = draw.normal() / 1.96
        return typical + step * ((typical - low) if step < 0 else (high - typical))

    held = np.zeros(2)
    lowest, highest = (
        situation.forecast.egg_boxes[0].oxygen_lowest,
        situation.forecast.egg_boxes[0].carbon_dioxide_highest,
    )
    for _ in range(300):
        values = {entry.name: drawn(entry.low, entry.typical, entry.high) for entry in vents.inputs}
        values["rim gap"] = max(values["rim gap"], 0.0)
        values["rim depth"] = max(values["rim depth"], 0.5e-3)
        use = clutch_oxygen_use(
            14, 0.011, 28.0, 1.0, "snake", drawn(factors.low, factors.typical, factors.high)
        )
        draught = max(values["draught"], 1.0)
        ways = vents.at(values)
        air = box_air(
            use,
            28.0,
            vents_conductance(ways, oxygen_diffusivity(28.0), draught),
            vents_conductance(ways, carbon_dioxide_diffusivity(28.0), draught),
        )
        held += [
            figure(lowest).low <= air.oxygen <= figure(lowest).high,
            figure(highest).low <= air.carbon_dioxide <= figure(highest).high,
        ]
    assert all(count >= 0.89 * 300 for count in held), held


NEEDED = (
    "control.set_to",
    "egg_boxes[0].count",
    "egg_boxes[0].inside",
    "egg_boxes[0].lid.fit",
    "egg_boxes[0].lid.thickness",
    "egg_boxes[0].lid.holes",
    "clutches[0].eggs",
    "clutches[0].egg_mass",
    "clutches[0].box",
)


@pytest.mark.parametrize("entry", NEEDED)
def test_an_entry_left_out_is_named_and_never_guessed(entry: str) -> None:
    box = box_with({entry: None})
    for result in (box.oxygen_lowest, box.oxygen_lowest_day, box.carbon_dioxide_highest, box.holes_enough):
        assert isinstance(result, Unknown) and result.needs == (entry,)
    assert box.oxygen_by_day == ()


def test_a_lid_without_holes_needs_no_thickness() -> None:
    assert figure(box_with({LID: {"fit": "clip", "holes": "none"}}).oxygen_lowest).value > 0


def test_a_spare_box_has_no_air_to_forecast_and_asks_for_nothing() -> None:
    spare = {"name": "spare", "count": "1", "inside": "20 x 14 x 9 cm"}
    plan = fragment_with({})
    boxes = situation_of({**plan, "egg_boxes": [*plan["egg_boxes"], spare]}).forecast.egg_boxes
    assert boxes[0].oxygen_lowest == box_with({}).oxygen_lowest
    assert boxes[1].oxygen_lowest == Unknown("no clutch goes into this box")
