"""The face of a mat or cable at full power: against foam, egg boxes and skin."""

from collections.abc import Iterator

from msgspec.structs import replace

from advisor.forecast.heat.setup import heated_area, heater_wall, lies_flat, outer_inside
from advisor.formulas.heat.insulated_box import wall_named
from advisor.model.figures import Figure, Unknown
from advisor.model.findings import FIX, SEVERITIES, WATCH, Finding
from advisor.model.plan import Area
from advisor.rules.engine import PLAN, Case, Rule
from advisor.rules.shared import BOX, FOAM_SURFACE, FOAMS, known, only_if_both_fail

EGG_BOX_SOFTENS = 70.0  # °C; polystyrene egg boxes soften at 70 to 90, polypropylene above 100; from memory
BURNS = 60.0  # °C; burns skin that touches it in about 5 s (Moritz & Henriques 1947, from memory)

RULE = Rule(
    id="heat-surface-too-hot",
    title="The face of the heater gets too hot at full power",
    explanation=(
        "All the watts of a heater leave through its face. The smaller the face, the hotter it gets, and a face that is "
        "covered gets hotter still. Above 60 °C (140 °F) it harms foam over time and burns skin within seconds. From "
        "70 °C (158 °F) a thin plastic egg box that stands on it bends, and its eggs cook."
    ),
    remedy="Use a larger mat for the same watts, or fewer watts.",
    sources=("practice", "moritz-1947", "judgement"),
    about=PLAN,
    needs=("heat.source",),
    levers=("heat.size", "heat.power", "heat", "outer_box.wall.thickness"),
    good=BOX + "heat: {source: mat, place: lid, power: 20 W, size: 50 x 35 cm}",
    bad=BOX + "heat: {source: mat, place: lid, power: 20 W, size: 15 x 10 cm}",
    implied_by=("heat-stuck-on-softens-foam",),
)


def check(case: Case) -> Iterator[Finding]:
    """A mat or cable against what it touches; bulbs and emitters are hot by design and stand in other rules."""
    if case.plan.heat.source not in ("mat", "cable"):
        return
    folded = list(_folded(case))
    if folded:
        yield from folded
        return
    surface, show = known(case.forecast.heat.heater_surface_full), case.show
    hot = f"At full power the face of the heater gets to {show.figure(surface)}"
    found = []
    material = case.plan.outer_box.wall.material
    if material in FOAMS and (severity := _against(surface, FOAM_SURFACE)):
        limit, bears = show.temperature(FOAM_SURFACE), wall_named(material).service_limit or FOAM_SURFACE
        failed = surface.high < bears and only_if_both_fail(case, surface)
        on_foam = f"{hot}, and it lies on foam, which wants {limit} or less."
        if failed:
            on_foam = (
                f"If thermostat and cut-out both fail, the face of the heater gets to {show.figure(surface)}. "
                f"It lies on foam, which wants {limit} or less."
            )
        found.append((WATCH if failed else severity, on_foam, "practice"))
    if _carries_boxes(case) and (severity := _against(surface, EGG_BOX_SOFTENS)):
        limit = show.temperature(EGG_BOX_SOFTENS)
        message = f"{hot}, and egg boxes stand on it: thin ones soften from {limit}."
        found.append((severity, message, "practice"))
    if surface.high > BURNS:
        limit = show.temperature(BURNS)
        found.append((WATCH, f"{hot}: {limit} burns skin within seconds.", "moritz-1947"))
    if not found:
        return
    severity, message, source = min(found, key=lambda entry: SEVERITIES.index(entry[0]))
    yield Finding(
        severity,
        message,
        "heat.size",
        "" if severity == FIX else "Put a thermometer on the heater in the trial run.",
        figures=(("heater_surface_full", surface),),
        sources=(source, "judgement"),
    )


def _folded(case: Case) -> Iterator[Finding]:
    """Heaters that are larger than what they lie on."""
    heat, inside = case.plan.heat, outer_inside(case.plan)
    wall, heater = heater_wall(case.plan), heated_area(case.plan) if heat.size else None
    if wall is not None and heater is not None and not lies_flat(heater, wall):
        yield _too_large(case, heater, wall)
    second = heat.floor_heater
    if second is None or isinstance(inside, Unknown):
        return
    floor = (inside.length, inside.width)
    if not lies_flat(second.size, floor):
        found = _too_large(case, second.size, floor)
        message = found.message.replace("The heater measures", "The floor heater measures").replace(
            f"on the {heat.place}", "on the floor"
        )
        yield replace(found, message=message, path="heat.floor_heater.size", levers=("heat.floor_heater",))


def _too_large(case: Case, heater: Area, wall: tuple[float, float]) -> Finding:
    length = case.show.length
    what = "long side" if case.plan.heat.place == "one side" else case.plan.heat.place
    count = case.plan.heat.count
    measures, they_do = "The heater measures", "It does"
    if count > 1:
        measures, they_do = f"Side by side the {count} heaters measure", "They do"
    return Finding(
        FIX,
        f"{measures} {length(heater.length)} x {length(heater.width)}. {they_do} not lie flat on the {what} of the outer "
        f"box, {length(wall[0])} x {length(wall[1])} inside. Where a heater is folded it overheats.",
        "heat.size",
        "Never fold, pinch or cut a heater.",
        sources=("practice",),
    )


def _against(surface: Figure, limit: float) -> str | None:
    return FIX if surface.value > limit else WATCH if surface.high > limit else None


def _carries_boxes(case: Case) -> bool:
    """Whether egg boxes touch the heater, as far as the plan tells."""
    on_floor = case.plan.heat.place == "floor" or case.plan.heat.floor_heater is not None
    return any(
        box.stands == "on the heater" or (on_floor and box.stands == "on the floor")
        for box in case.plan.egg_boxes
    )
