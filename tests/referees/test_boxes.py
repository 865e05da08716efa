"""Two boxes computed in three dimensions: a quarter of a box with mirror planes, the same equations, 10 mm.

Inside 0.60 x 0.40 x 0.30 m, wall 30 mm at 0.037 W/(m K), mat 0.40 x 0.30 m centred (10 mm thick), two tiers of two egg
boxes in a row along the length, inside 0.22 x 0.20 x 0.09 m, walls 10 mm with the resistance of 1 mm of plastic, 4 cm apart
and from the end walls, base 2 cm above the floor, tiers 1 cm apart, medium 4 cm, room 20 °C, no leak. Floor heat was
3 % short of steady (about +0.4 K on every rise), and its gap of 1 cm between mat and base is one cell: indicative.
"""

from typing import Any

import pytest
from msgspec.structs import replace

from advisor.forecast.heat.setup import HeatSetup, _inputs
from advisor.forecast.heat.tiers import moved_results, solve, spreads_of
from advisor.formulas.heat.box_setup import BoxSetup, EggBoxes, Uncertain
from advisor.formulas.heat.insulated_box import BoxSize, wall_named

EGGS = EggBoxes(2, 0.22, 0.20, 0.09, 0.04, lid_thickness=0.01, wall_conductivity=2.2)
LID = BoxSetup(
    BoxSize(0.60, 0.40, 0.30), 0.03, 0.037, 20.0, 27.78, "mat", "lid", 0.12, EGGS, EGGS,
    heater_length=0.40, heater_thickness=0.01, uncertain=Uncertain(air_changes=0.0),
)  # fmt: skip
FLOOR = replace(LID, heat_place="floor", set_point=31.56)
# Loss W, lid minus mean of the medium lower and upper, spread K, heater °C.
COMPUTED = {
    "lid": (LID, 13.39, 1.89, 4.67, 3.84, 44.4),
    "floor": (FLOOR, 10.65, -1.64, -0.30, -2.65, 38.9),
}


@pytest.mark.parametrize("row", COMPUTED.values(), ids=COMPUTED.keys())
def test_a_box_in_three_dimensions(row: tuple[Any, ...]) -> None:
    base, watts, lower, upper, spread, heater = row
    wall = wall_named("expanded polystyrene")
    inputs = tuple(entry for entry in _inputs(base, wall) if entry.name != "wall_conductivity")
    setup = HeatSetup(base, wall, base.room, base.room, inputs)
    typical = solve(setup, {})
    told = spreads_of(setup, typical, moved_results(setup, typical))
    assert told["power"].value == pytest.approx(watts, rel=0.12)
    for name, value in (("power", watts), ("lower lid", lower), ("upper lid", upper), ("spread", spread)):
        assert told[name].low <= value <= told[name].high, name
    if base.heat_place == "lid":
        assert told["lower lid"].value == pytest.approx(lower, rel=0.15)
        assert told["upper lid"].value == pytest.approx(upper, rel=0.15)
        assert told["spread"].value == pytest.approx(spread, rel=0.15)
        assert told["heater"].value == pytest.approx(heater, abs=0.05 * (heater - 20.0))
