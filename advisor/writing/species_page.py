"""A species profile as a page for keepers: bands, days, sexes, eggs, medium, each with how it is known."""

import textwrap
from collections.abc import Iterator

from advisor.model.species import Observation, Species, Support
from advisor.units import Show
from advisor.writing.screen import WIDTH, Line

NOT_KNOWN = "not known"


def species_lines(species: Species, show: Show | None = None, width: int = WIDTH) -> Iterator[Line]:
    """The page as lines for the screen."""
    show = show or Show()
    yield Line(f"{species.name}: {species.scientific}", "head")
    if species.common[1:]:
        yield Line(f"Also: {', '.join(species.common[1:])}", "quiet")
    if species.former:
        yield Line(f"Former names: {', '.join(species.former)}", "quiet")
    origin = "" if species.origin == "shipped" else f", read from {species.origin}"
    yield Line(f"Group: {species.group}. Reviewed {species.reviewed}{origin}.", "quiet")
    for caution in species.cautions:
        yield from _row(f"Caution, {caution.word}: {caution.because}", width, "stop")
    yield Line("")
    yield Line("Temperature", "head")
    for name, band in (("usual", species.aim), ("tolerated", species.tolerated)):
        text = show.temperature_range(band.low, band.high) + _known(band.support) if band else NOT_KNOWN
        yield from _row(f"  {name}: {text}", width)
    yield from _row(f"  harmful: {_harmful(species, show)}", width)
    yield Line("")
    yield Line("Days from laying to hatching", "head")
    yield from _points(species.duration, show, "days", width)
    if species.pause:
        pause = species.pause
        yield from _row(
            f"  The embryo rests first: {show.days_range(pause.days.low, pause.days.high)}, ended by {pause.ended_by}"
            + _known(pause.support),
            width,
        )
    yield Line("")
    yield Line("Sex", "head")
    sex = species.sex
    how = sex.set_by or NOT_KNOWN
    pattern = f", {sex.pattern}" if sex.pattern and sex.pattern != "none" else ""
    yield from _row(f"  Set by: {how}{pattern}{_known(sex.support) if sex.support else ''}", width)
    yield from _points(sex.observed, show, "male", width)
    if sex.reversal:
        yield from _row(
            f"  Heat turns eggs toward {sex.reversal.toward} above {show.temperature(sex.reversal.above)}"
            + _known(sex.reversal.support),
            width,
        )
    yield Line("")
    yield Line("Eggs and medium", "head")
    yield from _eggs(species, show, width)
    yield Line("")
    yield Line("Notes", "head")
    for paragraph in species.notes.strip().splitlines():
        yield from _row(paragraph, width)


def _harmful(species: Species, show: Show) -> str:
    harmful = species.harmful
    if harmful is None:
        return NOT_KNOWN
    parts = [
        f"{word} {show.temperature(limit)}"
        for word, limit in (("below", harmful.below), ("above", harmful.above))
        if limit is not None
    ]
    return " and ".join(parts) + _known(harmful.support)


def _points(points: tuple[Observation, ...], show: Show, what: str, width: int) -> Iterator[Line]:
    if not points:
        yield Line(f"  {NOT_KNOWN}")
    for point in sorted(points, key=lambda point: point.at.middle):
        value = (
            show.days_range(point.value.low, point.value.high)
            if what == "days"
            else f"{show.percent_range(point.value.low, point.value.high)} male"
        )
        eggs = f", {point.eggs} eggs" if point.eggs else ""
        swing = f", swinging by {show.step(point.swing)}" if point.swing else ""
        counted = f", counted from {point.counted_from}" if point.counted_from != "laying" else ""
        at = show.temperature_range(point.at.low, point.at.high)
        yield from _row(f"  {at}: {value}{eggs}{swing}{counted}{_known(point.support)}", width)


def _eggs(species: Species, show: Show, width: int) -> Iterator[Line]:
    eggs, medium = species.eggs, species.medium
    yield from _row(f"  Shell: {eggs.shell or NOT_KNOWN}{_known(eggs.support)}", width)
    if eggs.clutch:
        yield Line(f"  Clutch: {eggs.clutch.low:.0f} to {eggs.clutch.high:.0f} eggs")
    if eggs.mass:
        low, high = show.mass(eggs.mass.low), show.mass(eggs.mass.high)
        yield Line(f"  Egg mass: {low if low == high else f'{low} to {high}'}")
    for used in medium.mixes:
        mix = used.mix
        yield from _row(
            f"  Mix: {mix.medium:g} medium to {mix.water:g} water by {mix.by}{_known(used.support)}", width
        )
    if medium.water:
        water = show.water_content_range(medium.water.low, medium.water.high)
        yield from _row(f"  Water in the medium: {water} of dry medium{_known(medium.water.support)}", width)
    yield Line(f"  Top-up: {medium.top_up or NOT_KNOWN}")
    if species.cool_period:
        cool = species.cool_period
        at = show.temperature_range(cool.at.low, cool.at.high)
        yield from _row(
            f"  Cool period: {show.days_range(cool.days.low, cool.days.high)} at {at}, {cool.when}{_known(cool.support)}",
            width,
        )
    if species.laying and species.laying.shed_to_laying:
        after = species.laying.shed_to_laying
        yield from _row(
            f"  From the shed to laying: {show.days_range(after.low, after.high)}{_known(species.laying.support)}",
            width,
        )


def _known(support: Support) -> str:
    cited = [key for key in support.sources if key not in ("practice", "judgement")]
    return f" [{support.known}{': ' + ', '.join(cited) if cited else ''}]"


def _row(text: str, width: int, style: str = "") -> Iterator[Line]:
    indent = text[: len(text) - len(text.lstrip())]
    rows = textwrap.wrap(text.strip(), width, initial_indent=indent, subsequent_indent=indent + "  ")
    yield from (Line(row, style) for row in rows)
