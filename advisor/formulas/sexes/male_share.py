"""Share of males to expect at a temperature, with its likely range.

The result is a beta distribution for the share of males in one further group of eggs (another study, box or
clutch). Outside the temperatures tried: no data.
"""

import math

from msgspec import Struct

from advisor.formulas.air.moist_air import NoSolution
from advisor.formulas.numerics.beta_distribution import beta_from_moments, beta_quantile
from advisor.formulas.numerics.matrices import quadratic_form
from advisor.formulas.numerics.no_data import NoData, no_data_at
from advisor.formulas.sexes.counts import CORRELATION, Group, correlation_among
from advisor.formulas.sexes.curve_choice import CHROMOSOMAL_CORRELATION, Basis, ShareModel
from advisor.formulas.sexes.fit import USUAL_WIDTH, WIDTH_SPREAD, logit_and_gradient, rises

MARGIN = 0.5  # How far past the data a share is still given [K] (judgement: about the error of a home thermometer).
# Gap between two temperatures that gave few males [K] in which a peak of males could hide: the two-sided curves
# fitted so far stay above 0.2 for 2.7 to 5 K (derived from fits to Noble et al. 2018; the round figure is
# judgement).
HIDDEN_PEAK = 4.0
SAME = 0.25  # Temperatures this close count as one [K]: half the error of a home thermometer (judgement).
FEW_MALES = 0.2  # Share of males [0 to 1] up to which a temperature counts as one that gave few (judgement).
# Width of a slope one standard deviation narrower than usual [K] (derived).
NARROW_WIDTH = USUAL_WIDTH * math.exp(-WIDTH_SPREAD)
_NODES = tuple(-3.0 + 0.5 * i for i in range(13))
_TOTAL = sum(math.exp(-z * z / 2) for z in _NODES)
# Steps of a normal distribution in standard deviations, and their weights (trapezoidal rule to 3 sd).
_NORMAL = tuple((z, math.exp(-z * z / 2) / _TOTAL) for z in _NODES)


class MaleShare(Struct, frozen=True):
    """Share of males to expect in a group of eggs.

    share, the typical value [0 to 1]; low and high, the 95 % range of the share in a further large group [0
    to 1]; a and b, the beta distribution behind that range; basis, how it was read; eggs, how many were
    sexed in all.
    """

    share: float
    low: float
    high: float
    a: float
    b: float
    basis: Basis
    eggs: float


class SetPoint(Struct, frozen=True):
    """A temperature [°C] to set, and the share of males to expect there."""

    temperature: float
    male_share: MaleShare


class _Moments(Struct, frozen=True):
    """Typical share, mean and variance of what the expected share may be, and how it was read."""

    typical: float
    mean: float
    variance: float
    basis: Basis


# Any share is as likely as any other (uniform distribution).
_UNKNOWN = _Moments(0.5, 0.5, 1 / 12, "gap too wide to read across")
_HALF = _Moments(0.5, 0.5, 0.0, "chromosomes")


def _from_counts(males: float, eggs: float, basis: Basis = "counts at this temperature") -> _Moments:
    """Jeffreys posterior of the share after a count."""
    mean = (males + 0.5) / (eggs + 1)
    return _Moments(males / eggs, mean, mean * (1 - mean) / (eggs + 2), basis)


def _from_curve(model: ShareModel, temperature: float) -> _Moments:
    """Average of the curve over the uncertainty of its parameters (normal on the logit scale)."""
    fit = model.fit
    assert fit is not None
    logit, gradient = logit_and_gradient(fit, temperature)
    deviation = math.sqrt(max(0.0, quadratic_form(fit.covariance, gradient)))
    mean = square = 0.0
    for z, weight in _NORMAL:
        p = fit.greatest / (1 + math.exp(min(700.0, -logit - deviation * z)))
        mean += weight * p
        square += weight * p * p
    return _Moments(fit.greatest / (1 + math.exp(-logit)), mean, max(0.0, square - mean * mean), "curve")


def _supported(model: ShareModel, temperature: float, here: _Moments) -> _Moments:
    """The curve's moments, or the firmer ones of a count that speaks for this temperature as well.

    A count speaks for its own temperature, and for those farther out on the same flank of the curve, where the
    share is still nearer to none or to all.
    """
    fit = model.fit
    assert fit is not None
    best, half, rising = here, 0.5 * fit.greatest, rises(fit, temperature)
    for count, (own, own_rising) in zip(model.counts, model.flanks, strict=True):
        outside = here.typical <= own <= half or here.typical >= own >= half
        flank = outside and own_rising == rising
        if flank or abs(count.temperature - temperature) <= SAME + 1e-9:
            told = _from_counts(count.males, count.eggs)
            if told.variance < best.variance:
                best = _Moments(here.typical, told.mean, told.variance, here.basis)
    return best


