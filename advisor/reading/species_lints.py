"""What a profile's schema cannot say: figures that contradict each other, sources that do not exist."""

import datetime
import itertools
from collections.abc import Iterator
from pathlib import Path

from advisor.model.species import KEEPERS_RECORD, Observation, Species
from advisor.reading.problems import InputError, Problem
from advisor.reading.schema_check import path_text, schema_problems
from advisor.reading.sources import Source, sources_for
from advisor.reading.species_build import build_species
from advisor.reading.words import nearest
from advisor.reading.yaml_text import Document, PathKey, read_yaml

DAYS_A_YEAR = 365
COUNT_SLACK = 0.006  # of the eggs, by which a share may miss a whole count: sources round to two digits
# share by which a warmer point may last longer before it needs a note: rounding of means
DURATION_SLACK = 0.02
# share of males by which the ends may contradict the pattern word; sampling of small batches
PATTERN_SLACK = 0.15


def check_profile(path: Path) -> Species:
    """Reads, validates and lints one profile; raises `InputError` with every fault, else returns the species."""
    document = read_yaml(path)
    problems = schema_problems(document, "species")
    if problems:
        raise InputError(problems)
    sources = sources_for(path.parent)
    species = build_species(document, str(path.parent), sources)
    found = list(lint(species, document, path.stem, sources))
    if found:
        raise InputError(found)
    return species


def check_bibliography(path: Path) -> int:
    """Reads and lints a bibliography; raises `InputError` with every fault, else returns the number of its entries."""
    document = read_yaml(path)
    problems = schema_problems(document, "sources")
    if problems:
        raise InputError(problems)
    found = list(lint_bibliography(document, sources_for(path.parent)))
    if found:
        raise InputError(found)
    return len(document.data["sources"])


def lint_bibliography(document: Document, sources: dict[str, Source]) -> Iterator[Problem]:
    """Keys out of order, and compilations that are not there."""
    keys = list(document.data["sources"])
    for before, key in itertools.pairwise(keys):
        if key < before:
            yield document.problem(
                ("sources", key),
                f"the key '{key}' stands after '{before}'",
                "Keep the keys in alphabetical order.",
            )
    for key, entry in document.data["sources"].items():
        via = entry.get("via")
        if via is not None and via not in sources:
            yield document.problem(
                ("sources", key, "via"),
                f"'{key}' was read through '{via}', which is not in the bibliography",
                "Add that entry, or correct the key.",
            )


def lint(species: Species, document: Document, stem: str, sources: dict[str, Source]) -> Iterator[Problem]:
    """Every contradiction in one profile."""
    if species.id != stem:
        yield document.problem(
            ("id",), f"id: '{species.id}' differs from the file name '{stem}'", "Make them the same."
        )
    wanted = "-".join(species.scientific.lower().split())
    if species.id != wanted:
        yield document.problem(
            ("id",),
            f"id: '{species.id}' is not the scientific name",
            f"Write {wanted}, or correct names.scientific.",
        )
    if not _is_date(species.reviewed):
        yield document.problem(
            ("reviewed",),
            f"reviewed: the date {species.reviewed} does not exist",
            "Check the day and the month.",
        )
    yield from _band_problems(species, document)
    yield from _sensitive_problems(species, document)
    yield from _source_problems(document, sources)
    yield from _duration_problems(species, document)
    yield from _double_problems(species, document)
    yield from _share_problems(species, document)
    yield from _pattern_problems(species, document)
    yield from _season_problems(species, document)
    yield from _record_problems(species, document)


