"""The temperatures of a plan on one scale: room, what the eggs bear, set point, cut-out, what a stuck heater reaches."""

from collections.abc import Iterator, Sequence

from msgspec import Struct

from advisor.drawings.axes import Axis
from advisor.drawings.canvas import (
    BOLD,
    LINE,
    SIZE,
    Box,
    Drawing,
    Label,
    ellipse,
    fitted,
    hatched,
    line,
    lines,
    rectangle,
)
from advisor.drawings.temperature_axis import temperature_ticks, unit_sign
from advisor.model.figures import Figure
from advisor.model.forecast import Forecast
from advisor.model.plan import Plan
from advisor.model.species import Species
from advisor.show import Show
from advisor.wording import begin_words

WIDE, HIGH = 300.0, 222.0  # units
# where columns and words stand, from the left
EGGS, ROOM, STUCK, WORDS = ((30.0, 52.0), (58.0, 66.0), 73.0, 98.0)
LEAST_SPAN = 12.0  # K, so that a few steps fill no whole ladder; judgement


class Rung(Struct, frozen=True):
    """One temperature [°C] with its words; set point and cut-out are drawn across."""

    at: float
    words: str
    across: str = ""
    bold: bool = False


class EggsTogether(Struct, frozen=True):
    """What all eggs of a plan bear [°C]: bands and limits, None where not known; `notes` say what is not known."""

    aim: tuple[float, float] | None
    tolerated: tuple[float, float] | None
    below: tuple[float, str] | None
    above: tuple[float, str] | None
    notes: tuple[str, ...]


def ladder(plan: Plan, forecast: Forecast, species: Sequence[Species], show: Show) -> Drawing:
    """The ladder; labels stand beside their temperatures, moved apart where they would touch."""
    eggs = eggs_together(species)
    rungs = sorted(_rungs(plan, forecast, eggs, show), key=lambda rung: -rung.at)
    stuck = forecast.heat.stuck_on_temperature
    ends = [rung.at for rung in rungs] or [20.0, 30.0]
    ends += [stuck.low, min(stuck.high, 100.0)] if isinstance(stuck, Figure) else []
    middle = (min(ends) + max(ends)) / 2
    half = max((max(ends) - min(ends)) / 2, LEAST_SPAN / 2)
    ticks = temperature_ticks(middle - half, middle + half, show, 7)
    scale = Axis(ticks[0][0], ticks[-1][0], HIGH - 8.0, 20.0)
    shapes = [*_columns(plan, eggs, stuck if isinstance(stuck, Figure) else None, scale)]
    labels = [Label(0.0, 9.0, unit_sign(show), SIZE), Label(EGGS[0], 9.0, "eggs, room", SIZE)]
    for at, text in ticks:
        shapes.append(line(EGGS[0] - 4.0, scale.at(at), EGGS[0], scale.at(at)))
        labels.append(Label(EGGS[0] - 7.0, scale.at(at) + 0.35 * SIZE, text, SIZE, "end"))
    for rung, y in zip(rungs, spread([scale.at(rung.at) for rung in rungs], 14.0, HIGH - 6.0), strict=True):
        at = scale.at(rung.at)
        if rung.across:
            shapes.append(line(EGGS[0], at, 84.0, at, 2.6, "" if rung.across == "solid" else "5 3"))
        shapes.append(lines([(EGGS[1], at), (84.0, at), (95.0, y)], 0.5))
        words = fitted(rung.words, WIDE - WORDS, SIZE * (BOLD if rung.bold else 1.0))
        labels.append(Label(WORDS, y + 0.35 * SIZE, words, SIZE, bold=rung.bold))
    return Drawing(
        name="ladder",
        title="Temperature ladder",
        description=" ".join([*(f"{rung.words}." for rung in rungs), *eggs.notes]),
        height=HIGH,
        shapes=tuple(shapes),
        labels=tuple(labels),
        notes=eggs.notes,
        width=WIDE,
    )


def eggs_together(species: Sequence[Species]) -> EggsTogether:
    """The bands that all have in common, and the first limit on each side; a species is named where there are several."""
    several, notes = len(species) > 1, []
    aims = [one.aim for one in species]
    tolerated = [one.tolerated for one in species]
    limits = []
    for end, words in (("below", "cold"), ("above", "heat")):
        known = [
            (getattr(one.harmful, end), one.name if several else "")
            for one in species
            if one.harmful is not None and getattr(one.harmful, end) is not None
        ]
        unknown = [one.name for one in species if one.harmful is None or getattr(one.harmful, end) is None]
        if unknown:
            notes.append(f"Harmful {words}: not known" + (f" for {', '.join(unknown)}." if several else "."))
        limits.append((max if end == "below" else min)(known, default=None))
    common = []
    for bands, words in ((aims, "aimed at"), (tolerated, "tolerated")):
        if None in bands:
            notes.append(f"The band {words}: not known for all eggs.")
        band = (
            (max(one.low for one in bands if one), min(one.high for one in bands if one))
            if any(bands)
            else None
        )
        if band is not None and None not in bands and band[0] > band[1]:
            notes.append(f"No temperature is {words} for all of these species.")
        common.append(band if band is not None and None not in bands and band[0] <= band[1] else None)
    return EggsTogether(common[0], common[1], limits[0], limits[1], tuple(notes))


