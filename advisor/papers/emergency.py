"""The half page beside the box: what to do when something goes wrong, with this plan's numbers."""

from collections.abc import Iterator

from msgspec import Struct

from advisor.constants import DAY
from advisor.model.figures import Figure
from advisor.model.papers import Exposure, PaperFigures
from advisor.rules.engine import Situation
from advisor.rules.shared import cold_borne, lid_cools_in_off_times
from advisor.show import Show
from advisor.units import TRACE, UNITS
from advisor.wording import about_scale, day_words, scale_text

SLACK = 1.0  # K off the set point at which to look for the cause; judgement
MOST_ROWS = 10  # days of the scale table, unless there are more top-ups; judgement


class Emergency(Struct, frozen=True):
    """One thing that goes wrong, the sign of it in numbers, and the actions in their order."""

    condition: str
    sign: str
    actions: tuple[str, ...]


class Reading(Struct, frozen=True):
    """One line of the scale table: the day, what to expect, what to add, what the scale reads after that."""

    day: str
    expect: str
    add: str = ""
    after: str = ""


class ScaleTable(Struct, frozen=True):
    """What the scale reads for one kind of egg box, on top of the empty box; `reason` where nothing is known."""

    box: str
    readings: tuple[Reading, ...]
    reason: str = ""


def emergencies(situation: Situation, figures: PaperFigures) -> tuple[Emergency, ...]:
    """What goes wrong most often, what hurts people first."""
    return (
        Emergency(
            "Smoke, a burning smell or a shock",
            "",
            (
                "Switch the power off at the fuse box. Touch nothing wet.",
                "Get all people out. Call the fire service.",
            ),
        ),
        _power_cut(situation, figures),
        _too_hot(situation, figures),
        _too_cold(situation, figures),
        Emergency("Drops under an egg-box lid", "", tuple(_drops(situation))),
        Emergency(
            "Mould on an egg",
            "",
            (
                "Put gloves on. Do not sniff at it.",
                "A firm egg stays where it is.",
                "Take a dead egg out only if it lifts freely. Bag it, bin it.",
            ),
        ),
    )


def _power_cut(situation: Situation, figures: PaperFigures) -> Emergency:
    show, set_to = situation.show, situation.plan.control.set_to
    heat, litre = situation.forecast.heat, figures.litre_adds
    night = heat.medium_after_12_h
    shut = "Keep it shut."
    if isinstance(night, Figure):
        shut += f" Coldest room: {show.about_temperature(night.value, night.low, night.high)} after 12 h."
    warm = f"of {show.temperature(set_to)}" if set_to is not None else "as warm as the box"
    bottles = f"Stand shut bottles of water {warm} in it, no warmer."
    if isinstance(litre, Figure):
        measure, share = ("quart", 1000 * UNITS["volume"]["quart"].factor) if show.us else ("litre", 1.0)
        bottles += f" One {measure} adds {show.hours(litre.value * share)}."
    return Emergency(
        "The power is off",
        "",
        (
            f"{shut} {cold_borne(show, heat.hours_to_harm)}",
            bottles,
            "No candle and no burner in the room.",
            "Power back: see that the medium warms up again.",
        ),
    )


def _too_hot(situation: Situation, figures: PaperFigures) -> Emergency:
    show, control = situation.show, situation.plan.control
    cut_out = control.cut_out.set_to if control.cut_out else None
    starts = f"Medium at {show.temperature(cut_out)} (cut-out) or above." if cut_out is not None else ""
    if cut_out is None and control.set_to is not None:
        starts = f"Medium above {show.temperature(control.set_to + SLACK)}."
    stuck = situation.forecast.heat.stuck_on_temperature
    why = ""
    if isinstance(stuck, Figure):
        why = f" Stuck on, it gets to {show.about_temperature(stuck.value, stuck.low, stuck.high)}."
    return Emergency(
        "Too hot",
        f"{starts} {_borne(show, figures.heat)}".strip(),
        (
            "Pull the plug of the heater. Open the outer lid only.",
            "Never cool eggs with ice or cold water.",
            f"Then look at probe and thermostat.{why}",
        ),
    )


