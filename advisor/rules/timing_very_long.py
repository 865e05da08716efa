"""Incubations of four months and more: what has to last that long."""

from collections.abc import Iterator

from advisor.model.figures import Figure
from advisor.model.findings import NOTE, WATCH, Finding
from advisor.rules.engine import CLUTCH, Case, Rule

LONG = 120.0  # days: twice the 60 days that a mix lasts without a top-up by common practice; judgement

RULE = Rule(
    id="timing-very-long",
    title="The incubation runs through several seasons",
    explanation=(
        "Most kept snakes hatch after about 60 days, and a damp mix lasts that long. Over four months and more the medium "
        "dries bit by bit, and the eggs take their share of the water. The room goes through its coldest or warmest "
        "weeks. Power cuts and worn thermostats become likely, and eggs near the end have the least to spare."
    ),
    remedy="Weigh the egg box when you set it up and at every check, and top it up to plan.",
    sources=("practice", "judgement"),
    about=CLUTCH,
    needs=("clutch_forecast.incubation_days",),
    good="control: {set_to: 28 °C}",
    bad="control: {set_to: 28 °C}\nclutches: [{species: chamaeleo-calyptratus}]",
)


def check(case: Case) -> Iterator[Finding]:
    """Certain when even the shortest likely incubation is long, possible when only the longest is."""
    days, show = case.clutch_forecast.incubation_days, case.show
    assert isinstance(days, Figure)
    if days.high <= LONG:
        return
    hatching = case.clutch_forecast.hatch_window
    due = f" and are due from {hatching[0]} on" if hatching else ""
    certain = days.low > LONG
    points = [point.support for point in case.species.duration]
    yield Finding(
        WATCH if certain else NOTE,
        f"The eggs {'take' if certain else 'may take'} {show.days_range(days.low, days.high)}{due}.",
        "clutch.species",
        "Weigh the egg box at the start and at each check, and plan the top-ups now. Check that `room.temperature` holds "
        "for all these months. Keep the power-cut gear ready, and test thermostat and alarm once a month.",
        figures=(("incubation_days", days),),
        sources=tuple(dict.fromkeys(key for support in points for key in support.sources)),
    )
