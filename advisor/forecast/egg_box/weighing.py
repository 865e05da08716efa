"""One egg box weighed once or oftener during incubation: what the medium holds now, how leaky the lid is, what to add.

Eggs take water out of the medium without changing the weight of the box, so the scale alone tells only what left
through lid and vents. What the eggs drank is taken from their own weight, or from what such eggs usually gain.
"""

import itertools
from collections.abc import Mapping

from msgspec.structs import replace

from advisor.forecast import forecast_plan
from advisor.forecast.edge import in_range
from advisor.forecast.egg_box.eggs import load_of
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
from advisor.forecast.ranges import Spread, Uncertainty, figure, propagate
from advisor.formulas.air.moist_air import NoSolution
from advisor.formulas.water.egg_box_water import (
    WaterBox,
    WaterDose,
    WaterState,
    add_water,
    plan_top_ups,
    start_state,
    steps_of,
    water_content,
)
from advisor.model.figures import Figure, Unknown
from advisor.model.forecast import WaterForecast
from advisor.model.plan import EggBox, Plan
from advisor.model.species import Species
from advisor.model.water_answers import Weighed, WeighingAnswer

LEAST_LOSS = 1e-6  # kg; a forecast loss below it tells nothing about the lid; judgement
HEAVIER_BY = 0.15  # share of what should be in the box; more than that is no error of filling; judgement
HEAVIER = (
    "the box is heavier than the plan allows: check --mass, --tare, --added and --eggs, or give --start-mass"
)
SCALE = "the scale: weigh on one with finer steps"


def forecast_weighing(
    plan: Plan, species: Mapping[str, Species], index: int, weighed: Weighed, eggs: int | None = None
) -> WeighingAnswer | Unknown:
    """What a weighing says about the egg box at a place in the plan; `eggs` lie in this one box, if not as planned."""
    forecast = forecast_plan(plan, species)
    load = load_of(plan, index, species, forecast.clutches)
    if isinstance(load, Unknown):
        return load
    if eggs is not None:
        load = replace(load, eggs=eggs)
    model = water_model(plan, index, load, forecast.heat.outer_humidity)
    if isinstance(model, Unknown):
        return model
    before = forecast.egg_boxes[index].water
    as_planned = weighed.added is None
    if as_planned:
        weighed = replace(weighed, added=_planned_water(plan.egg_boxes[index], before, weighed.day))
    return in_range(lambda: _answer(plan.egg_boxes[index].name, model, weighed, before, as_planned))


def _planned_water(box: EggBox, forecast: WaterForecast, day: int) -> float:
    """Water [kg] that was added before a day when the keeper tops up as planned."""
    if box.top_up is None or box.top_up.way == "none":
        return 0.0
    return sum(top_up.water for top_up in forecast.top_ups if top_up.day < day)


def _answer(
    name: str, model: WaterModel, weighed: Weighed, before: WaterForecast, as_planned: bool
) -> WeighingAnswer | Unknown:
    days, day = model.load.days, weighed.day
    if day > days.high:
        return Unknown(f"day {day} is after the likely hatching, day {days.low:.0f} to {days.high:.0f}")
    inputs = (
        *contents_inputs(model),
        *(
            Uncertainty(f"scale {place}", 0.0, -weighed.scale_step, weighed.scale_step, SCALE)
            for place in range(len(weighed.earlier) + 1)
        ),
    )
    spreads = propagate(lambda values: _outcome(model, weighed, values), inputs)
    box, state, _ = _now(model, weighed, typical_values(inputs))
    top_ups = _top_ups(box, state, round(days.typical), model.load.check_days)
    return WeighingAnswer(
        box=name,
        weighed=weighed,
        added_as_planned=as_planned,
        rigid=model.load.rigid,
        lighter=figure(spreads["lighter"], "mass", "the scale"),
        lost=figure(spreads["lost"], "mass", "the scale and the water added", least=0.0),
        drunk=figure(spreads["drunk"], "mass", "the eggs' own mass")
        if weighed.egg_mass
        else figure(spreads["drunk"], "mass", "usual gain", steps_of),
        leak=figure(spreads["leak"], "share", "loss against the forecast's", steps_of, least=0.0),
        content_at_start=water_content(box, start_state(box)),
        content=figure(spreads["content"], "water content", "mass balance", water_content, least=0.0),
        before=before,
        lasts=lasts_figure(model, spreads),
        end=figure(
            spreads["end"], "water content", "water budget from this weighing on", steps_of, least=0.0
        ),
        add_now=_add_now(spreads["missing"], top_ups, day),
        top_ups=dated(top_ups, model.load.laid),
    )


