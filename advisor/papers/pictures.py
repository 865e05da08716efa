"""The pictures of one plan's papers, and in words what cannot be drawn."""

from collections.abc import Iterator

from msgspec import Struct

from advisor.drawings.canvas import Drawing, svg_of
from advisor.drawings.cross_section import cross_section
from advisor.drawings.power_cut import power_cut_chart
from advisor.drawings.season import season
from advisor.drawings.species_curve import PlanAt, curve_drawing
from advisor.drawings.top_view import top_view
from advisor.drawings.water import water_chart
from advisor.model.figures import Unknown
from advisor.model.papers import PaperFigures
from advisor.rules.engine import Situation
from advisor.wording import capital

MOST_BOXES = 3  # kinds of egg boxes whose water is drawn


class Picture(Struct, frozen=True):
    """One picture: heading, SVG (empty where nothing can be drawn), description, notes."""

    title: str
    svg: str
    description: str
    notes: tuple[str, ...]


def pictures(situation: Situation, figures: PaperFigures) -> tuple[Picture, ...]:
    """Cross-section, top view, season, power cut, water by day, males by temperature."""
    plan, forecast = situation.plan, situation.forecast
    names = tuple(situation.species[clutch.species].name for clutch in plan.clutches)
    found = [
        _picture("Your outer box", cross_section(plan, forecast, figures, situation.show)),
        _picture("Your box from above", top_view(plan, forecast, situation.show)),
        _picture("Your season", season(plan, forecast, names)),
        _picture(
            "A power cut",
            power_cut_chart(figures.cooling, forecast.heat.hours_to_harm, figures.cold, situation.show),
        ),
        *_water(situation, figures),
        *_sexes(situation, figures),
    ]
    return tuple(found)


def _picture(title: str, drawing: Drawing | Unknown) -> Picture:
    if isinstance(drawing, Unknown):
        return Picture(title, "", "", (capital(drawing.reason),))
    return Picture(
        title, svg_of(drawing), drawing.description, tuple(capital(note) for note in drawing.notes)
    )


def _water(situation: Situation, figures: PaperFigures) -> Iterator[Picture]:
    plan = situation.plan
    drawn = 0
    for index, (box, found) in enumerate(zip(plan.egg_boxes, situation.forecast.egg_boxes, strict=True)):
        if box.holds == "probe" or drawn >= MOST_BOXES:
            continue
        drawn += 1
        bands = [
            situation.species[clutch.species].medium.water
            for clutch in plan.clutches
            if clutch.box == box.name
        ]
        known = [band for band in bands if band is not None]
        band = None
        if known and len(known) == len(bands):
            band = (max(entry.low for entry in known), min(entry.high for entry in known))
            band = band if band[0] < band[1] else None
        yield _picture(
            f"Water in the medium of box '{box.name}'",
            water_chart(found, figures.water_courses[index], band, situation.show, f"water-{index + 1}"),
        )


def _sexes(situation: Situation, figures: PaperFigures) -> Iterator[Picture]:
    plan, seen = situation.plan, dict.fromkeys(clutch.species for clutch in situation.plan.clutches)
    for index, (species, curve) in enumerate(zip(seen, figures.share_curves, strict=True)):
        name = situation.species[species].name
        if isinstance(curve, Unknown):
            yield Picture(f"Males and females: {name}", "", "", (curve.reason,))
            continue
        first = next(place for place, clutch in enumerate(plan.clutches) if clutch.species == species)
        ours = PlanAt(
            plan.control.set_to, figures.eggs_between, situation.forecast.clutches[first].male_share
        )
        yield _picture(
            f"Males and females: {name}",
            curve_drawing(curve, "share", name, situation.show, f"sexes-{index + 1}", ours),
        )
