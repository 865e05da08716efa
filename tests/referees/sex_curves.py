"""The curves of the papers for the share of males, written from their equations with scipy's logistic function.

Girondot 1999, Evol Ecol Res 1:479 (equation from memory): 1/(1 + exp((P - T)/S)); two-sided, the product of a rising and a
falling one (usual form of pattern II, from memory).
"""

from scipy.special import expit


def logistic_share(temperature: float, pivotal: float, width: float) -> float:
    """Share of males at a temperature [°C]; pivotal [°C], width [K], below 0 when warm gives females."""
    return float(expit((temperature - pivotal) / width))


def two_sided_share(
    temperature: float, low: float, low_width: float, high: float, high_width: float
) -> float:
    """Share of males of a curve that rises at `low` and falls at `high` [°C]; high_width is below 0 [K]."""
    return logistic_share(temperature, low, low_width) * logistic_share(temperature, high, high_width)
