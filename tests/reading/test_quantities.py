"""Quantities with units, with `pint` as referee (its registry takes the exact definitions of NIST SP 811)."""

import functools
import json
from collections.abc import Iterator
from typing import Any

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from advisor.reading.dates import read_date_range, read_yes_no
from advisor.reading.quantities import Kind, Refusal, read_quantity
from advisor.reading.schema_check import kind_of
from advisor.show import Show
from advisor.units import QUANTITIES, UNITS
from tests.support import ROOT

PINT_NAMES = {
    "°C": "degC",
    "°F": "degF",
    "in": "inch",
    "ft": "foot",
    "oz": "ounce",
    "lb": "pound",
    "l": "litre",
    "tsp": "teaspoon",
    "tbsp": "tablespoon",
    "fl oz": "fluid_ounce",
    "cup": "cup",
    "pint": "pint",
    "quart": "quart",
    "gallon": "gallon",
    "W": "watt",
    "kW": "kilowatt",
    "s": "second",
    "min": "minute",
    "h": "hour",
    "days": "day",
    "weeks": "week",
    "%": "percent",
    "g/g": "dimensionless",
    "W/m": "watt / meter",
    "W/ft": "watt / foot",
}
BASE = {
    "temperature": "degC",
    "temperature-step": "delta_degC",
    "length": "m",
    "altitude": "m",
    "mass": "kg",
    "mass-gain": "kg",
    "volume": "m**3",
    "power": "W",
    "power-per-length": "W / m",
    "duration": "s",
    "humidity": "dimensionless",
    "water-content": "dimensionless",
    "water-potential": "Pa",
    "energy": "J",
    "percent": "dimensionless",
    "temperature-band": "delta_degC",
}
# What a figure is inside the program, where it is not what the kind of its name is to the reader.
SI = {
    "step": "K",
    "conductance": "W / K",
    "share": "1",
    "days": "day",
    "hours": "s",
    "mass per day": "kg / s",
    "water content": "1",
    "water potential": "Pa",
    "gas share": "1",
    "count": "1",
}
CASES = [(kind, unit) for kind in BASE for unit in UNITS[kind]]


@functools.cache
def registry() -> pint.UnitRegistry[float]:
    return pint.UnitRegistry(autoconvert_offset_to_baseunit=True)


def by_pint(value: float, kind: str, unit: str) -> float:
    name = PINT_NAMES.get(unit, unit)
    if kind in ("temperature-step", "temperature-band"):
        name = {"°C": "delta_degC", "K": "delta_degC", "°F": "delta_degF"}[unit]
    return registry().Quantity(value, name).to(BASE.get(kind, "m")).magnitude


@pytest.mark.parametrize(("kind", "unit"), CASES)
@settings(max_examples=25, deadline=None)
@given(value=st.floats(0, 1e4, allow_nan=False).map(lambda number: round(number, 3)))
def test_every_unit_agrees_with_pint(kind: str, unit: str, value: float) -> None:
    sign = "+" if kind == "mass-gain" else ""
    low, high = read_quantity(f"{sign}{value:.3f} {unit}", Kind(kind))
    # both are exact definitions: only rounding of floating-point arithmetic may differ
    assert low == high == pytest.approx(by_pint(value, kind, unit), rel=1e-12, abs=1e-12)


@pytest.mark.parametrize("quantity", QUANTITIES)
def test_what_leaves_the_program_is_in_the_unit_it_names(quantity: str) -> None:
    told = QUANTITIES[quantity]
    unit = registry().Quantity(1.0, SI.get(quantity) or BASE[quantity])
    shown = unit.to(PINT_NAMES.get(told.unit, told.unit))
    assert told.factor == pytest.approx(shown.magnitude, rel=1e-12)


def kinds_in(schema: Any) -> Iterator[Kind]:
    """Every quantity that a schema asks for, with its limits."""
    if isinstance(schema, dict):
        if isinstance(schema.get("x-quantity"), str):
            yield kind_of(schema)
        schema = list(schema.values())
    if isinstance(schema, list):
        for part in schema:
            yield from kinds_in(part)


LIMITED = sorted(
    {
        replace(kind, range=False, example="", us_example="", about="")
        for path in (ROOT / "schema").glob("*.schema.json")
        for kind in kinds_in(json.loads(path.read_text("utf-8")))
        if kind.least or kind.most
    },
    key=str,
)


def said(value: float, kind: Kind, unit: str) -> str:
    """A quantity [SI] as somebody writes it in a unit."""
    bare = kind.name in ("days", "count", "share")
    amount = value if bare else (value - UNITS[kind.name][unit].offset) / UNITS[kind.name][unit].factor
    one = f"{'+' if kind.name == 'mass-gain' and amount >= 0 else ''}{amount:.15f} {unit}".strip()
    return " x ".join([one] * int(kind.name[-1])) if kind.name.startswith("size") else one


@pytest.mark.parametrize("kind", LIMITED, ids=lambda kind: f"{kind.name} {kind.least} to {kind.most}")
def test_a_limit_is_taken_in_every_unit_and_what_lies_past_it_is_refused(kind: Kind) -> None:
    for limit, past in ((kind.least, -1), (kind.most, 1)):
        if limit is None:
            continue
        end, _, base = limit.partition(" ")
        si = by_pint(float(end), kind.name, base) if base else float(end)
        for unit in UNITS.get(kind.name, ("",)):
            read = read_quantity(said(si, kind, unit), kind)
            assert read == pytest.approx((si,) * len(read))
            beyond = si + past * (1.0 if kind.name == "count" else max(abs(si), 1.0) * 1e-6)
            with pytest.raises(Refusal):
                read_quantity(said(beyond, kind, unit), kind)


