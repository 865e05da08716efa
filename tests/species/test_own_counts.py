"""The share of males against the profile's own counts, over all shipped profiles."""

import math

import pytest

from advisor.forecast.clutch.days_and_sexes import AS_PROBE, male_share
from advisor.forecast.clutch.evidence import LopsidedCount, sex_points, share_model, unlike_half
from advisor.formulas.numerics.beta_distribution import exact_interval
from advisor.formulas.sexes.counts import grouped, pool
from advisor.formulas.sexes.curve_choice import supported_peak
from advisor.formulas.sexes.male_share import MaleShare, male_share_at
from advisor.model.figures import Figure
from advisor.model.plan import Control
from advisor.model.species import Species
from advisor.reading.names import profile_files
from advisor.reading.species import load_species

SPECIES = [load_species(name) for name in sorted(profile_files())]
BY_WARMTH = [species for species in SPECIES if species.sex.set_by == "temperature" and sex_points(species)]
MANY = 50  # eggs counted at one temperature


@pytest.mark.parametrize("species", BY_WARMTH, ids=lambda species: species.id)
def test_many_eggs_counted_at_a_temperature_bound_the_range_there(species: Species) -> None:
    model = share_model(species)
    for count in pool(grouped(sex_points(species))):
        if count.eggs < MANY:
            continue
        low, high = exact_interval(round(count.males), round(count.eggs))
        share = (count.males + 0.5) / (count.eggs + 1)
        scatter = 2 * 1.96 * math.sqrt(model.correlation * share * (1 - share))
        allowed = 2 * (high - low + scatter)
        found = male_share_at(model, count.temperature)
        assert isinstance(found, MaleShare)
        assert found.high - found.low <= allowed, (count, found.low, found.high)
        # A home thermostat that was checked (0.25 K) keeps it: what the curve does within half a kelvin comes on top.
        near = [male_share_at(model, count.temperature + step) for step in (-0.5, 0.5)]
        shares = [one.share for one in near if isinstance(one, MaleShare)]
        moved = max(abs(share - found.share) for share in shares)
        home = male_share_at(model, count.temperature, error=0.25)
        assert isinstance(home, MaleShare)
        assert home.high - home.low <= allowed + 2 * moved, (count, home.low, home.high)


@pytest.mark.parametrize("species", BY_WARMTH, ids=lambda species: species.id)
def test_no_peak_is_higher_than_the_counts_support(species: Species) -> None:
    model = share_model(species)
    if len(model.fit.slopes if model.fit else ()) < 2:
        return
    counts = pool(model.groups)
    coldest, warmest = counts[0].temperature, counts[-1].temperature
    grid = [coldest + (warmest - coldest) * step / 200 for step in range(201)]
    found = [male_share_at(model, temperature) for temperature in grid]
    shares = [1 - one.share if model.mirrored else one.share for one in found if isinstance(one, MaleShare)]
    # Supported by a temperature at which 10 eggs or more were sexed; by any, where none has as many.
    many = [count.males / count.eggs for count in counts if count.eggs >= 10]
    assert max(shares) <= max(many or [count.males / count.eggs for count in counts]) + 1e-9
    assert supported_peak(counts) == max(many or [count.males / count.eggs for count in counts])


def test_three_young_make_no_peak() -> None:
    # Amphibolurus muricatus: 9 of 22 males at 28 °C, 2 of 3 at 31 °C, 11 of 41 at 32 °C.
    model = share_model(load_species("amphibolurus-muricatus"))
    found = [male_share_at(model, 28 + 0.1 * step) for step in range(41)]
    assert all(isinstance(one, MaleShare) and one.share <= 0.41 for one in found)


def test_counts_unlike_half_are_told_and_widen_the_range() -> None:
    odd = {species.id: unlike_half(species) for species in SPECIES if unlike_half(species)}
    assert list(odd) == ["elaphe-carinata"]
    told = odd["elaphe-carinata"]
    assert isinstance(told, LopsidedCount)
    assert (told.males, told.eggs) == (53, 153)
    species = load_species("elaphe-carinata")
    found = male_share(Control(set_to=28.0, checked_against="ice point"), species, AS_PROBE)
    assert isinstance(found, Figure)
    assert found.value == 0.5 and found.low <= told.low <= 53 / 153 <= found.high
    assert "53 of 153 young counted were males" in found.basis


def test_counts_near_half_change_nothing() -> None:
    for name in ("pelodiscus-sinensis", "chamaeleo-calyptratus", "pantherophis-guttatus"):
        found = male_share(Control(set_to=28.0, checked_against="ice point"), load_species(name), AS_PROBE)
        assert isinstance(found, Figure)
        assert found.basis == "chromosomes set the sex"
