"""What hours of heat or cold do to eggs: the time allowed at a temperature, and the dose of a changing one.

A limit found at constant temperatures tells what weeks do, not hours: fence-lizard embryos that die at a constant
36 °C lived through peaks of 40 °C (Angilletta et al. 2000, Ecology 81:2957). The rule has the form of heat-death
curves of ectotherms, where the time allowed falls by one factor for each degree (Jorgensen et al. 2021, Sci Rep
11:12840). Its constants are judgement, laid through what was published: 48 h at 2 K above harm cost no sea-turtle
eggs (Howard et al. 2015, J Exp Biol 218:3330), a short 8 K is the edge and 9 to 10 K kill fence-lizard and anole
embryos (Levy et al. and Hall, meeting abstracts); five days at 8 to 17 °C killed no fence lizards (Andrews, Qualls &
Rose 1997, Copeia 827), five days at 15 °C killed wall lizards (Simoniello 2016). Hours are known to a factor of two at
best. No hot spell was tried on eggs of snakes, monitors, chameleons or tortoises; cold of tropical eggs is judgement.
"""

import math
from collections.abc import Callable, Sequence

from msgspec import Struct

FACTOR = 2.0  # [-], either way, to which hours are known at best; judgement
_ONE_KELVIN = 48.0  # h allowed at 1 K above the limit; judgement after Howard et al. 2015
_TENFOLD = 4.0  # K for which the hours fall tenfold; judgement
_LIKELY = 5.0  # [-], hours until harm is likely over hours until it is possible; judgement

# K above the limit, and °C, from which harm is possible, and likely, at once; judgement after the trials named above.
_AT_ONCE = {False: ((8.0, 42.0), (9.0, 43.0)), True: ((6.0, 40.0), (8.0, 42.0))}
_COOL_CLIMATE = 30.0  # °C; eggs harmed from here or less bear no more than those of turtles; judgement

# At 0, 5, 10, 15, 20 °C: hours until harm is possible and likely, of eggs from temperate and from tropical places. Temperate from Andrews
# et al. 1997 against Simoniello 2016 and, at 5 °C, from 14 h at 7 to 10 °C that harmed no sea turtles (Harry & Limpus
# 1989); at 0 °C ice. All else judgement.
_COLD = (
    ((1.0, 6.0), (0.5, 2.0)),
    ((12.0, 72.0), (2.0, 12.0)),
    ((48.0, 240.0), (8.0, 48.0)),
    ((72.0, 336.0), (24.0, 120.0)),
    ((240.0, 720.0), (72.0, 240.0)),
)
# ln(hours), by climate (temperate or not) and harm (likely or possible).
_COLD_LOGARITHMS = {
    (temperate, likely): tuple(math.log((mild if temperate else warm)[likely]) for mild, warm in _COLD)
    for temperate in (False, True)
    for likely in (False, True)
}
RESTING_LIMIT = 16.0  # °C; eggs at rest bore it for four months (Andrews et al. 2008, Chamaeleo chamaeleon)


class Bearing(Struct, frozen=True):
    """What eggs bear: `hot` and `cold` [°C] harm over weeks (None: not known); `temperate`: from a cool climate.

    `tender` eggs (turtles and tortoises) die at once at a lower temperature.
    """

    hot: float | None
    cold: float | None
    temperate: bool
    tender: bool


Allowed = Callable[[float], float]


def hours_of_heat(temperature: float, limit: float, likely: bool = False, halvings: int = 0) -> float:
    """Hours at one temperature until harm of heat is possible, or likely.

    temperature [°C]; limit [°C], above which weeks do harm; halvings [-], 0 to 2: one in the first third, when
    organs form, or in the last quarter, when oxygen is short; one more under 17 % oxygen (judgement after Hall &
    Warner 2019 and Smith et al. 2015). Result [h], infinite at the limit and below. Known to a factor of two.
    Reference: 48 h at 1 K above the limit, a tenth for each 4 K more; likely after five times as long (judgement;
    form from Jorgensen et al. 2021).
    """
    above = temperature - limit
    if above <= 0.0:
        return math.inf
    possible: float = _ONE_KELVIN * 10.0 ** (-(above - 1.0) / _TENFOLD) / 2.0**halvings
    return possible * _LIKELY if likely else possible


