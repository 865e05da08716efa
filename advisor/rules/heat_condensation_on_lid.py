"""Water that condenses under the lid of an egg box, wherever the heat comes from."""

from collections.abc import Iterator

from msgspec.structs import replace

from advisor.forecast.heat.night_drop import cooler_nights
from advisor.model.figures import Figure, Unknown
from advisor.model.findings import NOTE, Finding
from advisor.rules.engine import EGG_BOX, Case, Lacking, Rule
from advisor.rules.shared import BOX, capital, graded, is_dry, sign_is_rough, water_a_day

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
    levers=(
        "heat.place",
        "heat.floor_heater",
        "box.foam_on_lid",
        "heat",
        "outer_box.wall.thickness",
        "room.temperature",
    ),
    good=BOX + "heat: {source: mat, place: lid, power: 20 W, size: 40 x 30 cm}",
    bad=BOX + "heat: {source: mat, place: floor, power: 20 W, size: 40 x 30 cm}",
    implied_by=("heat-from-below-wet-medium",),
)


def check(case: Case) -> Iterator[Finding]:
    """The steady forecast; what on-off heat does to a lid between its pulses stands in control-probe-misplaced."""
    box, lid = case.box, case.box_forecast.heat
    water, difference = lid.condensation, lid.lid_minus_medium
    if is_dry(box) or not box.lid.fitted:
        return
    lacking = [result for result in (water, difference) if isinstance(result, Unknown)]
    missing = [need for result in lacking for need in result.needs or (result.reason,)]
    if box.holds is None and not case.clutches_in_box:
        missing.append("box.holds")
    if box.medium.mix is None:
        missing.append("box.medium.mix")
    if missing:
        raise Lacking(*dict.fromkeys(missing))
    assert isinstance(water, Figure) and isinstance(difference, Figure)
    severity = graded(water, box, case.plan.heat)
    if severity is not None:
        show = case.show
        colder = show.about_step(-difference.value, -difference.high, -difference.low)
        sure = difference.high < 0 and not sign_is_rough(case.plan.heat)
        unsure = "" if sure else " It is not sure here that the lid is the colder one."
        yield Finding(
            severity,
            f"{capital(water_a_day(case, water))} settles under this lid, which is {colder} colder than the medium.{unsure}"
            if difference.value < 0
            else f"Up to {water_a_day(case, replace(water, value=water.high, low=water.high))} may settle under this lid: it "
            f"is hardly warmer than the medium.{unsure}",
            "heat.place",
            figures=(("condensation", water), ("lid_minus_medium", difference)),
        )
    elif cooler_nights(case.plan) is not None:
        yield Finding(
            NOTE,
            "Each evening, while the box cools to its night, the lids are cooler than the medium for some hours: drops may "
            "form under them.",
            "control.programme",
            "Look under the lids in the morning. Where drops fall on eggs, make the nights warmer.",
            sources=("practice",),
        )
