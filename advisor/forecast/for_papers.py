"""Figures for the papers: what to mix, what a litre in bottles adds, where the eggs suffer, what the scale reads."""

import datetime
from collections.abc import Mapping
from functools import partial

from advisor.constants import WATER_DENSITY
from advisor.forecast.clutch.curves import sexes_curve
from advisor.forecast.clutch.days_and_sexes import AS_PROBE, thermostat_error
from advisor.forecast.edge import in_range
from advisor.forecast.egg_box.medium import contents_of
from advisor.forecast.egg_box.room_for_eggs import egg_size
from advisor.forecast.heat.egg_warmth import egg_temperatures, eggs_held_at
from advisor.forecast.heat.hours_borne import cold_exposures, heat_exposures
from advisor.forecast.heat.power_cut import forecast_litre, power_cut_course
from advisor.forecast.heat.stuck_heater import stage_of
from advisor.model.figures import Figure, Unknown
from advisor.model.forecast import Forecast
from advisor.model.papers import MixAmounts, PaperFigures, ScaleReading
from advisor.model.plan import Clutch, EggBox, Plan
from advisor.model.species import Species

Course = tuple[tuple[int, Figure], ...]


def paper_figures(plan: Plan, species: Mapping[str, Species], forecast: Forecast) -> PaperFigures:
    """Everything that papers show beside the forecast."""
    boxes = range(len(plan.egg_boxes))
    profiles = tuple(dict.fromkeys(species[clutch.species] for clutch in plan.clutches))
    held = _held(plan, forecast)
    return PaperFigures(
        mixes=tuple(
            in_range(partial(mix_amounts, box, f"egg_boxes[{index}]"))
            for index, box in enumerate(plan.egg_boxes)
        ),
        mixes_in_all=tuple(
            in_range(partial(mix_amounts, box, f"egg_boxes[{index}]", box.count or 1))
            for index, box in enumerate(plan.egg_boxes)
        ),
        readings=tuple(scale_readings(plan, forecast, index) for index in boxes),
        water_courses=tuple(_water_course(plan, forecast, index, True) for index in boxes),
        other_courses=tuple(_water_course(plan, forecast, index, False) for index in boxes),
        other_masses=tuple(_other_masses(plan, forecast, index) for index in boxes),
        litre_adds=forecast_litre(plan, species, forecast.heat.conductance),
        cooling=power_cut_course(plan, forecast.heat.conductance),
        cold=cold_exposures(profiles, held and held[0]),
        heat=heat_exposures(profiles, held and held[1], stage_of(forecast)),
        held=held,
        eggs_between=_eggs_between(plan, forecast),
        share_curves=tuple(sexes_curve(profile) for profile in profiles),
        egg_sizes=tuple(_egg_axes(clutch, species[clutch.species]) for clutch in plan.clutches),
    )


def mix_amounts(box: EggBox, path: str, boxes: int = 1) -> MixAmounts | Unknown:
    """Dry medium and water for one box or several alike; masses range with the density of the medium.

    A mix by volume fixes the water, one by mass fixes its share: then the water ranges with the dry mass.
    """
    contents = contents_of(box, path)
    if isinstance(contents, Unknown):
        return contents
    assert box.medium.mix is not None
    dry = contents.dry_mass
    low, typical, high = boxes * dry.low, boxes * dry.typical, boxes * dry.high
    content = contents.water_content.typical
    by_mass = box.medium.mix.by == "mass"
    waters = [content * (mass if by_mass else typical) for mass in (low, typical, high)]
    basis = "base times depth of the box, density of the medium"
    return MixAmounts(
        volume=boxes * contents.volume,
        water_volume=waters[1] / WATER_DENSITY,
        dry=Figure(typical, low, high, "mass", basis),
        water=Figure(waters[1], waters[0], waters[2], "mass", "the planned mix"),
        wet=Figure(typical + waters[1], low + waters[0], high + waters[2], "mass", basis),
    )


