"""Short, odd and damaged logs are followed without a fault of our own; no figure leaves its range."""

import random

import pytest

from advisor.model.figures import Figure
from advisor.model.logs import AIR_ABOVE, EGG_MEDIUM, HEATER, PROBE_MEDIUM, ROOM
from tests.follow.logs import followed, log_of, plan_of, sensor

PLACES = (EGG_MEDIUM, PROBE_MEDIUM, AIR_ABOVE, HEATER, ROOM)
SPECIES = ("pantherophis-guttatus", "trachemys-scripta", "eublepharis-macularius", "malacochersus-tornieri", "varanus-albigularis")  # fmt: skip


@pytest.mark.parametrize("seed", range(40))
def test_any_log_is_followed(seed: int) -> None:
    dice = random.Random(seed)
    hours = dice.choice([0.2, 1.0, 5.0, 30.0, 400.0, 2000.0])
    sensors = []
    for number in range(dice.randint(1, 4)):
        base, noise = dice.uniform(-5, 45), dice.choice([0.0, 0.1, 3.0, 20.0])
        first = dice.uniform(0, hours)
        gaps = [(first, first + dice.uniform(0, hours))] if dice.random() < 0.5 else []
        found = sensor(lambda _, b=base, n=noise: b + dice.gauss(0, n), hours, dice.choice(PLACES), f"T{number}",  # type: ignore[misc]
                       every=dice.choice([60.0, 600.0, 5400.0, 20_000.0]), gaps=gaps)  # fmt: skip
        sensors.append(found)
    log = log_of(*sensors)
    result = followed(plan_of(dice.choice(SPECIES), control={"set_to": "28 °C"}), log)
    for clutch in result.clutches:
        for figure in (clutch.developed, clutch.days, clutch.days_to_go, clutch.male_share, clutch.mean):
            if isinstance(figure, Figure):
                assert figure.low <= figure.value <= figure.high
        for share in (clutch.developed, clutch.male_share):
            if isinstance(share, Figure):
                assert share.low >= 0.0 and share.high <= 1.0
    for event in result.events:
        assert event.begin <= event.end


def test_log_from_before_the_laying_day_tells_nothing_of_eggs() -> None:
    plan = {"clutches": [{"species": "pantherophis-guttatus", "laying": {"laid_on": "2027-06-30"}}]}
    result = followed(plan, log_of(sensor(lambda _: 28.0, 100.0)))
    assert not isinstance(result.clutches[0].developed, Figure)
    assert "later than the laying day" in result.clutches[0].developed.reason
