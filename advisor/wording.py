"""Words that all papers share: dates as people read them, lists, counts, plan entries in plain words."""

import datetime
import re
from collections.abc import Mapping, Sequence
from fractions import Fraction

from advisor.model.figures import Figure
from advisor.model.forecast import Window
from advisor.model.papers import MixAmounts
from advisor.model.plan import Clutch, Control, EggBox, Medium, SetPointStep, Size
from advisor.model.species import Species
from advisor.show import Show
from advisor.units import UNITS

_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
    "December",
)  # fmt: skip
_UNIT = re.compile(
    r"(?<=\d) (?=(?:°C|°F|g|kg|oz|lb|mm|cm|in|W|h|%|ml|litres?|quarts?|cups|tsp|days?|minutes|seconds|g/g)(?![\w/]))"
)
INCH = UNITS["length"]["in"].factor  # m
DRILLS = 64  # steps of drills to an inch; common practice, no source
OUNCE = UNITS["mass"]["oz"].factor  # kg
WIDE_SCALE = 10 * OUNCE  # kg; a range of so much is told in whole ounces; judgement
_ISO_DATE = re.compile(r"\b(\d{4})-(\d{2})-(\d{2})\b")


def clutch_names(clutches: Sequence[Clutch], species: Mapping[str, Species]) -> tuple[str, ...]:
    """ "corn snake", or "corn snake 2" where a species lays more than once."""
    ids = [clutch.species for clutch in clutches]
    return tuple(
        species[name].name + (f" {ids[: place + 1].count(name)}" if ids.count(name) > 1 else "")
        for place, name in enumerate(ids)
    )


def day_words(day: datetime.date) -> str:
    """ "Sun 9 May 2027": day first and month as a word, so that nobody can mix them up."""
    return f"{_DAYS[day.weekday()]} {day.day} {_MONTHS[day.month - 1]} {day.year}"


def short_day(day: datetime.date) -> str:
    """ "9 May"."""
    return f"{day.day} {_MONTHS[day.month - 1][:3]}"


def weekday_words(day: datetime.date) -> str:
    """ "Sun 9 May", where a column has no room for the year."""
    return f"{_DAYS[day.weekday()]} {short_day(day)}"


def month_words(day: datetime.date) -> str:
    """ "May 2027"."""
    return f"{_MONTHS[day.month - 1][:3]} {day.year}"


def window_words(window: Window) -> str:
    """ "9 to 16 May 2027"; what both ends share is said once."""
    first, last = window
    if first == last:
        return day_words(first)
    end = f"{last.day} {_MONTHS[last.month - 1]} {last.year}"
    if (first.year, first.month) == (last.year, last.month):
        return f"{first.day} to {end}"
    start = f"{first.day} {_MONTHS[first.month - 1]}"
    return f"{start} to {end}" if first.year == last.year else f"{start} {first.year} to {end}"


def middle_day(window: Window) -> datetime.date:
    """The day to count from while only a window is known; no date is then further off than it has to be."""
    return window[0] + (window[1] - window[0]) // 2


def trial_end(start: datetime.date, days: float) -> datetime.date:
    """The last day of a trial run of some days."""
    return start + datetime.timedelta(days=max(round(days), 1) - 1)


def with_plain_dates(text: str) -> str:
    """The text with dates such as 2027-05-09 as people read them."""

    def plain(found: re.Match[str]) -> str:
        try:
            return day_words(datetime.date(*(int(part) for part in found.groups())))
        except ValueError:
            return found[0]

    return _ISO_DATE.sub(plain, text)


def glued(text: str) -> str:
    """The text with a space that never breaks between a number and its unit."""
    return _UNIT.sub("\u00a0", text)


