"""What the page of a species says, as plain data: bands, days, sexes, eggs, how well each is known, sources."""

from collections.abc import Iterable, Iterator, Mapping

from msgspec import Struct

from advisor.model.curves import Curve, ExpectedAt
from advisor.model.figures import Unknown
from advisor.model.plan import Range
from advisor.model.species import KNOWN, Band, Observation, Species, SpeciesLaying, Support
from advisor.reading.sources import Source
from advisor.show import Show
from advisor.species_pages.words import (
    CLIMATE,
    NOT_KNOWN,
    cool_words,
    days_words,
    egg_words,
    harmful_words,
    known_words,
    medium_words,
    mix_words,
    pause_words,
    sex_words,
    share_words,
    whole_range,
)

YES_NO = {True: "yes", False: "no", None: NOT_KNOWN}


class Fact(Struct, frozen=True):
    """One line: what, the figure in words, how it is known, a note."""

    what: str
    says: str
    known: str = ""
    note: str = ""


NO_RECORD = Fact("Days to hatching", "no usable record at the usual temperatures. Please keep one")
KEEP_A_RECORD = Fact(
    "A record is wanted",
    "write down the day of laying, the temperature of the medium and the day of hatching",
)


class Table(Struct, frozen=True):
    """A table with its caption; every row has as many cells as there are heads."""

    caption: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]

    @property
    def filled(self) -> tuple[int, ...]:
        """The columns in which something stands."""
        return tuple(column for column in range(len(self.heads)) if any(row[column] for row in self.rows))


class Section(Struct, frozen=True):
    """A heading with facts, a curve (`what` is "days" or "share") or the reason why there is none, and tables."""

    heading: str
    facts: tuple[Fact, ...]
    curve: Curve | Unknown | None = None
    what: str = ""
    tables: tuple[Table, ...] = ()


class SpeciesPage(Struct, frozen=True):
    """The whole page; `about` says group, review day and origin, `sources` are rows of key, citation, how known."""

    name: str
    scientific: str
    about: tuple[str, ...]
    cautions: tuple[str, ...]
    sections: tuple[Section, ...]
    notes: str
    sources: tuple[tuple[str, str, str], ...]


def species_page(
    species: Species,
    days: Curve | Unknown,
    sexes: Curve | Unknown,
    expected: tuple[ExpectedAt, ...],
    bibliography: Mapping[str, Source],
    show: Show,
) -> SpeciesPage:
    """The page of one profile: first what is used beside the box with one curve, then what it rests on."""
    first = "share" if isinstance(sexes, Curve) else "days"
    curves = {"days": days, "share": sexes}
    wanted = _record_wanted(species, days)
    return SpeciesPage(
        name=species.name,
        scientific=species.scientific,
        about=tuple(_about(species)),
        cautions=tuple(f"{caution.word}: {caution.because}" for caution in species.cautions),
        sections=(
            Section(
                "In short",
                (*_in_short(species, show), *([NO_RECORD] if wanted else [])),
                curves[first] if isinstance(curves[first], Curve) else None,
                first,
                _expected_table(expected, show),
            ),
            Section("Temperature", tuple(_temperature(species, show))),
            Section(
                "Days from laying to hatching",
                (*_days(species, show), *([KEEP_A_RECORD] if wanted else [])),
                None if first == "days" and isinstance(days, Curve) else days,
                "days",
                _point_table(species.duration, "Days", show, days),
            ),
            Section(
                "Males and females",
                tuple(_sexes(species, show)),
                None if first == "share" else sexes,
                "share",
                (*_share_table(sexes, show), *_point_table(species.sex.observed, "Males", show, sexes)),
            ),
            Section(
                "Share of the eggs that hatched", (), tables=_point_table(species.hatched, "Hatched", show)
            ),
            Section("Eggs, medium and laying", tuple(_eggs(species, show))),
            Section("How well this is known", tuple(_evidence(species))),
        ),
        notes=species.notes.strip(),
        sources=tuple(_sources(species, bibliography)),
    )


def _about(species: Species) -> Iterator[str]:
    if species.common[1:]:
        yield f"Also: {', '.join(species.common[1:])}."
    if species.former:
        yield f"Former names: {', '.join(species.former)}."
    origin = "" if species.origin == "shipped" else f", read from {species.origin}"
    yield f"Group: {species.group}. Reviewed {species.reviewed}{origin}."


def _in_short(species: Species, show: Show) -> Iterator[Fact]:
    aim, borne = species.aim, species.tolerated
    band = show.temperature_range(aim.low, aim.high) if aim else NOT_KNOWN
    yield Fact("Set the thermostat", band, note=aim.support.note if aim else "")
    yield Fact("Eggs tolerate", show.temperature_range(borne.low, borne.high) if borne else NOT_KNOWN)
    yield Fact("Eggs come to harm", harmful_words(species, show))
    yield Fact("Sexes", sex_words(species))
    if species.pause:
        yield Fact("The embryo rests first", pause_words(species.pause, show))
    if species.cool_period:
        yield Fact("Cool period", cool_words(species.cool_period, show))
    elif not species.cool_period_known:
        yield Fact("Cool period", "it is not known whether the eggs need one")
    yield Fact("Eggs", egg_words(species.eggs, show))
    yield Fact("Medium", medium_words(species.medium, show))
    yield Fact(
        "How well known",
        "; ".join(f"{one.what.lower()}: {one.says.removeprefix('points: ')}" for one in _evidence(species)),
    )


