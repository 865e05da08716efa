"""Maximum-likelihood fits of the share of males against temperature, with standard errors.

All forms are one model: p(T) = greatest * product of logistic slopes, each slope rising or falling with T. One
falling slope is pattern Ia (cool males), one rising slope Ib (cool females), a rising and a falling slope
pattern II (males between), and one falling slope with greatest 0.5 the reversal of a chromosomal sex by heat.
A slope has two parameters: its pivot P [°C] and the logarithm of its width, ln(|S|/1 K).
"""

import math
from collections.abc import Sequence
from typing import Literal

from msgspec import Struct

from advisor.formulas.air.moist_air import NoSolution
from advisor.formulas.numerics.matrices import Matrix, inverse, times
from advisor.formulas.sexes.counts import Group, pool

Slope = Literal["rising", "falling"]

# Width |S| of a slope between species [K]: geometric mean of 16 fitted widths, 0.11 to 0.99 (our fits to the data
# of Noble et al. 2018, Scientific Data 5:180138; derived).
USUAL_WIDTH = 0.45
# Standard deviation of ln|S| between species [dimensionless]: 0.61 over the same 16 fits (derived), a little more
# since fits too narrow to be told are not among them (judgement).
WIDTH_SPREAD = 0.65
PIVOT_MARGIN = 3.0  # How far past the data a pivot may lie before the prior holds it back [K] (judgement).
# Bounds of |S| in a fit [K]: tighter than any thermostat, wider than eggs can stand (judgement).
WIDTH_BOUNDS = (0.02, 8.0)
# A slope is taken as 0 or 1 past this exponent [dimensionless]: exp(-40) is 4e-18 (judgement).
LARGEST_EXPONENT = 40.0


class ShareFit(Struct, frozen=True):
    """A fitted share curve.

    slopes and greatest share; pivots P [°C] and widths S [K, below 0 for a falling slope], one a slope;
    covariance of (P1, ln|S1|, P2, ln|S2|); identified is False when the data fix some parameter only through the prior or not at all (perfect
    separation).
    """

    slopes: tuple[Slope, ...]
    greatest: float
    pivots: tuple[float, ...]
    widths: tuple[float, ...]
    covariance: tuple[tuple[float, ...], ...]
    identified: bool


def _slope(slope: Slope, pivot: float, width: float, temperature: float) -> tuple[float, float, float, float]:
    """Share of one slope, one minus it, and d ln(share)/dP and /d ln|S|, both over (one minus share)."""
    sign = 1.0 if slope == "rising" else -1.0
    x = sign * (temperature - pivot) / width
    x = min(max(x, -LARGEST_EXPONENT), LARGEST_EXPONENT)
    small = math.exp(-abs(x))
    more, less = 1 / (1 + small), small / (1 + small)
    share, rest = (more, less) if x >= 0 else (less, more)
    return share, rest, -sign / width, -x


def share_from(
    slopes: Sequence[Slope], greatest: float, parameters: Sequence[float], temperature: float
) -> float:
    """Return the share of males of a product of slopes.

    Arguments: slopes; greatest share [0 to 1]; parameters (P1 [°C], ln(|S1|/1 K), P2, ...); temperature [°C].
    Result: share [0 to 1].
    Reference: product form of pattern II (from memory); one slope is the logistic of Girondot 1999.
    """
    share = greatest
    for number, slope in enumerate(slopes):
        share *= _slope(slope, parameters[2 * number], math.exp(parameters[2 * number + 1]), temperature)[0]
    return share


def share_of(fit: ShareFit, temperature: float) -> float:
    """Return the share of males of a fit [0 to 1] at a temperature [°C]."""
    share = fit.greatest
    for slope, pivot, width in zip(fit.slopes, fit.pivots, fit.widths, strict=True):
        share *= _slope(slope, pivot, abs(width), temperature)[0]
    return share


def rises(fit: ShareFit, temperature: float) -> bool:
    """Return whether the share of males of a fit rises with warmth at a temperature [°C], over 0.02 K."""
    return share_of(fit, temperature + 0.01) > share_of(fit, temperature - 0.01)


def parameters_of(fit: ShareFit) -> tuple[float, ...]:
    """Return the parameters (P1 [°C], ln(|S1|/1 K), ...) of a fit, as share_from reads them."""
    pairs = zip(fit.pivots, fit.widths, strict=True)
    return tuple(value for pivot, width in pairs for value in (pivot, math.log(abs(width))))


def highest_share(slopes: Sequence[Slope], greatest: float, parameters: Sequence[float]) -> float:
    """Return the greatest share of males that a curve reaches, at or between its pivots.

    Arguments: slopes; greatest share [0 to 1]; parameters as share_from.
    Result: share [0 to 1], on 41 temperatures from the lowest pivot to the highest.
    Reference: search on a grid (derived).
    """
    low, high = min(parameters[::2]), max(parameters[::2])
    grid = [low + (high - low) * step / 40 for step in range(41)]
    return max(share_from(slopes, greatest, parameters, temperature) for temperature in grid)


