"""What a thermostat makes of the temperature: swing, offset, the lid while heat is off, sensor errors."""

import math
from typing import Literal

from advisor.frozen import dataclass
from advisor.physics.moist_air import ZERO_CELSIUS, NoSolution, check_range


class NeverSwitches(NoSolution):
    """The heater cannot reach the switching-off temperature, or the room keeps the box too warm."""


@dataclass(frozen=True, slots=True)
class Swing:
    """On-off control: highest, lowest, mean [°C], swing and offset of the mean [K], period [s], duty [-]."""

    highest: float
    lowest: float
    mean: float
    swing: float
    offset: float
    period: float
    duty: float


def on_off_swing(
    power: float,
    conductance: float,
    heat_capacity: float,
    room: float,
    set_point: float,
    band: float,
    dead_time: float,
    sensor_time: float,
) -> Swing:
    """Swing of a box under an on-off thermostat, box and contents being one lump.

    power [W], above 0; conductance of the box [W/K], above 0; heat_capacity [J/K], above 0, of all that
    follows the probe; room, set_point [°C]; band [K], 0 or more, from on to off; dead_time, sensor_time [s],
    0 or more, their sum at most a fifth of heat_capacity/conductance. Result: the swing; within 3 % while the
    sensor is quick, up to 15 % too wide when it lags by a tenth of the time constant. Raises NeverSwitches,
    and ValueError out of range.
    Reference: exponential rise and fall over band and delay; derived, agrees with a step-by-step simulation.
    """
    check_range("power", power, 1e-3, 1e4, "W")
    check_range("conductance", conductance, 1e-3, 100.0, "W/K")
    check_range("heat capacity", heat_capacity, 1.0, 1e7, "J/K")
    check_range("switching band", band, 0.0, 20.0, "K")
    time_constant = heat_capacity / conductance
    check_range("dead time plus sensor time", dead_time + sensor_time, 0.0, 0.2 * time_constant, "s")
    full_on = room + power / conductance
    upper, lower = set_point + band / 2.0, set_point - band / 2.0
    if full_on <= upper:
        raise NeverSwitches(
            f"the heater alone reaches {full_on:.1f} °C: a thermostat that switches off at {upper:.1f} °C "
            "never does"
        )
    if room >= lower:
        raise NeverSwitches(
            f"the room at {room:.1f} °C keeps the box above {lower:.1f} °C, where it would switch on"
        )
    late = math.exp(-(dead_time + sensor_time) / time_constant)
    highest = full_on - (full_on - upper) * late
    lowest = room + (lower - room) * late
    if highest <= lowest:
        raise NeverSwitches(
            "a thermostat without band and delay has no swing: give a band above 0 K or a delay above 0 s"
        )
    heating = time_constant * math.log((full_on - lowest) / (full_on - highest))
    cooling = time_constant * math.log((highest - room) / (lowest - room))
    duty = heating / (heating + cooling)
    # Over a whole period the lump stores nothing, so its mean is that of a heater at power x duty.
    mean = room + duty * power / conductance
    return Swing(highest, lowest, mean, highest - lowest, mean - set_point, heating + cooling, duty)


def duty(power: float, conductance: float, room: float, set_point: float) -> float:
    """Share of the time the heater must run; above 1 it is too weak.

    power [W], above 0; conductance [W/K]; room, set_point [°C]. Result [-], 0 when the room is warm enough.
    Raises ValueError out of range. Reference: steady balance UA (set point - room)/P.
    """
    check_range("power", power, 1e-3, 1e4, "W")
    check_range("conductance", conductance, 1e-3, 100.0, "W/K")
    return max(conductance * (set_point - room) / power, 0.0)


@dataclass(frozen=True, slots=True)
class SwitchedBox:
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


@dataclass(frozen=True, slots=True)
class Switching:
    """On-off control in time: ranges [°C], period [s], shares of the time [-], lowest lid minus medium [K].

    Use the pattern, not the decimals.
    """

    air_low: float
    air_high: float
    medium_low: float
    medium_high: float
    period: float
    share_air_colder: float
    share_lid_colder: float
    lid_minus_medium_lowest: float


@dataclass(frozen=True, slots=True)
class LidColderRange:
    """Likely range of the time the lid is colder than the medium [-], and of lowest lid minus medium [K]."""

    share_low: float
    share_high: float
    lowest_low: float
    lowest_high: float


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
    [°C]; band [K], 0.05 to 20; sensor_time [s], 10 to 1800. Result: ranges and shares over two periods, after
    six hours of settling. One tier, four nodes and a sensor; the capacities are guesses, so
    `lid_colder_range` says how far to trust the lid.
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
    lids: list[float] = []
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
            lids.append(lid)
    else:
        raise NeverSwitches(
            "the thermostat hardly ever switches: its band is too wide for this box and heater"
        )
    lid_minus_medium = [a - b for a, b in zip(lids, media, strict=True)]
    return Switching(
        air_low=min(airs),
        air_high=max(airs),
        medium_low=min(media),
        medium_high=max(media),
        period=(switched_on[-1] - switched_on[0]) * step / _PERIODS,
        share_air_colder=sum(a < b for a, b in zip(airs, media, strict=True)) / len(airs),
        share_lid_colder=sum(d < 0.0 for d in lid_minus_medium) / len(lids),
        lid_minus_medium_lowest=min(lid_minus_medium),
    )


