"""Incubation length, sexes and dates of one clutch at the planned set point and the box's real spread."""

from advisor.eggs.no_data import NoData
from advisor.eggs.sex import MaleShare, male_share_at
from advisor.eggs.sex_choice import Basis
from advisor.forecast.evidence import incubation_length, share_model
from advisor.forecast.schedule import check_days, hatch_window, laying_window, ready_by
from advisor.model.figures import Figure, Result, Unknown
from advisor.model.forecast import ClutchForecast
from advisor.model.plan import Clutch, Control, Plan
from advisor.model.species import Species
from advisor.show import Show

# Standard deviation of the medium's temperature against the set point [K]: a digital sensor is within 0.5 K (data
# sheet), consumer thermostats within 0.5 to 1 K (from memory); checked against ice or a thermometer about half of it.
CHECKED_ERROR = 0.25
UNCHECKED_ERROR = 0.5
RANGE_TO_SD = 0.25  # of a spread from coolest to warmest box: four standard deviations cover it; judgement
METRIC = Show()
UNREAD: Basis = "gap too wide to read across"


def thermostat_error(control: Control) -> float:
    """Standard deviation of the true temperature round the set point [K]."""
    checked = control.checked_against in ("ice point", "reference thermometer")
    return CHECKED_ERROR if checked else UNCHECKED_ERROR


def clutch_forecast(plan: Plan, clutch: Clutch, species: Species, spread: Result) -> ClutchForecast:
    """The forecast for one clutch; `spread` is the difference between the warmest and the coolest box [K]."""
    days = incubation_days(plan.control, species, Show(plan.units))
    laying = laying_window(clutch.laying, species)
    return ClutchForecast(
        species=species.id,
        incubation_days=days,
        male_share=male_share(plan.control, species, spread, Show(plan.units)),
        laying_window=laying,
        hatch_window=hatch_window(laying, days),
        ready_by=ready_by(laying),
        check_days=check_days(plan.checks, days),
    )


def incubation_days(control: Control, species: Species, show: Show = METRIC) -> Result:
    """Days from laying to hatching at the set point, with the scatter between studies and the thermostat's error."""
    if control.set_to is None:
        return Unknown("the plan has no set point", ("control.set_to",))
    found = incubation_length(species, control.set_to, thermostat_error(control))
    if isinstance(found, NoData):
        return Unknown(
            f"no data at this temperature for {species.name}{_nearest(found, show)}",
            (f"species/{species.id}.yaml: duration",),
        )
    few = "one temperature, slope of other species" if found.one_temperature else f"{found.points} points"
    return Figure(found.days, found.low, found.high, "days", f"{few} of the profile, {found.evidence}")


def male_share(control: Control, species: Species, spread: Result, show: Show = METRIC) -> Result:
    """Share of males to expect, averaged over the thermostat's error and the spread between boxes."""
    if species.sex.set_by is None:
        return Unknown(
            f"it is not known what sets the sex of {species.name}",
            (f"species/{species.id}.yaml: sex.set_by",),
        )
    if control.set_to is None:
        return Unknown("the plan has no set point", ("control.set_to",))
    found = share_at(control.set_to, control, species, spread)
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
        return Figure(found.share, found.low, found.high, "share", "chromosomes set the sex")
    basis = f"{found.basis}, {found.eggs:.0f} sexed eggs in the profile"
    return Figure(
        found.share, found.low, found.high, "share", basis, "the thermostat: check it in ice and water"
    )


def share_at(temperature: float, control: Control, species: Species, spread: Result) -> MaleShare | NoData:
    """Share of males at a temperature [°C] with this plan's thermostat and spread."""
    between = spread.value * RANGE_TO_SD if isinstance(spread, Figure) else 0.0
    return male_share_at(share_model(species), temperature, thermostat_error(control), min(between, 5.0))


def _nearest(found: NoData, show: Show) -> str:
    if not found.nearest:
        return ""
    shown = " and ".join(show.temperature(temperature) for temperature in sorted(found.nearest))
    return f": the nearest {'are' if len(found.nearest) > 1 else 'is'} {shown}"