def logit_and_gradient(fit: ShareFit, temperature: float) -> tuple[float, list[float]]:
    """Return the logit of share/greatest and its gradient in (P1, ln|S1|, P2, ln|S2|).

    Arguments: fit; temperature [°C]. Result: logit [dimensionless] and one derivative a parameter.
    Assumes nothing more than the curve; one minus the share is summed slope by slope, so it stays exact near 1.
    Reference: chain rule (derived).
    """
    share, missing = 1.0, 0.0
    gradient = []
    for slope, pivot, width in zip(fit.slopes, fit.pivots, fit.widths, strict=True):
        own, rest, by_pivot, by_width = _slope(slope, pivot, abs(width), temperature)
        missing += share * rest
        share *= own
        gradient += [rest * by_pivot, rest * by_width]
    return math.log(share / missing), [value / missing for value in gradient]


class _Prior(Struct, frozen=True):
    means: tuple[float, ...]
    precisions: tuple[float, ...]


class _State(Struct, frozen=True):
    """A place on the way up: parameters, penalised log-likelihood, its gradient and expected information."""

    parameters: list[float]
    height: float
    score: list[float]
    information: Matrix


_NO_CHANCE = 1e-12


def _state(
    slopes: Sequence[Slope], greatest: float, parameters: list[float], pooled: Sequence[Group], prior: _Prior
) -> _State:
    size = len(parameters)
    height = 0.0
    score = []
    for value, mean, precision in zip(parameters, prior.means, prior.precisions, strict=True):
        height -= 0.5 * precision * (value - mean) ** 2
        score.append(precision * (mean - value))
    information = [[0.0] * size for _ in range(size)]
    widths = [math.exp(value) for value in parameters[1::2]]
    for group in pooled:
        p = greatest
        gradient = []
        for number, slope in enumerate(slopes):
            own, rest, by_pivot, by_width = _slope(
                slope, parameters[2 * number], widths[number], group.temperature
            )
            p *= own
            gradient += [rest * by_pivot, rest * by_width]
        p = min(max(p, _NO_CHANCE), 1 - _NO_CHANCE)
        height += group.males * math.log(p) + (group.eggs - group.males) * math.log1p(-p)
        pull = (group.males - group.eggs * p) / (1 - p)
        weight = group.eggs * p / (1 - p)
        for i, by_it in enumerate(gradient):
            score[i] += pull * by_it
            weighted = weight * by_it
            row = information[i]
            for j in range(i + 1):
                row[j] += weighted * gradient[j]
    for i in range(size):
        information[i][i] += prior.precisions[i]
        for j in range(i):
            information[j][i] = information[i][j]
    return _State(parameters, height, score, information)


def _climb(
    slopes: Sequence[Slope],
    greatest: float,
    start: Sequence[float],
    pooled: Sequence[Group],
    prior: _Prior,
    least_gain: float = 1e-7,
) -> _State:
    """Maximise the penalised likelihood by damped Fisher scoring (Levenberg-Marquardt steps)."""
    state = _state(slopes, greatest, list(start), pooled, prior)
    low, high = (math.log(bound) for bound in WIDTH_BOUNDS)
    damping = 1e-3
    for _ in range(60):
        gain = 0.0
        while damping < 1e6:
            damped = [
                [value * (1 + damping) + 1e-9 if i == j else value for j, value in enumerate(row)]
                for i, row in enumerate(state.information)
            ]
            try:
                step = times(inverse(damped), state.score)
            except NoSolution:
                damping *= 10
                continue
            trial = [value + change for value, change in zip(state.parameters, step, strict=True)]
            trial[1::2] = [min(max(value, low), high) for value in trial[1::2]]
            reached = _state(slopes, greatest, trial, pooled, prior)
            if reached.height >= state.height:
                gain, state = reached.height - state.height, reached
                damping = max(damping / 10, 1e-9)
                break
            damping *= 10
        if gain < least_gain:
            break
    return state


def _starts(slopes: Sequence[Slope], pooled: Sequence[Group]) -> list[list[float]]:
    """Pivots to start from: one for a single slope, two guesses around the highest share for two slopes."""
    coldest, warmest = pooled[0].temperature, pooled[-1].temperature
    log_width = math.log(USUAL_WIDTH)
    if len(slopes) == 1:
        # The pivot that gives the mean share when temperatures are spread evenly over the range.
        share = sum(group.males / group.eggs for group in pooled) / len(pooled)
        share = share if slopes[0] == "falling" else 1 - share
        return [[coldest + share * (warmest - coldest), log_width]]
    top = max(range(len(pooled)), key=lambda i: (pooled[i].males + 0.5) / (pooled[i].eggs + 1))
    peak = pooled[top].temperature
    colder = pooled[top - 1].temperature if top > 0 else peak - 2
    warmer = pooled[top + 1].temperature if top + 1 < len(pooled) else peak + 2
    near = [(colder + peak) / 2, log_width, (peak + warmer) / 2, log_width]
    wide = [(coldest + peak) / 2, log_width, (peak + warmest) / 2, log_width]
    return [near, wide]


