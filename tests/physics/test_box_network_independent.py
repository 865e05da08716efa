"""The network written down a second time, link by link with numbers in place of names, and solved by scipy.

Only the reference box with lid or floor heat: it holds the assembly of the links against a plain list of
them.
"""

import math
from dataclasses import replace

import numpy
import pytest
from CoolProp.CoolProp import PropsSI
from scipy.optimize import least_squares

from advisor.physics.box_network import BoxSetup, EggBoxes, state_at_set_point
from advisor.physics.foam_box import BoxSize

ROOM, SET_POINT = 20.0, 29.0
NODES = ("H", "C", "SU", "SL", "F", "U", "L", "MU", "PU", "ML", "PL")
PER_KELVIN = 9.81 / 303.15 / (1.6046e-5 * 2.2706e-5)  # Rayleigh number per K and m3, air at 30 °C
AIR = 0.02662  # W/(m K)
PLASTIC = 0.001 / 0.22  # m2 K/W


def upright(difference, height):
    """Laminar plate, Churchill & Chu 1975, Pr 0.707."""
    return AIR / height * (0.68 + 0.515 * (PER_KELVIN * height**3 * abs(difference)) ** 0.25)


def level(difference, length, good):
    """McAdams or Incropera, by direction."""
    rayleigh = PER_KELVIN * length**3 * abs(difference)
    return AIR / length * (0.54 * rayleigh**0.25 if good else 0.52 * rayleigh**0.2)


def cells(rayleigh):
    """Hollands et al. 1976."""
    return 1 + 1.44 * max(0.0, 1 - 1708 / max(rayleigh, 1e-9)) + max((rayleigh / 5830) ** (1 / 3) - 1, 0.0)


def pressure(temperature):
    """Saturation pressure by IAPWS-95, so that even this comes from elsewhere."""
    return PropsSI("P", "T", temperature + 273.15, "Q", 0, "Water")


def dew(medium, lid):
    """Heat W/m2 of condensation over 5 cm, medium warmer than lid."""
    virtual = [(t + 273.15) / (1 - 0.378 * pressure(t) / 101325) for t in (medium, lid)]
    nusselt = cells(PER_KELVIN * (virtual[0] - virtual[1]) * 0.05**3)
    density = [pressure(t) / 461.52 / (t + 273.15) for t in (medium, lid)]
    speed = (1 + (nusselt - 1) * 0.863 ** (1 / 3)) * 2.62e-5 / 0.05
    return nusselt, speed * (density[0] - density[1]) * 2.432e6


