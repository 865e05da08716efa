"""What the keeper is shown is what was computed: every function of `Show`, read back by our own reader of quantities."""

import inspect
import itertools
import re
from collections.abc import Callable

import pytest

from advisor.model.figures import Figure
from advisor.reading.quantities import Kind, read_quantity
from advisor.rules.shared import about_time
from advisor.show import BOX_FAILS, Show
from advisor.units import QUANTITIES

# 1e-4 to 1e5, with the round numbers that can lose a zero and with numbers on both sides of an edge of rounding.
DIGITS = (1.0, 1.04, 1.24, 1.25, 1.96, 2.0, 3.0, 4.5, 7.77, 9.49, 9.96)
MAGNITUDES = [float(f"{digits}e{power}") for power in range(-4, 5) for digits in DIGITS] + [1e5]
RANGES = (
    (1.0, 1.0),
    (0.99, 1.02),
    (0.8, 1.25),
    (0.3, 2.4),
    (0.0002, 7.0),
    (0.0, 1.0),
)  # ends over typical value
WORDS = {"an hour": "1 h", "a minute": "1 minute", "less than 1/4 tsp": "1/8 tsp"}
TSP, DEGREE_F, OUNCE = 4.93e-6, 5 / 9, 0.02835  # m3, K, kg

# Function -> reader, SI size of the unit that is swept, its finest step [SI] in metric and in US units, and the largest
# share of a number that half a last digit can be: two significant digits 0.05, three 0.005, one 0.5.
SINGLE = {
    "temperature": ("temperature", 1.0, (0.1, 10 * DEGREE_F), 0.0),
    "step": ("temperature-step", 1.0, (0.1, 0.1 * DEGREE_F), 0.0),
    "tolerance": ("temperature-step", 1.0, (0.1, DEGREE_F), 0.0),
    "length": ("length", 1e-3, (1e-9, 3.2e-3), 0.05),
    "mass": ("mass", 1e-3, (1e-9, 1e-9), 0.05),
    "mass_two_digits": ("mass", 1e-3, (1e-9, 1e-9), 0.05),
    "volume": ("volume", 1e-6, (1e-12, 1e-11), 0.05),
    "spoons": ("volume", 1e-6, (12 * TSP, 12 * TSP), 0.0),
    "power": ("power", 1.0, (1e-6, 1e-6), 0.05),
    "hours": ("duration", 60.0, (1e-4, 1e-4), 0.05),
    "days": ("days", 1.0, (1.0, 1.0), 0.0),
    "percent": ("humidity", 0.01, (0.01, 0.01), 0.0),
    "water_content": ("water-content", 1.0, (1e-6, 1e-6), 0.05),
}
RANGE_OF = {f"{name}_range": name for name in ("temperature", "step", "length", "mass", "days", "percent")}
RANGE_OF["water_content_range"] = "water_content"
# Quantity of a figure -> as above; what is told with a range may be rounded to a tenth of it as well.
FIGURES = {
    "temperature": ("temperature", 1.0, (0.5, DEGREE_F), 0.0),
    "step": ("temperature-step", 1.0, (0.5, 0.5 * DEGREE_F), 0.5),
    "power": ("power", 1.0, (1e-6, 1e-6), 0.05),
    "share": ("humidity", 0.01, (0.01, 0.01), 0.05),
    "gas share": ("humidity", 0.01, (1e-8, 1e-8), 0.05),
    "hours": ("duration", 60.0, (360.0, 360.0), 0.05),
    "mass": ("mass", 1e-3, (1e-9, 1e-9), 0.05),
    "volume": ("volume", 1e-6, (1e-12, 1e-11), 0.05),
    "mass per day": ("mass per day", 1e-3 / 86400, (1e-4 / 86400, 1e-4 / 86400), 0.5),
    "days": ("days", 1.0, (10.0, 10.0), 0.0),
    "count": ("count", 1.0, (1.0, 1.0), 0.0),
    "conductance": ("conductance", 1.0, (1e-6, 1e-6), 0.05),
    "water content": ("water-content", 1.0, (0.1, 0.1), 0.005),
    "water potential": ("water-potential", 1000.0, (1e-3, 1e-3), 0.05),
}
SPECIAL = {"us", "settable", "own_units", "about", "figure"}  # tell no number, or are tried through `about`


