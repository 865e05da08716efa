"""Heat and vapour exchange at surfaces and through layers of still air: natural convection, radiation, dew.

Air properties are those of dry air at 30 °C; over 20 to 45 °C they move a coefficient by 3 % or less, while
the correlations themselves are good to 15 % (30 to 50 % for the smallest differences).
"""

import math

from advisor.formulas.air.moist_air import (
    check_range,
    relative_humidity_over_medium,
    saturation_pressure,
    saturation_vapour_density,
    vapour_diffusivity,
    virtual_temperature,
)

GRAVITY = 9.80665  # m/s2, standard gravity, exact by definition
STEFAN_BOLTZMANN = 5.670374e-8  # W/(m2 K4), CODATA 2018
AIR_CONDUCTIVITY = 0.02662  # W/(m K), dry air at 30 °C; CoolProp (read)
AIR_VISCOSITY = 1.6046e-5  # m2/s, kinematic, dry air at 30 °C; CoolProp (read)
AIR_HEAT_DIFFUSIVITY = 2.2706e-5  # m2/s, dry air at 30 °C; CoolProp (read)
AIR_PRANDTL = 0.7067  # [-], dry air at 30 °C; CoolProp (read)
AIR_HEAT_PER_VOLUME = 1172.3  # J/(m3 K), dry air at 30 °C: 1.1647 kg/m3 x 1006.5 J/(kg K), CoolProp (read)
LEWIS = 0.863  # [-], heat over vapour diffusivity at 30 °C; derived from CoolProp and Massman 1998

# Rayleigh number per kelvin and cubic metre at 30 °C [1/(K m3)].
RAYLEIGH_PER_KELVIN = GRAVITY / (303.15 * AIR_VISCOSITY * AIR_HEAT_DIFFUSIVITY)

# Horizontal plates: Nu = factor x Ra^exponent. Hot face up or cold face down, and the reverse.
FAVOURABLE_FACTOR, FAVOURABLE_EXPONENT = 0.54, 0.25  # McAdams, Ra 1e4 to 1e7; read
UNFAVOURABLE_FACTOR, UNFAVOURABLE_EXPONENT = 0.52, 0.2  # Incropera 6th edition, Ra 1e4 to 1e9; from memory

CRITICAL_RAYLEIGH = 1708.0  # [-], layer heated from below between rigid plates; read


def rayleigh_number(temperature_difference: float, size: float) -> float:
    """Rayleigh number of air at about 30 °C.

    temperature_difference [K], virtual temperatures where air is moist; size [m], 0.001 to 5. Result [-], not
    negative.
    Raises ValueError out of range. Reference: g beta dT L^3/(nu alpha), beta = 1/T.
    """
    check_range("size", size, 1e-3, 5.0, "m")
    return RAYLEIGH_PER_KELVIN * abs(temperature_difference) * size**3


def layer_nusselt(rayleigh: float) -> float:
    """Nusselt number of a flat layer of air heated from below.

    rayleigh [-], 0 to 1e8. Result [-], 1 while the air stands still (below 1708). Raises ValueError out of
    range.
    Reference: Hollands et al. 1976, J. Heat Transfer 98:189, tilt 0; from memory, within 2 % of the 1984
    version in the package ht (read). A layer heated from above keeps still: 1.
    """
    check_range("Rayleigh number", rayleigh, 0.0, 1e8, "(plain number)")
    if rayleigh <= CRITICAL_RAYLEIGH:
        return 1.0
    cells = 1.44 * (1.0 - CRITICAL_RAYLEIGH / rayleigh)
    return 1.0 + cells + max(math.cbrt(rayleigh / 5830.0) - 1.0, 0.0)


def laminar_plate_factor(prandtl: float) -> float:
    """Factor of Ra^(1/4) in the laminar upright-plate equation.

    prandtl [-], 0.01 to 1000. Result [-]. Raises ValueError out of range. Reference: Churchill & Chu 1975.
    """
    check_range("Prandtl number", prandtl, 0.01, 1000.0, "(plain number)")
    return float(0.670 / (1.0 + (0.492 / prandtl) ** (9.0 / 16.0)) ** (4.0 / 9.0))


def horizontal_plate_nusselt(rayleigh: float, favourable: bool) -> float:
    """Nusselt number of a level plate, its size being area over perimeter.

    rayleigh [-], 0 to 1e11 if favourable, else to 1e9; favourable: True for hot face up or cold face down.
    Result [-], within 15 % above 1e4 and 30 to 50 % below. Raises ValueError out of range.
    Reference: McAdams 0.54 Ra^0.25 and, from 1e7, 0.15 Ra^(1/3) (read); Incropera 6th edition 0.52 Ra^0.2
    (from memory).
    """
    check_range("Rayleigh number", rayleigh, 0.0, 1e11 if favourable else 1e9, "(plain number)")
    if not favourable:
        return float(UNFAVOURABLE_FACTOR * rayleigh**UNFAVOURABLE_EXPONENT)
    if rayleigh > 1e7:
        return 0.15 * math.cbrt(rayleigh)
    return float(FAVOURABLE_FACTOR * rayleigh**FAVOURABLE_EXPONENT)


