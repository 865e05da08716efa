"""The driest mix that a species bears and that lasts until hatching, in parts that a keeper measures."""

import math
from collections.abc import Mapping

from msgspec import Struct
from msgspec.structs import replace

from advisor.forecast.egg_box.eggs import load_of
from advisor.forecast.egg_box.medium import known_medium
from advisor.forecast.egg_box.water import forecast_water
from advisor.formulas.water.medium import drained_capacity, medium_parts_by_volume
from advisor.model.figures import Figure, Result
from advisor.model.forecast import ClutchForecast
from advisor.model.plan import Medium, Mix, Plan
from advisor.model.species import Species

STEP = 0.1  # g/g; a mix by mass is told no finer; judgement


class MixChoice(Struct, frozen=True):
    """A mix to use; `lasts` tells whether it lasts until hatching without top-ups, None where that is not forecast."""

    mix: Mix
    lasts: bool | None


def wetter_mix(
    plan: Plan,
    index: int,
    species: Mapping[str, Species],
    clutches: tuple[ClutchForecast, ...],
    low: float,
    high: float,
    outer_humidity: Result,
) -> MixChoice | None:
    """The driest mix from `low` to `high` [kg/kg] with which the egg box at a place in the plan lasts.

    Where none lasts, or nothing can be forecast, the one in the middle. By volume when the plan mixes so, else by mass;
    None where no such mix exists. outer_humidity: of the air round the egg boxes. No mix is wetter than what the drained medium holds.
    """
    medium = plan.egg_boxes[index].medium
    choices = _choices(medium, low, high)
    if not choices:
        return None
    load = load_of(plan, index, species, clutches)

    def lasts(mix: Mix) -> bool | None:
        box = replace(plan.egg_boxes[index], medium=replace(medium, mix=mix), top_up=None)
        boxes = (*plan.egg_boxes[:index], box, *plan.egg_boxes[index + 1 :])
        changed = replace(plan, egg_boxes=boxes)
        end = forecast_water(changed, index, load, outer_humidity).water_at_hatching
        return end.low >= low if isinstance(end, Figure) else None

    middle, wettest = choices[len(choices) // 2], lasts(choices[-1])
    if not wettest:
        return MixChoice(middle, wettest)
    first, last = 0, len(choices) - 1  # the more water, the longer it lasts
    while first < last:
        half = (first + last) // 2
        first, last = (first, half) if lasts(choices[half]) else (half + 1, last)
    return MixChoice(choices[last], True)


def _choices(medium: Medium, low: float, high: float) -> list[Mix]:
    """Mixes from the driest to the wettest."""
    known = known_medium(medium)
    if known is not None:
        high = min(high, drained_capacity(known).typical)
    if known is not None and medium.mix is not None and medium.mix.by == "volume":
        most, least = (medium_parts_by_volume(end, known.bulk_density.typical) for end in (low, high))
        parts = range(math.floor(most + 1e-9), math.ceil(least - 1e-9) - 1, -1)
        if least > 1 and parts:
            return [Mix(number, 1, "volume") for number in parts]
    steps = range(math.ceil(low / STEP - 1e-9), math.floor(high / STEP + 1e-9) + 1)
    return [Mix(1, round(number * STEP, 1), "mass") for number in steps if number]
