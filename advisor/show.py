"""How an SI number is shown to the keeper: in the own units, and no finer than it is known."""

import math
import re
from collections.abc import Callable

from msgspec import Struct

from advisor.constants import DAY, WATER_DENSITY
from advisor.model.figures import Figure
from advisor.units import INCH, POUND, QUANTITIES, TRACE, UNITS, celsius_to_fahrenheit, number

LARGEST_SPOONS = 6.0  # tsp (one fluid ounce); more water is told in ounces; judgement
BOX_FAILS = 100.0  # °C past which no forecast is told: foam and plastic fail before; judgement
WIDE_DEGREES = 20.0  # degrees; a range of more is told in whole ones; judgement
SINGULAR = {"days": "day", "minutes": "minute", "litres": "litre", "cups": "cup", "quarts": "quart"}
WIDE_CONTENT = 0.5  # g/g; a range of so much water is told to a tenth; judgement

# A value in metric units with the same in US units behind it: "1.5 to 2 °C (3 to 4 °F)", "2 mm (about 1/16 in)".
_BOTH = re.compile(r"(?P<metric>[\d.]+(?: to [\d.]+)? (?:°C|mm|cm)) \((?P<us>[^()]*\d (?:°F|in))\)")


class Show(Struct, frozen=True):
    """Shows SI numbers in the keeper's units ("metric" or "us")."""

    system: str = "metric"

    @property
    def us(self) -> bool:
        """Whether US units are shown."""
        return self.system == "us"

    def temperature(self, celsius: float) -> str:
        """A temperature [°C] to a tenth of a °C, or to a whole °F; of something hotter than boiling water to ten °F."""
        if self.us and celsius > BOX_FAILS:
            return f"{celsius_to_fahrenheit(celsius) / 10:.0f}0 °F"
        if self.us:
            return f"{celsius_to_fahrenheit(celsius):.0f} °F"
        return f"{_fixed(celsius, 1)} °C"

    @property
    def settable(self) -> float:
        """Step of the temperatures that can be shown without rounding [K], counted from 0 °C."""
        return 5 / 9 if self.us else 0.1

    def temperature_range(self, low: float, high: float) -> str:
        """A range of temperatures [°C]."""
        return _joined(self.temperature(low), self.temperature(high))

    def own_units(self, text: str) -> str:
        """A fixed text that names a value in both systems, "60 °C (140 °F)", with the keeper's own alone."""
        return _BOTH.sub(lambda found: found["us"] if self.us else found["metric"], text)

    def step(self, kelvin: float) -> str:
        """A temperature difference [K] to a tenth."""
        return f"{_fixed(kelvin * 9 / 5, 1)} °F" if self.us else f"{_fixed(kelvin, 1)} °C"

    def tolerance(self, kelvin: float) -> str:
        """A tolerance [K] to hold a reading against: a step, in whole °F."""
        return f"{kelvin * 9 / 5:.0f} °F" if self.us else self.step(kelvin)

    def step_range(self, low: float, high: float) -> str:
        """A range of temperature differences [K]."""
        return _joined(self.step(low), self.step(high))

    def length(self, metres: float) -> str:
        """A length [m]: mm below 2 cm, else cm; or inches, below one inch in fractions as a ruler or a drill has them."""
        if self.us:
            return f"{_inches(metres / INCH)} in"
        return f"{number(metres * 1000, 2)} mm" if abs(metres) < 0.02 else f"{number(metres * 100)} cm"

    def length_range(self, low: float, high: float) -> str:
        """A range of lengths [m]."""
        return _joined(self.length(low), self.length(high))

    def mass(self, kilograms: float) -> str:
        """A mass [kg]: g below 1 kg, else kg; or ounces and pounds. Three digits, of less than 10 g or 10 oz two."""
        unit = self._mass_unit(kilograms)
        amount = kilograms / UNITS["mass"][unit].factor
        return f"{number(amount, 2 if unit in ('g', 'oz') and abs(amount) < 10 else 3)} {unit}"

    def mass_range(self, low: float, high: float) -> str:
        """A range of masses [kg]."""
        return _joined(self.mass(low), self.mass(high))

    def mass_two_digits(self, kilograms: float) -> str:
        """A mass [kg] that is known roughly: two digits."""
        unit = self._mass_unit(kilograms)
        return f"{number(kilograms / UNITS['mass'][unit].factor, 2)} {unit}"

    def _mass_unit(self, kilograms: float) -> str:
        if self.us:
            return "lb" if abs(kilograms) >= 2 * POUND else "oz"
        return "kg" if abs(kilograms) >= 1 else "g"

    def volume(self, cubic_metres: float) -> str:
        """A volume [m3]: ml below 1 litre, else litres; or teaspoons, cups and quarts."""
        if self.us:
            cups = cubic_metres / UNITS["volume"]["cup"].factor
            if cups < 0.25:
                return f"{number(cups * 48, 2)} tsp"
            return _counted(number(cups, 2), "cups") if cups < 8 else _counted(number(cups / 4, 2), "quarts")
        litres = cubic_metres * 1000
        return f"{number(litres * 1000, 2)} ml" if litres < 1 else _counted(number(litres, 2), "litres")

    def spoons(self, cubic_metres: float) -> str:
        """A volume [m3] in kitchen measures, no finer than anyone measures: "1 1/4 cups, 2 tbsp, 1/2 tsp"."""
        spoon = UNITS["volume"]["tsp"].factor
        step = 0.25 if cubic_metres < 48 * spoon else 3.0 if cubic_metres < 192 * spoon else 12.0  # tsp
        left = round(cubic_metres / spoon / step) * step
        told = []
        for name, size, smallest in (("cup", 48.0, 0.25), ("tbsp", 3.0, 1.0), ("tsp", 1.0, 0.25)):
            number_of = math.floor(left / size / smallest) * smallest
            left -= number_of * size
            if number_of:
                plural = "s" if name == "cup" and number_of > 1 else ""
                told.append(f"{_quarters(number_of)} {name}{plural}")
        return ", ".join(told) or "less than 1/4 tsp"

    def power(self, watts: float) -> str:
        """A power [W] to two significant digits."""
        return f"{number(watts, 2)} W"

    def hours(self, seconds: float) -> str:
        """A duration [s] in hours, or minutes below one hour."""
        hours = seconds / 3600
        return _counted(number(hours * 60, 2), "minutes") if hours < 1 else f"{number(hours, 2)} h"

    def days(self, days: float) -> str:
        """A duration [days] as whole days."""
        return _counted(f"{round(days)}", "days")

    def days_range(self, low: float, high: float) -> str:
        """A range of durations [days]."""
        return self.days(high) if round(low) == round(high) else f"{round(low)} to {self.days(high)}"

    def about_temperature(self, value: float, low: float, high: float) -> str:
        """A forecast temperature [°C] with its range, to half a °C or a whole °F: "about 35.5 °C (33.5 to 37)"."""
        if value > BOX_FAILS:
            return f"more than {self.temperature(BOX_FAILS)}"
        if self.us:
            return _about(value, low, high, "°F", lambda celsius: _fixed(celsius_to_fahrenheit(celsius), 0))
        return _about(value, low, high, "°C", _whole if high - low > WIDE_DEGREES else _to_half)

    def about_step(self, value: float, low: float, high: float) -> str:
        """A forecast temperature difference [K] with its range: to a half, below one to one digit."""
        degree, unit = (5 / 9, "°F") if self.us else (1.0, "°C")
        shown = _whole if high - low > WIDE_DEGREES * degree else _to_half_or_digit
        return _about(value / degree, low / degree, high / degree, unit, shown)

    def about_power(self, value: float, low: float, high: float) -> str:
        """A forecast power [W] with its range, to two digits."""
        return _about_in(1.0, value, low, high, "W")

    def about_percent(self, value: float, low: float, high: float) -> str:
        """A forecast share (0 to 1) with its range, in whole percent of at most two digits."""
        return _about_in(0.01, value, low, high, "%", finest=1.0)

    def about_hours(self, value: float, low: float, high: float) -> str:
        """A forecast duration [s] with its range: hours to a tenth, from ten to one; below one hour minutes to five."""
        if value >= 3600:
            return _about_in(3600.0, value, low, high, "h", finest=0.1)
        step = 5 if value >= 600 else 1
        return _about(value, low, high, "minutes", lambda seconds: f"{step * round(seconds / 60 / step)}")

    def roughly(self, seconds: float) -> str:
        """A duration [s] known to a quarter: half hours, from ten on hours, below one hour 5 minutes, at the end one."""
        if seconds >= 3600 * 0.95:
            hours = round(seconds / 1800) / 2 if seconds < 36000 else round(seconds / 3600)
            return "an hour" if hours == 1 else f"{number(hours, 9)} h"
        minutes = 5 * round(seconds / 300) if seconds >= 600 else max(1, round(seconds / 60))
        return "a minute" if minutes == 1 else f"{minutes} minutes"

    def about_water_a_day(self, value: float, low: float, high: float) -> str:
        """A forecast flow of water [kg/s] with its range, to one digit: g a day, or tsp or oz a day."""
        most = high * DAY
        per_unit = {"g": 1e-3, "tsp": WATER_DENSITY * UNITS["volume"]["tsp"].factor, "oz": POUND / 16}  # kg
        unit = "g" if not self.us else "tsp" if most < LARGEST_SPOONS * per_unit["tsp"] else "oz"
        value, low, high = (flow if flow * DAY >= TRACE else 0.0 for flow in (value, low, high))
        return _about_in(per_unit[unit] / DAY, value, low, high, f"{unit} a day", digits=1)

    def about(self, quantity: str, value: float, low: float, high: float) -> str:
        """A forecast figure of any quantity of `QUANTITIES` with its range, no finer than it is known."""
        fixed: dict[str, Callable[[float, float, float], str]] = {
            "temperature": self.about_temperature,
            "step": self.about_step,
            "power": self.about_power,
            "share": self.about_percent,
            "hours": self.about_hours,
            "mass": self.about_mass,
            "volume": self.about_volume,
            "mass per day": self.about_water_a_day,
        }
        if quantity in fixed:
            return fixed[quantity](value, low, high)
        if quantity == "days":
            return _about_in(1.0, value, low, high, "days", 9, 1.0)
        if quantity == "count":
            return _about(value, low, high, "", lambda count: f"{count:.0f}")
        plain = {
            "gas share": (0.01, "%", 0.0),
            "conductance": (9 / 5, "W for each °F", 0.0) if self.us else (1.0, "W for each °C", 0.0),
            "water content": (1.0, "g/g", 0.1 if high - low >= WIDE_CONTENT else 0.01),
            "water potential": (1000.0, "kPa", 0.0),
        }
        if quantity not in plain:
            raise ValueError(f"quantity is {quantity!r}: must be one of {', '.join(QUANTITIES)}")
        size, unit, finest = plain[quantity]
        return _about_in(size, value, low, high, unit, 3 if finest else 2, finest)

    def figure(self, figure: Figure) -> str:
        """A forecast figure with its range."""
        return self.about(figure.quantity, figure.value, figure.low, figure.high)

    def about_mass(self, value: float, low: float, high: float) -> str:
        """A forecast mass [kg] with its range, all three in the unit that suits the typical value."""
        unit = self._mass_unit(value)
        digits = 3 if high - low <= abs(value) / 10 else 2
        told = _about_in(UNITS["mass"][unit].factor, value, low, high, unit, digits)
        return told.removeprefix("about ") if math.isclose(low, high) else told

    def about_volume(self, value: float, low: float, high: float) -> str:
        """A forecast volume [m3] with its range, all three in the unit that suits the typical value."""
        if self.us:
            cups = value / UNITS["volume"]["cup"].factor
            unit, size = (
                ("tsp", "tsp") if cups < 0.25 else ("cups", "cup") if cups < 8 else ("quarts", "quart")
            )
        else:
            unit, size = ("ml", "ml") if value < 1e-3 else ("litres", "l")
        told = _about_in(UNITS["volume"][size].factor, value, low, high, unit)
        return told.removeprefix("about ") if math.isclose(low, high) else told

    def percent(self, share: float) -> str:
        """A share (0 to 1) as whole percent."""
        return f"{share * 100:.0f} %"

    def percent_range(self, low: float, high: float) -> str:
        """A range of shares (0 to 1)."""
        return _joined(self.percent(low), self.percent(high))

    def water_content(self, content: float) -> str:
        """Water in the medium [kg/kg] as grams of water per gram of dry medium."""
        return f"{number(content, 2)} g/g"

    def water_content_range(self, low: float, high: float) -> str:
        """A range of water contents [kg/kg]."""
        return _joined(self.water_content(low), self.water_content(high))


