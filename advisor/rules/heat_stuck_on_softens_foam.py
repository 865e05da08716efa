"""What the foam gets when the thermostat sticks with the heater on."""

from collections.abc import Iterator

from advisor.formulas.heat.insulated_box import wall_named
from advisor.model.figures import Figure, Unknown
from advisor.model.findings import FIX, SEVERITIES, STOP, WATCH, Finding, NotJudged
from advisor.rules.engine import PLAN, Case, Rule
from advisor.rules.shared import BOX, FOAM_SURFACE, FOAMS, only_if_both_fail

BOX_PART = "the whole box"

RULE = Rule(
    id="heat-stuck-on-softens-foam",
    title="If the thermostat sticks, the heater softens the walls: fire",
    explanation=(
        "A heater that stays on warms its own face and the whole box, within hours, until foam sags and plastic bends. "
        "Packing foam then shrinks onto the heater, and what touches it gets hotter still. Foam that catches fire drips "
        "flames and fills a room with smoke in minutes. That puts the people in the home at risk, not only the eggs. "
        "A cut-out can fail as well. So the heater has to be too weak for the limit of the wall's own material: 70 °C "
        "(158 °F) for packing foam, 75 °C (167 °F) for extruded boards, 100 °C (212 °F) for polyurethane."
    ),
    remedy="Use a heater too weak to do it: fewer watts, or the same watts over a larger mat.",
    sources=("practice", "en-13163", "judgement"),
    about=PLAN,
    needs=("outer_box.wall.material",),
    levers=("heat.power", "heat.size", "heat", "outer_box.wall.thickness"),
    good=BOX + "heat: {source: mat, place: lid, power: 20 W, size: 40 x 30 cm}",
    bad=BOX + "heat: {source: mat, place: lid, power: 60 W, size: 40 x 30 cm}",
    implied_by=("heat-bulb-in-foam",),
)

LIES = {
    "lid": " on the lid",
    "floor": " on the floor",
    "one side": " on the wall",
    "all sides": " on the walls",
}


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """The stuck-on box, and the face of a heater that lies on the wall, against what the wall bears for long."""
    material, source, heat = case.plan.outer_box.wall.material, case.plan.heat.source, case.forecast.heat
    assert material is not None
    limit = wall_named(material).service_limit
    if limit is None:
        return
    parts = [(BOX_PART, heat.stuck_on_temperature)]
    if source not in ("bulb", "ceramic emitter"):
        lies = LIES.get(case.plan.heat.place or "", "")
        parts.append((f"the heater{lies}", heat.heater_surface_full))
    found = [
        (SEVERITIES.index(severity), -figure.value, what, figure)
        for what, figure in parts
        if isinstance(figure, Figure) and (severity := _severity(case, figure, limit, material))
    ]
    missing = [
        need
        for _, figure in parts
        if isinstance(figure, Unknown)
        for need in figure.needs or (figure.reason,)
    ]
    if not found:
        if missing:
            yield NotJudged(tuple(dict.fromkeys(missing)))
        return
    worst, _, what, figure = min(found, key=lambda part: part[:2])
    show = case.show
    softens = f"{material} bears {show.temperature(limit)} for long"
    when = (
        "Only if thermostat and cut-out both fail"
        if SEVERITIES[worst] == WATCH
        else "With the heater stuck on"
    )
    if material in FOAMS:
        softens += f", and what touches foam has to stay below {show.temperature(FOAM_SURFACE)}"
    yield Finding(
        SEVERITIES[worst],
        f"{when}, {what} gets to {case.show.figure(figure)}: {softens}.",
        "heat.power",
        figures=(("stuck_on_temperature" if what == BOX_PART else "heater_surface_full", figure),),
    )


def _severity(case: Case, figure: Figure, limit: float, material: str) -> str | None:
    if figure.value >= limit:
        return STOP
    if figure.high >= limit:
        return FIX
    if material in FOAMS and figure.value > FOAM_SURFACE:
        return WATCH if only_if_both_fail(case, figure) else FIX
    return None
