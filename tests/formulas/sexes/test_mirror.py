"""What has no side has no side: counts seen in a mirror, of warm and cool or of males and females, give the mirrored share."""

import pytest
from msgspec import structs

from advisor.formulas.sexes.counts import SexPoint
from advisor.formulas.sexes.curve_choice import Pattern, fit_male_share
from advisor.formulas.sexes.male_share import MaleShare, SetPoint, male_share_at, set_point_for_share
from tests.formulas.sexes.data_sex import ROWS

OTHER_WAY: dict[Pattern | None, Pattern | None] = {"cool males": "cool females", "cool females": "cool males"}
OTHER_SEX: dict[Pattern | None, Pattern | None] = OTHER_WAY | {"males between": "females between"}
MIDDLE = 29.0
# Species with counts at three temperatures or more, and a pattern for each kind of curve.
CASES = [
    (species, pattern)
    for species, rows in ROWS.items()
    if len({row[0] for row in rows}) > 2
    for pattern in ("cool males", "cool females", "males between")
][::7]


def counts(species: str) -> list[SexPoint]:
    return [SexPoint(t, share, eggs, study) for t, share, eggs, study, *_ in ROWS[species]]


def told(points: list[SexPoint], pattern: Pattern | None, temperature: float) -> tuple[float, ...]:
    model = fit_male_share(points, "temperature", pattern)
    found = male_share_at(model, temperature, 0.3)
    assert isinstance(found, MaleShare)
    return found.share, found.low, found.high, found.eggs, model.correlation


@pytest.mark.parametrize(("species", "pattern"), CASES)
def test_warm_and_cool_may_be_exchanged(species: str, pattern: Pattern) -> None:
    points = counts(species)
    turned = [structs.replace(p, temperature=2 * MIDDLE - p.temperature) for p in points]
    temperatures = sorted({p.temperature for p in points})
    for at in (temperatures[0], temperatures[1] + 0.3, temperatures[-1]):
        one = told(points, pattern, at)
        other = told(turned, OTHER_WAY.get(pattern, pattern), 2 * MIDDLE - at)
        assert other == pytest.approx(one, abs=2e-3)  # what two climbs to one summit leave
    one_model = fit_male_share(points, "temperature", pattern)
    other_model = fit_male_share(turned, "temperature", OTHER_WAY.get(pattern, pattern))
    for wanted in (0.3, 0.5, 0.8):
        found, back = (set_point_for_share(model, wanted, 20.0, 38.0) for model in (one_model, other_model))
        assert isinstance(found, SetPoint) and isinstance(back, SetPoint)
        assert back.temperature == pytest.approx(
            2 * MIDDLE - found.temperature, abs=0.101
        )  # a step of the grid


@pytest.mark.parametrize(("species", "pattern"), CASES)
def test_males_and_females_may_be_exchanged(species: str, pattern: Pattern) -> None:
    points = counts(species)
    turned = [structs.replace(p, male_share=1 - p.male_share) for p in points]
    temperatures = sorted({p.temperature for p in points})
    for at in (temperatures[0], temperatures[1] + 0.3, temperatures[-1]):
        share, low, high, *rest = told(points, pattern, at)
        other = told(turned, OTHER_SEX[pattern], at)
        assert other == pytest.approx((1 - share, 1 - high, 1 - low, *rest), abs=0.02)  # half eggs go one way
