"""Two small pictures that words tell badly: an egg half buried with its top marked, and the drip loop of a lead."""

import math

from advisor.drawings.canvas import (
    SIZE,
    Box,
    Drawing,
    Label,
    dotted,
    drop,
    ellipse,
    line,
    lines,
    rectangle,
    shape,
)
from advisor.model.figures import Unknown
from advisor.model.papers import EggSizes
from advisor.model.plan import Plan
from advisor.show import Show

WIDE, HIGH = 240.0, 132.0  # units, of both
SURFACE = 76.0  # units, from the top


def egg_in_medium(plan: Plan, egg_sizes: EggSizes, show: Show) -> Drawing | Unknown:
    """An egg of the first clutch as it lies in the medium."""
    if plan.clutches[0].placed not in ("half buried", None):
        return Unknown("These eggs are not half buried.")
    size = egg_sizes[0]
    across = 62.0
    down = across * (size[1] / size[0] if size else 0.6)  # about what eggs of snakes have; judgement
    down = min(down, 44.0)
    x = WIDE / 2
    round_below = [
        (x + across * math.cos(angle), SURFACE + down * math.sin(angle))
        for angle in (math.pi * step / 24 for step in range(25))
    ]
    top = SURFACE - down
    words = f"half in the medium; {show.length(size[0])} long" if size else "half in the medium"
    return Drawing(
        name="egg",
        title="An egg half buried, its top marked",
        description=f"The egg lies on its side, {words}. A pencil mark on its top stays up as long as it lies there.",
        height=HIGH + 20.0,
        shapes=(
            rectangle(Box(0.5, SURFACE, WIDE - 0.5, HIGH), dotted("egg")),
            ellipse(x, SURFACE, across, down, "#fff", 1.6),
            shape(round_below, "#fff"),
            shape(round_below, dotted("egg"), 1.0),
            line(x - 5.0, top + 4.0, x + 5.0, top + 12.0, 2.0),
            line(x + 5.0, top + 4.0, x - 5.0, top + 12.0, 2.0),
            line(x, top - 3.0, x, 18.0, 0.7),
        ),
        labels=(
            Label(x, 12.0, "soft pencil, never turned after that", SIZE, "middle"),
            Label(x, HIGH + 14.0, words, SIZE, "middle"),
        ),
        width=WIDE,
    )


def drip_loop(plan: Plan) -> Drawing:
    """A lead that hangs lower than its socket, so that water runs off it before it gets there."""
    lead = f"lead of the {plan.heat.source}" if plan.heat.source else "lead"
    low = HIGH - 18.0
    way = [
        (30.0, 40.0),
        (38.0, 40.0),
        (48.0, 60.0),
        (66.0, 98.0),
        (90.0, low),
        (114.0, 98.0),
        (136.0, 66.0),
        (160.0, 58.0),
    ]
    return Drawing(
        name="drip-loop",
        title="A drip loop",
        description=f"The {lead} hangs in a loop that is lower than its socket. Water that runs along it drips off there.",
        height=HIGH + 20.0,
        shapes=(
            line(10.0, 16.0, 10.0, HIGH, 2.4),
            rectangle(Box(11.0, 30.0, 30.0, 50.0), "#fff", 1.4),
            rectangle(Box(160.0, 30.0, WIDE - 1.0, 100.0), "#fff", 1.4),
            lines(way, 2.4),
            drop(90.0, low + 3.0, 10.0),
        ),
        labels=(
            Label(14.0, 24.0, "socket, with an RCD (GFCI)", SIZE),
            Label(199.0, 68.0, "box", SIZE, "middle"),
            Label(WIDE / 2, HIGH + 14.0, "lowest here, not at the socket", SIZE, "middle"),
        ),
        width=WIDE,
    )
