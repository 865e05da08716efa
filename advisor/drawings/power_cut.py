"""How the medium cools in a power cut, and how long the eggs bear such temperatures."""

from collections.abc import Iterator

from advisor.constants import DAY
from advisor.drawings.canvas import COLUMN, SIZE, Drawing, Label, line, shape
from advisor.drawings.courses import Chart
from advisor.drawings.key import Entry
from advisor.drawings.temperature_axis import temperature_ticks, unit_sign
from advisor.model.figures import Figure, Result, Unknown
from advisor.model.papers import Exposure
from advisor.show import Show
from advisor.units import UNITS
from advisor.wording import capital

HEIGHT, BESIDE = 116.0, 90.0  # units, lower end of the plot; room right of it for the limits


def power_cut_chart(
    cooling: tuple[tuple[float, Figure], ...] | Unknown, harm: Result, cold: tuple[Exposure, ...], show: Show
) -> Drawing | Unknown:
    """Temperature of the medium by hours without power in the coldest room; `cold` are limits of short exposures, `harm` [s]."""
    if isinstance(cooling, Unknown):
        return Unknown(f"How the box cools in a power cut: {cooling.reason}.")
    coldest, last = min(figure.low for _, figure in cooling), cooling[-1][0]
    reached = [one for one in cold if one.temperature >= coldest]
    ticks = temperature_ticks(coldest, max(figure.high for _, figure in cooling), show, 6)
    unit = UNITS["temperature"][unit_sign(show)]
    chart = Chart(
        cooling,
        (),
        last,
        [float(text) for _, text in ticks],
        "power-cut",
        (COLUMN, HEIGHT),
        lambda celsius: (celsius - unit.offset) / unit.factor,
        BESIDE if reached else 6.0,
    )
    soon = harm if isinstance(harm, Figure) and harm.value / 3600 <= last else None
    borne, words = _borne(reached, chart, show)
    return chart.drawn(
        "A power cut in your coldest room",
        f"{unit_sign(show)} in the medium, by hours without power",
        _told(cooling, harm, reached, show),
        marks=(*borne, *(_harm(soon, chart) if soon else ())),
        words=words,
        entries=_entries(bool(reached), soon is not None),
    )


def _borne(reached: list[Exposure], chart: Chart, show: Show) -> tuple[list[str], list[Label]]:
    """A bar as long as the eggs bear a temperature, ended by a stroke where that is on the chart, with its words beside."""
    plot, last = chart.plot, chart.last
    shapes: list[str] = []
    labels: list[Label] = []
    for one in reached:
        y, hours = chart.up.at(chart.value(one.temperature)), one.time / 3600
        x = chart.across.at(min(hours, last))
        shapes.append(line(plot.left, y, x, y, 1.2, "6 3"))
        shapes += [line(x, y - 5.0, x, y + 5.0, 2.0)] if hours <= last else []
        labels.append(Label(plot.right + 6.0, y + 0.35 * SIZE, _limit(one, show), SIZE))
    return shapes, labels


def _limit(one: Exposure, show: Show) -> str:
    time = show.days(one.time / DAY) if one.time >= 2 * DAY else show.roughly(one.time)
    return f"{show.temperature(one.temperature)}: {time}"


def _harm(harm: Figure, chart: Chart) -> list[str]:
    ends = (harm.low, harm.value, harm.high)
    low, at, high = (chart.across.at(min(hours / 3600, chart.last)) for hours in ends)
    return _harm_mark(low, at, high, chart.plot.top + 6.0)  # where the curve has left


def _harm_mark(low: float, at: float, high: float, y: float) -> list[str]:
    return [line(low, y, high, y, 3.0), shape(((at - 5.0, y - 5.0), (at + 5.0, y - 5.0), (at, y + 5.0)))]


def _entries(limits: bool, harm: bool) -> Iterator[Entry]:
    if limits:
        yield lambda x, y: line(x - 8.0, y, x + 8.0, y, 1.2, "6 3"), "how long eggs bear it"
    if harm:
        yield lambda x, y: "".join(_harm_mark(x - 8.0, x, x + 8.0, y)), "harm possible from about here"


def _told(
    cooling: tuple[tuple[float, Figure], ...], harm: Result, reached: list[Exposure], show: Show
) -> str:
    told = [
        f"After {hour:.0f} h {show.figure(found)}."
        for hour, found in cooling
        if hour in (6.0, 12.0, 24.0, 48.0)
    ]
    told += [f"Eggs bear {_limit(one, show)}." for one in reached]
    return " ".join((*told, capital(_harm_words(harm, show))))


def _harm_words(harm: Result, show: Show) -> str:
    if isinstance(harm, Unknown):
        return f"{harm.reason}."
    return f"harm is possible after {show.figure(harm)} without power."
