"""How well two panes of glass with air between them keep heat in."""

from advisor.formulas.air.moist_air import ZERO_CELSIUS, NoSolution, check_range
from advisor.formulas.heat.convection import STEFAN_BOLTZMANN
from advisor.formulas.heat.insulated_box import wall_named

DOUBLE_GLASS = "double glass"
_PANE = 0.004  # m, each of the two panes; usual (common practice, no source)
_EMISSIVITY = 0.837  # [-], uncoated soda-lime glass; EN 673, from memory
_STILL_GAP = 0.016  # m, up to which upright air between panes hardly moves; EN 673, from memory
_AIR_CONDUCTIVITY = (0.02496, 6e-5)  # W/(m K) at 10 °C and its growth a kelvin; EN 673, from memory


def double_glass_resistance(thickness: float, temperature: float = 25.0) -> float:
    """Resistance of two uncoated panes of 4 mm with air between, from face to face, without films.

    thickness [m] of it all, 0.01 to 0.1; temperature [°C], 0 to 60, in its middle. Result [m2 K/W], within 5 %. A gap
    wider than 16 mm counts as one of 16 mm. Raises ValueError out of range, NoSolution where no air is left between.
    Reference: EN 673: radiation between two grey faces and conduction through air at rest.
    """
    check_range("thickness of double glass", thickness, 0.001, 0.2, "m")
    check_range("temperature", temperature, 0.0, 60.0, "°C")
    gap = min(thickness - 2.0 * _PANE, _STILL_GAP)
    if gap < 0.002:
        raise NoSolution(f"double glass of {1000 * thickness:.3g} mm leaves no air between two panes of 4 mm")
    radiation = 4.0 * STEFAN_BOLTZMANN * (temperature + ZERO_CELSIUS) ** 3 / (2.0 / _EMISSIVITY - 1.0)
    at_ten, growth = _AIR_CONDUCTIVITY
    conduction = (at_ten + growth * (temperature - 10.0)) / gap
    return 1.0 / (radiation + conduction) + 2.0 * _PANE / wall_named("glass").conductivity


def part_resistance(material: str, thickness: float) -> float:
    """Resistance of a door or window from face to face.

    material: "double glass" or a wall material; thickness [m]. Result [m2 K/W]. Raises ValueError for other words.
    Reference: `double_glass_resistance`; else thickness over conductivity.
    """
    if material == DOUBLE_GLASS:
        return double_glass_resistance(thickness)
    return thickness / wall_named(material).conductivity
