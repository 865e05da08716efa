"""Counted eggs: points as sources give them, groups of eggs, their likelihood and their scatter."""

import math
from collections.abc import Sequence

from msgspec import Struct

from advisor.formulas.air.moist_air import NoSolution
from advisor.formulas.days.rate_curves import check_temperature

EGGS_ASSUMED = 5.0  # Number of eggs taken where a source gives a share without a count (judgement).
# Intraclass correlation of the eggs of one group (study, clutch) where temperature sets sex [dimensionless], before
# the species' own scatter is seen: judgement, chosen with CORRELATION_WEIGHT so that 95 % ranges held for at least 90
# % of points, studies and temperatures left out (22 species of Noble et al. 2018).
CORRELATION = 0.04
# How many groups that correlation counts for against the species' own (judgement, as above).
CORRELATION_WEIGHT = 4.0
_NO_CHANCE = 1e-12


class SexPoint(Struct, frozen=True):
    """Share of males among the sexed eggs of one group at one constant temperature.

    temperature [°C]; male_share [0 to 1]; eggs, the number sexed, or None when the source does not say;
    study, a text key (one key a population when a paper counts several).
    """

    temperature: float
    male_share: float
    eggs: float | None = None
    study: str = ""


class Group(Struct, frozen=True):
    """Males and eggs [eggs, not always whole] of one study at one temperature [°C]."""

    temperature: float
    males: float
    eggs: float
    study: str


def grouped(points: Sequence[SexPoint]) -> list[Group]:
    """Turn shares into counts and add up what one study has at one temperature.

    Arguments: points; males are share times eggs, rounded to a whole egg when the eggs were counted.
    Result: one Group a study and temperature.
    Errors: ValueError for shares outside 0 to 1, egg counts not above 0, temperatures outside -20 to 70 °C.
    Reference: counts x = round(share n), as for Noble et al. 2018, Scientific Data 5:180138 (derived).
    """
    together: dict[tuple[str, float], tuple[float, float]] = {}
    for point in points:
        check_temperature(point.temperature)
        if not 0 <= point.male_share <= 1:
            raise NoSolution(f"a share of males must lie between 0 and 1, not {point.male_share:g}")
        if point.eggs is not None and not point.eggs > 0:
            raise NoSolution(f"the number of eggs must be above 0, not {point.eggs:g}")
        if point.eggs is None:
            eggs, males = EGGS_ASSUMED, point.male_share * EGGS_ASSUMED
        else:
            eggs, males = point.eggs, min(point.eggs, float(round(point.male_share * point.eggs)))
        before = together.get((point.study, point.temperature), (0.0, 0.0))
        together[point.study, point.temperature] = (before[0] + males, before[1] + eggs)
    return [
        Group(temperature, males, eggs, study) for (study, temperature), (males, eggs) in together.items()
    ]


def pool(groups: Sequence[Group]) -> list[Group]:
    """Add up the groups at each temperature, coldest first; the likelihood of a curve keeps its shape."""
    together: dict[float, tuple[float, float]] = {}
    for group in groups:
        males, eggs = together.get(group.temperature, (0.0, 0.0))
        together[group.temperature] = (males + group.males, eggs + group.eggs)
    return [Group(temperature, *together[temperature], "") for temperature in sorted(together)]


def log_likelihood(share: float, males: float, eggs: float) -> float:
    """Return males ln(share) + (eggs - males) ln(1 - share), with share kept off 0 and 1 by 1e-12."""
    share = min(max(share, _NO_CHANCE), 1 - _NO_CHANCE)
    return males * math.log(share) + (eggs - males) * math.log1p(-share)


def misfit(fitted: Sequence[float], groups: Sequence[Group]) -> tuple[float, float]:
    """Return the deviance and the sum of squared Pearson residuals of fitted shares.

    Arguments: fitted shares [0 to 1], one a group; groups.
    Result: deviance, twice the log-likelihood lost against fitting each group exactly, and Pearson's sum of
    (x - n p)^2/(n p (1 - p)) with p kept between 0.001 and 0.999, so that one stray egg is no huge misfit
    (judgement).
    Reference: McCullagh & Nelder, Generalized Linear Models, 4.4 (from memory).
    """
    deviance = pearson = 0.0
    for p, group in zip(fitted, groups, strict=True):
        own = log_likelihood(group.males / group.eggs, group.males, group.eggs)
        deviance += 2 * (own - log_likelihood(p, group.males, group.eggs))
        p = min(max(p, 1e-3), 1 - 1e-3)
        pearson += (group.males - group.eggs * p) ** 2 / (group.eggs * p * (1 - p))
    return max(0.0, deviance), pearson


def correlation_from(fitted: Sequence[float], groups: Sequence[Group], parameters: int) -> float:
    """Return the intraclass correlation of the eggs of one group, from the scatter of groups around a curve.

    Arguments: fitted shares [0 to 1], one a group; groups; parameters fitted.
    Result: correlation rho [0 to 0.95], the usual one where fewer groups than parameters show both sexes.
    Assumes variance n p (1 - p)(1 + (n - 1) rho) for every group; only groups with fitted shares of 0.03 to
    0.97 tell anything.
    Reference: moment estimator of Williams 1982, Applied Statistics 31:144, model II (from memory);
    shrinking to the usual value is judgement.
    """
    telling = [(p, g) for p, g in zip(fitted, groups, strict=True) if 0.03 < p < 0.97 and g.eggs > 1]
    freedom = len(telling) - parameters
    if freedom <= 0:
        return CORRELATION
    return _shrunk([p for p, _ in telling], [g for _, g in telling], freedom, CORRELATION)


def _shrunk(fitted: Sequence[float], groups: Sequence[Group], freedom: int, expected: float) -> float:
    """The moment estimate of the correlation in a scatter, shrunk to an expected one."""
    _, pearson = misfit(fitted, groups)
    own = max(0.0, (pearson - freedom) / (sum(g.eggs - 1 for g in groups) * freedom / len(groups)))
    return min(0.95, (CORRELATION_WEIGHT * expected + freedom * own) / (CORRELATION_WEIGHT + freedom))


def correlation_among(groups: Sequence[Group], expected: float) -> float:
    """Return the intraclass correlation of groups counted at one temperature, shrunk to an expected one.

    Arguments: groups at one temperature; expected correlation [0 to 1].
    Result: correlation [0 to 0.95]; the expected one for fewer than two groups of two eggs or more.
    Reference: moment estimator of Williams 1982 around the share of all (Jeffreys mean).
    """
    telling = [group for group in groups if group.eggs > 1]
    freedom = len(telling) - 1
    if freedom < 1:
        return expected
    eggs = sum(group.eggs for group in telling)
    share = (sum(group.males for group in telling) + 0.5) / (eggs + 1)
    return _shrunk([share] * len(telling), telling, freedom, expected)


def discounted(groups: Sequence[Group], correlation: float) -> list[Group]:
    """Scale each group to the number of independent eggs it is worth, n/(1 + (n - 1) rho) [eggs]."""
    result = []
    for group in groups:
        share = 1 / (1 + max(0.0, group.eggs - 1) * correlation)
        result.append(Group(group.temperature, group.males * share, group.eggs * share, group.study))
    return result