def counted(amount: float, word: str, plural: str = "") -> str:
    """ "1 box", "2 boxes", "0.5 days"."""
    shown = number(amount, 9)
    return f"{shown} {word if shown == '1' else plural or word + 's'}"


def _counted(shown: str, words: str) -> str:
    """A number with its unit, the one or the many: "1 litre", "0.5 litres"."""
    return f"{shown} {SINGULAR[words] if shown == '1' else words}"


def _quarters(value: float) -> str:
    """A number in whole quarters, as a recipe writes it: "1 1/4"."""
    whole, part = divmod(round(value * 4), 4)
    fraction = ("", "1/4", "1/2", "3/4")[part]
    return " ".join(piece for piece in (str(whole) if whole else "", fraction) if piece)


def _inches(value: float) -> str:
    """Inches: from one on to two digits, below in eighths, the finer the smaller, down to sixty-fourths below an eighth."""
    steps = next(
        parts for end, parts in ((1 / 8, 64), (1 / 4, 32), (1 / 2, 16), (math.inf, 8)) if value < end
    )
    count = round(value * steps)
    if count <= 0 or value >= 1:
        return number(value, 2)
    if count == steps:
        return "1"
    shared = math.gcd(count, steps)
    return f"{count // shared}/{steps // shared}"


def _whole(value: float) -> str:
    return _fixed(value, 0)