def read(shown: str, kind: str) -> tuple[float, float]:
    """Low and high [SI] of a shown text; the measures of a recipe add up."""
    shown = WORDS.get(shown, shown)
    if ", " in shown:
        parts = [read(part, kind) for part in shown.split(", ")]
        return sum(low for low, _ in parts), sum(high for _, high in parts)
    if kind == "mass per day":
        amount = shown.removesuffix(" a day")
        volume = amount.endswith("tsp")
        low, high = read(amount, "volume" if volume else "mass")
        factor = (1000.0 if volume else 1.0) / 86400
        return low * factor, high * factor
    if kind == "conductance":
        watts, per = shown.split(" W for each ")
        return (float(watts) * (1.8 if per == "°F" else 1.0),) * 2
    low, high = read_quantity(shown, Kind(kind, range=True))
    return low, high


def last_digit(shown: str, kind: str) -> float:
    """What one step of the last digit that is not 0 is worth [SI], in the coarser end of a range."""
    shown = WORDS.get(shown, shown)
    unit = "".join(shown.rpartition(" ")[1:]) if " " in shown else ""
    ends = [part if " " in part else f"{part}{unit}" for part in shown.split(" to ")]
    worth = 0.0
    for end in ends:
        for found in re.finditer(r"\d[\d.]*(?:/\d+)?", end):
            top, _, bottom = found[0].partition("/")
            whole, decimals = top.partition(".")[0], top.partition(".")[2]
            place = -len(decimals) if decimals or top == "0" else len(whole) - len(whole.rstrip("0"))
            more = f"{int(top) + 1}/{bottom}" if bottom else f"{float(top) + 10.0**place:.12f}"
            other = end[: found.start()] + more + end[found.end() :]
            worth = max(worth, abs(read(other, kind)[0] - read(end, kind)[0]))
    return worth


def close(shown: str, kind: str, at: int, wanted: float, finest: float, share: float) -> bool:
    """Whether one end of a shown text is what went in, to half a last digit of the precision that is promised."""
    error = abs(read(shown, kind)[at] - wanted) * (1 - 1e-9) - 1e-12
    return error <= max(finest / 2, share * abs(wanted)) and error <= max(finest / 2, last_digit(shown, kind))


def test_every_function_is_tried() -> None:
    known = {name for name, _ in inspect.getmembers(Show) if not name.startswith("_") and name != "system"}
    about = {
        f"about_{name}"
        for name in ("temperature", "step", "power", "percent", "hours", "mass", "volume", "water_a_day")
    }
    assert known - SPECIAL == {"roughly", *SINGLE, *RANGE_OF, *about}
    assert set(FIGURES) == set(QUANTITIES)


@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize("name", SINGLE)
def test_one_number(name: str, system: str) -> None:
    kind, size, steps, share = SINGLE[name]
    for amount in MAGNITUDES:
        wanted = amount * size
        shown = getattr(Show(system), name)(wanted)
        assert close(shown, kind, 0, wanted, steps[system == "us"], share), (wanted, shown)


@pytest.mark.parametrize("amount", MAGNITUDES)
def test_roughly_is_within_a_quarter(amount: float) -> None:
    seconds = 60 * amount
    assert read(Show().roughly(seconds), "duration")[0] == pytest.approx(seconds, rel=0.25, abs=60)


@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize("name", RANGE_OF)
def test_a_range(name: str, system: str) -> None:
    kind, size, steps, share = SINGLE[RANGE_OF[name]]
    for amount, (below, above) in itertools.product(MAGNITUDES, RANGES):
        ends = (amount * size * below, amount * size * above)
        shown = getattr(Show(system), name)(*ends)
        low, high = read(shown, kind)
        assert low <= high, (ends, shown)
        for at, wanted in enumerate(ends):
            assert close(shown, kind, at, wanted, steps[system == "us"], share), (ends, shown)


