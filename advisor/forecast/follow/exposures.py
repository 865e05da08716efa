"""Times outside the bands of a species, and what hours past its limits do, from the course of the medium."""

import itertools
import math
import operator
from collections.abc import Callable, Sequence
from functools import partial

from advisor.forecast.heat.egg_limits import bearing_of, hot_from
from advisor.formulas.heat.short_exposures import FACTOR, Allowed, Bearing, allowed_cold, allowed_heat, dose
from advisor.formulas.logs.means import Course
from advisor.formulas.logs.steady import DAY, HOUR
from advisor.model.figures import Unknown
from advisor.model.follow import LIKELY, NEAR, POSSIBLE, Outside, Spell
from advisor.model.species import Band, Species

NOW = 3.0 * HOUR  # s at the end of the log that tell how it is now; judgement
STANDS_FOR = HOUR  # s that a reading stands for at most
APART = DAY  # s from one spell to another that is judged by itself; judgement
# s of a spell that comes and goes with the day, and of one day of it; judgement
DAILY, PIECE = (3.0 * DAY, 20.0 * HOUR)
# °C that nights may reach, of eggs from temperate and tropical places; judgement
NIGHTS_DOWN_TO = {True: 15.0, False: 20.0}
# K over the limit of a daily peak from which harm is likely; 41 °C each day killed all of one gecko; judgement
PEAK_LIKELY = 7.0
HARM = ("", NEAR, POSSIBLE, LIKELY)


def outside(course: Course, band: Band | None, species: Species, name: str) -> Outside | Unknown:
    """Minutes that the medium was outside a band of the species."""
    if band is None:
        return Unknown(
            f"the {name} band of {species.name} is not known", (f"species/{species.id}.yaml: {name}",)
        )
    below = above = logged = 0.0
    last: list[float] = []
    end = course[-1][0]
    for (time, value), (after, _) in itertools.pairwise(course):
        minutes = min(after - time, STANDS_FOR) / 60.0
        logged += minutes
        below += minutes if value < band.low else 0.0
        above += minutes if value > band.high else 0.0
        if time >= end - NOW:
            last.append(value)
    now = bool(last) and not band.low <= sum(last) / len(last) <= band.high
    return Outside(below, above, logged, now)


def spells_of(
    course: Course, species: Species, laid: float, halvings: Callable[[float], int]
) -> tuple[Spell, ...]:
    """The times past what weeks would harm, hot and cold, each with what it likely did.

    course of the medium [°C]; laid [s]: from then on the eggs rest, where the species does, as long as all of them do; `halvings`
    of the hours that heat may last, by time [s]. Spells less than a day apart are one.
    """
    eggs, hot = bearing_of(species), hot_from(species)
    found = _side("hot", course, lambda value: value > hot, eggs, halvings)
    rested = laid if species.pause is None else laid + species.pause.days.low * DAY
    for resting in (True, False):
        eggs = bearing_of(species, resting)
        part = [entry for entry in course if (entry[0] < rested) == resting]
        if part and (cold := eggs.cold) is not None:
            found += _side("cold", part, partial(operator.gt, cold), eggs, halvings)
    return tuple(sorted(found, key=lambda spell: spell.begin))


def _side(
    side: str, course: Course, past: Callable[[float], bool], eggs: Bearing, halvings: Callable[[float], int]
) -> list[Spell]:
    pieces: list[tuple[int, int]] = []
    at = 0
    for is_past, part in itertools.groupby(course, key=lambda entry: past(entry[1])):
        length = sum(1 for _ in part)
        pieces += [(at, at + length)] if is_past else []
        at += length
    joined: list[list[tuple[int, int]]] = []
    for piece in pieces:
        if joined and course[piece[0]][0] - course[joined[-1][-1][1] - 1][0] < APART:
            joined[-1].append(piece)
        else:
            joined.append([piece])
    return [_spell(side, course, parts, eggs, halvings) for parts in joined]


def _spell(
    side: str,
    course: Course,
    parts: Sequence[tuple[int, int]],
    eggs: Bearing,
    halvings: Callable[[float], int],
) -> Spell:
    begin, end = course[parts[0][0]][0], course[parts[-1][1] - 1][0]
    lengths = [course[last - 1][0] - course[first][0] for first, last in parts]
    values = [value for first, last in parts for _, value in course[first:last]]
    extreme = max(values) if side == "hot" else min(values)
    daily = len(parts) >= DAILY / DAY and end - begin > DAILY and max(lengths) < PIECE
    stage = halvings(begin)
    judged = [[part] for part in parts] if daily else [list(parts)]
    harm = max((_harm(side, course, each, eggs, stage) for each in judged), key=HARM.index)
    if daily:
        worst = _daily_harm(side, extreme, eggs)
        harm = max(harm, worst, key=HARM.index)
    return Spell(side, begin, end, sum(lengths) / HOUR, extreme, harm, daily)


def _daily_harm(side: str, extreme: float, eggs: Bearing) -> str:
    """What a swing does whose peaks or nights pass the limit on many days."""
    if side == "hot":
        return LIKELY if eggs.hot is not None and extreme >= eggs.hot + PEAK_LIKELY else POSSIBLE
    return POSSIBLE if extreme < NIGHTS_DOWN_TO[eggs.temperate] else ""


def _harm(side: str, course: Course, parts: Sequence[tuple[int, int]], eggs: Bearing, stage: int) -> str:
    def allowed(likely: bool) -> Allowed | None:
        return allowed_heat(eggs, likely, stage) if side == "hot" else allowed_cold(eggs, likely)

    courses = [
        [(time / HOUR, value) for time, value in course[max(first - 1, 0) : last + 1]
         if course[first][0] - STANDS_FOR <= time <= course[last - 1][0] + STANDS_FOR]
        for first, last in parts
    ]  # fmt: skip

    def done(rule: Allowed) -> float:
        return sum(dose(each, rule, each[-1][0]) for each in courses)

    possible, likely = allowed(False), allowed(True)
    if possible is None or likely is None:
        return ""
    amount = done(possible)
    if done(likely) >= 1.0:
        return LIKELY
    return POSSIBLE if amount >= 1.0 else NEAR if math.isfinite(amount) and amount * FACTOR >= 1.0 else ""
