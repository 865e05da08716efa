"""Checked data to SI values: walks a document beside its schema and replaces every quantity."""

from typing import Any

from advisor.model.plan import Area, Range, Size
from advisor.reading.dates import read_date, read_date_range, read_yes_no
from advisor.reading.quantities import read_quantity
from advisor.reading.schema import entries_in, items_of
from advisor.reading.schema_check import kind_of


def converted(value: Any, schema: dict[str, Any], unknown: Any = None) -> Any:
    """The data with quantities as SI numbers, `Range`, `Size`, `Area`, dates and True/False.

    The answer `unknown` becomes `unknown`: None for profiles; plans pass the word itself, since there it differs from
    an entry left out.

    The document must have passed `schema_problems`; a quantity that cannot be read raises `Refusal`.
    """
    if value == "unknown":
        return unknown
    if "x-quantity" in schema:
        return _quantity(value, schema)
    if isinstance(value, dict):
        return {
            key: converted(entry, entries_in(schema).get(key, {}), unknown) for key, entry in value.items()
        }
    if isinstance(value, list):
        return [converted(item, items_of(schema), unknown) for item in value]
    return value


def _quantity(value: Any, schema: dict[str, Any]) -> Any:
    kind = kind_of(schema)
    if kind.name == "yes-no":
        return read_yes_no(value)
    if kind.name == "date":
        return read_date(value)
    if kind.name == "date-range":
        return read_date_range(value)
    numbers = read_quantity(value, kind)
    if kind.name == "size3":
        length, width, height = numbers
        return Size(length, width, height)
    if kind.name == "size2":
        return Area(*numbers)
    return Range(*numbers) if kind.range else numbers[0]