def _to_half(value: float) -> str:
    return _fixed(round(value * 2) / 2, 1)


def _to_half_or_digit(value: float) -> str:
    return _to_half(value) if abs(value) >= 1 else number(round(value, 1), 1)


def _fixed(value: float, decimals: int) -> str:
    """A number to some decimals without zeros at the end of its decimals and without "-0"."""
    text = f"{value:.{decimals}f}"
    if decimals:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _about(value: float, low: float, high: float, unit: str, shown: Callable[[float], str]) -> str:
    """A value with its range; only "0" when neither end differs from it, since nothing is then "about" it."""
    typical, least, most = shown(value), shown(low), shown(high)
    if typical == "1":
        unit = SINGULAR.get(unit, unit)
    told = f"{typical} {unit}".strip()
    if least == most:
        return told if typical == "0" else f"about {told}"
    return f"about {told} ({least} to {most})"


def _about_in(
    size: float, value: float, low: float, high: float, unit: str, digits: int = 2, finest: float = 0.0
) -> str:
    """A value with its range in a unit of some size [SI]: to some digits, a tenth of the range or `finest`, whichever
    is coarsest.
    """
    width = (high - low) / size
    step = max(10.0 ** math.floor(math.log10(width / 10) + 1e-9) if width > 0 else 0.0, finest)

    def shown(si: float) -> str:
        amount = si / size
        place = 10.0 ** (math.floor(math.log10(abs(amount)) + 1e-12) - digits + 1) if amount else 1.0
        last = max(step, place)
        return _fixed(last * round(amount / last), max(0, -math.floor(math.log10(last) + 1e-9)))

    return _about(value, low, high, unit, shown)


def _joined(low: str, high: str) -> str:
    """Joins two shown numbers to a range; the unit is said once."""
    if low == high:
        return low
    low_number, _, low_unit = low.partition(" ")
    _, _, high_unit = high.partition(" ")
    return f"{low_number} to {high}" if low_unit == high_unit else f"{low} to {high}"