def _band_problems(species: Species, document: Document) -> Iterator[Problem]:
    aim, tolerated, harmful = species.aim, species.tolerated, species.harmful
    for name, band in (("aim", aim), ("tolerated", tolerated)):
        if band and band.low > band.high:
            yield document.problem(
                ("temperature", name, "low"), f"temperature.{name}: low is above high", "Exchange the two."
            )
    if any(band and band.low > band.high for band in (aim, tolerated)):
        return
    if aim and tolerated and not (tolerated.low <= aim.low and aim.high <= tolerated.high):
        yield document.problem(
            ("temperature", "aim"),
            f"temperature.aim: {aim.low:g} to {aim.high:g} °C is not inside tolerated, {tolerated.low:g} to {tolerated.high:g} °C",
            "Widen `tolerated` or narrow `aim`.",
        )
    inner = tolerated or aim
    if harmful and inner:
        if harmful.below is not None and harmful.below > inner.low:
            yield document.problem(
                ("temperature", "harmful", "below"),
                f"temperature.harmful: below {harmful.below:g} °C cuts into the band that starts at {inner.low:g} °C",
                "Correct one of them.",
            )
        if harmful.above is not None and harmful.above < inner.high:
            yield document.problem(
                ("temperature", "harmful", "above"),
                f"temperature.harmful: above {harmful.above:g} °C cuts into the band that ends at {inner.high:g} °C",
                "Correct one of them.",
            )


def _sensitive_problems(species: Species, document: Document) -> Iterator[Problem]:
    sensitive = species.sex.sensitive
    if sensitive and sensitive.low > sensitive.high:
        yield document.problem(
            ("sex", "sensitive", "from"), "sex.sensitive: `from` is above `to`", "Exchange the two."
        )


def _is_date(text: str) -> bool:
    try:
        datetime.date.fromisoformat(text)
    except ValueError:
        return False
    return True


def _source_problems(document: Document, sources: dict[str, Source]) -> Iterator[Problem]:
    for path, key in cited_keys(document):
        if key not in sources:
            near = nearest(key, list(sources))
            yield document.problem(
                path,
                f"the source '{key}' is not in species/sources.yaml",
                f"{f'Did you mean {near}? ' if near else ''}Add it there or to a sources.yaml beside your profile, or "
                "correct the key.",
            )


def cited_keys(document: Document) -> Iterator[tuple[PathKey, str]]:
    """Every bibliography key a profile cites, with its place."""

    def walk(value: object, path: PathKey) -> Iterator[tuple[PathKey, str]]:
        if isinstance(value, dict):
            for key, entry in value.items():
                if key == "sources" and isinstance(entry, list):
                    yield from (((*path, key, index), str(source)) for index, source in enumerate(entry))
                else:
                    yield from walk(entry, (*path, key))
        elif isinstance(value, list):
            for index, item in enumerate(value):
                yield from walk(item, (*path, index))

    return walk(document.data, ())


def _duration_problems(species: Species, document: Document) -> Iterator[Problem]:
    """Within one study and one moisture, warmer eggs hatch sooner, or a note explains why not."""
    points = [point for point in species.duration if not point.swing]
    for index, point in enumerate(species.duration):
        cooler = next((other for other in points if _longer_though_warmer(point, other)), None)
        if cooler is not None:
            yield document.problem(
                ("duration", index, "days"),
                f"duration[{index}]: {point.value.low:g} days at {point.at.low:g} °C, longer than "
                f"{cooler.value.high:g} days at the cooler {cooler.at.high:g} °C in the same source",
                "Check both points, or say why in a `note`.",
            )
        if point.counted_from != "laying" and species.pause is None and species.pause_known:
            yield document.problem(
                ("duration", index, "counted_from"),
                f"duration[{index}]: counted from {point.counted_from}, yet pause is none",
                "Tell the pause, or count from laying.",
            )


def _longer_though_warmer(point: Observation, other: Observation) -> bool:
    same = (point.support.sources, point.group, point.potential) == (
        other.support.sources,
        other.group,
        other.potential,
    )
    return (
        same
        and not point.swing
        and point.at.low > other.at.high
        and point.value.low > other.value.high * (1 + DURATION_SLACK)
        and not (point.support.note or other.support.note)
    )


def _double_problems(species: Species, document: Document) -> Iterator[Problem]:
    """The same point typed twice would count as two."""
    for path, points in _lists(species):
        for index, point in enumerate(points):
            if point in points[:index]:
                first = points.index(point)
                yield document.problem(
                    (*path, index),
                    f"{path_text((*path, index))} is the same as {path_text((*path, first))}",
                    "Take one out, or say in a `note` what sets them apart.",
                )


