"""Water that condenses under the lid of an egg box, wherever the heat comes from."""

from collections.abc import Iterator

from advisor.model.figures import Figure, Result, Unknown
from advisor.model.findings import FIX, WATCH, Finding, NotJudged
from advisor.model.plan import EggBox
from advisor.rules.engine import EGG_BOX, Case, Rule
from advisor.rules.heat_too_weak_for_room import BOX

# Water that settles on a square metre of lid in a day [kg/(m2 s)]. Mist shows from 1 to 10 g/m2 (from memory, order of
# magnitude), so that a day which brings less than 5 leaves the lid dry to the eye; four times that runs together and
# drips day after day (judgement).
MIST, DRIPS = 5e-3 / 86400, 20e-3 / 86400

RULE = Rule(
    id="heat-condensation-on-lid",
    title="Water condenses under the egg-box lid and drips on the eggs",
    explanation=(
        "The air over wet medium is as moist as it can be. Where the lid is colder than the medium, water settles under "
        "it, within hours, and drips on the eggs day after day. A wet shell lets less air through, and mould follows. "
        "Air holes do not help: they carry off far less than settles."
    ),
    remedy="Warm the box from its lid, so that the egg-box lids are warmer than the medium.",
    sources=("practice", "judgement"),
    about=EGG_BOX,
    needs=(),
    good=BOX + "heat: {source: mat, place: lid, power: 20 W, size: 40 x 30 cm}",
    bad=BOX + "heat: {source: mat, place: floor, power: 20 W, size: 40 x 30 cm}",
    implied_by=("heat-from-below-wet-medium",),
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """The steady forecast; what on-off heat does to a lid between its pulses stands in control-probe-misplaced."""
    box, water, difference = case.box, case.box_forecast.condensation, case.box_forecast.lid_minus_medium
    if is_dry(box):
        return
    lacking = [result for result in (water, difference) if isinstance(result, Unknown)]
    missing = [need for result in lacking for need in result.needs or (result.reason,)]
    if box.holds is None and not case.clutches_in_box:
        missing.append("box.holds")
    if box.medium.mix is None:
        missing.append("box.medium.mix")
    if missing:
        yield NotJudged(tuple(dict.fromkeys(missing)))
        return
    assert isinstance(water, Figure) and isinstance(difference, Figure)
    severity = graded(water, box)
    if severity is not None:
        show = case.show
        colder = show.about_step(-difference.value, -difference.high, -difference.low)
        unsure = "" if difference.high < 0 else " It is not sure here that the lid is the colder one."
        yield Finding(
            severity,
            f"{_capital(water_a_day(case, water))} settles under this lid, which is {colder} colder than the medium.{unsure}"
            if difference.value < 0
            else f"Up to {show.about_water_a_day(*3 * (water.high,))} may settle under this lid: it is hardly warmer than "
            f"the medium.{unsure}",
            "heat.place",
            _remedy(case),
            figures=(("condensation", water), ("lid_minus_medium", difference)),
        )


def is_dry(box: EggBox) -> bool:
    """Whether the box holds no wet medium, as the plan tells."""
    return box.medium.material == "none" or (box.medium.mix is not None and box.medium.mix.water == 0)


def graded(water: Figure, box: EggBox) -> str | None:
    """How bad a computed condensation is on the lid of this box; not worse than watch where it may be none at all."""
    assert box.inside is not None
    area = box.inside.length * box.inside.width
    if water.value >= DRIPS * area and water.low > 0:
        return FIX
    return WATCH if water.high >= MIST * area else None


def water_a_day(case: Case, water: Figure) -> str:
    """A computed condensation in words: "about 1 g of water a day (0.6 to 3)"."""
    return case.show.about_water_a_day(water.value, water.low, water.high).replace(
        " a day", " of water a day"
    )


def lid_heated(case: Case, result: Result) -> str:
    """What would condense with the heat in the lid, in brackets, when it is computed."""
    if isinstance(result, Unknown):
        return ""
    return f" (from the lid: {case.show.about_water_a_day(result.value, result.low, result.high)})"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _remedy(case: Case) -> str:
    if case.plan.heat.place == "lid":
        return "Lay a sheet of foam on each egg-box lid, and look for drops under the lids in the trial run."
    twin = lid_heated(case, case.box_forecast.condensation_if_lid_heated)
    return f"Move the heater to the lid of the outer box{twin}, or lay a sheet of foam on each egg-box lid."
