"""A box whose walls are worked out layer by layer, with their mass and the films on both sides: no wall of the program's.

The heater is a mat under the lid. It gives its heat down to the air, and up through the foam that it lies on. Both pieces of
wall, that over the mat and all the rest, are solved by finite differences (explicit, layers of equal thickness).
"""

import itertools
import math
from dataclasses import dataclass

from tests.referees.simulated_box import Box

LAYERS = 4
FILM = (
    1 / 0.13
)  # W/(m2 K), inside and in still air outside: ISO 6946, surface resistance of 0.13 m2 K/W (from memory)
UNDER_MAT = (
    6.0  # W/(m2 K): nearly black surfaces at 30 °C give 5.7 by radiation, still air under a warm plate little
)
FOAM = 30_000.0  # J/(m3 K): 20 kg/m3 of 1500 J/(kg K)


@dataclass
class WalledBox(Box):
    """Foam [W/(m K)] of a thickness [m], its area but for the mat, and the area of the mat [m2]."""

    foam: float = 0.036
    thickness: float = 0.04
    area: float = 0.67
    mat: float = 0.112

    def still(self, temperature: float) -> list[float]:
        """Air, medium, the layers of the wall, those over the mat [°C], all as warm as this."""
        return [temperature] * (2 + 2 * LAYERS)

    def moved(self, state: list[float], heat: float, room: float, step: float) -> list[float]:
        """The same some seconds later, with this share of the heater's watts."""
        air, medium, wall, over = state[0], state[1], state[2 : 2 + LAYERS], state[2 + LAYERS :]
        half = self.thickness / LAYERS / 2 / self.foam  # m2 K/W of half a layer
        down, up = self.mat * UNDER_MAT, self.mat / half
        mat = (heat * self.watts + down * air + up * over[0]) / (down + up)  # a thin mat holds no heat
        into_wall = self.area / (1 / FILM + half) * (air - wall[0])
        to_medium = self.to_medium * (air - medium)
        warmer = (down * (mat - air) - into_wall - to_medium) / self.air * step
        return [
            air + warmer,
            medium + to_medium / self.medium * step,
            *self._layers(wall, into_wall / self.area, room, step),
            *self._layers(over, (mat - over[0]) / half, room, step),
        ]

    def _layers(self, layers: list[float], flux: float, room: float, step: float) -> list[float]:
        """One piece of wall after a step, heat [W/m2] flowing into its inner layer."""
        layer = self.thickness / LAYERS
        flows = [flux, *(self.foam / layer * (a - b) for a, b in itertools.pairwise(layers))]
        flows.append((layers[-1] - room) / (layer / 2 / self.foam + 1 / FILM))
        held = FOAM * layer
        return [now + (flows[at] - flows[at + 1]) / held * step for at, now in enumerate(layers)]

    def loss(self) -> float:
        """Heat loss air to room through all the walls, as if the mat were not there [W/K]."""
        return (self.area + self.mat) / (2 / FILM + self.thickness / self.foam)

    def rise(self) -> float:
        """How far the air rises at full power [K]."""
        through = self.mat / (self.thickness / self.foam + 1 / FILM)
        rest = self.area / (2 / FILM + self.thickness / self.foam)
        down = self.mat * UNDER_MAT
        # The mat gives `watts` to the air (down) and the room (through); what the air gets, the other walls lose.
        return self.watts / (rest + through * (1 + rest / down))

    def slow(self) -> float:
        """The slow time constant [s]: of the fall from the fourth to the fifth hour without heat."""
        state, hours = self.still(1.0), []
        for _ in range(5):
            for _ in range(180):
                state = self.moved(state, 0.0, 0.0, 20.0)
            hours.append(state[1])
        return 3600.0 / math.log(hours[3] / hours[4])


def foam_for(loss: float) -> float:
    """The conductivity [W/(m K)] with which the box loses so much [W/K]."""
    box = WalledBox()
    return box.thickness / ((box.area + box.mat) / loss - 2 / FILM)