def _rungs(plan: Plan, forecast: Forecast, eggs: EggsTogether, show: Show) -> Iterator[Rung]:
    room, control, stuck = plan.room.temperature, plan.control, forecast.heat.stuck_on_temperature
    if isinstance(stuck, Figure):
        words = show.figure(stuck)
        yield Rung(min(stuck.value, 100.0), f"stuck on: {words}")
    for limit, side in ((eggs.above, "up"), (eggs.below, "down")):
        if limit is not None:
            of = f" ({limit[1]})" if limit[1] else ""
            yield Rung(limit[0], f"harm from {show.temperature(limit[0])} {side}{of}")
    if eggs.tolerated is not None:
        yield Rung(eggs.tolerated[1], f"tolerated: up to {show.temperature(eggs.tolerated[1])}")
        yield Rung(eggs.tolerated[0], f"tolerated: from {show.temperature(eggs.tolerated[0])}")
    if eggs.aim is not None:
        yield Rung(sum(eggs.aim) / 2, f"aim: {show.temperature_range(*eggs.aim)}")
    if control.cut_out is not None and control.cut_out.set_to is not None:
        yield Rung(
            control.cut_out.set_to, f"CUT-OUT {show.temperature(control.cut_out.set_to)}", "dashed", True
        )
    for words, at in _set_points(plan):
        yield Rung(at, f"{words} {show.temperature(at)}", "solid", True)
    if room is not None and room.low == room.high:
        yield Rung(room.low, f"room: {show.temperature(room.low)}")
    elif room is not None:
        yield Rung(room.high, f"room, at its warmest: {show.temperature(room.high)}")
        yield Rung(room.low, f"room, at its coldest: {show.temperature(room.low)}")


def _set_points(plan: Plan) -> Iterator[tuple[str, float]]:
    """The set point; by day and by night, or in steps, each of them."""
    steps = plan.control.programme
    if not steps and plan.control.set_to is not None:
        yield "SET POINT" + " OF THE WATER" * (plan.control.probe.sits_in == "water"), plan.control.set_to
    for step in steps:
        if step.night is not None:
            yield "SET POINT BY DAY", step.set_to
            yield "SET POINT BY NIGHT", step.night
        else:
            begins = "AT FIRST" if step is steps[0] else f"FROM {begin_words(step).upper()}"
            yield f"SET POINT {begins}:", step.set_to


def _columns(plan: Plan, eggs: EggsTogether, stuck: Figure | None, scale: Axis) -> Iterator[str]:
    """The scale itself: harm black, tolerated white, aim hatched; the room beside it; what a stuck heater may reach."""
    yield rectangle(Box(EGGS[0], scale.end, EGGS[1], scale.start), "#fff", 0.8)
    if eggs.above is not None:
        yield rectangle(Box(EGGS[0], scale.end, EGGS[1], scale.at(eggs.above[0])), "#000")
    if eggs.below is not None:
        yield rectangle(Box(EGGS[0], scale.at(eggs.below[0]), EGGS[1], scale.start), "#000")
    if eggs.tolerated is not None:
        yield rectangle(
            Box(EGGS[0], scale.at(eggs.tolerated[1]), EGGS[1], scale.at(eggs.tolerated[0])), "none", 1.6
        )
    if eggs.aim is not None:
        box = Box(EGGS[0], scale.at(eggs.aim[1]), EGGS[1], scale.at(eggs.aim[0]))
        yield rectangle(box, hatched("ladder"), 1.2)
    room = plan.room.temperature
    if room is not None:
        yield rectangle(Box(ROOM[0], scale.at(room.high), ROOM[1], scale.at(room.low)), "#fff", 1.2)
    if stuck is not None:
        yield line(STUCK, scale.at(min(stuck.high, 100.0)), STUCK, scale.at(stuck.low), 1.4)
        yield ellipse(STUCK, scale.at(min(stuck.value, 100.0)), 3.2, 3.2, "#000", 0.5)


def spread(wanted: Sequence[float], top: float, bottom: float) -> list[float]:
    """Heights for labels, from the top down, as near to those wanted as a line of text between them allows."""
    gap = min(LINE * SIZE, (bottom - top) / max(len(wanted) - 1, 1))
    found: list[float] = []
    for height in wanted:
        found.append(max(height, found[-1] + gap if found else top))
    limit = bottom
    for place in range(len(found) - 1, -1, -1):
        found[place] = min(found[place], limit)
        limit = found[place] - gap
    return found
