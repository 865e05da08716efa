"""A box of two lumps, air and medium, that a thermostat heats: not the program's heat balance, and no code of it.

Ca dTa/dt = Q - UA (Ta - Tr) - G (Ta - Tm);  Cm dTm/dt = G (Ta - Tm). Of the heater's watts the part 1/behind goes into the
air; the rest leaves behind the heater. Solved by small steps.
"""

import math
import random
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime, timedelta

START = datetime(2027, 4, 20, 18, 0)


@dataclass
class Box:
    """Conductance air to room, air to medium [W/K]; heat capacities [J/K]; heater [W]; thermostat; room by hour [°C]."""

    conductance: float = 0.67
    to_medium: float = 2.0
    air: float = 2500.0
    medium: float = 10400.0
    watts: float = 14.0
    behind: float = 1.2
    set_to: float = 28.0
    band: float = 0.2
    probe_in_air: bool = False
    pulse: bool = True
    room: Callable[[float], float] = lambda hour: 20.0 + 2.5 * math.sin(2 * math.pi * (hour - 15) / 24)
    off: tuple[tuple[float, float], ...] = ()  # hours from and to without power
    cut_out: float = (
        math.inf
    )  # °C of the air at which a second thermostat breaks the heat, until it is 1 K cooler

    def still(self, temperature: float) -> list[float]:
        """Air and medium [°C], all as warm as this."""
        return [temperature, temperature]

    def moved(self, state: list[float], heat: float, room: float, step: float) -> list[float]:
        """Air and medium some seconds later, with this share of the heater's watts."""
        air, medium = state
        power = heat * self.watts / self.behind
        flow = self.to_medium * (air - medium)
        air += (power - self.conductance * (air - room) - flow) / self.air * step
        return [air, medium + flow / self.medium * step]

    def rise(self) -> float:
        """How far the air rises at full power [K]."""
        return self.watts / self.behind / self.conductance

    def slow(self) -> float:
        """The slow time constant [s]."""
        s = (self.conductance + self.to_medium) / self.air + self.to_medium / self.medium
        q = self.conductance * self.to_medium / (self.air * self.medium)
        return 1 / (s / 2 - math.sqrt(s * s / 4 - q))


@dataclass
class Run:
    """What sensors would read: time of each row, and a list of values for each sensor."""

    times: list[datetime] = field(default_factory=list)
    medium: list[float] = field(default_factory=list)
    air: list[float] = field(default_factory=list)
    room: list[float] = field(default_factory=list)
    on: list[float] = field(default_factory=list)


def run(box: Box, hours: float, every: float = 300.0, cold: bool = True, step: float = 10.0) -> Run:
    """The box from cold (or already at its set point) for some hours, a row every so many seconds.

    `on` is the share of the time since the row before in which the heater was on.
    """
    state = box.still(box.room(0.0) if cold else box.set_to)
    heat, integral, lit, since, tripped = 0.0, 0.0, 0.0, 0.0, False
    result = Run()
    for count in range(int(hours * 3600 / step) + 1):
        now = count * step
        room, (air, medium, *_) = box.room(now / 3600), state
        if count % max(int(every / step), 1) == 0:
            result.times.append(START + timedelta(seconds=now))
            for values, value in (
                (result.medium, medium),
                (result.air, air),
                (result.room, room),
                (result.on, lit / since if since else 0.0),
            ):
                values.append(value)
            lit = since = 0.0
        probe = air if box.probe_in_air else medium
        if any(begin <= now / 3600 < end for begin, end in box.off):
            heat = 0.0
        elif box.pulse:  # proportional with a slow integral, as a pulse thermostat's share
            error = box.set_to - probe
            integral = min(max(integral + error * step / 7200, -1.0), 1.0) if abs(error) < 0.5 else integral
            heat = min(max(error / 0.5 + integral, 0.0), 1.0)
        else:
            heat = (
                1.0
                if probe < box.set_to - box.band / 2
                else 0.0
                if probe > box.set_to + box.band / 2
                else heat
            )
        tripped = air > box.cut_out - (1.0 if tripped else 0.0)
        heat = 0.0 if tripped else heat
        lit, since = lit + heat * step, since + step
        state = box.moved(state, heat, room, step)
    return result


def told(
    values: list[float], quantum: float, noise: float, offset: float, dice: random.Random
) -> list[float]:
    """What a sensor of this step, noise and offset tells."""
    return [round((value + offset + dice.gauss(0.0, noise)) / quantum) * quantum for value in values]


def csv_text(times: list[datetime], columns: dict[str, list[float]], header: str = "Time") -> str:
    """A plain log."""
    rows = [",".join([header, *columns])]
    rows += [
        ",".join([f"{time:%Y-%m-%d %H:%M:%S}", *(f"{values[place]:.4f}" for values in columns.values())])
        for place, time in enumerate(times)
    ]
    return "\n".join(rows) + "\n"