@pytest.mark.parametrize(
    ("text", "kind", "expected"),
    [
        ("29 °C", "temperature", (29.0, 29.0)),
        ("29 C", "temperature", (29.0, 29.0)),
        ("29C", "temperature", (29.0, 29.0)),
        ("84 F", "temperature", (28.889, 28.889)),
        ("16 to 24 °C", "temperature", (16.0, 24.0)),
        ("16 °C to 24 °C", "temperature", (16.0, 24.0)),
        ("16–24 °C", "temperature", (16.0, 24.0)),
        ("61 to 75 °F", "temperature", (16.111, 23.889)),
        ("±0.5 °C", "temperature-step", (0.5, 0.5)),
        ("0.9 °F", "temperature-step", (0.5, 0.5)),
        ("55 x 35 x 22 cm", "size3", (0.55, 0.35, 0.22)),
        ("55×35×22cm", "size3", (0.55, 0.35, 0.22)),
        ("22 in x 14 in x 9 in", "size3", (0.5588, 0.3556, 0.2286)),
        ("28 x 28 cm", "size2", (0.28, 0.28)),
        ("2 in", "length", (0.0508, 0.0508)),
        ("1 1/2 in", "length", (0.0381, 0.0381)),
        ("1/4 in", "length", (0.00635, 0.00635)),
        ("14 W", "power", (14.0, 14.0)),
        ("5 s", "duration", (5.0, 5.0)),
        ("every 24 h", "duration", (86400.0, 86400.0)),
        ("every day", "duration", (86400.0, 86400.0)),
        ("45 %", "humidity", (0.45, 0.45)),
        ("1 quart", "volume", (0.000946353, 0.000946353)),
        ("+40 g", "mass-gain", (0.04, 0.04)),
        ("+40 g by hatching", "mass-gain", (0.04, 0.04)),
        ("+1 oz", "mass-gain", (0.0283495, 0.0283495)),
        ("-1100 to -150 kPa", "water-potential", (-1.1e6, -1.5e5)),
        ("57 to 65", "days", (57.0, 65.0)),
        (61.5, "days", (61.5, 61.5)),
        (4, "count", (4.0, 4.0)),
    ],
)
def test_forms_that_keepers_write(text: object, kind: str, expected: tuple[float, ...]) -> None:
    # hand conversions to 4-6 digits from the definitions 1 in = 25.4 mm, °C = (°F - 32) * 5/9, 1 US quart = 57.75 in3
    assert read_quantity(text, Kind(kind, range=True)) == pytest.approx(expected, rel=2e-5)


@pytest.mark.parametrize(
    ("text", "kind", "says"),
    [
        (29, "temperature", "29 °C or 84 °F"),
        ("84", "temperature", "84 °F or 29 °C"),
        ("540 g", "mass-gain", "Write the gain with a plus."),
        (40, "mass-gain", "Write +40 g or +40 oz."),
        (14, "power", "14 W"),
        (5, "length", "5 cm or 5 in"),
        (1600, "altitude", "1600 m or 1600 ft"),
    ],
)
def test_bare_number_is_refused_with_both_readings(text: object, kind: str, says: str) -> None:
    limits = ("15 °C", "45 °C") if kind == "temperature" else (None, None)
    with pytest.raises(Refusal) as refused:
        read_quantity(text, Kind(kind, False, *limits))
    assert says in refused.value.hint


@pytest.mark.parametrize(
    "text",
    [
        "",
        "warm",
        "29 °C °C",
        "29,5 °C",
        "nan °C",
        "inf W",
        "1e5 °C",
        "29 30 °C",
        "to 24 °C",
        "°C",
        "1/0 in",
        "²9 °C",
        "٢٩ °C x",
    ],
)
def test_what_is_no_temperature_is_refused(text: str) -> None:
    with pytest.raises(Refusal):
        read_quantity(text, Kind("temperature", True))


@settings(max_examples=100, deadline=None)
@given(text=st.text(max_size=30), kind=st.sampled_from([*UNITS, "days", "count", "share"]))
def test_any_text_is_read_or_refused(text: str, kind: str) -> None:
    try:
        numbers = read_quantity(text, Kind(kind, True))
    except Refusal as refusal:
        assert refusal.message and refusal.hint
    else:
        assert all(abs(number) < float("inf") for number in numbers)


@pytest.mark.parametrize(("text", "answer"), [("yes", True), ("No", False), (True, True), ("false", False)])
def test_yes_and_no(text: object, answer: bool) -> None:
    assert read_yes_no(text) is answer


def test_one_date_is_a_window_of_one_day() -> None:
    first, last = read_date_range("2027-05-09")
    assert first == last


@pytest.mark.parametrize("celsius", [15.0, 28.0, 31.5, 37.0])
def test_shown_in_us_units_and_read_back_it_is_the_same_within_half_a_degree_fahrenheit(
    celsius: float,
) -> None:
    shown = Show("us").temperature(celsius)
    assert read_quantity(shown, Kind("temperature"))[0] == pytest.approx(celsius, abs=0.5 * 5 / 9 + 1e-9)


def test_a_step_is_no_temperature_in_us_units() -> None:
    assert Show("us").step(0.5) == "0.9 °F"  # design: a swing of 0.5 °C is 0.9 °F
    assert Show("us").temperature(29) == "84 °F"
