"""The clutches of a plan as papers name them, each with its own days."""

from itertools import groupby

from msgspec import Struct

from advisor.model.figures import Figure
from advisor.model.forecast import Window
from advisor.rules.engine import Situation
from advisor.show import counted
from advisor.units import number_ranges
from advisor.wording import clutch_names, window_words


class ClutchRow(Struct, frozen=True):
    """One clutch, or all that one entry repeats, on the front of the sheet; an empty text is a blank to write on."""

    numbers: str
    name: str
    eggs: str
    laid: str
    hatching: str
    days: str


def clutch_rows(situation: Situation) -> tuple[ClutchRow, ...]:
    """Name, eggs, laying day and hatch window of each entry's clutches; before laying also the days to count."""
    plan, forecast, names = (
        situation.plan,
        situation.forecast,
        clutch_names(situation.plan.clutches, situation.species),
    )
    rows = []
    for _, places in groupby(range(len(plan.clutches)), lambda place: plan.clutches[place].entry):
        inside = list(places)
        first, last = inside[0], inside[-1]
        clutch, days = plan.clutches[first], forecast.clutches[first].incubation_days
        name, eggs = names[first], str(clutch.eggs or "")
        if clutch.repeats:
            each = f", {counted(clutch.eggs, 'egg')} each" if clutch.eggs else ""
            species = situation.species[clutch.species].name
            name, eggs = f"{last - first + 1} clutches of {species}{each}", ""
        length = situation.show.days_range(days.low, days.high) if isinstance(days, Figure) else ""
        rows.append(
            ClutchRow(
                number_ranges(range(first + 1, last + 2)),
                name,
                eggs,
                _whole(forecast.clutches[first].laying_window, forecast.clutches[last].laying_window),
                _whole(forecast.clutches[first].hatch_window, forecast.clutches[last].hatch_window),
                "" if forecast.clutches[first].laid and not clutch.repeats else length,
            )
        )
    return tuple(rows)


def _whole(first: Window | None, last: Window | None) -> str:
    """From the first day of the first window to the last of the last, in words; nothing where they are not known."""
    return window_words((first[0], last[1])) if first and last else ""
