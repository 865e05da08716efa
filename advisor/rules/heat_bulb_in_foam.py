"""A bulb or ceramic emitter in a box of foam or plastic."""

from collections.abc import Iterator

from advisor.model.findings import FIX, STOP, Finding
from advisor.rules.engine import PLAN, Case, Lacking, Rule

# °C from which the foam does not keep its shape in long use: expanded polystyrene 70 to 80 (EN 13163 practice, from
# memory), extruded polystyrene 75 (from memory), polyurethane 100 to 110 (common practice, no source).
SOFTENS = {"expanded polystyrene": 70.0, "extruded polystyrene": 75.0, "polyurethane foam": 100.0}
# polystyrene softens at 70 to 90 °C, acrylic at about 100; from memory
PLASTICS = ("solid plastic", "acrylic")
SURFACE = (200.0, 350.0)  # °C, face of a bulb or ceramic emitter of 60 to 150 W; common practice, no source

RULE = Rule(
    id="heat-bulb-in-foam",
    title="A bulb or ceramic emitter sits in a box of foam or plastic: fire",
    explanation=(
        "A bulb or ceramic emitter is hot enough to melt foam or plastic and set it alight. Packing foam burns fast, drips fire "
        "and gives off thick smoke. It can start within minutes when the lamp slips or touches the wall. "
        "That puts the people in the home at risk, not only the eggs."
    ),
    remedy="Use a heating mat or heating cable in a box of foam or plastic.",
    sources=("practice", "en-13163"),
    about=PLAN,
    levers=("heat", "outer_box.wall.material"),
    good="heat: {source: mat}\nouter_box: {wall: {material: expanded polystyrene}}",
    bad="heat: {source: bulb}\nouter_box: {wall: {material: expanded polystyrene}}",
)


def check(case: Case) -> Iterator[Finding]:
    """Bare foam is a fire; a cool box is foam behind a thin plastic skin; a wall of plastic melts."""
    source, material, show = case.plan.heat.source, case.plan.outer_box.wall.material, case.show
    if source not in ("bulb", "ceramic emitter", None):
        return
    if material not in (*SOFTENS, "plastic cool box", *PLASTICS, None):
        return
    if source is None or material is None:
        raise Lacking(*case.missing(("heat.source", "outer_box.wall.material")))
    hot = f"A {source} can get {show.temperature_range(*SURFACE)} hot"
    if material in SOFTENS:
        yield Finding(
            STOP,
            f"{hot}, and {material} softens from {show.temperature(SOFTENS[material])}: it can melt and burn.",
            "heat.source",
        )
    elif material in PLASTICS:
        yield Finding(
            FIX,
            f"{hot}, and {material} bends and melts at far less: a lamp that slips or hangs close melts through the wall.",
            "heat.source",
            sources=("judgement",),
        )
    else:
        yield Finding(
            FIX,
            f"{hot}, and a cool box is foam behind a thin plastic skin: the skin can melt and bare the foam.",
            "heat.source",
            sources=("judgement",),
        )
