"""Choice of the curve for the share of males, and the scatter that its range has to carry."""

from collections.abc import Sequence
from typing import Literal

from msgspec import Struct

from advisor.formulas.sexes.counts import (
    CORRELATION,
    Group,
    SexPoint,
    correlation_from,
    discounted,
    grouped,
    log_likelihood,
    misfit,
    pool,
)
from advisor.formulas.sexes.fit import (
    ShareFit,
    Slope,
    fit_groups,
    highest_share,
    likely_parameters,
    parameters_of,
    rises,
    share_from,
    share_of,
)

SetBy = Literal["chromosomes", "temperature", "chromosomes, overridden by heat", "unknown"]
Pattern = Literal["cool males", "cool females", "males between", "females between", "none", "unknown"]
Gives = Literal["females", "males"]
Basis = Literal[
    "chromosomes",
    "curve",
    "one share throughout",
    "between counts",
    "counts at this temperature",
    "gap too wide to read across",
]

# Intraclass correlation of the eggs of one group where chromosomes set sex [dimensionless]: 63 groups of nine species of Noble et al. 2018 scatter a
# little more than coin tosses, through clutches and deaths of one sex (derived).
CHROMOSOMAL_CORRELATION = 0.01
# Eggs sexed at one temperature from which its share supports a peak between cool and warm [eggs]: of ten eggs of a
# sort that gives half males, eight or more are males once in eighteen times (binomial; the choice is judgement).
PEAK_EGGS = 10.0
# How much lower the AIC has to be before counts are read one by one instead of along a curve (judgement).
LOCAL_ADVANTAGE = 10.0


class ShareModel(Struct, frozen=True):
    """What is known of the share of males of a species; keep it and ask it for several temperatures.

    set_by, pattern and heat_above [°C] as given; groups, the counts as they are; counts, pooled a
    temperature and scaled to independent eggs; flanks, the share of the curve at each of the counts and whether it
    rises there (empty without a curve); basis, how a share is read; fit, the curve, or None; correlation
    of the eggs of one group; clear_cut is True when at most one temperature gave both sexes, so that no
    width can be told. mirrored is True when groups, counts and fit speak of females instead of males
    ("females between", heat that gives males).
    """

    set_by: SetBy
    pattern: Pattern | None
    groups: tuple[Group, ...]
    counts: tuple[Group, ...]
    flanks: tuple[tuple[float, bool], ...]
    basis: Basis
    fit: ShareFit | None
    correlation: float
    clear_cut: bool
    heat_above: float | None
    mirrored: bool


class _Candidate(Struct, frozen=True):
    slopes: tuple[Slope, ...]
    greatest: float
    parameters: tuple[float, ...]
    count: int
    aic: float


def supported_peak(counts: Sequence[Group]) -> float:
    """Return the greatest share that a two-sided curve may reach [above 0, up to 1].

    Arguments: counts, pooled a temperature, at least one with a male.
    Result: the greatest share at a temperature with PEAK_EGGS eggs, or at any where none has as many.
    Reference: judgement; a product of two slopes that is fitted to its flanks rises between them at will.
    """
    shares = [c.males / c.eggs for c in counts if c.eggs >= PEAK_EGGS] or [0.0]
    return max(shares) or max(c.males / c.eggs for c in counts) or 1.0


def _forms(
    set_by: SetBy, pattern: Pattern | None, temperatures: int
) -> list[tuple[tuple[Slope, ...], float]]:
    """Slopes and greatest share of the curves worth trying, simplest first; no slope is one share."""
    if set_by == "chromosomes, overridden by heat":
        return [((), 0.5), (("falling",), 0.5)]
    if pattern == "cool males":
        return [(("falling",), 1.0)]
    if pattern == "cool females":
        return [(("rising",), 1.0)]
    if pattern in ("males between", "females between") and temperatures > 2:
        return [(("rising", "falling"), 1.0)]
    if pattern == "none":
        return [((), 1.0)]
    simple: list[tuple[tuple[Slope, ...], float]] = [((), 1.0), (("falling",), 1.0), (("rising",), 1.0)]
    return [*simple, (("rising", "falling"), 1.0)] if temperatures > 2 else simple


def _shares(candidate: _Candidate, groups: Sequence[Group]) -> list[float]:
    return [
        share_from(candidate.slopes, candidate.greatest, candidate.parameters, g.temperature) for g in groups
    ]


def _aic(shares: Sequence[float], counts: Sequence[Group], parameters: int, scatter: float) -> float:
    likelihood = sum(log_likelihood(p, c.males, c.eggs) for p, c in zip(shares, counts, strict=True))
    return 2 * parameters - 2 * likelihood / scatter


def _best(
    groups: Sequence[Group], forms: Sequence[tuple[tuple[Slope, ...], float]], scatter: float
) -> _Candidate:
    counts = pool(groups)
    overall = sum(c.males for c in counts) / sum(c.eggs for c in counts)
    found: list[_Candidate] = []
    for slopes, greatest in forms:
        if slopes:
            # A tenth of log-likelihood decides no choice; the chosen curve is fitted to the end later.
            parameters = tuple(likely_parameters(groups, slopes, greatest, least_gain=0.1))
            peak = supported_peak(counts)
            if len(slopes) > 1 and highest_share(slopes, greatest, parameters) > peak:
                greatest = peak
                parameters = tuple(likely_parameters(groups, slopes, greatest, least_gain=0.1))
            level, number = greatest, 2 * len(slopes)
        else:
            # Half, where chromosomes give it; else the overall share, which is one fitted number.
            parameters, level, number = (), (overall if greatest == 1.0 else greatest), int(greatest == 1.0)
        candidate = _Candidate(slopes, level, parameters, number, 0.0)
        aic = _aic(_shares(candidate, counts), counts, number, scatter)
        found.append(_Candidate(slopes, level, parameters, number, aic))
    return min(found, key=lambda candidate: candidate.aic)