def _species_prior(slopes: Sequence[Slope], pooled: Sequence[Group]) -> _Prior:
    coldest, warmest = pooled[0].temperature, pooled[-1].temperature
    spread = (warmest - coldest) / 2 + PIVOT_MARGIN
    means = ((coldest + warmest) / 2, math.log(USUAL_WIDTH)) * len(slopes)
    return _Prior(means, (spread**-2, WIDTH_SPREAD**-2) * len(slopes))


def likely_parameters(
    groups: Sequence[Group],
    slopes: Sequence[Slope],
    greatest: float,
    start: Sequence[float] | None = None,
    least_gain: float = 1e-7,
) -> list[float]:
    """Return the parameters that maximise the likelihood times the weak prior of other species.

    Arguments: groups at two or more temperatures [°C]; slopes; greatest share [above 0, up to 1]; start, where
    to begin, or None for guesses from the data; least_gain of log-likelihood for which the climb goes on.
    Result: (P1 [°C], ln(|S1|/1 K), P2, ...).
    Assumes ln|S| normal around ln(0.45 K) with 0.65 and pivots within about 3 K of the data (see the
    constants).
    Reference: penalised Fisher scoring (McCullagh & Nelder, Generalized Linear Models, from memory).
    """
    pooled = pool(groups)
    prior = _species_prior(slopes, pooled)
    starts = [list(start)] if start is not None else _starts(slopes, pooled)
    states = [_climb(slopes, greatest, begin, pooled, prior, least_gain) for begin in starts]
    return max(states, key=lambda state: state.height).parameters


def fit_groups(
    groups: Sequence[Group],
    slopes: Sequence[Slope],
    greatest: float = 1.0,
    with_prior: bool = False,
    start: Sequence[float] | None = None,
) -> ShareFit:
    """Fit a share curve to groups of eggs by maximum likelihood.

    Arguments: groups at two or more temperatures [°C], whose counts need not be whole; slopes, one or two; greatest
    share [above 0, up to 1]; with_prior, whether widths and pivots are held weakly towards what other species
    show; start (P1 [°C], ln(|S1|/1 K), ...) to begin at, or None.
    Result: a ShareFit; covariance from the observed information.
    Assumes independent eggs; scatter beyond that is measured by sex_counts.misfit.
    Errors: ValueError for fewer than two temperatures, other than one or two slopes, or bad groups.
    Reference: likelihood sum(x ln p + (n - x) ln(1 - p)), Girondot 1999, Evol Ecol Res 1:479 (from memory).
    """
    slopes = tuple(slopes)
    if not 1 <= len(slopes) <= 2:
        raise ValueError(f"a share curve has 1 or 2 slopes, not {len(slopes)}")
    if not 0 < greatest <= 1:
        raise ValueError(f"the greatest share must lie above 0 and up to 1, not {greatest:g}")
    pooled = pool(groups)
    if len(pooled) < 2:
        raise ValueError(f"a share curve needs points at 2 temperatures or more, not {len(pooled)}")
    prior = _species_prior(slopes, pooled)
    # The weak prior keeps the climb off the plateaus; without it a second climb reaches the plain likelihood.
    parameters = likely_parameters(groups, slopes, greatest, start)
    if not with_prior:
        prior = _Prior((0.0,) * len(parameters), (0.0,) * len(parameters))
        parameters = _climb(slopes, greatest, parameters, pooled, prior).parameters
    covariance, identified = _covariance(slopes, greatest, parameters, pooled, prior)
    sizes = [math.exp(value) for value in parameters[1::2]]
    return ShareFit(
        slopes=slopes,
        greatest=greatest,
        pivots=tuple(parameters[::2]),
        widths=tuple(size if slope == "rising" else -size for size, slope in zip(sizes, slopes, strict=True)),
        covariance=tuple(tuple(row) for row in covariance),
        identified=identified,
    )


def _covariance(
    slopes: Sequence[Slope], greatest: float, parameters: list[float], pooled: Sequence[Group], prior: _Prior
) -> tuple[Matrix, bool]:
    """Inverse of the observed information; where that fails, of the expected one with a ridge.

    The ridge of 0.01 stands for a standard deviation of 10 (K or ln K): no knowledge (judgement).
    """
    size = len(parameters)
    step = 1e-5
    columns = []
    for i in range(size):
        scores = []
        for sign in (1, -1):
            moved = list(parameters)
            moved[i] += sign * step
            scores.append(_state(slopes, greatest, moved, pooled, prior).score)
        columns.append([(below - above) / (2 * step) for above, below in zip(*scores, strict=True)])
    observed = [[(columns[i][j] + columns[j][i]) / 2 for j in range(size)] for i in range(size)]
    low, high = (math.log(bound) for bound in WIDTH_BOUNDS)
    at_bound = any(not low + 1e-6 < value < high - 1e-6 for value in parameters[1::2])
    try:
        covariance = inverse(observed)
    except NoSolution:
        covariance = []
    if covariance and all(0 < covariance[i][i] < 100 for i in range(size)):
        return covariance, not at_bound
    expected = _state(slopes, greatest, parameters, pooled, prior).information
    ridged = [[v + (0.01 if i == j else 0.0) for j, v in enumerate(row)] for i, row in enumerate(expected)]
    return inverse(ridged), False