def hot_at_once(eggs: Bearing, likely: bool = False) -> float:
    """Temperature [°C] at which minutes do harm: possible, or likely.

    eggs: what they bear. Reference: 8 K above the limit or 42 °C, whichever is less (9 K or 43 °C: likely); of turtles,
    tortoises, and eggs whose limit is 30 °C or less, 6 K or 40 °C (8 K or 42 °C): judgement, see the module.
    """
    tender = eggs.tender or (eggs.hot is not None and eggs.hot <= _COOL_CLIMATE)
    above, ceiling = _AT_ONCE[tender][likely]
    return ceiling if eggs.hot is None else min(eggs.hot + above, ceiling)


def hours_of_cold(temperature: float, limit: float, temperate: bool, likely: bool = False) -> float:
    """Hours at one temperature until harm of cold is possible, or likely.

    temperature [°C]; limit [°C], below which weeks do harm; temperate: eggs from a cool climate. Result [h], infinite at
    the limit and above; between 20 °C and the limit as at 20 °C, below 0 °C as at 0 °C. Known to a factor of two.
    Reference: table of the module, logarithm of the hours interpolated over the temperature.
    """
    if temperature >= limit:
        return math.inf
    rows = _COLD_LOGARITHMS[temperate, likely]
    place = min(max(temperature, 0.0), 20.0) / 5.0
    row = min(int(place), 3)
    return math.exp(rows[row] + (place - row) * (rows[row + 1] - rows[row]))


def allowed_heat(eggs: Bearing, likely: bool = False, halvings: int = 0) -> Allowed:
    """Hours that eggs may spend at a temperature on the hot side; 0 where it harms at once.

    eggs: what they bear; likely and halvings as in `hours_of_heat`. Result: a function of the temperature [°C].
    """
    at_once, limit = hot_at_once(eggs, likely), eggs.hot

    def hours(temperature: float) -> float:
        if temperature >= at_once:
            return 0.0
        return math.inf if limit is None else hours_of_heat(temperature, limit, likely, halvings)

    return hours


def allowed_cold(eggs: Bearing, likely: bool = False) -> Allowed | None:
    """Hours that eggs may spend at a temperature on the cold side, as a function of it [°C]; None where not known."""
    limit = eggs.cold
    if limit is None:
        return None
    return lambda temperature: hours_of_cold(temperature, limit, eggs.temperate, likely)


def dose(course: Sequence[tuple[float, float]], allowed: Allowed, until: float = math.inf) -> float:
    """Dose of a changing temperature: harm is possible, or likely, from 1 on.

    course: hours [h] that rise and temperatures [°C]; allowed: hours at each temperature; until [h], the end of what
    counts. After its last point the course stays where it is. Result [-], infinite where some temperature harms at once.
    Reference: integral of dt over the time allowed, by trapezoids; spells a day apart are judged one by one.
    """
    done, (start, before) = 0.0, course[0]
    for end, after in course[1:]:
        if start >= until:
            return done
        last = min(end, until)
        if last < end:
            after = before + (after - before) * (last - start) / (end - start)
        done += (last - start) * (_rate(allowed(before)) + _rate(allowed(after))) / 2.0
        start, before = end, after
    rest = until - start
    return done + rest * _rate(allowed(before)) if rest > 0.0 and allowed(before) < math.inf else done


def hours_to_dose(course: Sequence[tuple[float, float]], allowed: Allowed, target: float = 1.0) -> float:
    """Hours until the dose of a course reaches a target.

    course and allowed as in `dose`; target [-], above 0. Result [h], infinite where it never does. Reference: `dose`.
    """
    done, (start, first) = 0.0, course[0]
    before = _rate(allowed(first))
    for end, temperature in course[1:]:
        after = _rate(allowed(temperature))
        step = (end - start) * (before + after) / 2.0
        if done + step >= target:
            return start if math.isinf(step) else start + (end - start) * (target - done) / step
        done, start, before = done + step, end, after
    return start + (target - done) / before if before > 0.0 else math.inf


def _rate(hours: float) -> float:
    return 1.0 / hours if hours > 0.0 else math.inf
