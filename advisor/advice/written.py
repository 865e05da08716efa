"""Values as a keeper writes them into a plan, in the plan's own units and to the step that can be set, bought or cut."""

import math

from advisor.units import INCH, POUND, celsius_to_fahrenheit, number

HALF_DEGREE, WHOLE_FAHRENHEIT = 0.5, 1.0  # steps of a dial


class Written:
    """Writes SI values in "metric" or "us" units."""

    def __init__(self, system: str) -> None:
        """Keeps the system of units."""
        self.us = system == "us"

    def temperature(self, celsius: float) -> str:
        """A temperature [°C] as it stands."""
        return f"{number(celsius_to_fahrenheit(celsius), 4)} °F" if self.us else f"{number(celsius, 4)} °C"

    def settable(self, low: float, high: float) -> list[float]:
        """All temperatures [°C] from low to high that a dial in half °C, or in whole °F, can be set to."""
        if self.us:
            first, last = (celsius_to_fahrenheit(end) for end in (low, high))
            return [
                (degree - 32.0) / 1.8
                for degree in range(math.ceil(first - 1e-9), math.floor(last + 1e-9) + 1)
            ]
        return [
            half * HALF_DEGREE
            for half in range(math.ceil(low / HALF_DEGREE - 1e-9), math.floor(high / HALF_DEGREE + 1e-9) + 1)
        ]

    def tenth(self, celsius: float) -> float:
        """A temperature [°C] to a tenth of a degree of its units, as a display shows it."""
        return (round(celsius_to_fahrenheit(celsius), 1) - 32.0) / 1.8 if self.us else round(celsius, 1)

    def whole(self, low: float, high: float) -> list[float]:
        """All whole degrees from low to high [°C]: what is said of a room."""
        return [step for step in self.settable(low, high) if self.us or step == round(step)]

    def temperatures(self, low: float, high: float) -> str:
        """A range of temperatures [°C]; one where both are the same."""
        if high <= low:
            return self.temperature(low)
        return f"{self.temperature(low).split()[0]} to {self.temperature(high)}"

    def step(self, kelvin: float) -> str:
        """A temperature step [K]."""
        return f"{number(kelvin * 1.8, 2)} °F" if self.us else f"{number(kelvin, 2)} °C"

    def power(self, watts: float) -> str:
        """A power [W]."""
        return f"{number(watts, 3)} W"

    def length(self, metres: float) -> str:
        """A length [m]: mm below 2 cm, else cm; or inches to a sixty-fourth."""
        if self.us:
            return f"{_fraction(metres / INCH)} in"
        return f"{number(metres * 1000, 3)} mm" if metres < 0.02 else f"{number(metres * 100, 4)} cm"

    def size(self, *metres: float) -> str:
        """Length x width (x height) [m], to a cm or half an inch."""
        if self.us:
            return " x ".join(number(round(side / INCH * 2) / 2, 4) for side in metres) + " in"
        return " x ".join(number(round(side * 100), 4) for side in metres) + " cm"

    def exact_size(self, *metres: float) -> str:
        """Length x width (x height) [m] as it stands, to a mm or a hundredth of an inch."""
        unit, name = (INCH, "in") if self.us else (0.01, "cm")
        return " x ".join(number(side / unit, 4) for side in metres) + f" {name}"

    def volume(self, cubic_metres: float) -> str:
        """A volume [m3] of water in bottles, rounded up to half a litre or a quart."""
        if self.us:
            return f"{math.ceil(cubic_metres / 0.000946353 - 1e-9)} quarts"
        return f"{number(math.ceil(cubic_metres * 2000 - 1e-9) / 2, 4)} L"

    def mass(self, kilograms: float) -> str:
        """A mass [kg] in g or oz: two digits, from 100 on whole ones."""
        amount, unit = (kilograms * 16 / POUND, "oz") if self.us else (kilograms * 1000, "g")
        return f"{number(amount, 2) if amount < 100 else f'{amount:.0f}'} {unit}"


def _fraction(inches: float) -> str:
    """Inches as a ruler has them: to a sixty-fourth, as drills are sold; read back by the reader of plans."""
    parts = round(inches * 64)
    whole, rest = divmod(parts, 64)
    if not rest:
        return f"{whole}"
    shared = math.gcd(rest, 64)
    fraction = f"{rest // shared}/{64 // shared}"
    return f"{whole} {fraction}" if whole else fraction
