"""The growth in weight that keeps the medium of an egg box right until hatching."""

from collections.abc import Callable, Mapping

from msgspec.structs import replace

from advisor.forecast.egg_box.eggs import load_of
from advisor.forecast.egg_box.medium import BoxContents
from advisor.forecast.egg_box.water import forecast_water
from advisor.model.figures import Figure, Result, Unknown
from advisor.model.forecast import ClutchForecast
from advisor.model.plan import Plan, TopUp
from advisor.model.species import Species

HALVINGS = 8  # of the span between too little and enough, to half a percent of it
TWO_DIGITS = 1.05  # times, by which rounding to two digits may fall short


def growth_enough(
    plan: Plan,
    index: int,
    species: Mapping[str, Species],
    clutches: tuple[ClutchForecast, ...],
    contents: BoxContents,
    drunk: float,
    outer_humidity: Result,
) -> float:
    """How much heavier [kg] the egg box at a place in the plan is to grow by hatching.

    The least with which the medium surely stays wet enough for every species in it. Where it would then likely get too wet,
    since what eggs drink is not known well: what keeps the medium as wet as it was.
    contents: of that box; drunk [kg]: by its eggs as planned, where to begin, since in wetter medium they drink more;
    outer_humidity: of the air round it.
    """
    load = load_of(plan, index, species, clutches)
    if isinstance(load, Unknown) or isinstance(load.water_band, Unknown):
        return drunk
    band, most_drunk = load.water_band, load.eggs * load.egg_mass * max(load.gain.high, 0.0)
    most = drunk + most_drunk + band.low * contents.dry_mass.high

    def enough(growth: float, goal: Callable[[Figure], bool]) -> bool:
        box = replace(plan.egg_boxes[index], top_up=TopUp("to", gain=growth))
        boxes = (*plan.egg_boxes[:index], box, *plan.egg_boxes[index + 1 :])
        kept = forecast_water(
            replace(plan, egg_boxes=boxes), index, load, outer_humidity
        ).water_if_kept_at_weight
        return isinstance(kept, Figure) and goal(kept)

    def least(goal: Callable[[Figure], bool]) -> float:
        low, high = drunk, most
        if enough(low, goal):
            return low
        for _ in range(HALVINGS):
            half = (low + high) / 2.0
            low, high = (low, half) if enough(half, goal) else (half, high)
        return high * TWO_DIGITS

    sure = least(lambda kept: kept.low >= band.low)
    if enough(sure, lambda kept: kept.value <= band.high):
        return sure
    return least(lambda kept: kept.value >= contents.water_content.typical)
