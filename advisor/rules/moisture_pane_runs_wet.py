"""A door or window so cold that the moist air of the box settles on it."""

from collections.abc import Iterator

from advisor.forecast.heat.parts import panes_of
from advisor.forecast.heat.setup import outer_inside
from advisor.formulas.air.moist_air import saturation_pressure
from advisor.model.figures import Unknown
from advisor.model.findings import NOTE, WATCH, Finding
from advisor.rules.engine import PLAN, Case, Lacking, Rule
from advisor.rules.shared import BOX

_BOX = BOX.replace("temperature: 16 to 22 °C}", "temperature: 16 to 22 °C, humidity: 40 %}").replace(
    "stands_on: shelf",
    "stands_on: shelf, parts: [{what: window, material: acrylic, thickness: 4 mm, share: 60 %, side: front}]",
)

RULE = Rule(
    id="moisture-pane-runs-wet",
    title="Water settles on a door or window",
    explanation=(
        "A pane is colder inside than a wall of foam. Where it is colder than the dew point of the air in the box, water "
        "settles on it on cold nights, runs down and stands on the floor, where leads and plugs may lie. It also takes "
        "vapour out of the air, so that the egg boxes dry faster. Mould follows within weeks."
    ),
    remedy="Cover the pane with foam while nobody looks in, or use double glass. Keep leads off the floor.",
    sources=("judgement",),
    about=PLAN,
    good=_BOX + "heat: {source: mat, place: lid, power: 30 W, size: 40 x 30 cm}",
    bad=_BOX + "heat: {source: water bath, place: in water, power: 60 W}",
)


def check(case: Case) -> Iterator[Finding]:
    """The dew point of the air round the egg boxes against the coldest pane, in the coldest room."""
    plan, humidity = case.plan, case.forecast.heat.outer_humidity
    size, room, set_to = outer_inside(plan), plan.room.temperature, max(plan.control.held, default=None)
    if not plan.outer_box.parts:
        return
    if isinstance(humidity, Unknown) or isinstance(size, Unknown) or room is None or set_to is None:
        lacking = [result for result in (humidity, size) if isinstance(result, Unknown)]
        needs = [need for result in lacking for need in result.needs or (result.reason,)]
        raise Lacking(*dict.fromkeys(needs))
    panes = panes_of(plan, size)
    coldest = min(range(len(panes)), key=lambda index: panes[index].share_of_fall)
    face = room.low + (set_to - room.low) * panes[coldest].share_of_fall
    wet = saturation_pressure(max(face, 0.0)) / saturation_pressure(set_to)  # humidity from which it runs
    if humidity.high < wet:
        return
    show, part = case.show, plan.outer_box.parts[coldest]
    air = show.figure(humidity)
    yield Finding(
        WATCH if humidity.value >= wet else NOTE,
        f"In a room of {show.temperature(room.low)} the {part.what} of {part.material} is about {show.temperature(face)} inside. "
        f"Water settles on it from {show.percent(wet)} humidity in the box up, and {air} is forecast.",
        f"outer_box.parts[{coldest}].material",
        figures=(("outer_humidity", humidity),),
    )