@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize("quantity", FIGURES)
def test_a_figure_with_its_range(quantity: str, system: str) -> None:
    kind, size, steps, share = FIGURES[quantity]
    for amount, (below, above), sign in itertools.product(MAGNITUDES, RANGES, (1, -1)):
        if quantity == "temperature" and amount > BOX_FAILS:
            continue
        if sign < 0 and quantity not in ("step", "water potential"):
            continue
        ends = sorted((sign * amount * size * below, sign * amount * size * above))
        figure = (sign * amount * size, ends[0], ends[1])
        shown = Show(system).figure(Figure(*figure, quantity))
        typical, least, most = parts(shown)
        told = [read(part, kind)[0] for part in (typical, least, most)]
        assert told[1] <= told[0] <= told[2], (figure, shown)
        finest = max(steps[system == "us"], (ends[1] - ends[0]) / 10)
        for part, wanted in zip((typical, least, most), figure, strict=True):
            assert close(part, kind, 0, wanted, finest, share), (figure, shown)


@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize("quantity", FIGURES)
def test_no_figure_is_finer_than_its_range(quantity: str, system: str) -> None:
    kind, size, _, _ = FIGURES[quantity]
    for amount, (below, above) in itertools.product(MAGNITUDES, RANGES):
        if quantity == "temperature" and amount > BOX_FAILS:
            continue
        shown = Show(system).about(quantity, amount * size, amount * size * below, amount * size * above)
        for part in parts(shown):
            amount_told = re.match(r"-?[\d.]+", part)
            assert amount_told
            decimals = amount_told[0].partition(".")[2]
            if decimals:
                one, none = (read(part.replace(amount_told[0], text, 1), kind)[0] for text in ("1", "0"))
                place = (
                    0.5 if decimals == "5" and quantity in ("temperature", "step") else 10.0 ** -len(decimals)
                )
                assert (one - none) * place >= amount * size * (above - below) / 100 * 0.99, shown
                assert place != 0.5 or (one - none) * place >= amount * size * (above - below) / 40 * 0.99, (
                    shown
                )


def parts(shown: str) -> tuple[str, str, str]:
    """Typical value, low and high of "about 5 W (4 to 6)", each with its unit."""
    found = re.fullmatch(r"(?:about )?(-?[\d.]+)( ?[^()]*?)(?: \((-?[\d.]+) to (-?[\d.]+)\))?", shown)
    assert found, shown
    number, unit, low, high = found.groups()
    return f"{number}{unit}", f"{low or number}{unit}", f"{high or number}{unit}"


@pytest.mark.parametrize("system", ["metric", "us"])
def test_one_is_told_in_the_singular(system: str) -> None:
    show = Show(system)
    told = [show.days(1), show.hours(60), show.volume(1e-3), show.volume(236.588e-6), show.volume(946.35e-6)]
    told += [
        show.about("days", 1, 1, 1),
        show.about("hours", 60, 60, 60),
        show.about("volume", 1e-3, 1e-3, 1e-3),
    ]
    for shown in told:
        assert not re.search(r"\b1 (?:days|minutes|litres|cups|quarts)\b", shown), shown


CUP, INCHES, POUND = 231 * 0.0254**3 / 16, 0.0254, 0.45359237  # a gallon is 231 cubic inches
METRIC, US = Show("metric"), Show("us")


def hours_or_days(seconds: float) -> str:
    return about_time(METRIC, Figure(seconds, seconds, seconds, "hours"))


def known(quantity: str, show: Show = METRIC) -> Callable[[float], str]:
    """Tells a figure whose range is nothing."""
    return lambda amount: show.about(quantity, amount, amount, amount)


