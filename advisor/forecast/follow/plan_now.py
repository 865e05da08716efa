"""The plan as it stands now: laying days and eggs as they were told, days to hatching as the log has them."""

from collections.abc import Iterable, Mapping, Sequence

from msgspec.structs import replace

from advisor.forecast import forecast_plan, forecast_with
from advisor.forecast.clutch.dates import check_days, late_check_days
from advisor.model.figures import Result, Unknown
from advisor.model.follow import ClutchFollowed, Followed, Happening
from advisor.model.forecast import ClutchForecast, Forecast
from advisor.model.plan import Plan
from advisor.model.species import Species


def laid_as_told(plan: Plan, happened: Iterable[Happening]) -> Plan:
    """The plan with the laying days that the keeper wrote down, which go before its own."""
    told = {one.clutch: one.on for one in happened if one.what == "laid"}
    clutches = tuple(
        replace(clutch, laying=replace(clutch.laying, laid_on=told[index]), repeats=None, nth=0)
        if index in told
        else clutch
        for index, clutch in enumerate(plan.clutches)
    )
    return replace(plan, clutches=clutches)


def eggs_now(eggs: int | None, happened: Iterable[Happening]) -> tuple[int | None, int | None]:
    """How many of so many eggs are left, and how many of those grow: of the eggs taken out the dead ones go first."""
    if eggs is None:
        return None, None
    left = growing = eggs
    for one in happened:
        if one.what in ("removed", "hatched"):
            left = max(left - (one.eggs or 0), 0)
        if one.what == "hatched":
            growing = max(growing - (one.eggs or 0), 0)
        elif one.what == "candled":
            growing = one.eggs or 0
        growing = min(growing, left)
    return left, growing


def moved_by_log(
    plan: Plan, species: Mapping[str, Species], forecast: Forecast, followed: Followed
) -> Forecast:
    """The forecast with the days to hatching that the log tells, and the checks and top-ups that hang on them."""

    def moved(beside: ClutchForecast, told: ClutchFollowed) -> ClutchForecast:
        if isinstance(told.days, Unknown):
            return beside
        checks = check_days(plan.checks, told.days)
        return replace(
            beside, incubation_days=told.days, hatch_window=told.hatch_window, check_days=checks,
            late_check_days=late_check_days(checks, told.days, beside.laying_window),
        )  # fmt: skip

    clutches = zip(forecast.clutches, followed.clutches, strict=True)
    return forecast_with(plan, species, tuple(moved(beside, told) for beside, told in clutches))


def oxygen_now(
    plan: Plan, species: Mapping[str, Species], clutches: Sequence[ClutchFollowed]
) -> tuple[tuple[str, Result], ...]:
    """The least oxygen that the eggs which grow will have in each egg box; nothing while they are those of the plan, or once
    they hatch.
    """
    growing = [clutch.growing for clutch in clutches]
    if (
        growing == [clutch.eggs for clutch in plan.clutches]
        or not all(growing)
        or any(clutch.outcome for clutch in clutches)
    ):
        return ()
    fewer = [replace(clutch, eggs=eggs) for clutch, eggs in zip(plan.clutches, growing, strict=True)]
    forecast = forecast_plan(replace(plan, clutches=tuple(fewer)), species)
    used = {clutch.box for clutch in plan.clutches}
    return tuple((box.name, box.air.oxygen_lowest) for box in forecast.egg_boxes if box.name in used)