def _lists(species: Species) -> tuple[tuple[PathKey, tuple[Observation, ...]], ...]:
    return (
        (("duration",), species.duration),
        (("sex", "observed"), species.sex.observed),
        (("hatched",), species.hatched),
    )


def _record_problems(species: Species, document: Document) -> Iterator[Problem]:
    """A keeper's record counts by its eggs, and as the one clutch that it is."""
    for path, points in _lists(species):
        for index, point in enumerate(points):
            if KEEPERS_RECORD not in point.support.sources:
                continue
            here = (*path, index)
            lacks = [name for name, told in (("eggs", point.eggs), ("group", point.group)) if not told]
            if lacks:
                yield document.problem(
                    here, f"{path_text(here)}: a keeper's record lacks {' and '.join(lacks)}",
                    "Add how many eggs were counted, and which clutch it was: eggs: 12, group: \"My box, laid 2027-05-11\"",
                )  # fmt: skip


def _share_problems(species: Species, document: Document) -> Iterator[Problem]:
    """A share of counted eggs is a whole number of males."""
    for index, point in enumerate(species.sex.observed):
        if not point.eggs or point.value.low != point.value.high or point.support.note:
            continue
        counted = point.value.low * point.eggs
        if abs(counted - round(counted)) > max(COUNT_SLACK * point.eggs, 0.05):
            path: PathKey = ("sex", "observed", index)
            yield document.problem(
                path,
                f"{path_text(path)}: {point.value.low:g} of {point.eggs} eggs is {counted:.2f} males, not a whole number",
                "Check the share and the count, or say why in a `note`.",
            )


def _pattern_problems(species: Species, document: Document) -> Iterator[Problem]:
    """The pattern word agrees with the counted shares at the cool end, the hot end and between."""
    points = sorted(
        (point for point in species.sex.observed if point.eggs and not point.swing),
        key=lambda point: point.at.middle,
    )
    if species.sex.set_by != "temperature" or len(points) < 3:
        return
    cool, hot = _mean_share(points[:2]), _mean_share(points[-2:])
    pattern, ends = species.sex.pattern, (points[0].at.middle, points[-1].at.middle)
    between = [point for point in points if ends[0] < point.at.middle < ends[1]]
    most = max((point.value.middle for point in between), default=0.5)
    least = min((point.value.middle for point in between), default=0.5)
    outer = [_mean_share([point for point in points if point.at.middle == end]) for end in ends]
    wrong = {
        "cool males": cool < hot - PATTERN_SLACK,
        "cool females": cool > hot + PATTERN_SLACK,
        "males between": most < min(outer) - PATTERN_SLACK,
        "females between": least > max(outer) + PATTERN_SLACK,
    }
    if wrong.get(pattern or "", False):
        yield document.problem(
            ("sex", "pattern"),
            f"sex.pattern: '{pattern}', yet the eggs counted give {outer[0]:.2f} males at the cool end, {least:.2f} to "
            f"{most:.2f} between and {outer[1]:.2f} at the hot end",
            "Correct the pattern or the points.",
        )


def _season_problems(species: Species, document: Document) -> Iterator[Problem]:
    """As many clutches as are told fit into a year at the interval that is told."""
    following = species.laying.next_clutch if species.laying else None
    told = species.eggs.clutches_a_year
    if following is None or told is None:
        return
    path: PathKey = ("laying", "next_clutch", "days")
    if told.high < 2:
        yield document.problem(
            path,
            "laying.next_clutch: days to a next clutch, yet eggs.clutches_per_year tells of one clutch",
            "Correct one of them.",
        )
    least = (told.high - 1) * following.low
    if least > DAYS_A_YEAR:
        yield document.problem(
            path,
            f"laying.next_clutch: {told.high:g} clutches {following.low:g} days apart take {least:g} days, more than a year",
            "Correct one of them.",
        )


def _mean_share(points: list[Observation]) -> float:
    eggs = sum(point.eggs or 0 for point in points)
    return sum(point.value.middle * (point.eggs or 0) for point in points) / eggs
