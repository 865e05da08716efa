"""A cable told by its length: power and heated area follow, and every rule on the heater can be asked."""

from typing import Any

import pytest
import yaml

from advisor.forecast.heat.setup import heated_area
from advisor.model.figures import Figure
from advisor.model.plan import Plan
from advisor.rules import rule_modules
from advisor.rules.engine import judge
from tests.changes import changed
from tests.support import ROOT, situation_of

BOX = yaml.load((ROOT / "tests/rules/bases/heat_box.yaml").read_text("utf-8"), Loader=yaml.BaseLoader)
OWN = ROOT / "tests/rules/species_heat"


def cable(**entries: str) -> Any:
    return changed(BOX, "heat", {"source": "cable", "place": "lid", **entries})


def plan(**entries: str) -> Plan:
    return situation_of(cable(**entries), OWN).plan


def test_power_follows_from_length_and_watts_of_each_metre() -> None:
    assert plan(length="3 m", watts_per_metre="5 W/m").heat.power == pytest.approx(15.0)
    assert plan(length="10 ft", watts_per_metre="1.5 W/ft").heat.power == pytest.approx(15.0)
    assert plan(length="3 m", watts_per_metre="5 W/m", power="14 W").heat.power == 14.0, (
        "the label goes first"
    )
    assert plan(length="3 m").heat.power is None


@pytest.mark.parametrize(
    ("entries", "square_metres"),
    [
        ({"length": "3 m", "spacing": "5 cm"}, 0.15),  # 3 x 0.05
        ({"length": "1 m"}, 0.10),  # runs 10 cm apart at most
        ({"length": "4 m"}, 0.24),  # more than the lid of 60 x 40 cm: all of it
        ({"length": "4 m", "spacing": "20 cm"}, 0.24),
        ({"length": "4 m", "spacing": "5 cm", "place": "one side"}, 0.15),  # 60 x 25 cm
        ({"length": "4 m", "spacing": "5 cm", "place": "all sides"}, 0.20),
        ({"length": "30 m", "spacing": "5 cm", "place": "all sides"}, 0.50),  # 2 x (60 + 40) x 25 cm
        ({"length": "3 m", "spacing": "5 cm", "size": "30 x 20 cm"}, 0.06),  # as told
    ],
)
def test_heated_area(entries: dict[str, str], square_metres: float) -> None:
    area = heated_area(plan(**entries))
    assert area is not None and area.length * area.width == pytest.approx(square_metres)


def test_every_rule_that_a_size_lets_judge_judges_a_length() -> None:
    def open_rules(fragment: Any) -> set[tuple[str, tuple[str, ...]]]:
        report = judge(situation_of(fragment, OWN), rule_modules())
        return {(answer.rule, answer.needs) for answer in report.not_judged}

    sized = open_rules(cable(power="15 W", size="60 x 40 cm"))
    assert open_rules(cable(watts_per_metre="5 W/m", length="3 m")) == sized
    untold = {need for _, needs in open_rules(cable(power="15 W")) for need in needs}
    assert "heat.length" in untold and "heat.size" not in untold


def test_a_cable_laid_over_the_whole_lid_is_as_a_mat_of_that_size() -> None:
    long, mat = (
        situation_of(fragment, OWN).forecast.heat.heater_surface
        for fragment in (cable(power="15 W", length="4 m"), cable(power="15 W", size="60 x 40 cm"))
    )
    assert isinstance(long, Figure) and isinstance(mat, Figure)
    assert long.value == pytest.approx(mat.value)
