"""Words that all papers share: dates as people read them, lists, counts, plan entries in plain words."""

import datetime
import re
from collections.abc import Sequence

from advisor.model.figures import Figure
from advisor.model.forecast import Window
from advisor.model.papers import MixAmounts
from advisor.model.plan import EggBox, Size
from advisor.units import Show

_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
    "December",
)  # fmt: skip
_UNIT = re.compile(
    r"(?<=\d) (?=(?:°C|°F|g|kg|oz|lb|mm|cm|in|W|h|%|ml|litres?|quarts?|cups|tsp|days?|minutes|seconds|g/g)(?![\w/]))"
)
_ISO_DATE = re.compile(r"\b(\d{4})-(\d{2})-(\d{2})\b")


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


def counted(number: int, word: str, plural: str = "") -> str:
    """ "1 box", "2 boxes"."""
    return f"{number} {word if number == 1 else plural or word + 's'}"


def capital(text: str) -> str:
    """The text with a capital first letter."""
    return text[:1].upper() + text[1:]


def size_words(size: Size, show: Show) -> str:
    """ "55 x 35 x 22 cm"; the unit is said once where all three sides have it."""
    sides = [show.length(side) for side in (size.length, size.width, size.height)]
    unit = sides[0].rpartition(" ")[2]
    if all(side.endswith(f" {unit}") for side in sides):
        return f"{' x '.join(side.removesuffix(f' {unit}') for side in sides)} {unit}"
    return " x ".join(sides)


def about_mass(figure: Figure, show: Show) -> str:
    """A forecast mass with its range: "about 536 g (525 to 553)"."""
    value, between = mass_and_range(figure, show)
    return f"about {value} ({between})" if between else value


def mass_and_range(figure: Figure, show: Show) -> tuple[str, str]:
    """A forecast mass and its range, apart: "536 g" and "525 to 553"; the range is empty where there is none."""
    value, low, high = show.mass(figure.value), show.mass(figure.low), show.mass(figure.high)
    if low == high:
        return value, ""
    unit = f" {value.rpartition(' ')[2]}"
    if low.endswith(unit) and high.endswith(unit):
        low, high = low.removesuffix(unit), high.removesuffix(unit)
    return value, f"{low} to {high}"


def mixing_water(mix: MixAmounts, show: Show) -> str:
    """Water to mix in, on the scale and by volume: "350 g (350 ml)", "12.3 oz (1.5 cups)"."""
    mass = show.mass(mix.water.value)
    if show.us:
        return f"{mass} ({show.volume(mix.water_volume)})"
    # A gram of water is a millilitre as far as any kitchen measure tells.
    number, _, unit = mass.partition(" ")
    return f"{mass} ({number} {'litres' if unit == 'kg' else 'ml'})"


def water_mass(kilograms: float, show: Show) -> str:
    """Water to add, to the gram: no scale in use and no forecast is finer."""
    return show.mass(round(kilograms, 3))


def named_boxes(boxes: Sequence[EggBox]) -> str:
    """ "'eggs' and 'probe'"; more than four are counted."""
    if len(boxes) > 4:
        return f"'{boxes[0].name}' and {len(boxes) - 1} more kinds"
    return joined([f"'{box.name}'" for box in boxes])
