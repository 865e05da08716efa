"""What a profile's schema cannot say: figures that contradict each other, sources that do not exist."""

import itertools
from collections.abc import Iterator
from pathlib import Path

from advisor.model.species import Observation, Species
from advisor.reading.problems import InputError, Problem
from advisor.reading.schema_check import schema_problems
from advisor.reading.sources import Source, sources_for
from advisor.reading.species_build import build_species
from advisor.reading.yaml_text import Document, PathKey, read_yaml

COUNT_SLACK = (
    0.02  # a share of counted eggs may be this far from a whole count; sources round to two or three digits
)
DURATION_SLACK = (
    0.02  # share by which a warmer point may last longer before it needs a note: rounding of means
)
PATTERN_SLACK = (
    0.15  # share of males by which the ends may contradict the pattern word; sampling of small batches
)


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
    yield from _band_problems(species, document)
    yield from _source_problems(document, sources)
    yield from _duration_problems(species, document)
    yield from _share_problems(species, document)
    yield from _pattern_problems(species, document)


def _band_problems(species: Species, document: Document) -> Iterator[Problem]:
    aim, tolerated, harmful = species.aim, species.tolerated, species.harmful
    for name, band in (("aim", aim), ("tolerated", tolerated)):
        if band and band.low > band.high:
            yield document.problem(
                ("temperature", name, "low"), f"temperature.{name}: low is above high", "Exchange the two."
            )
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


def _source_problems(document: Document, sources: dict[str, Source]) -> Iterator[Problem]:
    for path, key in cited_keys(document):
        if key not in sources:
            yield document.problem(
                path,
                f"the source '{key}' is not in species/sources.yaml",
                "Add it there, or correct the key.",
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
    points = [(index, point) for index, point in enumerate(species.duration) if not point.swing]
    for index, point in points:
        for _, other in points:
            same = point.support.sources == other.support.sources and point.potential == other.potential
            warmer = point.at.low > other.at.high
            if (
                same
                and warmer
                and point.value.low > other.value.high * (1 + DURATION_SLACK)
                and not (point.support.note or other.support.note)
            ):
                yield document.problem(
                    ("duration", index, "days"),
                    f"duration[{index}]: {point.value.low:g} days at {point.at.low:g} °C, longer than "
                    f"{other.value.high:g} days at the cooler {other.at.high:g} °C in the same source",
                    "Check both points, or say why in a `note`.",
                )


def _share_problems(species: Species, document: Document) -> Iterator[Problem]:
    for name, key, points in (("sex", "observed", species.sex.observed), ("", "hatched", species.hatched)):
        for index, point in enumerate(points):
            path: PathKey = (name, key, index) if name else (key, index)
            if not 0 <= point.value.low <= point.value.high <= 1:
                yield document.problem(path, f"{key}[{index}]: a share lies between 0 and 1", "45 % is 0.45.")
            elif (
                key == "observed"
                and point.eggs
                and point.value.low == point.value.high
                and not point.support.note
            ):
                counted = point.value.low * point.eggs
                if abs(counted - round(counted)) > max(COUNT_SLACK * point.eggs, 0.05):
                    yield document.problem(
                        path,
                        f"{key}[{index}]: {point.value.low:g} of {point.eggs} eggs is {counted:.2f} males, not a whole number",
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
    pattern = species.sex.pattern
    wrong = (pattern == "cool males" and cool < hot - PATTERN_SLACK) or (
        pattern == "cool females" and cool > hot + PATTERN_SLACK
    )
    if pattern == "males between":
        wrong = max(point.value.middle for point in points) < max(cool, hot) + 0.01 and cool != hot
        wrong = wrong and min(cool, hot) > 0.5
    if wrong:
        yield document.problem(
            ("sex", "pattern"),
            f"sex.pattern: '{pattern}', yet the eggs counted give {cool:.2f} males at the cool end and {hot:.2f} at the hot end",
            "Correct the pattern or the points.",
        )


def _mean_share(points: list[Observation]) -> float:
    eggs = sum(point.eggs or 0 for point in points)
    return sum(point.value.middle * (point.eggs or 0) for point in points) / eggs
