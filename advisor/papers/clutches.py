"""The clutches of a plan as papers name them, each with its own days."""

from msgspec import Struct

from advisor.model.figures import Figure
from advisor.rules.engine import Situation
from advisor.wording import window_words


class ClutchRow(Struct, frozen=True):
    """One clutch on the front of the sheet; an empty text is a blank to write on."""

    name: str
    eggs: str
    laid: str
    hatching: str
    days: str


def clutch_names(situation: Situation) -> tuple[str, ...]:
    """ "corn snake", or "corn snake 2" where a species lays more than once."""
    all_ids = [clutch.species for clutch in situation.plan.clutches]
    return tuple(
        situation.species[name].name
        + (f" {all_ids[: place + 1].count(name)}" if all_ids.count(name) > 1 else "")
        for place, name in enumerate(all_ids)
    )


def clutch_rows(situation: Situation) -> tuple[ClutchRow, ...]:
    """Name, eggs, laying day and hatch window of each clutch; before laying also the days to count."""
    rows = []
    for name, clutch, found in zip(
        clutch_names(situation), situation.plan.clutches, situation.forecast.clutches, strict=True
    ):
        days = found.incubation_days
        length = situation.show.days_range(days.low, days.high) if isinstance(days, Figure) else ""
        hatching = window_words(found.hatch_window) if found.hatch_window else ""
        laying = window_words(found.laying_window) if found.laying_window else ""
        rows.append(ClutchRow(name, str(clutch.eggs or ""), laying, hatching, "" if found.laid else length))
    return tuple(rows)
