"""The forecast on the screen: every figure with its range, and one step away where it comes from."""

from collections.abc import Iterator

from msgspec import Struct

from advisor.assess import Assessment
from advisor.model.figures import Unknown
from advisor.model.forecast import results_in
from advisor.report.screen import WIDTH, Line, how_known, row
from advisor.show import Show
from advisor.wording import scale_text

NAME_WIDTH = 36

HEAT = (
    ("conductance", "Heat loss of the box"),
    ("watts_needed", "Power needed, coldest room"),
    ("power_share", "Share of the heater's power"),
    ("stuck_on_temperature", "Box if the heater never stops"),
    ("heater_surface", "Heater surface in normal running"),
    ("heater_surface_full", "Heater surface if it never stops"),
    ("spread", "Warmest box minus coolest box"),
    ("outer_humidity", "Humidity round the egg boxes"),
    ("outer_condensation", "Water settling on the outer box"),
    ("swing", "Swing of the medium"),
    ("hours_to_lose_3_K", "Power cut until 3 °C (5 °F) are lost"),
    ("medium_after_12_h", "Medium after 12 h without power"),
    ("hours_to_harm", "Power cut until harm is possible"),
    ("warm_up_hours", "Warm-up at full power"),
    ("night_reached", "Medium at the end of the night"),
    ("day_reached", "Medium at the end of the day"),
)
EGG_BOX = (
    ("medium_temperature", "Medium"),
    ("lid_minus_medium", "Lid minus medium (below 0: colder)"),
    ("condensation", "Water condensing under one lid"),
    ("condensation_if_lid_heated", "The same, heated from the lid"),
    ("water_per_dry_mass", "Water in the medium at the start"),
    ("water_potential", "Water potential at the start"),
    ("free_water", "Free water at the start"),
    ("water_loss", "Water leaving one box"),
    ("water_at_hatching", "Water at hatching, no top-up"),
    ("water_if_kept_at_weight", "The same, box kept at its weight"),
    ("first_top_up_day", "15 % drier than at the start after"),
    ("lasts_until_day", "The mix lasts"),
    ("opening_loss", "Water that one check costs"),
    ("oxygen_lowest", "Lowest oxygen"),
    ("oxygen_lowest_day", "Lowest oxygen after"),
    ("carbon_dioxide_highest", "Highest carbon dioxide"),
    ("holes_enough", "Air holes that would be enough"),
    ("places_for_eggs", "Eggs that fit in all such boxes"),
)
CLUTCH = (
    ("incubation_days", "Days to hatching"),
    ("male_share", "Males to expect"),
    ("sexes_as_at", "Counts for the sexes as"),
)
SHOPPING = (("medium", "Dry medium"), ("medium_mass", "The same by mass"), ("water", "Water"))


def number_lines(assessment: Assessment, width: int = WIDTH) -> Iterator[Line]:
    """The whole forecast as lines for the screen."""
    situation = assessment.situation
    forecast, show = situation.forecast, situation.show
    yield Line(f"What {situation.plan.title} will do", "head")
    yield Line("Each number is a likely value with its likely range. Measure in the trial run.", "quiet")
    yield Line("")
    yield Line("Heat", "head")
    yield from _rows(HEAT, forecast.heat, show, width)
    for box in forecast.egg_boxes:
        yield Line("")
        yield Line(f"Egg box '{box.name}'", "head")
        yield from _rows(EGG_BOX, box, show, width)
        for top_up in box.water.top_ups:
            day = f"day {top_up.day}" + (f", {top_up.date}" if top_up.date else "")
            yield Line(f"  {'Top-up for one box':<{NAME_WIDTH}}{scale_text(top_up.water, show)} on {day}")
    for number, (clutch, planned) in enumerate(
        zip(forecast.clutches, situation.plan.clutches, strict=True), 1
    ):
        yield Line("")
        yield Line(f"Clutch {number} ({situation.species[planned.species].name})", "head")
        if planned.nth and results_in(forecast.clutches[number - 2]) == results_in(clutch):
            yield Line("  Days and males as above.", "quiet")
        else:
            yield from _rows(CLUTCH, clutch, show, width)
        for words, window in (("Laying", clutch.laying_window), ("Hatching", clutch.hatch_window)):
            dates = " to ".join(str(day) for day in dict.fromkeys(window)) if window else "not known"
            yield Line(f"  {words:<{NAME_WIDTH}}{dates}")
    yield Line("")
    yield Line("To buy, with 10 % to spare", "head")
    yield from _rows(SHOPPING, forecast.shopping, show, width)


def _rows(names: tuple[tuple[str, str], ...], part: Struct, show: Show, width: int) -> Iterator[Line]:
    """The figures of one part of the forecast; a reason that comes again at once is not told again."""
    before, results = "", results_in(part)
    for name, label in names:
        if name not in results:  # told only for a programme
            continue
        result = results[name]
        words = show.own_units(label)
        if not isinstance(result, Unknown):
            before = ""
            yield from row(words, show.figure(result), NAME_WIDTH, width)
            yield from how_known(result, width)
            continue
        missing = f" (add {', '.join(result.needs)})" if result.needs else ""
        reason = f"{result.reason}{missing}"
        told = "not known, as above" if reason == before else f"not known: {reason}"
        before = reason
        yield from row(words, told, NAME_WIDTH, width, "quiet")
