"""Water in one egg box from laying to hatching: how long the mix lasts, what to add, what the scale reads."""

from collections.abc import Mapping
from functools import lru_cache

from msgspec.structs import replace

from advisor.constants import DAY
from advisor.forecast.edge import in_range
from advisor.forecast.egg_box.eggs import BoxLoad
from advisor.forecast.egg_box.medium import (
    content_figure,
    contents_of,
    drained_of,
    free_water_figure,
    mixed,
    potential_figure,
)
from advisor.forecast.egg_box.opened_lid import opening_loss
from advisor.forecast.egg_box.water_inputs import (
    TOP_UP_BAND,
    WEIGHING_DAYS,
    WaterModel,
    contents_inputs,
    course,
    dated,
    lasts_figure,
    leakier,
    lower_limit,
    typical_values,
    uncertain_inputs,
    water_box,
    water_model,
)
from advisor.forecast.measured.joining import Narrowed
from advisor.forecast.measured.water import drained_medium
from advisor.forecast.ranges import Spread, figure, propagate
from advisor.formulas.air.vents import LikelyRange
from advisor.formulas.water.egg_box_water import (
    WaterBox,
    WaterDose,
    WaterState,
    box_mass,
    daily_vapour_loss,
    plan_top_ups,
    run,
    start_state,
    steps_of,
    water_content,
)
from advisor.model.figures import Figure, Result, Unknown
from advisor.model.forecast import MeasuredAgainst, WaterForecast
from advisor.model.plan import EggBox, Plan

ANY_BOX = "'\0'"  # stands for the name of a box, and is none


def forecast_water(plan: Plan, index: int, load: BoxLoad | Unknown, outer_humidity: Result) -> WaterForecast:
    """The water forecast for the egg box at a place in the plan.

    outer_humidity: of the air round the egg boxes, at their temperature.
    """
    box = plan.egg_boxes[index]
    opening = opening_loss(plan, index)
    start, drained = _at_the_start(plan, box, f"egg_boxes[{index}]")
    model = water_model(plan, index, load, outer_humidity)
    if isinstance(model, Unknown):
        return WaterForecast(*start, *5 * (model,), opening, against=drained)
    rhythm = EggBox("", top_up=box.top_up)  # all else is in the model: boxes that are alike share one run
    name = f"'{box.name}'"
    found = in_range(lambda: _results(rhythm, _nameless(model, name), start, opening))
    if isinstance(found, Unknown):
        forecast = WaterForecast(*start, *5 * (found,), opening)
    else:
        forecast = _named(found, name)
    return replace(forecast, against=(*drained, *model.against))


def _nameless(model: WaterModel, name: str) -> WaterModel:
    """The model without the name of its box, which stands in what its lid asks for."""
    inputs = tuple(replace(one, find_out=one.find_out.replace(name, ANY_BOX)) for one in model.vents.inputs)
    return replace(model, vents=replace(model.vents, inputs=inputs))


def _named(forecast: WaterForecast, name: str) -> WaterForecast:
    """The forecast of nameless boxes as that of one of them."""
    figures = ((field, getattr(forecast, field)) for field in forecast.__struct_fields__)
    return replace(
        forecast,
        **{
            field: replace(told, matters_most=told.matters_most.replace(ANY_BOX, name))
            for field, told in figures
            if isinstance(told, Figure)
        },
    )


def _at_the_start(
    plan: Plan, box: EggBox, path: str
) -> tuple[tuple[Result, Result, Result], tuple[MeasuredAgainst, ...]]:
    mix, contents = mixed(box.medium, path), contents_of(box, path)
    if isinstance(mix, Unknown):
        return (mix, mix, contents if isinstance(contents, Unknown) else mix), ()
    content: Result = content_figure(mix)
    potential: Result
    if mix.medium is None:
        potential = Unknown(f"nothing is known here of {box.medium.called} as a medium")
    else:
        potential = potential_figure(mix.medium, mix.water_content)
    if box.medium.grade is None and mix.left_open and mix.water_content.low < mix.water_content.high:
        content = potential = Unknown("the grade of the vermiculite is not told", mix.left_open)
    if isinstance(contents, Unknown):
        return (content, potential, contents), ()
    found = in_range(lambda: drained_medium(plan, box, drained_of(contents.medium)))
    tried = found if isinstance(found, Narrowed) else None
    holds = LikelyRange(tried.figure.low, tried.figure.value, tried.figure.high) if tried else None
    free = in_range(
        lambda: free_water_figure(
            contents.medium, contents.mix, lambda density: contents.volume * density, holds
        )
    )
    return (content, potential, free), () if tried is None else (tried.against,)


