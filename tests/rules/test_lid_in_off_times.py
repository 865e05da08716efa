"""What is told of the lid while an on-off heater is off is what boxes of many kinds do, not one box."""

import random

from advisor.formulas.heat.thermostat import NeverSwitches, SwitchedBox, switching
from advisor.rules.shared import LID_COLDER_BY, LID_COLDER_SHARE


def drawn(dice: random.Random, low: float, high: float) -> float:
    """A number with an even logarithm."""
    return float(low * (high / low) ** dice.random())


def test_the_ranges_hold_boxes_of_many_kinds() -> None:
    dice, shares, depths = random.Random(11), list[float](), list[float]()
    while len(shares) < 80:
        conductance, room, set_to = drawn(dice, 0.3, 2), dice.uniform(16, 24), dice.uniform(27, 32)
        box = SwitchedBox(
            conductance,
            medium_capacity=drawn(dice, 2e3, 4e4),
            heater_capacity=drawn(dice, 150, 1500),
            air_capacity=drawn(dice, 600, 6000),
            heater_to_air=drawn(dice, 1.5, 15),
            air_to_medium=drawn(dice, 1, 10),
        )
        power = conductance * (set_to - room) * dice.uniform(1.3, 6)
        try:
            found = switching(box, "medium", power, room, set_to, dice.choice((0.2, 0.5, 1, 2)))
        except NeverSwitches:
            continue
        shares.append(found.share_lid_colder)
        depths.append(-found.lid_minus_medium_lowest)
    for values, (low, high) in ((shares, LID_COLDER_SHARE), (depths, LID_COLDER_BY)):
        inside = sum(low <= value <= high for value in values) / len(values)
        assert inside >= 0.88  # 95 % of them, less two standard deviations of a count of 80
        # And the range is no wider than the boxes spread: a fifth of it is reached at either end.
        assert min(values) < low + (high - low) / 5
        assert sorted(values)[-2] > low + (high - low) / 2
