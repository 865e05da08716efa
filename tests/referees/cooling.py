"""A referee for power cuts: three lumps put together by hand from a plan's entries and solved by scipy's integrator.

Written beside the product, which it does not import. The box: U A of its six faces with their films, the edges and corners of
Langmuir 1913. Air 1.17 kJ/(m3 K) with half of the walls; egg boxes of 1 mm polypropylene with vermiculite of 100 g a litre, wetted
1:1 by mass; bottles of 0.05 m2 a litre. Links from the air: 5 W/(m2 K) (3 to 6) to the egg boxes, 7.5 (6 to 10) to the bottles,
which were set on cool-downs computed by a 2-D finite-volume model (tests/formulas/heat/test_warming_and_cooling.py).
"""

import math
from dataclasses import dataclass

from scipy.integrate import solve_ivp

# Conductivity W/(m K), density kg/m3, heat J/(kg K): ISO 10456, EN 13164 and judgement.
WALLS = {
    "expanded polystyrene": (0.037, 20.0, 1450.0),
    "extruded polystyrene": (0.033, 35.0, 1450.0),
    "polyurethane foam": (0.028, 35.0, 1400.0),
    "plywood": (0.13, 500.0, 1600.0),
    "solid plastic": (0.22, 950.0, 1700.0),
}


@dataclass(frozen=True)
class Box:
    """A plan's entries: sizes in m, water in litres; factors on what is uncertain."""

    inside: tuple[float, float, float]
    wall: str
    thickness: float
    egg_boxes: int
    egg_box: tuple[float, float, float]
    depth: float
    water: float
    to_egg_box: float = 5.0
    to_bottle: float = 7.5
    medium_factor: float = 1.0
    loss_factor: float = 1.0

    def loss(self) -> float:
        """W/K: faces, edges and corners, 0.13 m2 K/W inside and outside."""
        (a, b, c), t = self.inside, self.thickness
        conductivity = WALLS[self.wall][0]
        inner = 2 * (a * b + a * c + b * c)
        outer = 2 * ((a + 2 * t) * (b + 2 * t) + (a + 2 * t) * (c + 2 * t) + (b + 2 * t) * (c + 2 * t))
        shape = inner / t + 0.54 * 4 * (a + b + c) + 8 * 0.15 * t
        return self.loss_factor / (1 / (conductivity * shape) + 0.13 / inner + 0.13 / outer)

    def lumps(self) -> tuple[float, ...]:
        """Heat loss, links [W/K] to egg boxes and bottles, heat [J/K] of air, egg boxes, bottles."""
        (a, b, c), t = self.inside, self.thickness
        _, density, heat = WALLS[self.wall]
        volume = (a + 2 * t) * (b + 2 * t) * (c + 2 * t) - a * b * c
        air = 1170.0 * a * b * c + 0.5 * volume * density * heat
        x, y, z = self.egg_box
        surface = 2 * (x * y + x * z + y * z) * self.egg_boxes
        dry = 1000 * x * y * self.depth * 0.1 * self.egg_boxes
        medium = self.medium_factor * (dry * (1000.0 + 4180.0) + surface * 1e-3 * 910.0 * 1800.0)
        return (
            self.loss(), self.to_egg_box * surface, self.to_bottle * 0.05 * self.water, air, medium, 4180.0 * self.water,
        )  # fmt: skip


def medium_falls(box: Box, start: float, room: float, hours: float) -> tuple[list[float], list[float]]:
    """Hours and temperatures [°C] of the medium after the heat fails, ten minutes apart."""
    loss, to_medium, to_bottles, air_heat, medium_heat, bottle_heat = box.lumps()

    def slopes(_: float, state: list[float]) -> list[float]:
        air, medium, bottles = state
        into_medium, into_bottles = to_medium * (air - medium), to_bottles * (air - bottles)
        return [
            (loss * (room - air) - into_medium - into_bottles) / air_heat,
            into_medium / medium_heat,
            into_bottles / bottle_heat if bottle_heat else 0.0,
        ]

    times = [600.0 * step for step in range(round(6 * hours) + 1)]
    run = solve_ivp(slopes, (0, times[-1]), [start] * 3, t_eval=times, method="LSODA", rtol=1e-8, atol=1e-8)
    return [time / 3600 for time in times], list(run.y[1])


def hours_until_below(box: Box, start: float, room: float, limit: float) -> float:
    """Hours until the medium passes a temperature, straight between ten minutes."""
    hours, celsius = medium_falls(box, start, room, 240.0)
    for step in range(1, len(hours)):
        if celsius[step] <= limit:
            before, after = celsius[step - 1], celsius[step]
            return hours[step - 1] + (hours[step] - hours[step - 1]) * (before - limit) / (before - after)
    return math.inf


def hours_until_harm(box: Box, start: float, room: float, limit: float) -> float:
    """Hours until cold below a limit adds up to possible harm of eggs from a cool climate, by steps of ten minutes."""
    table = [(0.0, 1.0), (5.0, 12.0), (10.0, 48.0), (15.0, 72.0), (20.0, 240.0)]
    done, (hours, temperatures) = 0.0, medium_falls(box, start, room, 240.0)
    for hour, celsius in zip(hours, temperatures, strict=True):
        if celsius < limit:
            below = min(max(celsius, 0.0), 19.999)
            (low, short), (high, long) = next(
                (table[row], table[row + 1]) for row in range(4) if below < table[row + 1][0]
            )
            borne = short * (long / short) ** ((below - low) / (high - low))
            done += (1 / 6) / borne
        if done >= 1.0:
            return hour
    return math.inf