def _record_wanted(species: Species, days: Curve | Unknown) -> bool:
    """Whether no days at the usual temperatures can be used."""
    aim = species.aim
    told = (
        (point.temperature for piece in days.pieces for point in piece.points)
        if isinstance(days, Curve)
        else ()
    )
    return not any(aim is None or aim.low <= temperature <= aim.high for temperature in told)


def _expected_table(expected: tuple[ExpectedAt, ...], show: Show) -> tuple[Table, ...]:
    if not expected:
        return ()
    return (
        Table(
            "What to expect, with a thermostat that was checked in ice and water",
            ("Set to", "Days to hatching", "Males"),
            tuple(
                (
                    show.temperature(at.temperature),
                    days_words(at.days, show),
                    share_words(at.male_share, show),
                )
                for at in expected
            ),
        ),
    )


def _temperature(species: Species, show: Show) -> Iterator[Fact]:
    for name, band in (("Usual", species.aim), ("Tolerated", species.tolerated)):
        if band is None:
            yield Fact(name, NOT_KNOWN)
        else:
            yield _fact(name, show.temperature_range(band.low, band.high), band.support)
    harmful = species.harmful
    yield _fact("Harmful", harmful_words(species, show), harmful.support if harmful else None)
    climate = species.climate
    yield _fact(
        "Short cold spells", CLIMATE[climate.kind if climate else None], climate.support if climate else None
    )


def _days(species: Species, show: Show) -> Iterator[Fact]:
    pause = species.pause
    if pause:
        yield _fact("The embryo rests first", pause_words(pause, show), pause.support)
    elif not species.pause_known:
        yield Fact("The embryo rests first", NOT_KNOWN)
    if species.hatch_spread:
        spread = species.hatch_spread
        yield _fact("First to last of a clutch", show.days_range(spread.low, spread.high), spread.support)


def _sexes(species: Species, show: Show) -> Iterator[Fact]:
    sex = species.sex
    yield _fact("Set by", sex_words(species), sex.support)
    if sex.reversal:
        text = f"above {show.temperature(sex.reversal.above)} eggs turn toward {sex.reversal.toward}"
        yield _fact("Heat", text, sex.reversal.support)
    if sex.sensitive:
        text = f"from {show.percent(sex.sensitive.low)} to {show.percent(sex.sensitive.high)} of development"
        yield _fact("Temperature works", text, sex.sensitive.support)


def _share_table(sexes: Curve | Unknown, show: Show) -> tuple[Table, ...]:
    if isinstance(sexes, Unknown):
        return ()
    seen = {point.temperature for point in sexes.observed}
    rows = [
        (
            show.temperature(point.temperature),
            show.percent(point.value),
            show.percent_range(point.low, point.high),
        )
        for piece in sexes.pieces
        for point in piece.points
        if point.temperature in seen
    ]
    heads = ("Eggs at", "Expected males", "Likely range (95 %)")
    return (Table("Read off the curve where eggs were counted", heads, tuple(dict.fromkeys(rows))),)


def _point_table(
    points: tuple[Observation, ...], value: str, show: Show, drawn: Curve | Unknown | None = None
) -> tuple[Table, ...]:
    caption = "What was counted"
    left_out = len(points) - len(drawn.observed) if isinstance(drawn, Curve) else 0
    if left_out:
        caption += f"; not drawn: {left_out} at swinging or uncertain temperatures or not counted from laying"
    rows = tuple(
        (
            show.temperature_range(point.at.low, point.at.high),
            _number(point, show)
            if value == "Days"
            else show.percent_range(point.value.low, point.value.high),
            str(point.eggs or ""),
            ", ".join(_conditions(point, show)),
            known_words(point.support),
            point.support.note,
        )
        for point in sorted(points, key=lambda point: point.at.middle)
    )
    return (Table(caption, ("Eggs at", value, "Eggs", "Conditions", "How known", "Note"), rows),)


def _number(point: Observation, show: Show) -> str:
    """The days without the word."""
    return show.days_range(point.value.low, point.value.high).removesuffix(" days").removesuffix(" day")


def _conditions(point: Observation, show: Show) -> Iterator[str]:
    if point.group:
        yield point.group
    if point.swing:
        yield f"swing {show.step(point.swing)}"
    if point.potential is not None:
        yield f"medium {point.potential / 1000:g} kPa"
    if point.counted_from != "laying":
        yield f"counted from {point.counted_from}"


