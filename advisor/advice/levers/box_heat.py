"""Levers of the heater and of the outer box."""

from collections.abc import Iterator

from advisor.advice.levers.lever import Ladder, Lever, change
from advisor.advice.written import Written
from advisor.model.changes import PURCHASE
from advisor.model.figures import Figure
from advisor.rules.engine import Case

SOLD = (
    5,
    7,
    8,
    10,
    12,
    14,
    16,
    18,
    20,
    22,
    25,
    28,
    30,
    35,
    40,
    45,
    50,
    60,
    75,
    80,
    100,
    120,
    150,
    200,
)  # W; judgement


def _power(case: Case) -> Iterator[Ladder]:
    """Stronger heaters up to four times what the box needs, and weaker ones down to half of that."""
    need, power = case.forecast.heat.watts_needed, case.plan.heat.power
    write = Written(case.plan.units)
    if not isinstance(need, Figure) or power is None:
        return

    def ladder(watts: list[int]) -> Ladder:
        return Ladder(
            tuple(
                change(
                    case,
                    f"Use a heater of {write.power(step)}, its size unchanged.",
                    PURCHASE,
                    heat__power=write.power(step),
                )
                for step in watts
            ),
            steady=True,
        )

    stronger = [watts for watts in SOLD if power < watts <= 4 * need.high]
    weaker = [watts for watts in reversed(SOLD) if need.value / 2 <= watts < power]
    for steps in (stronger, weaker):
        if steps:
            yield ladder(steps)


LEVERS = (Lever("heat.power", _power, "about one and a half times what the box needs in the coldest room"),)
