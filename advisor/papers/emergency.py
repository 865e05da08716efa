"""The back of the sheet: what to do when something goes wrong, with this plan's numbers."""

import datetime
from collections.abc import Iterator

from msgspec import Struct

from advisor.constants import DAY
from advisor.model.figures import Figure
from advisor.model.papers import Exposure, PaperFigures
from advisor.rules.engine import Situation
from advisor.rules.shared import cold_borne, lid_cools_in_off_times
from advisor.show import Show
from advisor.units import TRACE, UNITS
from advisor.wording import clutch_names, joined, set_point_words, short_day

SLACK = 1.0  # K off the set point at which to look for the cause; judgement
MOST_DAYS = 3  # clutches whose last days are told on the back; judgement


class Emergency(Struct, frozen=True):
    """One thing that goes wrong, the sign of it in numbers, and the actions in their order."""

    condition: str
    sign: str
    actions: tuple[str, ...]


def emergencies(situation: Situation, figures: PaperFigures) -> tuple[Emergency, ...]:
    """What goes wrong most often, what hurts people first."""
    return (
        Emergency(
            "Smoke, burning smell, shock",
            "",
            ("Power off at the fuse box. Touch nothing wet.", "People out. Call the fire service."),
        ),
        _power_cut(situation, figures),
        _too_hot(situation, figures),
        _too_cold(situation, figures),
        *_drops(situation),
        Emergency(
            "Mould on an egg",
            "",
            ("Gloves on. Do not sniff.", "Firm egg: leave it. Dead egg: out if it lifts freely, bag, bin."),
        ),
        Emergency(
            "Dented eggs",
            "",
            (
                "Early: too dry. Weigh the box. Add warm water at its edge, never on eggs.",
                "Last weeks: normal.",
            ),
        ),
        Emergency("Overdue", "", tuple(_overdue(situation))),
    )


def _power_cut(situation: Situation, figures: PaperFigures) -> Emergency:
    show, held = situation.show, figures.held
    litre = figures.litre_adds
    warm = f"of {show.temperature(held[1])}" if held else "as warm as the box"
    bottles = f"Put in closed bottles of water {warm}, no warmer."
    if isinstance(litre, Figure):
        measure, share = ("quart", 1000 * UNITS["volume"]["quart"].factor) if show.us else ("litre", 1.0)
        bottles += f" Each {measure} adds {show.hours(litre.value * share)}."
    cold = cold_borne(show, situation.forecast.heat.hours_to_harm).replace("that.", "the coldest room.")
    return Emergency("The power is off", "", (f"Keep it shut. {cold}", bottles, "No candle, no burner."))


def _too_hot(situation: Situation, figures: PaperFigures) -> Emergency:
    show, control = situation.show, situation.plan.control
    cut_out = control.cut_out.set_to if control.cut_out else None
    starts = f"From {show.temperature(cut_out)} (cut-out) on." if cut_out is not None else ""
    if cut_out is None and figures.held:
        starts = f"Above {show.temperature(figures.held[1] + SLACK)}."
    return Emergency(
        "Too hot",
        f"{starts} {_borne(show, figures.heat)}".strip(),
        (
            "Unplug the heater. Open the outer lid only.",
            "No ice, no cold water on eggs.",
            "Check probe and thermostat.",
        ),
    )


def _too_cold(situation: Situation, figures: PaperFigures) -> Emergency:
    show, control = situation.show, situation.plan.control
    words = set_point_words(control, show)
    starts = f"Below {show.temperature(figures.held[0] - SLACK)}." if figures.held else ""
    keep = f" at {words}" if words else ""
    return Emergency(
        "Too cold",
        f"{starts} {_borne(show, figures.cold)}".strip(),
        ("Check plug, fuse, cut-out, heater, probe.", f"Leave the set point{keep}."),
    )


def _overdue(situation: Situation) -> Iterator[str]:
    names = clutch_names(situation.plan.clutches, situation.species)
    pairs = list(zip(names, situation.plan.clutches, situation.forecast.clutches, strict=True))
    expected = [
        (name, found.laying_window[1])
        for name, clutch, found in pairs
        if found.laying_window and clutch.laid_on is None and not clutch.nth
    ]
    yield f"Female{_by(expected, 'not laid')}, or straining: vet at once."
    hatching = [(name, found.hatch_window[1]) for name, _, found in pairs if found.hatch_window]
    yield f"Eggs{_by(hatching, 'not hatched')}: leave them, ask the vet. Cut none open."


def _by(last_days: list[tuple[str, datetime.date]], what: str) -> str:
    """ " not laid by 16 May"; with several clutches each by its own day, with many by the day on the front."""
    if len({day for _, day in last_days}) == 1:
        return f" {what} by {short_day(last_days[0][1])}"
    if 0 < len(last_days) <= MOST_DAYS:
        return f" {what} by " + joined([f"{short_day(day)} ({name})" for name, day in last_days])
    return f" {what} by the last day on the front" if last_days else f" {what} in time"


def _borne(show: Show, exposures: tuple[Exposure, ...]) -> str:
    """How long the eggs bear what: "Harm: 24 h at 33 °C, at once from 40 °C."."""
    parts = [
        f"{_time(show, one.time)} at {show.temperature(one.temperature)}"
        if one.time
        else f"at once from {show.temperature(one.temperature)}"
        for one in exposures
    ]
    return f"Harm: {', '.join(parts)}." if parts else ""


def _time(show: Show, seconds: float) -> str:
    """A time known to a factor of two: in days from two days on, else in hours."""
    return show.days(seconds / DAY) if seconds >= 2 * DAY else show.roughly(seconds)


def _drops(situation: Situation) -> Iterator[Emergency]:
    if situation.plan.has_lids:
        yield Emergency("Drops under an egg-box lid", "", tuple(_under_lids(situation)))


def _under_lids(situation: Situation) -> Iterator[str]:
    yield "Wipe the lid dry, shut it. Lay foam on it."
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
        amount = show.figure(most).replace(" a day", " of water a day")
        yield f"Forecast: {amount}." + ("" if heat.place == "lid" else " Heat from the lid would end it.")
    elif lid_cools_in_off_times(situation.plan):
        yield "Forecast: the lid can drip while the heater is off. A pulse or dimming thermostat would end it."
    elif max(figure.high for figure in known) * DAY > TRACE:
        highest = max(figure.high for figure in known)
        amount = show.about_water_a_day(highest, highest, highest).removeprefix("about ")
        yield f"Forecast: none or up to {amount}. Look at heater, lid and probe."
    else:
        yield "Forecast: no water gathers. Look at heater, lid and probe."