def _held(plan: Plan, forecast: Forecast) -> tuple[float, float] | None:
    """The coldest and the warmest [°C] that the eggs are held at."""
    control = plan.control
    if control.probe.sits_in != "water":
        ends = [end for end in (control.coldest, control.set_to) if end is not None]
    else:
        found = [eggs_held_at(control, clutch.warmth) for clutch in forecast.clutches]
        ends = [at for at in found if at is not None]
    return (min(ends), max(ends)) if ends else None


def _eggs_between(plan: Plan, forecast: Forecast) -> tuple[float, float] | None:
    """Lowest and highest temperature [°C] the eggs of any clutch may see: thermostat's error (two sigma) and their tier."""
    set_to, coldest = plan.control.set_to, plan.control.coldest
    if set_to is None or coldest is None:
        return None
    ways = [way for clutch in forecast.clutches for way in clutch.warmth.ways or AS_PROBE.ways]
    error = thermostat_error(plan.control)
    return egg_temperatures(coldest, error, ways)[0], egg_temperatures(set_to, error, ways)[1]


def _egg_axes(clutch: Clutch, species: Species) -> tuple[float, float] | None:
    size = in_range(lambda: egg_size(clutch, species))
    return None if isinstance(size, Unknown) else (size[0].middle, size[1].middle)


def scale_readings(plan: Plan, forecast: Forecast, index: int) -> tuple[ScaleReading, ...]:
    """The masses by day with their dates, where all clutches of the box share one known laying day."""
    name = plan.egg_boxes[index].name
    days = {
        found.laid
        for clutch, found in zip(plan.clutches, forecast.clutches, strict=True)
        if clutch.box == name
    }
    laid, water = days.pop() if len(days) == 1 else None, forecast.egg_boxes[index].water
    made = _makes_top_ups(plan.egg_boxes[index])
    added = {top_up.day: top_up.water for top_up in water.top_ups} if made else {}
    return tuple(
        ScaleReading(
            day,
            laid + datetime.timedelta(days=day) if laid else None,
            _less(mass, added.get(day, 0.0)),
            added.get(day),
            mass if day in added else None,
        )
        for day, mass in (water.mass_by_day if made else water.mass_if_none_added)
    )


def _makes_top_ups(box: EggBox) -> bool:
    return box.top_up is not None and box.top_up.way != "none"


def _water_course(plan: Plan, forecast: Forecast, index: int, as_planned: bool) -> Course:
    """The water content of the medium by day, as the plan tops up or the other way; nothing where both are one."""
    found = forecast.egg_boxes[index].water
    if not as_planned and not found.top_ups:
        return ()
    if _makes_top_ups(plan.egg_boxes[index]) != as_planned:
        return found.water_if_none_added
    contents = in_range(lambda: contents_of(plan.egg_boxes[index], f"egg_boxes[{index}]"))
    dry = None if isinstance(contents, Unknown) else contents.dry_mass.typical
    return _stepped(found.water_by_day, {top_up.day: top_up.water / dry for top_up in found.top_ups if dry})


def _other_masses(plan: Plan, forecast: Forecast, index: int) -> Course:
    """What the scale reads the other way; nothing where both are one."""
    found = forecast.egg_boxes[index].water
    if not found.top_ups or _makes_top_ups(plan.egg_boxes[index]):
        return found.mass_if_none_added if found.top_ups else ()
    return _stepped(found.mass_by_day, {top_up.day: top_up.water for top_up in found.top_ups})


def _stepped(by_day: Course, added: Mapping[int, float]) -> Course:
    """The days with what was added, such a day twice: before and after it."""
    course: list[tuple[int, Figure]] = []
    for day, figure in by_day:
        if day in added:
            course.append((day, _less(figure, added[day])))
        course.append((day, figure))
    return tuple(course)


def _less(figure: Figure, amount: float) -> Figure:
    """The figure lower by a known amount."""
    return figure.moved(lambda end: max(end - amount, 0.0))
