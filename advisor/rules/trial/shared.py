"""What several rules on a trial run share."""

from collections.abc import Callable, Iterator

from advisor.model.findings import FIX, STOP, WATCH, Finding, NotJudged
from advisor.model.logs import clock_time
from advisor.model.species import Band, Limits, Species
from advisor.model.trial import Extreme
from advisor.rules.engine import Case

# Why rules on what moves the medium wait: nobody can part the two in a log of a few days.
COOLER_NIGHTS = "what moves the medium beside the cooler nights of the programme"
_CHECK_FIRST = "Read the thermometer in ice water first: half a degree may be its own."

Worst = tuple[str, Species, float, str, tuple[str, ...]]


def when(extreme: Extreme) -> str:
    """When it was, by the log's clock."""
    return f"about {clock_time(extreme.at)}"


def beyond_the_bands(
    case: Case,
    extreme: Extreme,
    side: str,
    words: tuple[str, str],
    remedy: Callable[[Case, Extreme, float], str],
) -> Iterator[Finding | NotJudged]:
    """What a settled medium on one side of the eggs' bands is found to be.

    side: "below" or "above"; words: where it was, and the name of its figure; remedy: from the limit [°C] that it passed.
    """
    where, name = words
    worst = _worst_for_eggs(case, extreme, side)
    if worst is None:
        lacking = _without_bands(case)
        if lacking:
            yield NotJudged(lacking)
        return
    severity, species, limit, ends, sources = worst
    show = case.show
    yield Finding(
        severity,
        f"The medium was {where} at {show.temperature(extreme.figure.value)} ({when(extreme)}, mean of 3 h): for "
        f"{species.name} {ends} {show.temperature(limit)}.",
        "control.set_to",
        f"{remedy(case, extreme, limit)} {_CHECK_FIRST}",
        figures=((name, extreme.figure),),
        sources=sources,
    )


def _worst_for_eggs(case: Case, extreme: Extreme, side: str) -> Worst | None:
    """The gravest that a temperature is to eggs of the plan: severity, species, limit [°C], what ends there, sources.

    side: "below" or "above". A harmful limit is told when even the thermometer's error leaves no doubt.
    """
    found = [one for species in case.situation.species.values() for one in _grave(species, extreme, side)]
    order = (STOP, FIX, WATCH)
    return min(found, key=lambda one: order.index(one[0]), default=None)


def _grave(species: Species, extreme: Extreme, side: str) -> Iterator[Worst]:
    figure, sign = extreme.figure, -1.0 if side == "below" else 1.0
    harmful, certain = _harmful(species.harmful, side), figure.high if side == "below" else figure.low
    if harmful is not None and species.harmful is not None and sign * (certain - harmful) >= 0.0:
        yield STOP, species, harmful, "harm to eggs begins at", species.harmful.support.sources
    for band, severity, words in (
        (species.tolerated, FIX, "the tolerated band ends at"),
        (species.aim, WATCH, "the usual band ends at"),
    ):
        if band is not None and sign * (figure.value - _end(band, side)) > 0.0:
            yield severity, species, _end(band, side), words, band.support.sources


def _harmful(limits: Limits | None, side: str) -> float | None:
    return None if limits is None else limits.below if side == "below" else limits.above


def _end(band: Band, side: str) -> float:
    return band.low if side == "below" else band.high


def _without_bands(case: Case) -> tuple[str, ...]:
    """The entries that species lack whose profile tells no band at all."""
    return tuple(
        f"species/{one.id}.yaml: tolerated"
        for one in case.situation.species.values()
        if one.tolerated is None and one.aim is None
    )
