"""Incubation length, sexes and dates of one clutch at the temperature of its eggs: set point, tier and thermostat."""

import math
from collections.abc import Callable

from msgspec import Struct
from msgspec.structs import replace

from advisor.forecast.clutch.cool_period import with_cool_period
from advisor.forecast.clutch.dates import check_days, hatch_window, late_check_days, laying_window, ready_by
from advisor.forecast.clutch.evidence import incubation_length, males_at, unlike_half
from advisor.forecast.edge import in_range
from advisor.forecast.heat.egg_warmth import CHECK, own_error, which_tier
from advisor.formulas.days.incubation_days import IncubationLength, predicted_days
from advisor.formulas.numerics.no_data import NoData
from advisor.formulas.sexes.curve_choice import Basis
from advisor.formulas.sexes.male_share import MaleShare, male_share_at
from advisor.model.figures import Figure, Result, Unknown
from advisor.model.forecast import ClutchForecast, EggProgramme, EggWarmth, MeasuredWay
from advisor.model.plan import Clutch, Control, Plan
from advisor.model.species import Species
from advisor.show import Show

# Standard deviation of the medium's temperature against the set point [K]: a digital sensor is within 0.5 K (data
# sheet), consumer thermostats within 0.5 to 1 K (from memory); checked against ice or a thermometer about half of it; judgement.
UNCHECKED_ERROR = 0.5
CHECKED_ERROR = UNCHECKED_ERROR / 2
LARGEST_ERROR = 5.0  # K, that the formulas of days and sexes take
METRIC = Show()
AS_PROBE = EggWarmth((Figure(0.0, 0.0, 0.0, "step", "as warm as the probe"),))
UNREAD: Basis = "gap too wide to read across"


def thermostat_error(control: Control) -> float:
    """Standard deviation of the true temperature round the set point [K]."""
    checked = control.checked_against in ("ice point", "reference thermometer")
    return CHECKED_ERROR if checked else UNCHECKED_ERROR


def clutch_forecast(
    plan: Plan, clutch: Clutch, species: Species, days: Result, males: Result, warmth: EggWarmth
) -> ClutchForecast:
    """The forecast for one clutch from its days and sexes, whose eggs lie as much warmer than the set point as `warmth` says."""
    days = in_range(lambda: with_cool_period(days, clutch.cool_period, species, plan.control.set_to))
    laying = laying_window(clutch, species)
    checked = check_days(plan.checks, days)
    return ClutchForecast(
        species=species.id,
        incubation_days=days,
        male_share=males,
        laying_window=laying,
        hatch_window=hatch_window(laying, days),
        ready_by=ready_by(laying),
        check_days=checked,
        warmth=warmth,
        late_check_days=late_check_days(checked, days, laying),
    )


def error_of(control: Control, way: Figure) -> float:
    """Standard deviation of the eggs' temperature [K]: the thermostat's error and what the way itself leaves open."""
    return math.hypot(
        own_error(thermostat_error(control), way), max(way.high - way.value, way.value - way.low) / 2
    )


class EggsForecast(Struct, frozen=True):
    """Days and sexes of one clutch; what it goes through where the set point changes on purpose."""

    days: Result
    males: Result
    programme: EggProgramme | None = None


def steady_forecast(control: Control, profile: Species, warmth: EggWarmth, show: Show) -> EggsForecast:
    """Days and sexes at one set point."""
    return EggsForecast(
        in_range(lambda: incubation_days(control, profile, show, warmth)),
        in_range(lambda: male_share(control, profile, warmth, show)),
    )


def incubation_days(
    control: Control, species: Species, show: Show = METRIC, warmth: EggWarmth = AS_PROBE
) -> Result:
    """Days from laying to hatching, with the scatter between studies and what is open about the eggs' temperature."""
    if control.set_to is None:
        return Unknown("the plan has no set point", ("control.set_to",))
    return over_ways(
        [_days(control.set_to, control, species, way, show) for way in ways_of(warmth)],
        warmth,
        lambda found: show.days(found.value),
    )