def _now(
    model: WaterModel, weighed: Weighed, values: Mapping[str, float]
) -> tuple[WaterBox, WaterState, dict[str, float]]:
    """The box with its real leak, its state on the day of the weighing, and what was worked out on the way.

    What left the box is counted from the laying day; without a weighing of that day from the first of several, so that how
    the box was filled does not blur it. The leak is the factor by which the losses fit those of the forecast, least squares.
    """
    expected = water_box(model, {**typical_values(uncertain_inputs(model)), **values})
    start = start_state(expected)
    contents = expected.dry_medium + start.medium_water + start.egg_mass
    added = weighed.added or 0.0
    read = [
        (day, mass - weighed.tare + values[f"scale {place}"], water)
        for place, (day, mass, water) in enumerate((*weighed.earlier, (weighed.day, weighed.mass, added)))
    ]
    # What was added between two weighings is taken as added right after the first of them.
    doses = {one[0]: later[2] - one[2] for one, later in itertools.pairwise(read)}
    first_day, before, before_added = 0, contents, 0.0
    if weighed.start_mass is not None:
        before = weighed.start_mass - weighed.tare
    elif weighed.earlier:
        first_day, before, before_added = read.pop(0)
    so_far = _on_day(expected, first_day, doses).lost
    gone = [(before - mass + water - before_added, max(_on_day(expected, day, doses).lost - so_far, LEAST_LOSS)) for day, mass, water in read]  # fmt: skip
    leak = max(sum(lost * usual for lost, usual in gone), 0.0) / sum(usual**2 for _, usual in gone)
    box = leakier(expected, leak)
    lost = gone[-1][0] + _on_day(box, first_day, doses).lost
    if lost < -HEAVIER_BY * contents:
        raise NoSolution(HEAVIER)
    eggs = (
        model.load.eggs * weighed.egg_mass
        if weighed.egg_mass is not None
        else _on_day(box, weighed.day, doses).egg_mass
    )
    drunk = eggs - start.egg_mass
    water = start.medium_water + added - lost - drunk
    if water < 0.0:
        raise NoSolution(
            "more water is gone than the box held: check --mass, --tare and --egg-mass-now, or give --start-mass"
        )
    state = WaterState(float(weighed.day), water, eggs, lost, added)
    return box, state, {"lighter": before - read[-1][1], "lost": lost, "drunk": drunk, "leak": leak}


def _on_day(box: WaterBox, day: int, doses: Mapping[int, float]) -> WaterState:
    """The box on a day, water [kg] added on some days before."""
    state, later = start_state(box), steps_of(box)
    for today in range(day):
        state = later(add_water(state, doses.get(today, 0.0)), 1.0)
    return state


def _outcome(model: WaterModel, weighed: Weighed, values: Mapping[str, float]) -> dict[str, float]:
    box, state, found = _now(model, weighed, values)
    limit = lower_limit(model)
    limits = {} if isinstance(limit, Unknown) else {"lasts": limit}
    found |= {"content": water_content(box, state), "missing": max(box.start_water - state.medium_water, 0.0)}
    return found | course(box, state, max(values["days"], state.day), limits)


def _top_ups(
    box: WaterBox, state: WaterState, days: int, check_days: tuple[int, ...]
) -> tuple[WaterDose, ...]:
    """The top-ups from today on that keep the water within 15 % of its start."""
    today = round(state.day)
    if today >= days:
        return ()
    coming = [day for day in check_days if day > today] or list(
        range(today + WEIGHING_DAYS, days, WEIGHING_DAYS)
    )
    return plan_top_ups(box, days, [today, *coming], TOP_UP_BAND, state)


def _add_now(missing: Spread, top_ups: tuple[WaterDose, ...], day: int) -> Figure:
    """Water to add today [kg]; nothing when it can wait for a later check."""
    if not top_ups or top_ups[0].day != day:
        return Figure(0.0, 0.0, 0.0, "mass", "the mix holds until a later check")
    return figure(missing, "mass", "what the medium held at the start, less what it holds now", least=0.0)
