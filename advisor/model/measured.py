"""What was measured on the real box: the same names and nesting as `measured` in the plan file, in SI units.

Temperatures in °C, durations in s, energy in J, power in W, masses in kg, shares and humidities from 0 to 1.
"""

from msgspec import Struct


class HeaterOn(Struct, frozen=True):
    """Share of the time that the heater is on, over how long it was watched; room and medium meanwhile."""

    share: float
    over: float
    room: float
    medium: float


class Energy(Struct, frozen=True):
    """What a meter counted, over how long; watts of the thermostat alone, None where they were not read."""

    used: float
    over: float
    room: float
    medium: float
    thermostat_alone: float | None = None


class SwitchedOff(Struct, frozen=True):
    """The medium before and after some time without heat, in a room."""

    medium_from: float
    medium_to: float
    after: float
    room: float


class WarmUp(Struct, frozen=True):
    """How long the box took from cold until the medium was within half a kelvin of the set point, in a room."""

    took: float
    room: float


class HeaterFace(Struct, frozen=True):
    """Mean temperature of the heater's face at the set point; room and medium meanwhile."""

    temperature: float
    room: float
    medium: float


class MeasuredMedium(Struct, frozen=True):
    """Mean temperature of the medium, and of the lid, of one egg box of a kind; tier "lower", "upper" or as the kind's."""

    box: str
    place: str
    medium: float
    lid: float | None = None
    tier: str | None = None
    thermometer: str | None = None


class WeighedLid(Struct, frozen=True):
    """What one closed egg box of a kind lost, over how long."""

    box: str
    lost: float
    over: float


class MediumHolds(Struct, frozen=True):
    """Water that the drained medium of a kind of egg box holds [kg to each kg dry]."""

    box: str
    water: float


class IcePoint(Struct, frozen=True):
    """What a thermometer shows in ice and water; `THERMOSTAT` is the thermostat's probe."""

    thermometer: str
    at_ice_point: float


THERMOSTAT = "thermostat"


class Measured(Struct, frozen=True):
    """All that was measured; swing [K] of the medium, relative humidity of the air in the outer box."""

    heater_on: tuple[HeaterOn, ...] = ()
    energy: Energy | None = None
    switched_off: SwitchedOff | None = None
    warm_up: WarmUp | None = None
    heater_face: HeaterFace | None = None
    boxes: tuple[MeasuredMedium, ...] = ()
    swing: float | None = None
    outer_humidity: float | None = None
    lids: tuple[WeighedLid, ...] = ()
    medium_holds: MediumHolds | None = None
    offsets: tuple[IcePoint, ...] = ()

    def at_ice_point(self, thermometer: str | None) -> float | None:
        """What a thermometer shows in ice and water; None where nobody looked."""
        return next((one.at_ice_point for one in self.offsets if one.thermometer == thermometer), None)