def forced_plate_nusselt(reynolds: float, prandtl: float = AIR_PRANDTL) -> float:
    """Mean Nusselt number of a flat face along which air streams.

    reynolds [-], 0 to 5e5, on its length; prandtl [-], 0.6 to 50. Result [-]. Laminar: the air that a small fan stirs is
    rougher, and carries up to half as much again (judgement). Raises ValueError out of range.
    Reference: Pohlhausen 1921; Incropera 6th edition, eq. 7.30: 0.664 Re^(1/2) Pr^(1/3).
    """
    check_range("Reynolds number", reynolds, 0.0, 5e5, "(plain number)")
    check_range("Prandtl number", prandtl, 0.6, 50.0, "(plain number)")
    return 0.664 * math.sqrt(reynolds) * math.cbrt(prandtl)


def forced_film(speed: float, length: float) -> float:
    """Film of a face along which air of about 30 °C streams.

    speed [m/s], 0 to 5; length [m], 0.001 to 5, along the stream. Result [W/(m2 K)]. Raises ValueError out of range.
    Reference: `forced_plate_nusselt`.
    """
    check_range("air speed", speed, 0.0, 5.0, "m/s")
    check_range("length", length, 1e-3, 5.0, "m")
    return forced_plate_nusselt(min(speed * length / AIR_VISCOSITY, 5e5)) * AIR_CONDUCTIVITY / length


def layer_sherwood(nusselt: float) -> float:
    """Sherwood number of a layer from its Nusselt number.

    nusselt [-], 1 to 1000. Result [-]; exactly 1 (pure diffusion) in a motionless layer. Raises ValueError
    out of range.
    Reference: Chilton-Colburn analogy on the convective part, 1 + (Nu - 1) Le^(1/3); derived.
    """
    check_range("Nusselt number", nusselt, 1.0, 1000.0, "(plain number)")
    return float(1.0 + (nusselt - 1.0) * LEWIS ** (1.0 / 3.0))


def vapour_transfer_coefficient(heat_coefficient: float) -> float:
    """Speed at which vapour crosses to a surface, from its convective heat coefficient.

    heat_coefficient [W/(m2 K)], 0 to 100, convection alone. Result [m/s]. Raises ValueError out of range.
    Reference: Chilton-Colburn analogy, h/(rho cp Le^(2/3)); 9.4e-4 m/s at 1 W/(m2 K) (derived).
    """
    check_range("heat coefficient", heat_coefficient, 0.0, 100.0, "W/(m2 K)")
    return float(heat_coefficient / (AIR_HEAT_PER_VOLUME * LEWIS ** (2.0 / 3.0)))


def layer_condensation(
    medium_temperature: float,
    lid_temperature: float,
    headspace: float,
    water_potential: float = 0.0,
    layer_factor: float = 1.0,
) -> float:
    """Water that a cool lid collects from the moist medium under it, per area of lid.

    medium_temperature, lid_temperature [°C], 0 to 100; headspace [m], 0.001 to 0.5, between them;
    water_potential [Pa] of the medium, -100e6 to 0; layer_factor [-], 0.3 to 3, on the exchange through the
    layer. Result [kg/(m2 s)], 0 when the lid is above the dew point; within 30 %. Closed box, both surfaces
    wet. Raises ValueError out of range.
    Reference: Hollands et al. 1976 on the virtual-temperature difference, Chilton-Colburn analogy; derived.
    """
    check_range("medium temperature", medium_temperature, 0.0, 100.0, "°C")
    check_range("lid temperature", lid_temperature, 0.0, 100.0, "°C")
    check_range("headspace", headspace, 1e-3, 0.5, "m")
    check_range("layer factor", layer_factor, 0.3, 3.0, "(factor)")
    humidity = relative_humidity_over_medium(water_potential, medium_temperature)
    surplus = humidity * saturation_vapour_density(medium_temperature) - saturation_vapour_density(
        lid_temperature
    )
    if surplus <= 0.0:
        return 0.0
    lightness = virtual_temperature(medium_temperature, humidity * saturation_pressure(medium_temperature))
    lightness -= virtual_temperature(lid_temperature, saturation_pressure(lid_temperature))
    nusselt = layer_nusselt(min(rayleigh_number(max(lightness, 0.0), headspace), 1e8))
    mean_temperature = (medium_temperature + lid_temperature) / 2.0
    return layer_factor * layer_sherwood(nusselt) * vapour_diffusivity(mean_temperature) / headspace * surplus
