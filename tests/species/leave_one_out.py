"""Leave-one-out over the profiles' published points: `python -m tests.species.leave_one_out`.

Each published constant-temperature point is left out in turn and predicted from the others of its species; then, the harder
question, all points of a study at once, so that a laboratory or population not yet seen is predicted. Days: share by
which the prediction misses, and whether the stated 95 % range holds the point. Days at daily swings, which no forecast at a
steady temperature uses where steady points reach, are predicted from the steady points. Sex: whether the 95 % range for as many eggs
as were counted, chance included, holds the counted males.
"""

import math
import statistics
from dataclasses import dataclass

from advisor.forecast.clutch.evidence import duration_points, group_of, steady
from advisor.formulas.days.incubation_days import IncubationLength, predicted_days
from advisor.formulas.days.points import DurationPoint
from advisor.formulas.numerics.no_data import NoData
from advisor.formulas.sexes.counts import SexPoint
from advisor.formulas.sexes.curve_choice import fit_male_share
from advisor.formulas.sexes.male_share import MaleShare, male_share_at
from advisor.model.species import Species
from advisor.reading.names import profile_files
from advisor.reading.species import load_species
from tests.referees.clutch_counts import males_in_clutch


@dataclass(frozen=True)
class Outcome:
    """What the left-out points say: how many were predicted, how many lay outside the data, misses, share held."""

    predicted: int
    no_data: int
    median_miss: float
    high_miss: float
    held: float
    spread: float | None = (
        None  # standard deviation of the misses, in those that the ranges state; 1 is right
    )


def days_left_out(whole_study: bool = False) -> Outcome:
    """Every published point of incubation length, predicted from the others of its species, or from other studies."""
    pairs = []
    for identifier in profile_files():
        points = steady_published(load_species(identifier))
        for index, point in enumerate(points):
            rest = tuple(
                other
                for place, other in enumerate(points)
                if (other.study != point.study if whole_study else place != index)
            )
            pairs.append((point, predicted_days(rest, point.temperature)))
    return _days_outcome(pairs)


def swings_left_out() -> Outcome:
    """Every published point at a daily swing, predicted from the steady ones of its species at its equivalent."""
    pairs = []
    for identifier in profile_files():
        species = load_species(identifier)
        steady_ones = steady_published(species)
        for point in duration_points(species):
            if point.swing and point.kind == "published":
                pairs.append((point, predicted_days(steady_ones, point.temperature)))
    return _days_outcome(pairs)


def steady_published(species: Species) -> tuple[DurationPoint, ...]:
    """The published points of incubation length at steady temperatures."""
    return tuple(point for point in duration_points(species) if point.kind == "published" and not point.swing)


def _days_outcome(pairs: list[tuple[DurationPoint, IncubationLength | NoData]]) -> Outcome:
    told = [(point, found) for point, found in pairs if isinstance(found, IncubationLength)]
    ranked = sorted(abs(found.days / point.days - 1) for point, found in told)
    stated = [
        math.log(point.days / found.days) / (math.log(found.high / found.days) / 1.96)
        for point, found in told
    ]
    return Outcome(
        len(told),
        len(pairs) - len(told),
        statistics.median(ranked),
        ranked[int(0.9 * len(ranked))],
        sum(found.low <= point.days <= found.high for point, found in told) / len(told),
        math.sqrt(statistics.fmean(z * z for z in stated)),
    )


def sexes_left_out(whole_study: bool = False) -> Outcome:
    """Every counted share of males where temperature sets the sex, predicted from the others, or from other groups."""
    misses, held, outside = [], 0, 0
    for identifier in profile_files():
        species = load_species(identifier)
        if species.sex.set_by != "temperature":
            continue
        points = [
            SexPoint(point.at.middle, point.value.middle, point.eggs, group_of(point))
            for point in steady(species.sex.observed)
            if point.eggs and point.support.known == "published"
        ]
        for index, point in enumerate(points):
            rest = [
                other
                for place, other in enumerate(points)
                if (other.study != point.study if whole_study else place != index)
            ]
            model = fit_male_share(rest, "temperature", species.sex.pattern)  # type: ignore[arg-type]
            found = male_share_at(model, point.temperature)
            if not isinstance(found, MaleShare):
                outside += 1
                continue
            eggs = int(point.eggs or 0)
            males = round(point.male_share * eggs)
            low, high = males_in_clutch(found, eggs)
            misses.append(abs(found.share - point.male_share))
            held += low <= males <= high
    ranked = sorted(misses)
    return Outcome(
        len(misses), outside, statistics.median(misses), ranked[int(0.9 * len(ranked))], held / len(misses)
    )


if __name__ == "__main__":
    for name, outcome in (
        ("days, a point", days_left_out()),
        ("days, a study", days_left_out(whole_study=True)),
        ("days, those at daily swings", swings_left_out()),
        ("sexes, a count", sexes_left_out()),
        ("sexes, a study or population", sexes_left_out(whole_study=True)),
    ):
        print(
            f"{name} left out: {outcome.predicted} points predicted, {outcome.no_data} outside the other data; "
            f"miss median {outcome.median_miss:.1%}, 90th percentile {outcome.high_miss:.1%}; "
            f"95 % range held {outcome.held:.1%}"
            + (f"; sd of the misses in stated ones {outcome.spread:.2f}" if outcome.spread else "")
        )
