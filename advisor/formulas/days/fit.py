"""Fits of incubation length against temperature, with the scatter between studies.

Every form is fitted to ln(days), so errors count in percent. Studies differ by more than the form of the
curve does: each study has its own offset (mixed model), and what is predicted is a study not yet seen.
"""

import math
from collections.abc import Sequence

from msgspec import Struct

from advisor.formulas.days.forms import REFERENCE, FormName, log_days
from advisor.formulas.days.own_values import Node, move_at, own_nodes
from advisor.formulas.days.points import DurationPoint, checked, own_variance
from advisor.formulas.numerics.matrices import Matrix, inverse, quadratic_form, times

# What is known before any point of the species is seen:

# Degree-day threshold T0 [°C]: median, 10 % and 90 % quantile over 64 species (our fits to the data of Noble et al.
# 2018, Scientific Data 5:180138; derived).
USUAL_THRESHOLD = (14.8, 9.8, 18.7)
# Slope of the rate at 28 °C as a share of the rate there [1/K]; follows from USUAL_THRESHOLD (derived).
USUAL_SLOPE = 1 / (REFERENCE - USUAL_THRESHOLD[0])
# Standard deviation of that slope between species [1/K]: 2.563 of them span 10 % to 90 % (derived).
SLOPE_SPREAD = (1 / (REFERENCE - USUAL_THRESHOLD[2]) - 1 / (REFERENCE - USUAL_THRESHOLD[1])) / 2.563
# Cold point b2 of the Dallwitz-Higgins curve [°C], mean and standard deviation between species (five fits of 9.2 to
# 19.2 to the data of Noble et al. 2018; derived, the spread is judgement).
USUAL_COLD = (15.0, 4.0)
# Peak b3 of the Dallwitz-Higgins curve [°C], mean and standard deviation between species (five fits of 32.7 to
# 34.2, the same source; derived, the spread is judgement and leaves room for desert species).
USUAL_PEAK = (33.5, 2.0)
# Standard deviation between studies of one species at one temperature, as a share of the days: the smallest round
# value at which 95 % ranges from one study, and from a single point, held for at least 90 % of the points of other
# studies of the species (13 species of Noble et al. 2018; derived).
STUDY_SPREAD = 0.05
# The part of it that lies in temperature [K]: incubators differ by this much, and thresholds of populations as
# well, which counts most in the cold, where a kelvin is 10 % of the days. Chosen as the narrowest ranges that held
# for 93 to 97 % of the points, and of the studies, left out of the shipped profiles (derived).
KELVIN_SPREAD = 0.4
# Standard deviation within a study around the curve, as a share of the days: between the median (1.8 %) and the
# pooled value (3.6 %) of 17 studies with four temperatures or more (Noble et al. 2018; derived).
WITHIN_SPREAD = 0.03
# How many studies, or points within studies, the usual spreads count for against the species' own (judgement).
PRIOR_WEIGHT = 4.0


class DevelopmentCurve(Struct, frozen=True):
    """A fitted curve of incubation length on temperature.

    form and parameters, as `log_days` reads them; covariance of the parameters; spread, the standard
    deviation of a new study around the curve as a share of the days;
    nodes, where the curve is moved to pass between the own values.
    """

    form: FormName
    parameters: tuple[float, ...]
    covariance: tuple[tuple[float, ...], ...]
    spread: float
    nodes: tuple[Node, ...]

    @property
    def temperatures(self) -> tuple[float, ...]:
        """Temperatures of the points [°C], coldest first."""
        return tuple(node.temperature for node in self.nodes)


class _Group(Struct, frozen=True):
    """All points of one study at one temperature [°C]: ln(days), own variance of ln(days), study."""

    temperature: float
    log_days: float
    variance: float
    study: str


_Row = tuple[str, float, list[float], float]  # study, weight, gradient, residual
_FORMS: tuple[FormName, ...] = ("straight line", "line that flattens", "Dallwitz-Higgins curve")


def _prior(form: FormName) -> tuple[list[float], list[float]]:
    """Means and precisions of the shape parameters between species; the level has none."""
    if form == "Dallwitz-Higgins curve":
        return [0.0, USUAL_COLD[0], USUAL_PEAK[0]], [0.0, USUAL_COLD[1] ** -2, USUAL_PEAK[1] ** -2]
    return [0.0, USUAL_SLOPE], [0.0, SLOPE_SPREAD**-2]


