"""Round temperatures in the keeper's unit along an axis, for curves in text and as pictures."""

from advisor.drawings.axes import round_steps
from advisor.show import Show
from advisor.units import UNITS


def temperature_ticks(low: float, high: float, show: Show, most: int) -> list[tuple[float, str]]:
    """Temperatures [°C] from at or below `low` to at or above `high`, round in °C or °F, with their numbers."""
    sign = unit_sign(show)
    unit = UNITS["temperature"][sign]
    first, last = ((end - unit.offset) / unit.factor for end in (low, high))
    return [(step * unit.factor + unit.offset, f"{step:g}") for step in round_steps(first, last, most)]


def unit_sign(show: Show) -> str:
    """°C or °F."""
    return "°F" if show.us else "°C"