def lid_colder_range(probe: Literal["medium", "air"]) -> LidColderRange:
    """How long and how far the lid is colder than the medium under on-off heat from above.

    probe: buried in the medium or in the air. Result: the range for heaters of 15 to 30 W in a 60-litre box.
    With the probe in the air the lid stays practically dry. Raises ValueError for other words.
    Reference: `switching` with heater and air capacities and their two links drawn at 0.5 to 5 times their
    guess, all at once (derived; one at a time gave 23 to 51 % and at worst -1.7 K for the medium, 0 to 19 %
    and -0.2 K for the air).
    """
    if probe == "medium":
        return LidColderRange(0.23, 0.56, -1.8, -0.1)
    if probe == "air":
        return LidColderRange(0.0, 0.37, -0.3, 0.0)
    raise ValueError(f"probe is in {probe!r}: must be one of medium, air")


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


def proportional_droop(band: float, duty_share: float, bias: float = 0.5) -> float:
    """How far a proportional thermostat without integral action settles below its set point.

    band [K], 0 to 20; duty_share [-], 0 to 1; bias [-], 0 to 1, duty at the set point itself. Result [K],
    negative when it settles above. Raises ValueError out of range. Reference: band x (duty - bias); derived.
    """
    check_range("proportional band", band, 0.0, 20.0, "K")
    check_range("duty", duty_share, 0.0, 1.0, "(share)")
    check_range("bias", bias, 0.0, 1.0, "(share)")
    return band * (duty_share - bias)


@dataclass(frozen=True, slots=True)
class ErrorBudget:
    """Likely error and worst case of a temperature [K]."""

    likely: float
    worst: float


def error_budget(sensor: float, placement: float, swing: float) -> ErrorBudget:
    """Error of the temperature an egg has, from sensor, place and swing.

    sensor, placement [K], 0 or more, plus or minus; swing [K], 0 or more, lowest to highest. Result: likely
    error, the three being independent and the swing even, and worst case. Raises ValueError out of range.
    Reference: JCGM 100, root of squares, swing^2/12; worst case sensor + placement + swing/2.
    """
    for name, value in (("sensor error", sensor), ("placement error", placement), ("swing", swing)):
        check_range(name, value, 0.0, 50.0, "K")
    return ErrorBudget(
        math.sqrt(sensor**2 + placement**2 + swing**2 / 12.0), sensor + placement + swing / 2.0
    )


# IEC 60751:2022, tolerance = constant [K] + slope [K/°C] x |t|; read.
_PLATINUM_CLASSES = {"AA": (0.10, 0.0017), "A": (0.15, 0.002), "B": (0.30, 0.005), "C": (0.60, 0.01)}


def platinum_tolerance(tolerance_class: str, temperature: float) -> float:
    """Tolerance of a platinum resistance sensor.

    tolerance_class: "AA", "A", "B" or "C"; temperature [°C], -50 to 250. Result [K], plus or minus.
    Raises ValueError out of range. Reference: IEC 60751:2022 (read).
    """
    if tolerance_class not in _PLATINUM_CLASSES:
        raise ValueError(
            f"tolerance class is {tolerance_class!r}: must be one of {', '.join(_PLATINUM_CLASSES)}"
        )
    check_range("temperature", temperature, -50.0, 250.0, "°C")
    constant, slope = _PLATINUM_CLASSES[tolerance_class]
    return constant + slope * abs(temperature)


def platinum_resistance(temperature: float) -> float:
    """Resistance of a platinum sensor of 100 ohm at 0 °C.

    temperature [°C], 0 to 250. Result [ohm]. Raises ValueError out of range.
    Reference: IEC 60751:2022, 100 (1 + 3.9083e-3 t - 5.775e-7 t^2).
    """
    check_range("temperature", temperature, 0.0, 250.0, "°C")
    return 100.0 * (1.0 + 3.9083e-3 * temperature - 5.775e-7 * temperature**2)


def thermistor_resistance(temperature: float, at_25: float = 1e4, constant: float = 3950.0) -> float:
    """Resistance of an NTC thermistor.

    temperature [°C], -20 to 100; at_25 [ohm], its resistance at 25 °C, above 0; constant [K], its B value,
    2000 to 5000.
    Result [ohm]. Raises ValueError out of range. Reference: B equation; common part 10 kilo-ohm, 3950 K
    (practice).
    """
    check_range("temperature", temperature, -20.0, 100.0, "°C")
    check_range("resistance at 25 °C", at_25, 1.0, 1e7, "ohm")
    check_range("B constant", constant, 2000.0, 5000.0, "K")
    return at_25 * math.exp(constant * (1.0 / (temperature + ZERO_CELSIUS) - 1.0 / 298.15))


def thermistor_error(temperature: float, resistance_error: float, constant: float = 3950.0) -> float:
    """Temperature error that a relative error of a thermistor's resistance makes.

    temperature [°C], -20 to 100; resistance_error [-], 0 to 0.2; constant [K], 2000 to 5000. Result [K].
    Raises ValueError out of range. Reference: B equation differentiated, (dR/R) T^2/B; derived.
    """
    check_range("temperature", temperature, -20.0, 100.0, "°C")
    check_range("error of the resistance", resistance_error, 0.0, 0.2, "(share)")
    check_range("B constant", constant, 2000.0, 5000.0, "K")
    return resistance_error * (temperature + ZERO_CELSIUS) ** 2 / constant
