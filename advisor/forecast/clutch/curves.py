"""Curves that papers and pages draw: days to hatching and share of males by temperature, beside the points."""

from collections.abc import Callable, Iterable
from functools import lru_cache

from advisor.forecast.clutch.days_and_sexes import AS_PROBE, UNREAD, incubation_days, male_share
from advisor.forecast.clutch.evidence import duration_points, share_model, steady
from advisor.forecast.edge import in_range
from advisor.formulas.days.fit import DevelopmentCurve, fit_development
from advisor.formulas.days.incubation_days import MARGIN, evidence_for, length_from_curve
from advisor.formulas.days.points import DurationPoint
from advisor.formulas.numerics.no_data import NoData
from advisor.formulas.sexes.male_share import male_share_at
from advisor.model.curves import Curve, CurvePiece, CurvePoint, ExpectedAt, ObservedPoint
from advisor.model.figures import Result, Unknown
from advisor.model.plan import Control
from advisor.model.species import KNOWN, Species

STEP = 0.2  # K between two points of a drawn curve: under a millimetre on paper; judgement
# K past the outermost points: as far as values are told there, and round a single temperature
ENDS = (MARGIN, 1.0)

Expected = tuple[float, float, float, str] | None  # value, low, high, how known


def days_curve(species: Species) -> Curve | Unknown:
    """Days from laying to hatching over the temperatures with data, or why there is nothing to draw."""
    return in_range(lambda: _days_curve(species))


def _days_curve(species: Species) -> Curve | Unknown:
    points = duration_points(species)
    if not points:
        return Unknown(f"No days of {species.name} at a steady temperature can be used.")
    fits: dict[tuple[DurationPoint, ...], DevelopmentCurve] = {}

    def value_at(temperature: float) -> Expected:
        used = evidence_for(points, temperature)
        if isinstance(used, NoData):
            return None
        if used not in fits:
            fits[used] = fit_development(used)
        return (*length_from_curve(fits[used], temperature), _weakest(point.kind for point in used))

    observed = tuple(
        ObservedPoint(
            point.temperature,
            point.low or point.days,
            point.high or point.days,
            _whole(point.eggs),
            point.kind,
        )
        for point in sorted(points, key=lambda point: point.temperature)
    )
    return Curve(_pieces([point.temperature for point in points], value_at), observed)


@lru_cache(maxsize=64)  # a lesson draws the same curve for each of its plans
def sexes_curve(species: Species) -> Curve | Unknown:
    """Share of males over the temperatures with data, or why there is nothing to draw; no curve over wide gaps."""
    return in_range(lambda: _sexes_curve(species))


def _sexes_curve(species: Species) -> Curve | Unknown:
    if species.sex.set_by is None:
        return Unknown(f"It is not known what sets the sex of {species.name}.")
    if species.sex.set_by == "chromosomes":
        return Unknown(f"Temperature does not set the sex of {species.name}: about half will be males.")
    counted = sorted(steady(species.sex.observed), key=lambda point: point.at.middle)
    if not counted:
        return Unknown(f"Nobody has counted the sexes of {species.name} at a steady temperature.")
    model = share_model(species)
    known = _weakest(point.support.known for point in counted)

    def value_at(temperature: float) -> Expected:
        found = male_share_at(model, temperature)
        if isinstance(found, NoData) or found.basis == UNREAD:
            return None
        return found.share, found.low, found.high, known

    observed = tuple(
        ObservedPoint(point.at.middle, point.value.low, point.value.high, point.eggs, point.support.known)
        for point in counted
    )
    return Curve(_pieces([point.at.middle for point in counted], value_at), observed)


def expected_at(species: Species, temperature: float) -> ExpectedAt:
    """Days and share of males at a set point [°C] held by a checked thermostat in a box without spread."""
    control = Control(set_to=temperature, checked_against="ice point")
    share = in_range(lambda: male_share(control, species, AS_PROBE))
    return ExpectedAt(temperature, days_at(species, temperature), share)


def days_at(species: Species, temperature: float) -> Result:
    """Days from laying to hatching at a set point [°C], as `expected_at` tells them."""
    control = Control(set_to=temperature, checked_against="ice point")
    return in_range(lambda: incubation_days(control, species))


def expected_in_band(species: Species) -> tuple[ExpectedAt, ...]:
    """What to expect at both ends and in the middle of the usual band, or of the tolerated one; none without a band."""
    band = species.aim or species.tolerated
    if band is None:
        return ()
    temperatures = dict.fromkeys((band.low, (band.low + band.high) / 2, band.high))
    return tuple(expected_at(species, temperature) for temperature in temperatures)


def _pieces(temperatures: list[float], value_at: Callable[[float], Expected]) -> tuple[CurvePiece, ...]:
    """Values in steps over the data and a little past them, cut where nothing is told or the evidence changes."""
    low, high = min(temperatures) - max(ENDS), max(temperatures) + max(ENDS)
    steps = round((high - low) / STEP)
    even = {low + (high - low) * number / steps for number in range(steps + 1)}
    ends = {end for reach in ENDS for end in (min(temperatures) - reach, max(temperatures) + reach)}
    at = sorted({*temperatures, *even, *ends})
    pieces: list[tuple[list[CurvePoint], str]] = []
    joined = False
    for temperature in at:
        found = value_at(temperature)
        if found is None:
            joined = False
            continue
        value, least, most, known = found
        if not joined or pieces[-1][1] != known:
            pieces.append(([], known))
        pieces[-1][0].append(CurvePoint(temperature, value, least, most))
        joined = True
    return tuple(CurvePiece(tuple(points), known) for points, known in pieces)


def _weakest(known: Iterable[str]) -> str:
    return max(known, key=KNOWN.index)


def _whole(eggs: float | None) -> int | None:
    return None if eggs is None else round(eggs)