def joined(words: Sequence[str], last: str = "and") -> str:
    """ "a, b and c"."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"


def capital(text: str) -> str:
    """The text with a capital first letter."""
    return text[:1].upper() + text[1:]


def size_words(size: Size, show: Show) -> str:
    """ "55 x 35 x 22 cm"; the unit is said once where all three sides have it. Of a jar "12 cm across, 15 cm high"."""
    if size.round and size.length == size.width:
        return f"{show.length(size.length)} across, {show.length(size.height)} high"
    sides = [show.length(side) for side in (size.length, size.width, size.height)]
    unit = sides[0].rpartition(" ")[2]
    if all(side.endswith(f" {unit}") for side in sides):
        return f"{' x '.join(side.removesuffix(f' {unit}') for side in sides)} {unit}"
    return " x ".join(sides)


def set_point_words(control: Control, show: Show) -> str:
    """ "29 °C", "29 °C by day and 26 °C by night (12 h)", "25 °C, then 27.5 °C from day 60"; nothing where it is not told."""
    if not control.programme:
        return "" if control.set_to is None else show.temperature(control.set_to)
    first = control.programme[0]
    if first.night is not None:
        night = f"{show.temperature(first.night)} by night ({show.hours(first.night_lasts)})"
        return f"{show.temperature(first.set_to)} by day and {night}"
    later = (
        f", then {show.temperature(step.set_to)} from {begin_words(step)}" for step in control.programme[1:]
    )
    return show.temperature(first.set_to) + "".join(later)


def begin_words(step: SetPointStep) -> str:
    """ "day 60", or "Wed 30 June 2027"."""
    return f"day {step.from_day or 0}" if step.from_ is None else day_words(step.from_)


def hole_size(diameter: float, show: Show) -> str:
    """The diameter [m] of a hole to make: in mm, or in the fractions of an inch that drills come in."""
    if not show.us:
        return show.length(diameter)
    return f"{Fraction(max(round(diameter / INCH * DRILLS), 1), DRILLS)} in"


def scale_text(mass: float, show: Show, decimals: int = 1) -> str:
    """A mass [kg] as a kitchen scale shows it: whole grams, or ounces to a tenth."""
    return f"{mass / OUNCE:.{decimals}f} oz" if show.us else f"{mass * 1000:.0f} g"


def scale_range(figure: Figure, show: Show) -> tuple[str, str]:
    """A mass to weigh and its range, apart, as a kitchen scale shows them: "1028 g" and "1006 to 1050"."""
    decimals = 0 if figure.high - figure.low >= WIDE_SCALE else 1
    low, high = (scale_text(end, show, decimals).partition(" ")[0] for end in (figure.low, figure.high))
    return scale_text(figure.value, show, decimals), "" if low == high else f"{low} to {high}"


def about_scale(figure: Figure, show: Show) -> str:
    """A mass to weigh with its range: "about 1028 g (1006 to 1050)"."""
    value, between = scale_range(figure, show)
    return f"about {value} ({between})" if between else value


def dry_media(medium: Medium, volume: float, show: Show) -> str:
    """ "1.4 litres of dry vermiculite"; of a mixture each part: "700 ml of dry vermiculite, 700 ml of perlite"."""
    second = medium.mixed_with
    if second is None:
        return f"{show.volume(volume)} of dry {medium.material}"
    first = show.volume(volume * (1.0 - second.share))
    return f"{first} of dry {medium.material}, {show.volume(volume * second.share)} of {second.material}"


def mixing_water(mix: MixAmounts, show: Show) -> str:
    """Water to mix in, on the scale and by volume: "350 g (350 ml)", "12.3 oz (1.5 cups)"."""
    mass = scale_text(mix.water.value, show)
    if show.us:
        return f"{mass} ({show.volume(mix.water_volume)})"
    # A gram of water is a millilitre as far as any kitchen measure tells.
    return f"{mass} ({mass.removesuffix(' g')} ml)"


def named_boxes(boxes: Sequence[EggBox]) -> str:
    """ "'eggs' and 'probe'"; more than four are counted."""
    if len(boxes) > 4:
        return f"'{boxes[0].name}' and {len(boxes) - 1} more kinds"
    return joined([f"'{box.name}'" for box in boxes])


def profile_examples(species: Species, show: Show) -> dict[str, str]:
    """Examples that fit a species, by the entry of a plan with its indexes left away: what the profile says of it."""
    eggs, mixes, cool = species.eggs, species.medium.mixes, species.cool_period
    following = species.laying.next_clutch if species.laying else None
    found = {
        "clutches[].egg_mass": eggs.mass and show.mass((eggs.mass.low + eggs.mass.high) / 2),
        "clutches[].eggs": eggs.clutch and f"{(eggs.clutch.low + eggs.clutch.high) / 2:.0f}",
        "clutches[].placed": "attached to its surface" if eggs.glued_to_surface else None,
        "clutches[].cool_period": cool
        and f"{{at: {show.temperature((cool.at.low + cool.at.high) / 2)}, days: {(cool.days.low + cool.days.high) / 2:.0f}}}",
        "clutches[].repeats.every": following and show.days_range(following.low, following.high),
        "control.set_to": species.aim and show.temperature((species.aim.low + species.aim.high) / 2),
        "egg_boxes[].medium.mix": mixes
        and f"{{medium: {mixes[0].mix.medium:g}, water: {mixes[0].mix.water:g}, by: {mixes[0].mix.by}}}",
    }
    return {entry: example for entry, example in found.items() if example}
