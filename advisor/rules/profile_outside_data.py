"""Set points at which nobody has counted days or sexes, so that the forecast has no figure."""

from collections.abc import Iterator
from itertools import product

from advisor.forecast.clutch.days_and_sexes import AS_PROBE, length_at, share_at
from advisor.formulas.numerics.no_data import NoData
from advisor.model.figures import Figure
from advisor.model.findings import NOTE, WATCH, Finding, NotJudged
from advisor.model.species import Observation
from advisor.rules.engine import CLUTCH, Case, Lacking, Rule
from advisor.rules.shared import held_by_eggs, needs_of, temperature_for_sexes, warmer_eggs

NEAREST = 0.05  # K; points this close to the nearest data temperature are the ones named; rounding

TOLD = 0.05  # K from the set point, from which the eggs' own temperature is told; rounding

RULE = Rule(
    id="profile-outside-data",
    title="The set point lies outside the data of the profile",
    explanation=(
        "Days and sexes are told only where eggs were counted. Past the last count a curve is a guess, and the egg is "
        "where the guess fails: growth slows, stops or goes wrong within days. So there is no hatch window, or no share "
        "of males, and rules that need them cannot judge."
    ),
    remedy="Choose a set point at which eggs of this species were counted, or write down what yours do.",
    sources=("judgement",),
    about=CLUTCH,
    needs=("control.set_to",),
    good="control: {set_to: 29 °C}\nclutches: [{species: testudo-exemplaris}]  # an invented profile with two studies",
    bad="control: {set_to: 34 °C}\nclutches: [{species: testudo-exemplaris}]",
    implied_by=("heat-outside-species-band",),
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """Days, and the share of males where temperature has a say; a profile without any data is not judged here.

    `profile-missing` tells that there are no data at all, and names this rule among those that wait.
    """
    species, control, wanted = case.species, case.plan.control, case.clutch.wanted
    off, for_sexes = warmer_eggs(case), temperature_for_sexes(case)
    held = [at - off for at in held_by_eggs(case)]  # as the probe reads: the ways count from there
    ways = case.clutch_forecast.warmth.ways or AS_PROBE.ways
    inside = species.tolerated is not None and all(
        species.tolerated.low <= at + way.value <= species.tolerated.high for at in held for way in ways
    )
    if not species.duration:
        yield NotJudged(("species.duration",))
    for at, way in product(held, ways):
        days = length_at(at, control, species, way)
        if species.duration and isinstance(days, NoData):
            severity = NOTE if inside else WATCH
            yield _finding(case, days, at, way, species.duration, "days to hatching", severity)
            break
    if species.sex.set_by in ("chromosomes", None):
        return
    if for_sexes is None:
        raise Lacking(*needs_of(case.clutch_forecast.male_share, "species.sex.observed"))
    for way in ways:
        share = share_at(for_sexes, control, species, way)
        if isinstance(share, NoData):
            severity = WATCH if wanted in ("females", "males", "both") else NOTE
            yield (
                _finding(case, share, for_sexes, way, species.sex.observed, "sexes", severity)
                if species.sex.observed
                else NotJudged(("species.sex.observed",))
            )
            break


def _finding(
    case: Case,
    found: NoData,
    at: float,
    way: Figure,
    points: tuple[Observation, ...],
    what: str,
    severity: str,
) -> Finding:
    """Names the end of the data, how far off it is, what was counted there, and the sources."""
    show, set_to = case.show, at + way.value
    where = f", {way.basis}," if abs(way.value) >= TOLD else ""
    opening = (
        f"At {show.temperature(set_to)}{where} the profile of {case.species.name} has no data on the {what}"
    )
    if not found.nearest:
        return Finding(
            severity,
            f"{opening}: none of its points at a steady temperature can be used.",
            "control.set_to",
            "Write down what your eggs do: no set point has been tried by counting.",
            sources=tuple(dict.fromkeys(key for point in points for key in point.support.sources)),
        )
    end = min(found.nearest, key=lambda temperature: abs(temperature - set_to))
    # Days at a daily swing count as well, at the constant temperature that develops eggs as fast.
    kept = [point for point in points if what != "sexes" or not point.swing]
    least = min(abs(point.at.middle - end) for point in kept)
    named = [point for point in kept if abs(point.at.middle - end) <= least + NEAREST]
    values = "; ".join(dict.fromkeys(_told(case, point, what) for point in named[:3]))
    word = "lie at" if found.lowest == found.highest else "begin at" if set_to < end else "end at"
    side = "warmer" if set_to < end else "cooler"
    return Finding(
        severity,
        f"{opening}. They {word} {show.temperature(end)} ({values}), {show.step(abs(set_to - end))} {side}.",
        "control.set_to",
        sources=tuple(dict.fromkeys(key for point in named for key in point.support.sources)),
        levers=("control.set_to",),
    )


def _told(case: Case, point: Observation, what: str) -> str:
    low, high = point.value.low, point.value.high
    if what == "sexes":
        return f"{case.show.percent_range(low, high)} males"
    return case.show.days_range(low, high)