def links(place, x):
    """All links of the reference box: node, node, W/K at these temperatures, or W for dew."""
    out = [
        ("C", "R", 0.27228),
        ("SU", "R", 0.28611),
        ("SL", "R", 0.28611),
        ("F", "R", 0.25620),
        ("L", "R", 0.0039),
    ]
    near, opposite, air = ("C", "F", "U") if place == "lid" else ("F", "C", "L")
    back = out.pop(0 if place == "lid" else 3)
    out += [(near, "R", back[2] / 2), ("H", "R", back[2] / 2)]  # the mat covers half of 0.24 m2
    whole = {near: 0.12, opposite: 0.24}

    out.append((near, air, 0.12 * level(x[near] - x[air], 0.12, (x[near] < x[air]) == (place == "lid"))))
    other = "L" if place == "lid" else "U"
    good = (x[opposite] > x[other]) == (place == "lid")
    out.append((opposite, other, 0.24 * level(x[opposite] - x[other], 0.12, good)))
    out.append(("H", air, 0.12 * level(x["H"] - x[air], 0.12, (x["H"] < x[air]) == (place == "lid"))))
    out.append(("SU", "U", 0.25 * upright(x["SU"] - x["U"], 0.25)))
    out.append(("SL", "L", 0.25 * upright(x["SL"] - x["L"], 0.25)))
    lower = x["L"] - x["U"]
    out.append(
        ("L", "U", max(0.24 * cells(PER_KELVIN * 0.125**3 * lower) * AIR / 0.125, 3.0) if lower > 0 else 0.3)
    )

    patches = [("C", whole.get("C", 0.24)), ("F", whole.get("F", 0.24)), ("H", 0.12)]
    for name, area in patches:
        top = name == "C" or (name == "H" and place == "lid")
        out.append((name, "PU" if top else "ML", 5.1 * area * 0.20))
        out.append((name, "SU", 5.1 * area * (0.40 if top else 0.15)))
        out.append((name, "SL", 5.1 * area * (0.15 if top else 0.40)))
    out += [
        ("H", opposite, 5.1 * 0.12 * 0.25),
        (near, opposite, 5.1 * 0.12 * 0.25),
        ("SU", "SL", 5.1 * 0.25 * 0.20),
    ]

    for m, p, a, s in (("MU", "PU", "U", "SU"), ("ML", "PL", "L", "SL")):
        out.append((m, a, 0.056 / (1 / upright(x[m] - x[a], 0.04) + PLASTIC)))
        out.append((m, s, 5.1 * 0.028))
        base = max(level(x[m] - x["L"], 0.03 / 0.7, x[m] < x["L"]), 1e-9)
        out.append((m, "L", 0.06 / (1 / base + PLASTIC)))
        top = max(level(x[p] - x[a], 0.03 / 0.7, x[p] > x[a]), 1e-9)
        out.append((p, a, 0.06 / (1 / top + PLASTIC) + 0.035 / (1 / upright(x[p] - x[a], 0.05) + PLASTIC)))
        out.append((p, s, 5.1 * 0.035 / 2))
        if x[m] > x[p]:
            nusselt, heat = dew(x[m], x[p])
            out.append((m, p, 0.06 * (nusselt * AIR / 0.05 + 5.3 + heat / (x[m] - x[p]))))
        else:
            out.append((m, p, 0.06 * (AIR / 0.05 + 5.3)))
    return [*out, ("MU", "PL", 5.1 * 0.06 * 0.60)]


def solve(place):
    """Temperatures by name, power under "P"."""
    probe = NODES.index("ML")

    def read(unknown):
        x = dict(zip(NODES, unknown, strict=True))
        return {**x, "ML": SET_POINT, "R": ROOM}, unknown[probe]

    def errors(unknown):
        x, power = read(unknown)
        sums = dict.fromkeys((*NODES, "R"), 0.0)
        sums["H"] -= power
        for one, other, conductance in links(place, x):
            sums[one] += conductance * (x[one] - x[other])
            sums[other] -= conductance * (x[one] - x[other])
        return [sums[name] for name in NODES]

    start = numpy.array([35.0, 28.0, 28.5, 28.2, 28.3, 29.5, 29.2, 29.4, 29.6, 10.0, 29.1])
    found = least_squares(errors, start, xtol=1e-14, ftol=1e-14, gtol=1e-14)
    assert math.sqrt(2 * found.cost) < 1e-6
    x, power = read(found.x)
    return {**x, "P": power}


@pytest.mark.parametrize("place", ["lid", "floor"])
def test_a_second_writing_of_the_network_agrees(place: str) -> None:
    eggs = EggBoxes(2, 0.20, 0.15, 0.09, 0.04)
    setup = BoxSetup(BoxSize(0.60, 0.40, 0.25), 0.03, 0.035, ROOM, SET_POINT, "mat", "lid", 0.12, eggs, eggs)
    own = state_at_set_point(replace(setup, heat_place=place))
    other = solve(place)
    # Constants are rounded to three to five digits here, and the dew comes from IAPWS-95: 1 mK in all.
    assert own.power == pytest.approx(other["P"], rel=2e-4)
    for name, value in (
        ("H", own.heater), ("C", own.ceiling), ("SU", own.upper_sides), ("SL", own.lower_sides), ("F", own.floor),
        ("U", own.upper_air), ("L", own.lower_air), ("MU", own.upper.medium), ("PU", own.upper.lid),
        ("ML", own.lower.medium), ("PL", own.lower.lid),
    ):  # fmt: skip
        assert value == pytest.approx(other[name], abs=3e-3), name
