"""A profile's observed points as the egg formulas take them: incubation length and share of males."""

from functools import lru_cache
from typing import cast

from msgspec import Struct

from advisor.formulas.days.incubation_days import IncubationLength, predicted_days
from advisor.formulas.days.points import DurationPoint, Kind
from advisor.formulas.days.steady_equivalent import steady_points
from advisor.formulas.numerics.beta_distribution import LARGEST_SHAPE, exact_interval
from advisor.formulas.numerics.no_data import NoData
from advisor.formulas.sexes.counts import SexPoint
from advisor.formulas.sexes.curve_choice import Pattern, SetBy, ShareModel, fit_male_share
from advisor.formulas.sexes.male_share import MaleShare, male_share_at
from advisor.model.species import KEEPERS_RECORD, Observation, Species

WIDEST = 2.0  # K; a point whose temperature is only known to a wider band tells little; judgement


# Chance may give such a count to one profile in a hundred, and some twenty species are counted; judgement.
BEYOND_CHANCE = 0.99


class LopsidedCount(Struct, frozen=True):
    """Males among the young counted [eggs], and the share [0 to 1] that they stand for, low and high."""

    males: int
    eggs: int
    low: float
    high: float


def placed(points: tuple[Observation, ...]) -> tuple[Observation, ...]:
    """Points whose mean temperature is known to within `WIDEST`."""
    return tuple(point for point in points if point.at.high - point.at.low <= WIDEST + 1e-9)


def steady(points: tuple[Observation, ...]) -> tuple[Observation, ...]:
    """Points at a constant temperature known to within `WIDEST`."""
    return tuple(point for point in placed(points) if not point.swing)


@lru_cache(maxsize=256)
def duration_points(species: Species) -> tuple[DurationPoint, ...]:
    """Points of incubation length counted from laying, one study key a group of eggs.

    Days that a source counts from the end of the embryo's rest are raised by the middle of the profile's pause. Days
    at a daily swing stand at the constant temperature that develops eggs as fast.
    """
    rest = species.pause.days if species.pause is not None else None
    points = []
    for point in placed(species.duration):
        shift = 0.0
        if point.counted_from != "laying":
            if rest is None:
                continue
            shift = rest.middle
        low, high = point.value.low + shift, point.value.high + shift
        if point.counted_from != "laying" and rest is not None:
            low, high = point.value.low + rest.low, point.value.high + rest.high
        points.append(
            DurationPoint(
                temperature=point.at.middle,
                days=(low + high) / 2,
                eggs=point.eggs,
                study=group_of(point),
                low=low if low < high else None,
                high=high if low < high else None,
                kind=cast(Kind, point.support.known),
                swing=point.swing or 0.0,
                logged=KEEPERS_RECORD in point.support.sources,
            )
        )
    return steady_points(points)


@lru_cache(maxsize=1024)
def incubation_length(species: Species, temperature: float, error: float) -> IncubationLength | NoData:
    """Days from laying to hatching at a temperature [°C] known to an error [K, standard deviation]."""
    return predicted_days(duration_points(species), temperature, error)


def group_of(point: Observation) -> str:
    """Key of the eggs behind a count: its sources and the group. Populations of one paper differ as much as papers do."""
    return " ".join((*point.support.sources, point.group)).strip()


def sex_points(species: Species) -> tuple[SexPoint, ...]:
    """Counts of males at steady temperatures, one study key a group of eggs."""
    return tuple(
        SexPoint(point.at.middle, point.value.middle, point.eggs, group_of(point))
        for point in steady(species.sex.observed)
    )


@lru_cache(maxsize=256)
def unlike_half(species: Species) -> LopsidedCount | None:
    """The young counted in a species whose chromosomes set the sex, where chance hardly explains how few are of one sex.

    None where half of each lies in the exact interval of the count, or where nobody counted.
    """
    counted = [point for point in species.sex.observed if point.eggs]
    eggs = sum(point.eggs or 0 for point in counted)
    males = sum(round(point.value.middle * (point.eggs or 0)) for point in counted)
    if species.sex.set_by != "chromosomes" or not 0 < eggs < LARGEST_SHAPE:
        return None
    low, high = exact_interval(males, eggs, BEYOND_CHANCE)
    return None if low <= 0.5 <= high else LopsidedCount(males, eggs, low, high)


@lru_cache(maxsize=256)
def share_model(species: Species) -> ShareModel:
    """The fitted share of males of a species by temperature."""
    return fitted_shares(species, sex_points(species))


@lru_cache(maxsize=1024)
def males_at(species: Species, temperature: float, error: float) -> MaleShare | NoData:
    """Share of males at a temperature [°C] known to an error [K, standard deviation]."""
    return male_share_at(share_model(species), temperature, error)


def fitted_shares(species: Species, points: tuple[SexPoint, ...]) -> ShareModel:
    """The share of males fitted to some of the species' counts, with what the profile says about how sex is set."""
    sex, reversal = species.sex, species.sex.reversal
    return fit_male_share(
        points,
        cast(SetBy, sex.set_by or "unknown"),
        cast(Pattern | None, sex.pattern),
        reversal.above if reversal else None,
        "males" if reversal and reversal.toward == "males" else "females",
    )
