"""The pictures of one plan's papers, and in words what cannot be drawn."""

from collections.abc import Iterator

from msgspec import Struct
from msgspec.structs import replace

from advisor.drawings.canvas import COLUMN, WIDTH, Drawing, svg_of
from advisor.drawings.courses import water_chart
from advisor.drawings.cross_section import cross_section
from advisor.drawings.power_cut import power_cut_chart
from advisor.drawings.season import season
from advisor.drawings.species_curve import PlanAt, curve_drawing
from advisor.drawings.top_view import top_view
from advisor.model.figures import Figure, Unknown
from advisor.model.papers import PaperFigures
from advisor.rules.engine import Situation
from advisor.show import counted
from advisor.wording import capital, joined

Course = tuple[tuple[int, Figure], ...]
MOST_BOXES = 3  # kinds of egg boxes whose water is drawn


class Picture(Struct, frozen=True):
    """One picture: heading, SVG (empty where nothing can be drawn), description, notes; `narrow` fits into a column."""

    title: str
    svg: str
    description: str
    notes: tuple[str, ...]
    narrow: bool = False


def pictures(situation: Situation, figures: PaperFigures, width: float = WIDTH) -> tuple[Picture, ...]:
    """Cross-section, top view, season, power cut, water by day, males by temperature; the wide ones `width` wide."""
    plan, forecast = situation.plan, situation.forecast
    names = tuple(situation.species[clutch.species].name for clutch in plan.clutches)
    found = [
        picture_of(
            "Your outer box", cross_section(plan, forecast, figures.egg_sizes, situation.show, width=width)
        ),
        picture_of("Your box from above", top_view(plan, forecast, situation.show, width=width)),
        picture_of("Your season", season(plan, forecast, names, width=width)),
        picture_of(
            "A power cut",
            power_cut_chart(figures.cooling, forecast.heat.hours_to_harm, figures.cold, situation.show),
        ),
        *_water(situation, figures),
        *_sexes(situation, figures, width),
    ]
    return tuple(found)


def picture_of(title: str, drawing: Drawing | Unknown) -> Picture:
    """A drawing with its heading, or why there is none."""
    if isinstance(drawing, Unknown):
        return Picture(title, "", "", (capital(drawing.reason),))
    return Picture(
        title,
        svg_of(drawing),
        drawing.description,
        tuple(capital(note) for note in drawing.notes),
        drawing.width <= COLUMN,
    )


def _water(situation: Situation, figures: PaperFigures) -> Iterator[Picture]:
    plan = situation.plan
    drawn, left_out = 0, 0
    reasons: dict[str, list[str]] = {}
    for index, (box, found) in enumerate(zip(plan.egg_boxes, situation.forecast.egg_boxes, strict=True)):
        if box.holds == "probe":
            continue
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
        title, course = f"Water in the medium of box '{box.name}'", figures.water_courses[index]
        if band is not None and course and _inside(course, band):
            bears = situation.show.water_content_range(*band)
            reasons.setdefault(f"stays within what the eggs bear ({bears}), so not drawn", []).append(
                box.name
            )
            continue
        if not course:
            chart = water_chart(found, course, (), None, situation.show)
            reasons.setdefault(chart.reason if isinstance(chart, Unknown) else "", []).append(box.name)
            continue
        if drawn >= MOST_BOXES:
            left_out += 1
            continue
        drawn += 1
        yield picture_of(
            title,
            water_chart(
                found, course, figures.other_courses[index], band, situation.show, f"water-{index + 1}"
            ),
        )
    for reason, names in reasons.items():
        quoted = joined([f"'{name}'" for name in names])
        yield Picture(f"Water in the medium of {quoted}", "", "", (f"{capital(reason)}.",))
    if left_out:
        yield Picture(
            "More boxes", "", "", (f"Water in {counted(left_out, 'more kind')} of boxes: not drawn.",)
        )


def _inside(course: Course, band: tuple[float, float]) -> bool:
    """Whether the whole likely range stays within the band."""
    return all(band[0] <= figure.low and figure.high <= band[1] for _, figure in course)


def _sexes(situation: Situation, figures: PaperFigures, width: float) -> Iterator[Picture]:
    plan, seen = situation.plan, dict.fromkeys(clutch.species for clutch in situation.plan.clutches)
    for index, (species, curve) in enumerate(zip(seen, figures.share_curves, strict=True)):
        name = situation.species[species].name
        if isinstance(curve, Unknown):
            yield Picture(f"Males and females: {name}", "", "", (curve.reason,))
            continue
        shares = [
            found.male_share
            for clutch, found in zip(plan.clutches, situation.forecast.clutches, strict=True)
            if clutch.species == species
        ]
        ours = PlanAt(plan.control.set_to, figures.eggs_between, shares[0])
        drawing = curve_drawing(curve, "share", name, situation.show, f"sexes-{index + 1}", ours, width)
        if any(share != shares[0] for share in shares):
            drawing = replace(drawing, notes=("The thick bar is that of the first clutch of several.",))
        yield picture_of(f"Males and females: {name}", drawing)