def _gain(gain: Range, show: Show) -> Fact:
    """What an egg takes up or gives off until it hatches, as a share of its mass at laying; a loss without a sign."""
    if gain.high <= 0:
        return Fact("Water given off until hatching", show.percent_range(-gain.high, -gain.low))
    if gain.low >= 0:
        return Fact("Water taken up until hatching", show.percent_range(gain.low, gain.high))
    told = f"from {show.percent(-gain.low)} given off to {show.percent(gain.high)} taken up"
    return Fact("Water until hatching", told)


def _eggs(species: Species, show: Show) -> Iterator[Fact]:
    eggs, medium = species.eggs, species.medium
    yield _fact("Shell", eggs.shell or NOT_KNOWN, eggs.support)
    if eggs.clutch:
        yield Fact("Clutch", f"{whole_range(eggs.clutch)} {'egg' if eggs.clutch.high == 1 else 'eggs'}")
    for name, found, shown in (
        ("Clutches a year", eggs.clutches_a_year, "{:.0f}".format),
        ("Mass of an egg", eggs.mass, show.mass),
        ("Length of an egg", eggs.length, show.length),
        ("Width of an egg", eggs.width, show.length),
    ):
        if found:
            low_text, high_text = shown(found.low), shown(found.high)
            yield Fact(name, low_text if low_text == high_text else f"{low_text} to {high_text}")
    if eggs.gain:
        yield _gain(eggs.gain, show)
    yield Fact("Eggs cling to each other", YES_NO[eggs.cling])
    yield Fact("Glued to a surface", YES_NO[eggs.glued_to_surface])
    for used in medium.mixes:
        yield _fact("Mix in use", mix_words(used.mix), used.support)
    if medium.water:
        text = f"{show.water_content_range(medium.water.low, medium.water.high)} of dry medium"
        yield _fact("Water in the medium", text, medium.water.support)
    yield from _range_fact("Water potential", medium.potential, "kPa", 1e-3)
    yield from _range_fact("Humidity in the box", medium.humidity, "%", 100.0)
    yield Fact("Top-ups", medium.top_up or NOT_KNOWN)
    if species.cool_period:
        yield _fact("Cool period", cool_words(species.cool_period, show), species.cool_period.support)
    if species.laying:
        yield from _laying(species.laying, show)


def _laying(laying: SpeciesLaying, show: Show) -> Iterator[Fact]:
    for name, after in (
        ("From the shed to laying", laying.shed_to_laying),
        ("From mating to laying", laying.mating_to_laying),
        ("From ovulation to laying", laying.ovulation_to_laying),
    ):
        if after:
            yield _fact(name, show.days_range(after.low, after.high), laying.support)
    following = laying.next_clutch
    if following:
        yield _fact("To the next clutch", show.days_range(following.low, following.high), following.support)


def _range_fact(name: str, band: Band | None, unit: str, factor: float) -> Iterator[Fact]:
    if band:
        low, high = f"{band.low * factor:g}", f"{band.high * factor:g}"
        yield _fact(name, f"{low} {unit}" if low == high else f"{low} to {high} {unit}", band.support)


def _evidence(species: Species) -> Iterator[Fact]:
    for name, points in (
        ("Days", species.duration),
        ("Sexes", species.sex.observed),
        ("Hatching", species.hatched),
    ):
        counts = {known: sum(point.support.known == known for point in points) for known in KNOWN}
        told = ", ".join(f"{count} {known}" for known, count in counts.items() if count)
        yield Fact(name, f"points: {told}" if told else "no points")
    bands = [band.support.known for band in (species.aim, species.tolerated, species.harmful) if band]
    yield Fact("Temperatures", ", ".join(dict.fromkeys(bands)) or NOT_KNOWN)


def _supports(species: Species) -> Iterator[Support]:
    sex, medium = species.sex, species.medium
    blocks: Iterable[object] = (
        species.aim, species.tolerated, species.harmful, *species.duration, species.pause, sex, *sex.observed,
        sex.sensitive, sex.reversal, species.eggs, *medium.mixes, medium.water, medium.potential, medium.humidity,
        *species.hatched, species.hatch_spread, species.cool_period, species.laying,
        species.laying.next_clutch if species.laying else None, species.climate,
    )  # fmt: skip
    for block in blocks:
        support = getattr(block, "support", None)
        if isinstance(support, Support):
            yield support


def _sources(species: Species, bibliography: Mapping[str, Source]) -> Iterator[tuple[str, str, str]]:
    keys = dict.fromkeys(key for support in _supports(species) for key in support.sources)
    for key in sorted(keys):
        if key in bibliography:
            source = bibliography[key]
            through = bibliography.get(source.via or "")
            yield key, source.cite + (f" (read through {through.cite})" if through else ""), source.known


def _fact(what: str, says: str, support: Support | None) -> Fact:
    return Fact(what, says, known_words(support), support.note if support else "")
