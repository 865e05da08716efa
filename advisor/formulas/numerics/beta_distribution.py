"""Shares estimated from counts: quantiles of the beta distribution, exact intervals, shapes from moments."""

import math

# Largest beta shape accepted [dimensionless]: up to it the incomplete beta function is right within 1e-10, and a
# share within 1 % needs no more (judgement).
LARGEST_SHAPE = 1e4


def _check_shapes(a: float, b: float) -> None:
    if not (0 < a <= LARGEST_SHAPE and 0 < b <= LARGEST_SHAPE):
        raise ValueError(f"beta shapes must lie above 0 and up to {LARGEST_SHAPE:g}, not {a:g} and {b:g}")


def _log_beta(a: float, b: float) -> float:
    """ln B(a, b), DLMF 5.12.1 (from memory)."""
    return math.lgamma(a) + math.lgamma(b) - math.lgamma(a + b)


def _check_share(share: float, what: str) -> None:
    if not 0 <= share <= 1:
        raise ValueError(f"{what} must lie between 0 and 1, not {share:g}")


def _continued_fraction(x: float, a: float, b: float) -> float:
    """The continued fraction of DLMF 8.17.22 (from memory), by the modified Lentz method."""
    tiny = 1e-300
    c, d = 1.0, 1 - (a + b) * x / (a + 1)
    d = 1 / (d if abs(d) > tiny else tiny)
    result = d
    # Terms needed grow as the root of the larger shape (Press et al., Numerical Recipes, 6.4, from memory).
    for m in range(1, 200 + int(10 * math.sqrt(max(a, b)))):
        even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        change = 1.0
        for term in (even, odd):
            d = 1 + term * d
            d = 1 / (d if abs(d) > tiny else tiny)
            c = 1 + term / c
            c = c if abs(c) > tiny else tiny
            change = c * d
            result *= change
        if abs(change - 1) < 1e-16:
            break
    return result


def incomplete_beta(x: float, a: float, b: float) -> float:
    """Return the regularised incomplete beta function I_x(a, b), the distribution function of Beta(a, b).

    Arguments: x [share, 0 to 1]; shapes a and b [dimensionless], above 0 and up to 1e4.
    Result: probability that a Beta(a, b) variable is at most x [0 to 1].
    Errors: ValueError outside those ranges.
    Reference: DLMF 8.17.22 (continued fraction, from memory); agrees with scipy.special.betainc within 1e-10.
    """
    _check_share(x, "x")
    _check_shapes(a, b)
    if x in (0.0, 1.0):
        return x
    front = math.exp(a * math.log(x) + b * math.log1p(-x) - _log_beta(a, b))
    # The fraction converges fast only on the near side of the mean; the other side follows by symmetry.
    if x < (a + 1) / (a + b + 2):
        return min(1.0, front * _continued_fraction(x, a, b) / a)
    return max(0.0, 1 - front * _continued_fraction(1 - x, b, a) / b)


def beta_quantile(probability: float, a: float, b: float) -> float:
    """Return the share below which a Beta(a, b) variable lies with the given probability.

    Arguments: probability [0 to 1]; shapes a and b [dimensionless], above 0 and up to 1e4.
    Result: share x with I_x(a, b) = probability [0 to 1]; 0 when it is smaller than any float.
    Errors: ValueError outside those ranges.
    Reference: root of DLMF 8.17 by Newton steps kept inside a shrinking bracket (derived).
    """
    _check_share(probability, "the probability")
    _check_shapes(a, b)
    if probability in (0.0, 1.0):
        return probability
    low, high = 0.0, 1.0
    # Near zero I_x = x^a/(a B(a, b)): the start for shapes below 1, where the quantile may be minute.
    log_start = (math.log(probability) + math.log(a) + _log_beta(a, b)) / a
    x = math.exp(log_start) if log_start < math.log(a / (a + b)) else a / (a + b)
    if x < 1e-290:
        # The start is exact there, and the density would be larger than any float.
        return x
    constant = _log_beta(a, b)
    for _ in range(200):
        excess = incomplete_beta(x, a, b) - probability
        if excess > 0:
            high = x
        else:
            low = x
        density = math.exp((a - 1) * math.log(x) + (b - 1) * math.log1p(-x) - constant)
        following = x - excess / density if density > 0 else low
        if not low < following < high:
            following = (low + high) / 2
        if abs(following - x) <= 1e-15 * x or not 0 < following < 1:
            break
        x = following
    return x


def exact_interval(males: int, eggs: int, confidence: float = 0.95) -> tuple[float, float]:
    """Return the exact (Clopper-Pearson) interval of a share from a count.

    Arguments: males and eggs [eggs], whole, 0 <= males <= eggs, eggs from 1 to 9999; confidence [0 to 1, ends
    excluded].
    Result: (low, high) [share]; a true share outside them gives such a count, or a stranger one, less often than
    (1 - confidence)/2 of the time.
    Errors: ValueError outside those ranges.
    Reference: Clopper & Pearson 1934, Biometrika 26:404, as beta quantiles (from memory); agrees with
    scipy.stats.binomtest.
    """
    if not (1 <= eggs < LARGEST_SHAPE and 0 <= males <= eggs):
        raise ValueError(
            f"males must lie between 0 and the number of eggs (1 to 9999), not {males} of {eggs}"
        )
    if not 0 < confidence < 1:
        raise ValueError(f"the confidence must lie between 0 and 1, not {confidence:g}")
    tail = (1 - confidence) / 2
    low = 0.0 if males == 0 else beta_quantile(tail, males, eggs - males + 1)
    high = 1.0 if males == eggs else beta_quantile(1 - tail, males + 1, eggs - males)
    return low, high


def beta_from_moments(mean: float, variance: float) -> tuple[float, float]:
    """Return the shapes (a, b) of the beta distribution with this mean and variance.

    Arguments: mean [share, above 0 and below 1]; variance [share squared], above 0 and below mean (1 - mean).
    Result: shapes [dimensionless], capped at 1e4 in sum.
    Errors: ValueError outside those ranges.
    Reference: moments of the beta distribution (derived).
    """
    if not 0 < mean < 1:
        raise ValueError(f"the mean must lie between 0 and 1, not {mean:g}")
    if not 0 < variance < mean * (1 - mean):
        raise ValueError(f"the variance must lie between 0 and {mean * (1 - mean):g}, not {variance:g}")
    total = min(LARGEST_SHAPE, mean * (1 - mean) / variance - 1)
    return mean * total, (1 - mean) * total