def _grouped(points: Sequence[DurationPoint]) -> list[_Group]:
    """Merge the points of one study at one temperature, so that repeats do not count as evidence."""
    together: dict[tuple[str, float], list[DurationPoint]] = {}
    for point in points:
        together.setdefault((point.study, point.temperature), []).append(point)
    groups = []
    for (study, temperature), members in together.items():
        weights = [1 / own_variance(member) for member in members]
        total = sum(weights)
        mean = sum(w * math.log(m.days) for w, m in zip(weights, members, strict=True)) / total
        groups.append(_Group(temperature, mean, 1 / total, study))
    return groups


def _normal_equations(
    form: FormName, rows: Sequence[_Row], parameters: Sequence[float], study_variance: float
) -> tuple[Matrix, list[float]]:
    """X' V^-1 X and X' V^-1 r for rows with a random offset a study, and the pull of what other species have.

    The inverse of a block is W - W 1 1' W t/(1 + t sum(w)), t the variance between studies (Woodbury
    identity).
    """
    means, precisions = _prior(form)
    size = len(means)
    left = [[0.0] * size for _ in range(size)]
    right = [0.0] * size
    sums: dict[str, tuple[float, list[float], float]] = {}
    for study, weight, gradient, residual in rows:
        total, vector, scalar = sums.get(study, (0.0, [0.0] * size, 0.0))
        sums[study] = (
            total + weight,
            [a + weight * g for a, g in zip(vector, gradient, strict=True)],
            scalar + weight * residual,
        )
        for i in range(size):
            wg = weight * gradient[i]
            right[i] += wg * residual
            for j in range(size):
                left[i][j] += wg * gradient[j]
    for total, vector, scalar in sums.values():
        shrink = study_variance / (1 + study_variance * total)
        for i in range(size):
            right[i] -= shrink * vector[i] * scalar
            for j in range(size):
                left[i][j] -= shrink * vector[i] * vector[j]
    for i in range(size):
        left[i][i] += precisions[i]
        right[i] += precisions[i] * (means[i] - parameters[i])
    return left, right


def _rows(
    form: FormName, parameters: Sequence[float], groups: Sequence[_Group], within_variance: float
) -> list[_Row]:
    rows = []
    for group in groups:
        value, gradient = log_days(form, parameters, group.temperature)
        weight = 1 / (within_variance + group.variance)
        rows.append((group.study, weight, gradient, group.log_days - value))
    return rows


class _Fit(Struct, frozen=True):
    parameters: list[float]
    covariance: Matrix
    rows: list[_Row]


def _allowed(form: FormName, parameters: Sequence[float]) -> bool:
    """Keep a Dallwitz-Higgins curve at least 5 K wide and a line rising (judgement)."""
    if form == "Dallwitz-Higgins curve":
        return parameters[2] - parameters[1] > 5.0
    return parameters[1] > 0.0


def _fit(
    form: FormName,
    groups: Sequence[_Group],
    within_variance: float,
    study_variance: float,
    start: list[float] | None,
) -> _Fit:
    """Penalised generalised least squares by Gauss-Newton."""
    if start is None:
        start, _ = _prior(form)
        offsets = [g.log_days - log_days(form, start, g.temperature)[0] for g in groups]
        start[0] = sum(offsets) / len(offsets)
    parameters = start
    for _ in range(12):
        rows = _rows(form, parameters, groups, within_variance)
        left, right = _normal_equations(form, rows, parameters, study_variance)
        covariance = inverse(left)
        step = times(covariance, right)
        share = 1.0
        while not _allowed(form, [p + share * s for p, s in zip(parameters, step, strict=True)]):
            share /= 2
            if share < 1e-6:
                share = 0.0
                break
        parameters = [p + share * s for p, s in zip(parameters, step, strict=True)]
        if sum(r * s for r, s in zip(right, step, strict=True)) < 1e-6:
            break
    return _Fit(parameters, covariance, _rows(form, parameters, groups, within_variance))


def _left_out_error(form: FormName, fit: _Fit, study_variance: float) -> float:
    """Mean absolute error of ln(days) when each row in turn is left out (one linearised step); 0 for a single row."""
    if len(fit.rows) < 2:
        return 0.0
    errors = []
    for left_out, (_, _, gradient, residual) in enumerate(fit.rows):
        rest = [row for index, row in enumerate(fit.rows) if index != left_out]
        left, right = _normal_equations(form, rest, fit.parameters, study_variance)
        step = times(inverse(left), right)
        errors.append(abs(residual - sum(g * s for g, s in zip(gradient, step, strict=True))))
    return sum(errors) / len(errors)