def _too_cold(situation: Situation, figures: PaperFigures) -> Emergency:
    show, set_to = situation.show, situation.plan.control.set_to
    starts = f"Medium below {show.temperature(set_to - SLACK)}." if set_to is not None else ""
    keep = f" at {show.temperature(set_to)}" if set_to is not None else ""
    return Emergency(
        "Too cold",
        f"{starts} {_borne(show, figures.cold)}".strip(),
        (
            "Check plug, fuse, cut-out, heater and probe, in this order.",
            f"Leave the set point{keep}. Do not turn it up to hurry.",
        ),
    )


def _borne(show: Show, exposures: tuple[Exposure, ...]) -> str:
    """How long the eggs bear what: "Harm possible: 24 h at 33 °C, at once from 40 °C."."""
    parts = [
        f"{_time(show, one.time)} at {show.temperature(one.temperature)}"
        if one.time
        else f"at once from {show.temperature(one.temperature)}"
        for one in exposures
    ]
    return f"Harm possible: {', '.join(parts)}." if parts else ""


def _time(show: Show, seconds: float) -> str:
    """A time known to a factor of two: in days from two days on, else in hours."""
    return show.days(seconds / DAY) if seconds >= 2 * DAY else show.roughly(seconds)


def _drops(situation: Situation) -> Iterator[str]:
    yield "Wipe the lid dry and shut it. Soak up water at the bottom."
    yield "Lay a sheet of foam on the lid, so that it stays warm."
    water = [
        found.heat.condensation
        for found, box in zip(situation.forecast.egg_boxes, situation.plan.egg_boxes, strict=True)
        if box.holds != "probe"
    ]
    known = [figure for figure in water if isinstance(figure, Figure)]
    if not known:
        return
    most = max(known, key=lambda figure: figure.value)
    show, heat = situation.show, situation.plan.heat
    if most.value * DAY > TRACE:
        amount = show.about_water_a_day(most.value, most.low, most.high).replace(" a day", " of water a day")
        yield f"Forecast: {amount}." + ("" if heat.place == "lid" else " Heat from the lid would end it.")
    elif lid_cools_in_off_times(situation.plan):
        yield "Forecast: the lid can drip while the heater is off. A pulse or dimming thermostat would end it."
    elif max(figure.high for figure in known) * DAY > TRACE:
        highest = max(figure.high for figure in known)
        amount = show.about_water_a_day(highest, highest, highest).removeprefix("about ")
        yield f"Forecast: none or up to {amount}. Look at heater, lid and probe."
    else:
        yield "Forecast: no water gathers. Look at heater, lid and probe."


def scale_tables(situation: Situation, figures: PaperFigures) -> tuple[ScaleTable, ...]:
    """What the scale reads at the checks, for each kind of box with eggs: few days, top-ups among them."""
    show = situation.show
    tables = []
    for box, found, readings in zip(
        situation.plan.egg_boxes, situation.forecast.egg_boxes, figures.readings, strict=True
    ):
        if box.holds == "probe":
            continue
        if not readings:
            reason = getattr(found.water.water_loss, "reason", "")
            tables.append(ScaleTable(box.name, (), f"What the scale should read is not known: {reason}."))
            continue
        kept = _few([reading.day for reading in readings], {top_up.day for top_up in found.water.top_ups})
        rows = tuple(
            Reading(
                f"{reading.day}" + (f", {day_words(reading.date)}" if reading.date else ""),
                about_scale(reading.mass, show),
                scale_text(reading.added, show) if reading.added is not None else "",
                about_scale(reading.after, show) if reading.after is not None else "",
            )
            for reading in readings
            if reading.day in kept
        )
        tables.append(ScaleTable(box.name, rows))
    return tuple(tables)


def _few(days: list[int], wanted: set[int]) -> set[int]:
    """The first day, the last, those with a top-up, and others evenly between up to `MOST_ROWS`."""
    kept = {days[0], days[-1], *wanted}
    step = max(len(days) / MOST_ROWS, 1.0)
    for number in range(MOST_ROWS):
        place = int(number * step)
        if len(kept) < MOST_ROWS and place < len(days):
            kept.add(days[place])
    return kept
