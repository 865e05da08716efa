"""Which egg box is in use when, over a season of clutches."""

import datetime
import math
from collections.abc import Mapping, Sequence

from msgspec import Struct

from advisor.forecast.clutch.dates import interval, laying_entry
from advisor.forecast.egg_box.room_for_eggs import egg_size, lies_singly, places_in_one
from advisor.formulas.numerics.intervals import left_edge, most_in_at_once
from advisor.model.figures import Figure, Unknown
from advisor.model.forecast import BoxUse, ClutchForecast, Stay, Window
from advisor.model.plan import Clutch, EggBox, Plan
from advisor.model.species import Species


class _Known(Struct, frozen=True):
    """One clutch of a kind of box: its place, its entry, all days on which it may lie in, its boxes, how long it stays [days]."""

    place: int
    clutch: Clutch
    span: Window
    boxes: int
    longest: float
    laid: datetime.date
    apart: float  # days to the next of the same female, at least


def box_use(
    plan: Plan, index: int, species: Mapping[str, Species], clutches: Sequence[ClutchForecast]
) -> BoxUse | Unknown:
    """Each clutch in boxes of its own, from its laying to the last likely day of its hatching; or what is missing to tell.

    Two clutches of one female come at least the shortest interval apart, so of those that follow one another no more can
    lie in at once than the longest incubation holds intervals. Clutches of different entries are laid whenever their
    windows say, whatever the others do.
    """
    box = plan.egg_boxes[index]
    inside = [place for place, clutch in enumerate(plan.clutches) if clutch.box == box.name]
    if not inside:
        return Unknown("no clutch goes into this box")
    found = [_known(place, plan.clutches[place], clutches[place], box, species) for place in inside]
    missing = [one for one in found if isinstance(one, Unknown)]
    if missing:
        return Unknown(missing[0].reason, tuple(need for one in missing for need in one.needs))
    known = [one for one in found if isinstance(one, _Known)]
    days = sorted({day for one in known for day in one.span})
    most = max((_in_on(day, known) for day in days), key=lambda group: (_boxes(group), _eggs(group)))
    short = [day for day in days if box.count is not None and _boxes(_in_on(day, known)) > box.count]
    stays = [(one.laid.toordinal(), one.laid.toordinal() + math.ceil(one.longest)) for one in known]
    taken = left_edge(stays, [one.boxes for one in known])
    return BoxUse(
        stays=tuple(
            Stay(
                one.place,
                (one.laid, datetime.date.fromordinal(last)),
                tuple(number + 1 for number in numbers),
            )
            for one, (_, last), numbers in zip(known, stays, taken, strict=True)
        ),
        needed=_boxes(most),
        together=tuple(one.place for one in most),
        short=(short[0], short[-1]) if short else None,
        by_turns=len(most) < len(known) or any(one.clutch.repeats for one in known),
    )


def _known(
    place: int, clutch: Clutch, forecast: ClutchForecast, box: EggBox, species: Mapping[str, Species]
) -> _Known | Unknown:
    laid, hatching, days = forecast.laying_window, forecast.hatch_window, forecast.incubation_days
    if laid is None:
        entry = laying_entry(clutch, species[clutch.species])
        return Unknown("the laying days are not told", (f"clutches[{clutch.entry}].{entry}",))
    if hatching is None or not isinstance(days, Figure):
        return days if isinstance(days, Unknown) else Unknown("the days to hatching are not known")
    every = interval(clutch, species[clutch.species])
    return _Known(
        place=place,
        clutch=clutch,
        span=(laid[0], hatching[1]),
        boxes=boxes_for(clutch, box, species[clutch.species]),
        longest=days.high,
        laid=laid[0] + (laid[1] - laid[0]) // 2,
        apart=every.low if every else math.inf,
    )


def boxes_for(clutch: Clutch, box: EggBox, species: Species) -> int:
    """The fewest boxes of a kind that hold a clutch; one where that is not known, and for a clutch that sticks together."""
    if box.inside is None or clutch.eggs is None or lies_singly(clutch, species) is False:
        return 1
    size = egg_size(clutch, species)
    room = 0 if isinstance(size, Unknown) else places_in_one(box.inside, *size).typical
    return math.ceil(clutch.eggs / room) if room else 1


def _in_on(day: datetime.date, known: Sequence[_Known]) -> list[_Known]:
    """The clutches that lie in on a day at worst: of those that follow one another the latest ones."""
    found: list[_Known] = []
    for entry in dict.fromkeys(one.clutch.entry for one in known):
        there = [one for one in known if one.clutch.entry == entry and one.span[0] <= day <= one.span[1]]
        if there and there[0].clutch.repeats:
            most = most_in_at_once(max(one.longest for one in there), there[0].apart)
            there = there[-most:]
        found += there
    return found


def _boxes(group: Sequence[_Known]) -> int:
    return sum(one.boxes for one in group)


def _eggs(group: Sequence[_Known]) -> int:
    return sum(one.clutch.eggs or 0 for one in group)
