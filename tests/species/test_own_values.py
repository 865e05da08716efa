"""What a forecast says against what the profile itself says, over all shipped profiles."""

import itertools

import pytest

from advisor.forecast.clutch.evidence import duration_points, placed
from advisor.formulas.days.incubation_days import IncubationLength, evidence_for, predicted_days
from advisor.formulas.days.own_values import SAME
from advisor.formulas.days.steady_equivalent import WIDEST_SWING
from advisor.reading.names import profile_files
from advisor.reading.species import load_species

PROFILES = sorted(profile_files())

# Temperatures [°C] at which single studies contradict each other, a warmer one with more days than a colder one. There
# the forecast lies between the two, so that warmer stays no slower; at Mauremys reevesii's 29 °C two studies at 28 °C
# outweigh the one.
CONTRADICTED = {
    "calotes-versicolor": (35.0,),
    "eublepharis-macularius": (29.45,),
    "chrysemys-picta": (22.0, 23.0),
    "mauremys-reevesii": (29.0,),
    "natrix-natrix": (19.0, 21.0),
    "podarcis-muralis": (23.0, 24.0),
}


@pytest.mark.parametrize("identifier", PROFILES)
def test_days_lie_within_the_profile_s_own_values(identifier: str) -> None:
    points = duration_points(load_species(identifier))
    for temperature in sorted({point.temperature for point in points}):
        used = evidence_for(points, temperature)
        found = predicted_days(points, temperature)
        assert isinstance(used, tuple)
        assert isinstance(found, IncubationLength)
        # Keepers' figures, and swings, beside steady published ones that reach are not used, so they bind nothing.
        if temperature not in {point.temperature for point in used}:
            continue
        here = [point for point in used if abs(point.temperature - temperature) <= SAME + 1e-9]
        low = min((point.low or point.days) * (1 - 2.1 * point.spread) for point in here)
        high = max((point.high or point.days) * (1 + 2.1 * point.spread) for point in here)
        if temperature in CONTRADICTED.get(identifier, ()):
            assert found.low <= low <= high <= found.high
        else:
            assert low * (1 - 1e-9) <= found.days <= high * (1 + 1e-9), (identifier, temperature)


@pytest.mark.parametrize("identifier", sorted(CONTRADICTED))
def test_the_contradictions_are_real(identifier: str) -> None:
    # The list above may not grow without cause: each of its temperatures has a partner that contradicts it.
    points = duration_points(load_species(identifier))
    for temperature in CONTRADICTED[identifier]:
        assert any(
            warm.days > cold.days and temperature in (cold.temperature, warm.temperature)
            for cold, warm in itertools.product(points, points)
            if cold.temperature < warm.temperature
        )


def test_days_at_daily_swings_are_told() -> None:
    told = set()
    for identifier in PROFILES:
        species = load_species(identifier)
        points = duration_points(species)
        swung = [point for point in points if point.swing]
        assert len(swung) == sum(0 < (point.swing or 0) <= WIDEST_SWING for point in placed(species.duration))
        for point in swung:
            found = predicted_days(points, point.temperature)
            assert isinstance(found, IncubationLength), (identifier, point)
            assert found.low <= point.days <= found.high or found.points < len(points)
            told.add(identifier)
    assert {"anolis-sagrei", "liasis-fuscus"} <= told
