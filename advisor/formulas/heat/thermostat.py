"""What a thermostat makes of the temperature: air and medium while it switches, and the ripple of pulses."""

from typing import Literal

from msgspec import Struct

from advisor.formulas.air.moist_air import NoSolution, check_range


class NeverSwitches(NoSolution):
    """The heater cannot reach the switching-off temperature, or the room keeps the box too warm."""


class SwitchedBox(Struct, frozen=True):
    """Heat capacities [J/K] and links [W/K] of a box under on-off control, from a 60-litre box.

    Only the medium (10.4 kJ/K, 4 kg wet vermiculite) and the conductance are computed; the other figures are
    guesses. lid_radiation [-]: share of the heater's power that shines on the lids.
    """

    conductance: float
    medium_capacity: float = 10.4e3
    heater_capacity: float = 300.0
    air_capacity: float = 1.2e3
    lid_capacity: float = 90.0
    heater_to_air: float = 3.0
    air_to_medium: float = 2.0
    lid_to_air: float = 0.33
    lid_to_medium: float = 0.35
    lid_radiation: float = 0.1


class Switching(Struct, frozen=True):
    """On-off control in time: ranges [°C], period [s], the lid against the medium [-, K]. Use the pattern, not the decimals."""

    air_low: float
    air_high: float
    medium_low: float
    medium_high: float
    period: float
    share_lid_colder: float
    lid_minus_medium_lowest: float


_STEP = 5.0  # s, a twentieth of the quickest node (heater: 300 J/K over 3 W/K)
_SETTLING = 6 * 3600.0  # s, four times the slowest node (medium: 10.4 kJ/K over 2.0 W/K)
_LONGEST = 72 * 3600.0  # s, judgement
_PERIODS = 2  # whole periods that are looked at


def switching(
    box: SwitchedBox,
    probe: Literal["medium", "air"],
    power: float,
    room: float,
    set_point: float,
    band: float,
    sensor_time: float = 60.0,
) -> Switching:
    """Air, medium and egg-box lid while an on-off thermostat switches heat from above.

    box: capacities and links; probe: buried in the medium or in the air; power [W], above 0; room, set_point
    [°C]; band [K], 0.05 to 20; sensor_time [s], 10 to 1800. Result: ranges over two periods, after six hours
    of settling. One tier, four nodes and a sensor; the capacities are guesses.
    Raises NeverSwitches, and ValueError out of range. Takes about 5 ms.
    Reference: explicit steps of 5 s; own model (derived), agrees with an earlier simulation of the
    same nodes.
    """
    if probe not in ("medium", "air"):
        raise ValueError(f"probe is in {probe!r}: must be one of medium, air")
    check_range("power", power, 1e-3, 1e4, "W")
    check_range("conductance", box.conductance, 1e-3, 100.0, "W/K")
    check_range("switching band", band, 0.05, 20.0, "K")
    check_range("sensor time", sensor_time, 10.0, 1800.0, "s")
    if room + power / box.conductance <= set_point + band / 2.0 or room >= set_point - band / 2.0:
        raise NeverSwitches("the heater is too weak, or the room too warm, for the thermostat ever to switch")

    quickest = min(
        box.heater_capacity / box.heater_to_air,
        box.lid_capacity / (box.lid_to_air + box.lid_to_medium),
        box.air_capacity / (box.heater_to_air + box.air_to_medium + box.conductance + box.lid_to_air),
        sensor_time,
    )
    step = min(_STEP, quickest / 4.0)
    heater = air = medium = lid = sensor = set_point
    on = True
    switched_on: list[int] = []
    airs: list[float] = []
    media: list[float] = []
    lid_minus_medium: list[float] = []
    settling = round(_SETTLING / step)
    for number in range(round(_LONGEST / step)):
        given = power if on else 0.0
        from_heater = box.heater_to_air * (heater - air)
        into_medium = box.air_to_medium * (air - medium)
        lid_to_air, lid_to_medium = box.lid_to_air * (lid - air), box.lid_to_medium * (lid - medium)
        to_room = box.conductance * (air - room)
        heater += step / box.heater_capacity * (given * (1.0 - box.lid_radiation) - from_heater)
        air += step / box.air_capacity * (from_heater + lid_to_air - into_medium - to_room)
        medium += step / box.medium_capacity * (into_medium + lid_to_medium)
        lid += step / box.lid_capacity * (given * box.lid_radiation - lid_to_air - lid_to_medium)
        sensor += step / sensor_time * ((medium if probe == "medium" else air) - sensor)
        if on and sensor > set_point + band / 2.0:
            on = False
        elif not on and sensor < set_point - band / 2.0:
            on = True
            if number >= settling:
                switched_on.append(number)
                if len(switched_on) > _PERIODS:
                    break
        if switched_on:
            airs.append(air)
            media.append(medium)
            lid_minus_medium.append(lid - medium)
    else:
        raise NeverSwitches(
            "the thermostat hardly ever switches: its band is too wide for this box and heater"
        )
    return Switching(
        air_low=min(airs),
        air_high=max(airs),
        medium_low=min(media),
        medium_high=max(media),
        period=(switched_on[-1] - switched_on[0]) * step / _PERIODS,
        share_lid_colder=sum(step < 0.0 for step in lid_minus_medium) / len(media),
        lid_minus_medium_lowest=min(lid_minus_medium),
    )


def proportional_ripple(power: float, duty_share: float, cycle: float, heat_capacity: float) -> float:
    """Ripple that pulses of a proportional thermostat leave.

    power [W], 0 to 1e4; duty_share [-], 0 to 1; cycle [s], 0 to 3600; heat_capacity [J/K] of what is heated,
    above 0: 300 for a mat (guess). Result [K]. Raises ValueError out of range. Reference: P D (1 - D)
    cycle/C; derived.
    """
    check_range("power", power, 0.0, 1e4, "W")
    check_range("duty", duty_share, 0.0, 1.0, "(share)")
    check_range("cycle", cycle, 0.0, 3600.0, "s")
    check_range("heat capacity", heat_capacity, 1.0, 1e7, "J/K")
    return power * duty_share * (1.0 - duty_share) * cycle / heat_capacity
