"""The sexes to expect from the temperatures of the sensitive time, by both rules for swings; or that they can't be told."""

from functools import lru_cache

from advisor.forecast.clutch.days_and_sexes import LARGEST_ERROR, share_told
from advisor.forecast.clutch.evidence import share_model
from advisor.forecast.follow.clutch import temperatures
from advisor.forecast.follow.egg_course import EggCourse, readings
from advisor.formulas.days.swings import Rate
from advisor.formulas.numerics.no_data import NoData
from advisor.formulas.sexes.equivalent_temperature import development_weighted_share, equivalent_of_readings
from advisor.formulas.sexes.male_share import male_share_at
from advisor.model.figures import Figure, Result, Unknown
from advisor.model.species import Species
from advisor.show import Show

# of the development, where a profile tells no other; common practice of the field
MIDDLE_THIRD = (1 / 3, 2 / 3)
THERMOMETER = "the thermometer: read it in ice water"
UNDECIDED = 0.3  # between the shares by one mean and by another, from which the mean decides; judgement
FINENESS = 20.0  # temperatures are told apart to 1/20 K; judgement


def sensitive_part(species: Species) -> tuple[float, float]:
    """The part of development in which temperature sets the sex."""
    band = species.sex.sensitive
    return MIDDLE_THIRD if band is None else (band.low, band.high)


def sexes_of(
    species: Species, course: EggCourse, rate: Rate, span: tuple[int, int], error: float, show: Show
) -> tuple[Result, Figure | None]:
    """Share of males, and the range of the means where the choice of the mean decides.

    span: hours from laying of the sensitive time; error [K], standard deviation of the eggs' temperature.
    """
    if species.sex.set_by is None:
        needs = (f"species/{species.id}.yaml: sex.set_by",)
        return Unknown(f"it is not known what sets the sex of {species.name}", needs), None
    if species.pause is not None and species.sex.set_by != "chromosomes":
        return Unknown(
            f"eggs of {species.name} rest first: when their sex is set can't be told by days"
        ), None
    courses = dict.fromkeys(
        tuple(temperatures(course, hours, span)) for hours in (course.likely, course.low, course.high)
    )
    figures: list[Figure] = []
    for part in courses:
        for found in _by_each_mean(species, list(part), rate, min(error, LARGEST_ERROR), show):
            if isinstance(found, Unknown):
                return found, None
            figures.append(found)
    return _one(figures, species)


def _one(figures: list[Figure], species: Species) -> tuple[Result, Figure | None]:
    values = [figure.value for figure in figures]
    first, weighted = figures[0], figures[1]
    low, high = (min(figure.low for figure in figures), max(figure.high for figure in figures))
    if max(values) - min(values) > UNDECIDED:
        open_ = Figure(
            values[0], min(values), max(values), "share", "by one mean of the temperatures and by another"
        )
        reason = f"the sexes of {species.name} cannot be told: which mean of the temperatures counts decides"
        return Unknown(reason), open_
    return Figure((first.value + weighted.value) / 2, low, high, "share",
                  f"{first.basis}; temperatures of the sensitive time by both rules for swings", first.matters_most,
                  (equivalent_of_readings, development_weighted_share, male_share_at)), None  # fmt: skip


def _by_each_mean(
    species: Species, hours: list[float], rate: Rate, error: float, show: Show
) -> tuple[Result, ...]:
    """The share at the equivalent temperature, the mean of the shares weighted by development, the share at the mean."""
    model = share_model(species)
    found = share_told(
        male_share_at(model, equivalent_of_readings(hours, rate), error), species, show, THERMOMETER
    )
    at_mean = share_told(male_share_at(model, sum(hours) / len(hours), error), species, show, THERMOMETER)
    if isinstance(found, Unknown) or isinstance(at_mean, Unknown):
        return (found, at_mean)
    middle = found.value

    @lru_cache(maxsize=4096)
    def told(temperature: float) -> tuple[float, float, float]:
        here = male_share_at(model, temperature, error)
        return (middle, 0.0, 1.0) if isinstance(here, NoData) else (here.share, here.low, here.high)

    def weighted(part: int) -> float:
        trace = readings(hours)
        return development_weighted_share(lambda at: told(round(at * FINENESS) / FINENESS)[part], rate, trace)

    return (found, Figure(weighted(0), weighted(1), weighted(2), "share", found.basis), at_mean)