def male_share(control: Control, species: Species, warmth: EggWarmth, show: Show = METRIC) -> Result:
    """Share of males to expect, averaged over what is open about the eggs' temperature."""
    if species.sex.set_by is None:
        return Unknown(
            f"it is not known what sets the sex of {species.name}",
            (f"species/{species.id}.yaml: sex.set_by",),
        )
    if control.set_to is None:
        return Unknown("the plan has no set point", ("control.set_to",))
    return over_ways(
        [_share(control.set_to, control, species, way, show) for way in ways_of(warmth)],
        warmth,
        lambda found: f"{show.percent(found.value)} males",
    )


def share_at(temperature: float, control: Control, species: Species, way: Figure) -> MaleShare | NoData:
    """Share of males at a set point [°C] with this plan's thermostat, the eggs one way warmer than it [K]."""
    return males_at(species, temperature + way.value, min(error_of(control, way), LARGEST_ERROR))


def length_at(
    temperature: float, control: Control, species: Species, way: Figure
) -> IncubationLength | NoData:
    """Days to hatching at a set point [°C] with this plan's thermostat, the eggs one way warmer than it [K]."""
    return incubation_length(species, temperature + way.value, min(error_of(control, way), LARGEST_ERROR))


def ways_of(warmth: EggWarmth) -> tuple[Figure, ...]:
    """How much warmer than the set point the eggs may lie [K]; as warm where nothing tells."""
    return warmth.ways or AS_PROBE.ways


def over_ways(found: list[Result], warmth: EggWarmth, shown: Callable[[Figure], str]) -> Result:
    """The likeliest figure with the range of all; its basis tells each. Unknown where one of them is."""
    figures = [answer for answer in found if isinstance(answer, Figure)]
    unknown = next((answer for answer in found if isinstance(answer, Unknown)), None)
    if unknown is not None:
        return unknown
    first = figures[0]
    if len(figures) == 1 or len({(one.value, one.low, one.high) for one in figures}) == 1:
        return first
    told = ", or ".join(f"{shown(one)} {way.basis}" for one, way in zip(figures, warmth.ways, strict=True))
    return replace(
        first,
        low=min(one.low for one in figures),
        high=max(one.high for one in figures),
        basis=f"{first.basis}; {told}",
        matters_most=which_tier(warmth),
    )


def _days(set_to: float, control: Control, species: Species, way: Figure, show: Show) -> Result:
    found = length_at(set_to, control, species, way)
    if isinstance(found, NoData):
        return Unknown(
            f"no data at this temperature for {species.name}{_nearest(found, show)}",
            (f"species/{species.id}.yaml: duration",),
        )
    few = "one temperature, slope of other species" if found.one_temperature else f"{found.points} points"
    swings = ", some at daily swings" if found.swings else ""
    basis = f"{few} of the profile{swings}, {found.evidence}"
    return Figure(found.days, found.low, found.high, "days", basis, formulas=(predicted_days,))


def _share(set_to: float, control: Control, species: Species, way: Figure, show: Show) -> Result:
    ask = "" if isinstance(way, MeasuredWay) else CHECK
    return share_told(share_at(set_to, control, species, way), species, show, ask)


def share_told(found: MaleShare | NoData, species: Species, show: Show, matters: str) -> Result:
    """A share of males as a figure with its basis, or why there is none; `matters` is what widens it most."""
    if isinstance(found, NoData):
        return Unknown(
            f"no data at this temperature on the sexes of {species.name}{_nearest(found, show)}",
            (f"species/{species.id}.yaml: sex.observed",),
        )
    if found.basis == UNREAD:
        return Unknown(
            f"the counts of {species.name} lie too far apart to say what comes between them",
            (f"species/{species.id}.yaml: sex.observed",),
        )
    if found.basis == "chromosomes":
        basis, odd = "chromosomes set the sex", unlike_half(species)
        low, high = found.low, found.high
        if odd is not None:
            basis += (
                f", though {odd.males} of {odd.eggs} young counted were males, which chance hardly explains"
            )
            low, high = min(low, odd.low), max(high, odd.high)
        return Figure(found.share, low, high, "share", basis, formulas=(male_share_at,))
    basis = f"{found.basis}, {found.eggs:.0f} sexed eggs in the profile"
    return Figure(found.share, found.low, found.high, "share", basis, matters, (male_share_at,))


def _nearest(found: NoData, show: Show) -> str:
    if not found.nearest:
        return ""
    shown = " and ".join(show.temperature(temperature) for temperature in sorted(found.nearest))
    return f": the nearest {'are' if len(found.nearest) > 1 else 'is'} {shown}"