# What tells an amount, the unit's size, the first amount that is told in the larger way, and what then and just before
# it is read. Where each changes over is in its docstring.
CHANGES_OVER = [
    (METRIC.length, 1e-3, 20.0, "2 cm", "20 mm"),
    (METRIC.mass, 1e-3, 1000.0, "1 kg", "998 g"),
    (METRIC.mass_two_digits, 1e-3, 1000.0, "1 kg", "1000 g"),
    (US.mass, POUND / 16, 32.0, "2 lb", "31.9 oz"),
    (METRIC.volume, 1e-6, 1000.0, "1 litre", "1000 ml"),
    (US.volume, CUP, 0.25, "0.25 cups", "12 tsp"),
    (US.volume, CUP, 8.0, "2 quarts", "8 cups"),
    (METRIC.hours, 3600.0, 1.0, "1 h", "60 minutes"),
    (METRIC.roughly, 60.0, 57.0, "an hour", "55 minutes"),
    (METRIC.roughly, 3600.0, 1.75, "2 h", "1.5 h"),
    (METRIC.roughly, 3600.0, 11.51, "12 h", "11 h"),
    (METRIC.roughly, 60.0, 12.51, "15 minutes", "10 minutes"),
    (METRIC.roughly, 60.0, 8.51, "9 minutes", "8 minutes"),
    (METRIC.roughly, 60.0, 9.4, "9 minutes", "9 minutes"),
    (METRIC.roughly, 3600.0, 9.26, "9.5 h", "9 h"),
    (METRIC.roughly, 3600.0, 10.26, "10 h", "10 h"),
    (hours_or_days, 3600.0, 48.0, "about 2 days", "about 48 h"),
    (known("hours"), 3600.0, 1.0, "about 1 h", "about 60 minutes"),
    (known("hours"), 60.0, 9.501, "about 10 minutes", "about 9 minutes"),
    (known("hours"), 60.0, 10.9, "about 10 minutes", "about 10 minutes"),
    (known("volume"), 1e-6, 1000.0, "1 litre", "1000 ml"),
    (known("volume", US), CUP, 0.25, "0.25 cups", "12 tsp"),
    (known("volume", US), CUP, 8.0, "2 quarts", "8 cups"),
    (known("mass", US), POUND / 16, 32.0, "2 lb", "31.9 oz"),
    (US.length, INCHES, 1 / 8, "1/8 in", "1/8 in"),
    (US.length, INCHES, 7.501 / 64, "1/8 in", "7/64 in"),
    (US.length, INCHES, 7.501 / 32, "1/4 in", "7/32 in"),
    (US.length, INCHES, 7.501 / 16, "1/2 in", "7/16 in"),
    (US.length, INCHES, 6.501 / 8, "7/8 in", "3/4 in"),
    (US.length, INCHES, 7.501 / 8, "1 in", "7/8 in"),
    (US.spoons, CUP / 48, 0.1251, "1/4 tsp", "less than 1/4 tsp"),
    (US.spoons, CUP / 48, 11.876, "1/4 cup", "3 tbsp, 2 3/4 tsp"),
    (US.spoons, CUP / 48, 48.01, "1 cup", "1 cup"),
    (US.spoons, CUP / 48, 49.51, "1 cup, 1 tbsp", "1 cup"),
    (US.spoons, CUP / 48, 198.01, "4 1/4 cups", "4 cups"),
]


@pytest.mark.parametrize(("tell", "size", "edge", "at", "before"), CHANGES_OVER)
def test_where_the_unit_or_its_step_changes_over(
    tell: Callable[[float], str], size: float, edge: float, at: str, before: str
) -> None:
    assert (tell(edge * size), tell(edge * size * 0.998)) == (at, before)


@pytest.mark.parametrize("show", [METRIC, US])
def test_a_temperature_that_can_be_set_is_shown_whole_and_nothing_between(show: Show) -> None:
    for count in range(200):
        for steps, whole in ((count, True), (count + 0.4, False)):
            celsius = steps * show.settable
            told = read(show.temperature(celsius), "temperature")[0]
            assert (abs(told - celsius) < 1e-9) == whole or celsius > BOX_FAILS


@pytest.mark.parametrize(
    ("shown", "expected"),
    [
        (Show().about("hours", 36000, 25200, 50400), "about 10 h (7 to 14)"),
        (Show().about("hours", 72000, 50400, 100800), "about 20 h (14 to 28)"),
        (Show().about("hours", 864000, 800000, 900000), "about 240 h (220 to 250)"),
        (Show().about("share", 0.042, 0.0000084, 0.28), "about 4 % (0 to 28)"),
        (Show().about("share", 0.0075, 0.0, 0.12), "about 1 % (0 to 12)"),
    ],
)
def test_what_was_shown_wrong(shown: str, expected: str) -> None:
    assert shown == expected