def _spreads(fit: _Fit) -> tuple[float, float]:
    """Variance within and between studies, the usual values counted in."""
    by_study: dict[str, list[tuple[float, float]]] = {}
    for study, weight, _, residual in fit.rows:
        by_study.setdefault(study, []).append((weight, residual))
    within, within_count = 0.0, 0
    between, offsets = 0.0, []
    for members in by_study.values():
        total = sum(weight for weight, _ in members)
        offset = sum(weight * residual for weight, residual in members) / total
        within += sum((residual - offset) ** 2 for _, residual in members)
        within_count += len(members) - 1
        offsets.append((offset, 1 / total))
    # The curve itself was fitted to these points: one degree of freedom a shape parameter.
    within_freedom = max(0, within_count - (len(fit.parameters) - 1))
    within_variance = (PRIOR_WEIGHT * WITHIN_SPREAD**2 + within) / (PRIOR_WEIGHT + within_freedom)
    for offset, noise in offsets:
        between += max(0.0, offset**2 - noise)
    study_variance = (PRIOR_WEIGHT * STUDY_SPREAD**2 + between) / (PRIOR_WEIGHT + len(offsets) - 1)
    return within_variance, study_variance


def fit_development(points: Sequence[DurationPoint]) -> DevelopmentCurve:
    """Fit the form with the smallest leave-one-out error to the points of one species.

    Arguments: points, at least one; days from laying [days] at constant temperatures [°C].
    Result: a DevelopmentCurve; with points at fewer than three temperatures a straight line whose slope leans
    on other species.
    Assumes that ln(days) of a study lies off the species' curve by one offset (standard deviation 5 %) and
    its points by more (3 %), both re-estimated from the species' own points.
    Forms: straight line of rate on temperature, the same with half the slope above 30.5 °C, and the
    Dallwitz-Higgins curve, each held towards what other species show.
    Errors: ValueError without points, for days outside 1 to 1500 or temperatures outside -20 to 70 °C.
    Reference: development-rate fits to Noble et al. 2018, Scientific Data 5:180138 (derived); choice by
    leave-one-out and the weights are judgement.
    """
    if not points:
        raise ValueError("a development curve needs at least 1 point, not 0")
    checked(points)
    groups = _grouped(points)
    best: tuple[float, FormName, _Fit] | None = None
    # Two temperatures cannot tell one form from another.
    forms = _FORMS if len({group.temperature for group in groups}) > 2 else _FORMS[:1]
    for form in forms:
        fit = _fit(form, groups, WITHIN_SPREAD**2, STUDY_SPREAD**2, None)
        error = _left_out_error(form, fit, STUDY_SPREAD**2)
        # A more complex form has to be better by a twentieth, so that ties keep the simpler one.
        if best is None or error < 0.95 * best[0]:
            best = (error, form, fit)
    assert best is not None
    _, form, fit = best
    within_variance, study_variance = _spreads(fit)
    fit = _fit(form, groups, within_variance, study_variance, fit.parameters)
    return DevelopmentCurve(
        form=form,
        parameters=tuple(fit.parameters),
        covariance=tuple(tuple(row) for row in fit.covariance),
        spread=math.sqrt(study_variance + within_variance),
        # One clutch counts in the curve and bends it nowhere.
        nodes=own_nodes(form, fit.parameters, [point for point in points if not point.logged] or points),
    )


def log_days_of(curve: DevelopmentCurve, temperature: float) -> float:
    """Return ln(days/1 day) of a fitted curve at a temperature [°C], moved towards the own values."""
    plain = log_days(curve.form, curve.parameters, temperature)[0]
    return plain + move_at(curve.nodes, curve.form, curve.parameters, temperature)


def slope_of(curve: DevelopmentCurve, temperature: float) -> float:
    """Return the slope of ln(days) of the plain curve at a temperature [°C], over 0.2 K [1/K]."""
    warmer, colder = (log_days(curve.form, curve.parameters, temperature + step)[0] for step in (0.1, -0.1))
    return (warmer - colder) / 0.2


def new_study_variance(curve: DevelopmentCurve, temperature: float) -> float:
    """Return the variance of ln(days) of a study not yet seen at a temperature.

    Arguments: curve; temperature [°C].
    Result: variance of the curve (delta method), spread of studies, 0.4 K of temperature, and the square of
    how far the curve was moved [dimensionless].
    Reference: law of propagation, JCGM 100 (from memory); the last term is judgement: where the own values
    contradict the curve either may be right.
    """
    _, gradient = log_days(curve.form, curve.parameters, temperature)
    own = max(0.0, quadratic_form(curve.covariance, gradient))
    move = move_at(curve.nodes, curve.form, curve.parameters, temperature)
    return own + curve.spread**2 + (KELVIN_SPREAD * slope_of(curve, temperature)) ** 2 + move**2
