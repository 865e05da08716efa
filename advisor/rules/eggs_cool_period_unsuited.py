"""A planned cool period that the eggs do not bear, or that is not the one of their species."""

from collections.abc import Iterator

from advisor.forecast.heat.egg_limits import cold_limit, limit_support
from advisor.model.findings import FIX, STOP, WATCH, Finding, NotJudged
from advisor.model.plan import PlannedCoolPeriod, Range
from advisor.model.species import CoolPeriod, Support
from advisor.rules.engine import CLUTCH, Case, Rule
from advisor.rules.shared import FAR_COLDER, REST_BEARS, ROUNDING, cool_period_is_borne

# K, and share of the days, by which a single figure of a profile may be missed; judgement
ABOUT_STEP, ABOUT_DAYS = (1.0, 0.15)
MUCH_LONGER = 1.5  # times the profile's longest; judgement

RULE = Rule(
    id="eggs-cool-period-unsuited",
    title="The planned cool period does not suit these eggs",
    explanation=(
        "A few species rest after laying, and a cool spell ends their rest or comes with it. The eggs of all others grow "
        "from the first day. Weeks in the cold stop their growth and kill many or all of them. Even where a cool spell "
        "belongs, a colder or longer one than is known is a trial with living eggs."
    ),
    remedy="Leave the cool period out, or plan the one that the profile names.",
    sources=("practice", "judgement"),
    about=CLUTCH,
    levers=("clutch.cool_period",),
    good="clutches: [{species: pantherophis-guttatus, cool_period: none}]",
    bad="clutches: [{species: pantherophis-guttatus, cool_period: {at: 8 °C, days: 45}}]",
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """Against what harms the eggs, then against the cool period of the profile."""
    species, planned = case.species, case.clutch.cool_period
    if planned is None or planned.at is None or planned.days is None:
        return
    need = species.cool_period
    if need is not None:
        yield from _against_the_profile(case, need, planned.at, planned.days)
    elif species.cool_period_known:
        yield from _not_needed(case, planned.at)
    elif planned.at.low < REST_BEARS - ROUNDING:
        yield _finding(case, STOP, "no egg is known to bear that for so long.", "clutch.cool_period.at", None)
    else:
        yield NotJudged(("species.cool_period",))


def _against_the_profile(case: Case, need: CoolPeriod, at: Range, days: Range) -> Iterator[Finding]:
    show, name = case.show, case.species.name
    own = f"{show.days_range(need.days.low, need.days.high)} at {show.temperature_range(need.at.low, need.at.high)}"
    uses = f"{name} {'needs' if need.needed_by == 'all' else 'gets'} {own}, {need.when}."
    step = ABOUT_STEP if need.at.low == need.at.high else 0.0
    share = ABOUT_DAYS if need.days.low == need.days.high else 0.0
    if at.low < need.at.low - step - ROUNDING:
        severity = STOP if at.low <= need.at.low - FAR_COLDER + ROUNDING else FIX
        yield _finding(case, severity, uses, "clutch.cool_period.at", need.support)
    elif at.high > need.at.high + step + ROUNDING:
        yield _finding(case, WATCH, uses, "clutch.cool_period.at", need.support)
    if days.low < need.days.low * (1 - share):
        yield _finding(case, WATCH, uses, "clutch.cool_period.days", need.support)
    elif days.high > need.days.high * (1 + share):
        severity = FIX if days.high > MUCH_LONGER * need.days.high else WATCH
        yield _finding(case, severity, uses, "clutch.cool_period.days", need.support)


def _not_needed(case: Case, at: Range) -> Iterator[Finding]:
    """Inside the tolerated band it costs days alone; below it the eggs are lost."""
    species, show = case.species, case.show
    if cool_period_is_borne(case.clutch.cool_period or PlannedCoolPeriod(False), species):
        why = f"the eggs of {species.name} need none, so it only costs days."
        yield _finding(case, WATCH, why, "clutch.cool_period", None)
        return
    limit = cold_limit([species])
    why = f"the eggs of {species.name} need none"
    if limit is not None and limit.harm and at.low <= limit.temperature + ROUNDING:
        why += f", and come to harm at {show.temperature(limit.temperature)} and below."
    elif species.tolerated is not None:
        why += f", and are known to bear {show.temperature(species.tolerated.low)} and no less."
    else:
        why += ", and how cold they bear is not known."
    yield _finding(case, STOP, why, "clutch.cool_period", limit_support(species, hot=False))


def _finding(case: Case, severity: str, why: str, path: str, support: Support | None) -> Finding:
    planned, show = case.clutch.cool_period, case.show
    assert planned is not None and planned.at is not None and planned.days is not None
    what = (
        f"{show.days_range(planned.days.low, planned.days.high)} at "
        f"{show.temperature_range(planned.at.low, planned.at.high)}"
    )
    return Finding(severity, f"The planned cool period is {what}; {why}", path, support=support)