def _between(lower: Group, upper: Group, temperature: float) -> _Moments:
    """Straight line between two counts, with the variance of not knowing which is nearer the truth.

    Near a count it is no more than what a narrow slope would move the share on the way.
    """
    cold, warm = _from_counts(lower.males, lower.eggs), _from_counts(upper.males, upper.eggs)
    gap = upper.temperature - lower.temperature
    w = 0.0 if gap == 0 else (temperature - lower.temperature) / gap
    variance = (1 - w) * cold.variance + w * warm.variance + w * (1 - w) * (cold.mean - warm.mean) ** 2
    typical, mean = (1 - w) * cold.typical + w * warm.typical, (1 - w) * cold.mean + w * warm.mean
    for end, distance in ((cold, w * gap), (warm, (1 - w) * gap)):
        moved = mean * (1 - mean) * distance / NARROW_WIDTH
        variance = min(variance, end.variance + moved**2)
    return _Moments(typical, mean, variance, "between counts")


def _moments(model: ShareModel, temperature: float) -> _Moments:
    counts = model.counts
    by_heat = model.set_by == "chromosomes, overridden by heat"
    cool = by_heat and model.heat_above is not None and temperature <= model.heat_above
    if model.basis == "chromosomes" or cool or (by_heat and model.basis == "one share throughout"):
        return _HALF
    if model.basis == "counts at this temperature":
        here = _from_counts(counts[0].males, counts[0].eggs)
        # Half a kelvin off the only temperature, the share may have moved by what a usual width allows.
        moved = here.mean * (1 - here.mean) * (temperature - counts[0].temperature) / USUAL_WIDTH
        return _Moments(here.typical, here.mean, here.variance + moved**2, here.basis)
    lower = counts[0]
    for count in counts:
        if count.temperature <= temperature + 1e-9:
            lower = count
    upper = next((count for count in counts if count.temperature >= temperature - 1e-9), counts[-1])
    if model.clear_cut and lower is upper and abs(lower.temperature - temperature) < 1e-6:
        return _from_counts(lower.males, lower.eggs)
    few = max(lower.males / lower.eggs, upper.males / upper.eggs) < FEW_MALES
    one_sided = by_heat or model.pattern in ("cool males", "cool females", "none")
    if few and not one_sided and upper.temperature - lower.temperature >= HIDDEN_PEAK:
        return _UNKNOWN
    if model.basis == "one share throughout":
        return _from_counts(sum(c.males for c in counts), sum(c.eggs for c in counts), model.basis)
    if model.basis == "between counts":
        return _between(lower, upper, temperature)
    return _supported(model, temperature, _from_curve(model, temperature))


def _absent(model: ShareModel, temperature: float) -> NoData | None:
    """No data outside the points; chromosomes hold wherever heat does not override them."""
    if model.basis == "chromosomes":
        return None
    by_heat = model.set_by == "chromosomes, overridden by heat"
    if by_heat and model.heat_above is not None and temperature <= model.heat_above:
        return None
    # Cooler than the points of a reversal by heat there is nothing to reverse.
    below = math.inf if by_heat and model.basis != "counts at this temperature" else MARGIN
    return no_data_at(temperature, tuple(count.temperature for count in model.counts), below, MARGIN)


def _nearest_known(model: ShareModel, temperature: float) -> float:
    """The nearest temperature [°C] that has data."""
    known = [count.temperature for count in model.counts]
    if not known:
        # Only where heat overrides chromosomes is a share told without counts: up to the threshold.
        return temperature if model.heat_above is None else min(temperature, model.heat_above)
    lowest, highest = min(known) - MARGIN, max(known) + MARGIN
    if model.heat_above is not None:
        highest = max(highest, model.heat_above)
    return min(max(temperature, lowest), highest)


def _past_end(model: ShareModel, temperature: float) -> _Moments:
    """The share at the nearest temperature with data, less sure by what a slope of the usual width would change.

    Past a threshold above which heat overrides chromosomes it may be anything.
    """
    nearest = _nearest_known(model, temperature)
    end = _moments(model, nearest)
    if end.basis == "chromosomes":
        return _Moments(end.typical, _UNKNOWN.mean, _UNKNOWN.variance, end.basis)
    moved = end.mean * (1 - end.mean) * (temperature - nearest) / USUAL_WIDTH
    return _Moments(end.typical, end.mean, min(_UNKNOWN.variance, end.variance + moved**2), end.basis)


def _averaged(model: ShareModel, temperature: float, error: float) -> _Moments:
    """Moments averaged over a normal temperature, whose error all eggs share."""
    if error == 0:
        return _moments(model, temperature)
    typical = mean = square = variance = 0.0
    for z, weight in _NORMAL:
        at = temperature + error * z
        here = _moments(model, at) if _absent(model, at) is None else _past_end(model, at)
        typical += weight * here.typical
        mean += weight * here.mean
        square += weight * here.mean**2
        variance += weight * here.variance
    shared = max(0.0, square - mean * mean)
    return _Moments(typical, mean, variance + shared, _moments(model, temperature).basis)


