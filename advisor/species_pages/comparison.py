"""The comparison of several species, for screen and paper: can they share a box, at which set point, or how to split."""

from collections.abc import Iterator

from advisor.model.box_shared import BoxGroup
from advisor.model.curves import ExpectedAt
from advisor.model.species import Species
from advisor.model.species_compared import Comparison
from advisor.report.screen import WIDTH, Line
from advisor.show import Show
from advisor.species_pages.page import Table
from advisor.species_pages.screen import INDENT, rows, table_lines
from advisor.species_pages.words import NOT_KNOWN, days_words, share_words
from advisor.wording import capital

Part = Line | Table


def comparison_lines(found: Comparison, show: Show, width: int = WIDTH) -> Iterator[Line]:
    """The comparison for a terminal of `width` columns."""
    for part in comparison_parts(found, show):
        if isinstance(part, Table):
            yield from table_lines(part, width)
        else:
            yield from rows(part.text, width, part.style) if part.text else (part,)


def comparison_title(found: Comparison) -> str:
    """The question that the comparison answers."""
    return f"One box for {_listed([*found.species, *found.without_band])}?"


def comparison_parts(found: Comparison, show: Show) -> Iterator[Part]:
    """The question, the bands side by side, then the shared set points or the split; an empty line before each answer."""
    yield Line(comparison_title(found), "head")
    yield _bands(found, show)
    for species in found.without_band:
        text = f"The usual or the tolerated band of {species.name} is {NOT_KNOWN}: it is left out below."
        yield Line(text, "watch")
    yield from _cool_periods(found, show)
    yield Line("")
    if len(found.species) < 2:
        yield Line("Fewer than two of these species have known bands, so nothing can be compared.", "head")
        return
    yield Line(_answer(found, show), "head")
    if found.expected:
        yield _shared_table(found, show)
    if len(found.split) > 1:
        yield from _split(found, show)


def _bands(found: Comparison, show: Show) -> Table:
    return Table(
        "Temperatures of the eggs",
        ("Species", "Usual", "Tolerated", "Harmful"),
        tuple(_band_row(species, show) for species in (*found.species, *found.without_band)),
    )


def _band_row(species: Species, show: Show) -> tuple[str, ...]:
    bands = [
        show.temperature_range(band.low, band.high) if band else NOT_KNOWN
        for band in (species.aim, species.tolerated)
    ]
    harmful = species.harmful
    limits = [
        f"{word} {show.temperature(limit)}"
        for word, limit in (
            ("below", harmful.below if harmful else None),
            ("above", harmful.above if harmful else None),
        )
        if limit is not None
    ]
    return (species.name, *bands, ", ".join(limits) or NOT_KNOWN)


def _answer(found: Comparison, show: Show) -> str:
    if found.usual is not None:
        band = show.temperature_range(found.usual.low, found.usual.high)
        return f"Yes. All usual bands meet at {band}."
    if found.tolerated is not None:
        band = show.temperature_range(found.tolerated.low, found.tolerated.high)
        return (
            f"Perhaps. The usual bands do not all meet, but all tolerate {band}. Separate boxes are better."
        )
    return "No. No set point suits all of them."


def _shared_table(found: Comparison, show: Show) -> Table:
    return Table(
        "What to expect there, with a thermostat that was checked in ice and water",
        ("Set to", "Species", "Days to hatching", "Males"),
        tuple(
            _expected_row(species, expected, show)
            for row in found.expected
            for species, expected in zip(found.species, row, strict=True)
        ),
    )


def _expected_row(species: Species, at: ExpectedAt, show: Show) -> tuple[str, ...]:
    males = share_words(at.male_share, show)
    return show.temperature(at.temperature), species.name, days_words(at.days, show), males


def _split(found: Comparison, show: Show) -> Iterator[Part]:
    yield Line("")
    yield Line(f"Split into {len(found.split)} boxes:", "head")
    rows_found = tuple(
        (f"{number}", *_expected_row(species, expected, show))
        for number, (group, all_expected) in enumerate(zip(found.split, found.split_expected, strict=True), 1)
        for species, expected in zip(group.species, all_expected, strict=True)
    )
    heads = ("Box", "Set to", "Species", "Days to hatching", "Males")
    yield Table("Each box at a set point that is usual for all in it", heads, rows_found)
    for number, group in enumerate(found.split, 1):
        yield Line(INDENT + _band_of(number, group, show), "quiet")


def _band_of(number: int, group: BoxGroup, show: Show) -> str:
    band = show.temperature_range(group.band.low, group.band.high)
    return f"Box {number}: anything from {band} is usual for {_listed(group.species)}."


def _cool_periods(found: Comparison, show: Show) -> Iterator[Line]:
    for species in (*found.species, *found.without_band):
        cool = species.cool_period
        if cool is not None and cool.needed_by != "none":
            whose = " in some populations" if cool.needed_by == "some" else ""
            text = (
                f"{capital(species.name)} needs{whose} a cool period of "
                f"{show.days_range(cool.days.low, cool.days.high)} at "
                f"{show.temperature_range(cool.at.low, cool.at.high)}: then its eggs need a place of their own."
            )
            yield Line(text, "watch")


def _listed(species: list[Species] | tuple[Species, ...]) -> str:
    names = [one.name for one in species]
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
