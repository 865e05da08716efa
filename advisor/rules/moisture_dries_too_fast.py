"""How soon the medium is a good deal drier, against the time between two checks; vents against what the air needs."""

from collections.abc import Iterator

from advisor.constants import DAY
from advisor.forecast.egg_box.water_inputs import TOP_UP_BAND
from advisor.model.figures import Figure, Unknown
from advisor.model.findings import FIX, NOTE, WATCH, Finding
from advisor.rules.engine import CLUTCH, Case, Lacking, Rule
from advisor.rules.shared import longest_gap, what_matters
from advisor.show import counted

USUAL_HOLES = 5  # in a lid; common practice, no source
FAR_TOO_MANY = 3.0  # times the holes that hungry eggs need, or that are usual; judgement

RULE = Rule(
    id="moisture-dries-too-fast",
    title="The medium dries out faster than it is looked after",
    explanation=(
        "Soft-shelled eggs dent within days when the medium dries, and fill again when it is moist in time; hard-shelled ones show it on the scale alone. Late in "
        "incubation a dry spell is not made good. Thin layers, loose lids and many large holes dry a box within days. "
        "Then one missed check is enough."
    ),
    remedy="Close the lid better or tape over some holes, fill in more medium, and add water at each check.",
    sources=("practice", "gutzke-1986"),
    about=CLUTCH,
    needs=("box.medium",),
    implied_by=("moisture-mix-too-dry",),
    levers=(
        "box.lid.holes",
        "box.lid.fit",
        "box.lid",
        "box.medium.depth",
        "box.top_up",
        "checks.rhythm",
        "box.count",
    ),
    good="""\
room: {temperature: 20 °C, humidity: 50 %}
control: {set_to: 28 °C}
egg_boxes:
  - {name: eggs, count: 1, inside: 20 x 14 x 9 cm, lid: {fit: clip, thickness: 1 mm, holes: {count: 5, diameter: 2 mm}},
     medium: {material: vermiculite, grade: medium, depth: 5 cm, mix: {medium: 4, water: 1, by: volume}}}
clutches: [{species: pantherophis-guttatus, eggs: 14, egg_mass: 11 g, box: eggs}]
checks: {rhythm: thirds}""",
    bad="""\
room: {temperature: 20 °C, humidity: 50 %}
control: {set_to: 28 °C}
egg_boxes:
  - {name: eggs, count: 1, inside: 20 x 14 x 9 cm, lid: {fit: loose, thickness: 1 mm, holes: {count: 40, diameter: 5 mm}},
     medium: {material: vermiculite, grade: medium, depth: 1 cm, mix: {medium: 1, water: 1, by: mass}}}
clutches: [{species: pantherophis-guttatus, eggs: 14, egg_mass: 11 g, box: eggs}]
checks: {rhythm: thirds}""",
)


def check(case: Case) -> Iterator[Finding]:
    """15 % drier before the next check or planned top-up; else many more holes than the air needs."""
    if case.box.medium.material == "none" or case.clutches_in_box[0][0] is not case.clutch:
        return
    found, days = case.box_forecast, case.clutch_forecast.incubation_days
    steady = found.water.first_top_up_day
    if isinstance(steady, Unknown) or isinstance(days, Unknown):
        raise Lacking(
            *case.missing(("box_forecast.water.first_top_up_day", "clutch_forecast.incubation_days"))
        )
    top_up = case.box.top_up
    if top_up is not None and top_up.every is not None:
        interval, what = top_up.every / DAY, "top-ups come"
    elif case.plan.checks.rhythm is None:
        raise Lacking("checks.rhythm")
    else:
        interval, what = float(longest_gap(case.clutch_forecast.check_days, 0, days)), "checks come"
    if min(interval, days.value) > steady.value:
        yield Finding(
            FIX if min(interval, days.low) > steady.high else WATCH,
            f"In {case.show.figure(steady)} the medium is "
            f"{case.show.percent(TOP_UP_BAND)} drier than at the start, and {what} up to "
            f"{case.show.days(interval)} apart.",
            "box.medium",
            what_matters(steady).strip(),
            figures=(("first_top_up_day", steady),),
            subject=case.box_subject,
        )
    elif steady.value < days.value and (spare := _spare_holes(case)):
        yield Finding(
            NOTE,
            f"The box has {counted(spare, 'hole')} more than the air needs, and each of them lets water out.",
            "box.lid.holes",
            "Tape over some of them, and look for drops and for dents in the eggs.",
            figures=tuple(
                (name, figure)
                for name, figure in (
                    ("holes_enough", found.air.holes_enough),
                    ("water_loss", found.water.water_loss),
                )
                if isinstance(figure, Figure)
            ),
        )


def _spare_holes(case: Case) -> int:
    """Holes that can go when there are far more than eggs need that breathe a lot; else 0."""
    holes, enough = case.box.lid.holes, case.box_forecast.air.holes_enough
    if holes is None or isinstance(enough, Unknown):
        return 0
    wanted = max(enough.high, USUAL_HOLES)
    return round(holes.count - wanted) if holes.count > FAR_TOO_MANY * wanted else 0