@lru_cache(maxsize=256)
def _results(
    box: EggBox, model: WaterModel, at_the_start: tuple[Result, Result, Result], opening: Result
) -> WaterForecast:
    days = round(model.load.days.typical)
    weighings = tuple(day for day in model.load.check_days if 0 < day < days) or tuple(
        range(WEIGHING_DAYS, days, WEIGHING_DAYS)
    )
    planned = _planned_days(box, days)
    shown = tuple(sorted({0, *weighings, *planned, days}))
    limit = lower_limit(model)
    inputs = uncertain_inputs(model)
    growth = _growth(box)
    spreads = propagate(lambda values: _outcome(model, values, limit, shown), inputs)
    usual = typical_values(inputs)
    kept = propagate(
        lambda values: _kept_at_weight(model, {**usual, **values}, growth or 0.0), contents_inputs(model)
    )
    typical = water_box(model, usual)
    top_ups = _top_ups(box, typical, spreads, limit, days, planned or weighings)
    states = run(typical, days, {top_up.day: top_up.water for top_up in top_ups})
    basis = "water budget: holes, rim, walls and what the eggs take or give"
    return WaterForecast(
        *at_the_start,
        water_loss=figure(
            spreads["loss"],
            "mass per day",
            "vapour that leaves the open medium"
            if model.vents.open_area
            else "vapour that passes holes, rim and walls",
            daily_vapour_loss,
            least=0.0,
        ),
        lasts_until_day=lasts_figure(model, spreads),
        water_at_hatching=figure(
            spreads["end"], "water content", f"{basis}, without top-ups", steps_of, least=0.0
        ),
        water_if_kept_at_weight=figure(
            kept["end"],
            "water content",
            "what the eggs take or give: it does not show on the scale"
            + ("" if growth is None else "; and the weight that is added"),
            steps_of,
            least=0.0,
        ),
        first_top_up_day=figure(
            spreads["top-up"],
            "days",
            f"{basis}: first day 15 % drier than at the start, or hatching",
            steps_of,
            least=0.0,
        ),
        opening_loss=opening,
        top_ups=dated(top_ups, model.load.laid),
        mass_by_day=_by_day(typical, states, spreads, shown, "mass"),
        water_by_day=_by_day(typical, states, spreads, shown, "water content"),
        mass_if_none_added=_none_added(spreads, shown, "mass"),
        water_if_none_added=_none_added(spreads, shown, "water content"),
    )


def _growth(egg_box: EggBox) -> float | None:
    """By how much the box is to grow heavier until hatching [kg]; None where the plan does not say so."""
    return egg_box.top_up.gain if egg_box.top_up is not None else None


def _outcome(
    model: WaterModel, values: Mapping[str, float], limit: float | Unknown, shown: tuple[int, ...]
) -> dict[str, float]:
    """All results of one run."""
    box = water_box(model, values)
    start = start_state(box)
    content = water_content(box, start)
    limits = {"top-up": (1.0 - TOP_UP_BAND) * content}
    if not isinstance(limit, Unknown):
        limits["lasts"] = limit
    found = course(box, start, values["days"], limits, shown)
    found["loss"] = daily_vapour_loss(box, content) / DAY
    return found


def _kept_at_weight(model: WaterModel, values: Mapping[str, float], growth: float) -> dict[str, float]:
    """The water at hatching when every loss is put back by the scale: holes and the air outside do not matter to it.

    growth [kg]: water that is added besides, as much each day.
    """
    box = water_box(model, values)
    shut = replace(leakier(box, 0.0), opening_loss=-growth / values["days"])
    return course(shut, start_state(box), values["days"], {})


def _planned_days(egg_box: EggBox, days: int) -> tuple[int, ...]:
    """The days on which water is added by a rhythm of its own; none when it is added at the checks."""
    planned = egg_box.top_up
    if planned is None or planned.way != "every" or planned.every is None:
        return ()
    every = planned.every / DAY
    found = (round(every * number) for number in range(1, int(days / every) + 1))
    return tuple(sorted({day for day in found if 0 < day < days}))


def _top_ups(
    egg_box: EggBox,
    box: WaterBox,
    spreads: Mapping[str, Spread],
    limit: float | Unknown,
    days: int,
    weighings: tuple[int, ...],
) -> tuple[WaterDose, ...]:
    """Top-ups that keep the water within 15 % of its start: as planned, or when the mix may not last without."""
    planned = egg_box.top_up
    lasts = not isinstance(limit, Unknown) and spreads["end"].low >= limit
    if (planned is None or planned.way == "none") and lasts:
        return ()
    return plan_top_ups(box, days, weighings, TOP_UP_BAND, growth=_growth(egg_box))


def _by_day(
    box: WaterBox,
    states: tuple[WaterState, ...],
    spreads: Mapping[str, Spread],
    days: tuple[int, ...],
    what: str,
) -> tuple[tuple[int, Figure], ...]:
    """Figures at the days, with top-ups; the range is that of the same day without them."""
    found = []
    for day in days:
        spread = spreads[f"{what} {day}"]
        value = box_mass(box, states[day]) if what == "mass" else water_content(box, states[day])
        low, high = value - (spread.value - spread.low), value + (spread.high - spread.value)
        found.append((day, Figure(value, max(low, 0.0), high, what, formulas=(steps_of,))))
    return tuple(found)


def _none_added(
    spreads: Mapping[str, Spread], days: tuple[int, ...], what: str
) -> tuple[tuple[int, Figure], ...]:
    """Figures at the days when no water is ever added."""
    found = ((day, spreads[f"{what} {day}"]) for day in days)
    return tuple(
        (day, Figure(one.value, max(one.low, 0.0), one.high, what, formulas=(steps_of,)))
        for day, one in found
    )
