"""Set points so near the change-over of the sexes that the thermostat's error and the spread decide."""

from collections.abc import Iterator

from advisor.forecast.clutch.sex_steering import (
    ENOUGH,
    Setting,
    entries_missing,
    possible_settings,
    shares_between,
    temperatures_with,
)
from advisor.model.figures import Unknown
from advisor.model.findings import NOTE, WATCH, Finding
from advisor.rules.engine import CLUTCH, Case, Lacking, Rule
from advisor.rules.shared import at_that, capital, needs_of, temperature_for_sexes

# width of the range of shares [0-1] from which less than enough of the wanted sex may hatch
OPEN = 1 - ENOUGH
WIDE_OPEN = 0.6  # width from which the clutch may come out mostly of one sex or the other; judgement

RULE = Rule(
    id="sex-too-close-to-call",
    title="The set point is too close to the change-over of the sexes",
    explanation=(
        "Where warmth sets the sex, a change-over from one sex to the other often takes less than two degrees. A home "
        "thermostat is up to a degree off, and one egg box is warmer than the next. Near the change-over that decides "
        "what hatches. It happens in a few weeks of the incubation, and nothing shows from outside."
    ),
    remedy="Move the set point away from the change-over, or check the thermostat in ice and water.",
    sources=("judgement",),
    about=CLUTCH,
    levers=("control.set_to", "control.checked_against"),
    good="control: {set_to: 26.5 °C}\nclutches: [{species: eublepharis-macularius, wanted: females}]",
    bad="control: {set_to: 30.3 °C}\nclutches: [{species: eublepharis-macularius, wanted: any}]",
    implied_by=("sex-not-as-wanted",),
)


def check(case: Case) -> Iterator[Finding]:
    """The shares that the eggs' temperatures span; the plan's gaps are filled with the best and the worst case."""
    wanted, sex, set_to = case.clutch.wanted, case.species.sex, case.plan.control.set_to
    if wanted == "both" or sex.set_by not in (None, "temperature"):
        return
    if sex.set_by is None:
        raise Lacking("species.sex.set_by")
    missing = (("clutch.wanted",) if wanted is None else ()) + (("control.set_to",) if set_to is None else ())
    if set_to is None:
        raise Lacking(*missing)
    forecast, at = case.clutch_forecast.male_share, temperature_for_sexes(case)
    if isinstance(forecast, Unknown) or at is None:
        raise Lacking(*needs_of(forecast, "species.sex.observed"))
    control, warmth = case.plan.control, case.clutch_forecast.warmth
    settings = possible_settings(control, warmth)
    ends = [_ends(case, at, setting) for setting in settings]
    wishes = (wanted,) if wanted is not None else ("any", "females", "males")
    severities = [_severity(low, high, wish) for low, high in ends for wish in wishes]
    if not any(severities):
        return
    if wanted is None or not all(severities):
        raise Lacking(*(missing or entries_missing(control, warmth)))
    low, high = min(ends, key=lambda pair: pair[1] - pair[0])
    setting = settings[ends.index((low, high))]
    show, at_best = case.show, " at best" if entries_missing(control, warmth) else ""
    yield Finding(
        NOTE if NOTE in severities else WATCH,
        f"{capital(at_that(case, at))} the sexes of {case.species.name} are too close to call. This thermostat and box "
        f"hold the eggs{at_best} within {show.temperature_range(*temperatures_with(setting, at))}, "
        f"and that gives {show.percent_range(low, high)} males.",
        "control.set_to",
        figures=(("male_share", forecast),),
        sources=tuple(dict.fromkeys(key for point in sex.observed for key in point.support.sources)),
    )


def _ends(case: Case, at: float, setting: Setting) -> tuple[float, float]:
    found = shares_between(case.species, *temperatures_with(setting, at))
    assert found is not None  # the forecast has a share at the set point itself
    return found


def _severity(low: float, high: float, wanted: str) -> str | None:
    """None when the span is narrow; for one wanted sex any wider span may leave less of it than is enough."""
    if high - low < OPEN:
        return None
    return NOTE if wanted == "any" and high - low < WIDE_OPEN else WATCH
