"""The answer "no data at this temperature", with the nearest data there are."""

from msgspec import Struct


class NoData(Struct, frozen=True):
    """No figure can be given at this temperature; `nearest` are the data temperatures [°C] closest to it.

    `lowest` and `highest` [°C] bound the data, None when there are no points.
    """

    nearest: tuple[float, ...]
    lowest: float | None
    highest: float | None


def no_data_at(
    temperature: float, data_temperatures: tuple[float, ...], below: float, above: float
) -> NoData | None:
    """Tell whether a temperature lies outside the data.

    Arguments: temperature [°C]; data_temperatures [°C], any order, repeats allowed; below and above, how far
    past the coldest and warmest data temperature a figure is still given [K].
    Result: None when it lies inside, else a NoData with the one or two nearest data temperatures [°C].
    """
    if not data_temperatures:
        return NoData((), None, None)
    lowest, highest = min(data_temperatures), max(data_temperatures)
    # A hair of tolerance, so that 28.5 + 0.5 counts as 29.0 in binary arithmetic.
    if lowest - below - 1e-9 <= temperature <= highest + above + 1e-9:
        return None
    nearest = sorted(set(data_temperatures), key=lambda known: (abs(known - temperature), known))[:2]
    return NoData(tuple(nearest), lowest, highest)