def correlation_at(model: ShareModel, temperature: float, share: float) -> float:
    """Return the intraclass correlation of the eggs of one group at a temperature.

    Arguments: model; temperature [°C]; share of males expected [0 to 1].
    Result: correlation [0 to 1]: that of the model at a share of one half, the usual one where nearly all are of
    one sex; groups counted at the temperature pull it to their own scatter.
    Reference: groups that differ by their pivots alone have a correlation in proportion to 4 p (1 - p) (derived);
    its root, half-way to a constant one, kept ranges right for populations left out (judgement).
    """
    least = min(CORRELATION, model.correlation)
    expected = least + (model.correlation - least) * math.sqrt(4 * share * (1 - share))
    here = [group for group in model.groups if abs(group.temperature - temperature) <= SAME + 1e-9]
    return correlation_among(here, expected)


def _check_error(error: float) -> None:
    if not 0 <= error <= 5:
        raise NoSolution(f"the temperature error must lie between 0 and 5 K, not {error:g}")


def male_share_at(model: ShareModel, temperature: float, error: float = 0.0) -> MaleShare | NoData:
    """Return the share of males to expect at a temperature.

    Arguments: model from fit_male_share; temperature of the eggs [°C]; error, standard deviation of what is
    not known about it, the same for all eggs [K], such as a thermostat's error: it averages the curve and widens the
    range.
    Result: MaleShare, or NoData more than 0.5 K outside the temperatures tried (never, where chromosomes set
    sex; below the data 0.5 holds where only heat overrides them).
    Assumes constant temperature; for a swing pass the constant temperature equivalent.
    Errors: ValueError for an error outside 0 to 5 K.
    Reference: integral of p(T) Normal(T; temperature, sd) by the trapezoidal rule; beta distribution with
    the same mean and variance, intraclass correlation included (derived).
    """
    _check_error(error)
    absent = _absent(model, temperature)
    if absent is not None:
        return absent
    here = _averaged(model, temperature, error)
    mean = min(max(here.mean, 1e-6), 1 - 1e-6)
    whole = mean * (1 - mean)
    correlation = (
        CHROMOSOMAL_CORRELATION if here.basis == "chromosomes" else correlation_at(model, temperature, mean)
    )
    variance = here.variance + correlation * max(0.0, whole - here.variance)
    # Kept inside what a beta distribution can show.
    a, b = beta_from_moments(mean, min(max(variance, 1e-4 * whole), 0.98 * whole))
    low = min(here.typical, beta_quantile(0.025, a, b))
    high = max(here.typical, beta_quantile(0.975, a, b))
    typical = here.typical
    if model.mirrored:
        typical, low, high, a, b = 1 - typical, 1 - high, 1 - low, b, a
    return MaleShare(
        share=typical,
        low=low,
        high=high,
        a=a,
        b=b,
        basis=here.basis,
        eggs=sum(group.eggs for group in model.groups),
    )


def typical_share_at(model: ShareModel, temperature: float) -> tuple[float, str] | None:
    """Return the share and basis that `male_share_at` gives at a temperature, without its range; None without data.

    Arguments: model; temperature [°C]. Result: share [0 to 1] and basis. Reference: as `male_share_at`.
    """
    if _absent(model, temperature) is not None:
        return None
    here = _moments(model, temperature)
    return 1 - here.typical if model.mirrored else here.typical, here.basis


def set_point_for_share(
    model: ShareModel,
    wanted: float,
    low: float,
    high: float,
    prefer: float | None = None,
    error: float = 0.0,
    step: float = 0.1,
) -> SetPoint | NoData:
    """Return the temperature within bounds whose share of males comes nearest to the one wanted.

    Arguments: model; wanted share of males [0 to 1]; low and high bounds [°C], such as what the species
    tolerates; prefer [°C], chosen among temperatures that do equally well within 0.01, by default the middle
    of the bounds; error [K], as in male_share_at; step [K], above 0.
    Result: SetPoint at the low bound or a whole number of steps above it, or NoData when no temperature within the bounds has data.
    Errors: ValueError for a share outside 0 to 1 or bounds in the wrong order or more than 30 K apart.
    Reference: search over a grid (derived).
    """
    if not 0 <= wanted <= 1:
        raise NoSolution(f"the wanted share must lie between 0 and 1, not {wanted:g}")
    if not 0 <= high - low <= 30:
        raise NoSolution(f"the bounds must lie 0 to 30 K apart, not {high - low:g}")
    _check_error(error)
    grid = [round(low + step * number, 6) for number in range(int((high - low) / step + 1e-6) + 1)]
    absent = _absent(model, grid[0])
    grid = [at for at in grid if _absent(model, at) is None]
    if not grid:
        assert absent is not None
        return absent
    aim = 1 - wanted if model.mirrored else wanted
    found = [(at, _averaged(model, at, error)) for at in grid]
    # Where nothing can be told the typical share is a mere half, which is no reason to go there.
    told = [(at, here) for at, here in found if here.basis != _UNKNOWN.basis] or found
    misses = [(abs(here.typical - aim), at) for at, here in told]
    least = min(miss for miss, _ in misses)
    target = (low + high) / 2 if prefer is None else prefer
    chosen = min((at for miss, at in misses if miss <= least + 0.01), key=lambda at: abs(at - target))
    answer = male_share_at(model, chosen, error)
    assert isinstance(answer, MaleShare)
    return SetPoint(chosen, answer)