def _scatter(groups: Sequence[Group], counts: Sequence[Group]) -> float:
    """Overdispersion between groups at the same temperature, at least 1, shrunk to 1 when few can tell."""
    shares = {c.temperature: c.males / c.eggs for c in counts}
    _, pearson = misfit([shares[g.temperature] for g in groups], groups)
    return max(1.0, (pearson + 2) / (len(groups) - len(counts) + 2))


def _beats_curves(
    groups: Sequence[Group],
    best: _Candidate,
    forms: Sequence[tuple[tuple[Slope, ...], float]],
    scatter: float,
) -> bool:
    """Whether reading the counts one by one is clearly better than the best curve, also within one study.

    The second look keeps differences between studies, which no curve describes, from counting against the
    curve.
    """
    counts = pool(groups)
    exact = _aic([c.males / c.eggs for c in counts], counts, len(counts), scatter)
    if exact + LOCAL_ADVANTAGE >= best.aic:
        return False
    by_study: dict[str, list[Group]] = {}
    for group in groups:
        by_study.setdefault(group.study, []).append(group)
    largest = max(by_study.values(), key=len)
    if len(largest) < 4:
        return False
    own = _best(largest, forms, 1.0)
    counts = pool(largest)
    return _aic([c.males / c.eggs for c in counts], counts, len(counts), 1.0) + LOCAL_ADVANTAGE < own.aic


def fit_male_share(
    points: Sequence[SexPoint],
    set_by: SetBy = "unknown",
    pattern: Pattern | None = None,
    heat_above: float | None = None,
    heat_gives: Gives = "females",
) -> ShareModel:
    """Choose and fit the curve for the share of males of one species.

    Arguments: points at constant temperatures [°C]; set_by, what sets sex; pattern, where known; for
    "chromosomes, overridden by heat" heat_above, the temperature up to which heat does nothing [°C], and the
    sex heat gives.
    Result: a ShareModel for sex.male_share_at.
    Choice: with chromosomes 0.5; with a known pattern its curve; with reversal by heat 0.5 or a curve that
    leaves 0.5; else one share throughout, a falling, a rising or a two-sided curve, by AIC with the scatter
    between groups (quasi-AIC), the two-sided one only from three temperatures. Where no curve describes the
    counts of even one study, shares are read between neighbouring temperatures. Curves are held weakly to
    what other species show, which decides only where the data do not.
    A two-sided curve stays under the greatest share that 10 eggs or more gave at one temperature.
    Assumes that groups (study, population, clutch) differ as the correlation says; populations that differ make
    it large, and `correlation` then shows it.
    Errors: ValueError for bad points.
    Reference: quasi-AIC, Burnham & Anderson, Model Selection, 2.5 (from memory); weights of Williams 1982.
    """
    by_heat = set_by == "chromosomes, overridden by heat"
    mirrored = pattern == "females between" or (by_heat and heat_gives == "males")
    groups = grouped(points)
    if mirrored:
        groups = [Group(g.temperature, g.eggs - g.males, g.eggs, g.study) for g in groups]
    counts = pool(groups)
    clear_cut = sum(0 < c.males < c.eggs for c in counts) <= 1

    def model(basis: Basis, correlation: float, fit: ShareFit | None = None) -> ShareModel:
        independent = tuple(pool(discounted(groups, correlation)))
        flanks = tuple((share_of(fit, c.temperature), rises(fit, c.temperature)) for c in independent if fit)
        return ShareModel(
            set_by=set_by,
            pattern=pattern,
            groups=tuple(groups),
            counts=independent,
            flanks=flanks,
            basis=basis,
            fit=fit,
            correlation=correlation,
            clear_cut=clear_cut,
            heat_above=heat_above,
            mirrored=mirrored,
        )

    if set_by == "chromosomes":
        return model("chromosomes", CHROMOSOMAL_CORRELATION)
    if len(counts) < 2:
        return model("counts at this temperature", CORRELATION)
    forms = _forms(set_by, pattern, len(counts))
    scatter = _scatter(groups, counts)
    best = _best(groups, forms, scatter)
    if _beats_curves(groups, best, forms, scatter):
        shares = {c.temperature: c.males / c.eggs for c in counts}
        fitted = [shares[g.temperature] for g in groups]
        return model("between counts", correlation_from(fitted, groups, len(counts)))
    correlation = correlation_from(_shares(best, groups), groups, best.count)
    if not best.slopes:
        return model("one share throughout", correlation)
    independent = discounted(groups, correlation)
    fit = fit_groups(independent, best.slopes, best.greatest, with_prior=True, start=best.parameters)
    peak = supported_peak(counts)
    if len(best.slopes) > 1 and highest_share(fit.slopes, fit.greatest, parameters_of(fit)) > peak:
        fit = fit_groups(independent, best.slopes, peak, with_prior=True, start=best.parameters)
    return model("curve", correlation, fit)
