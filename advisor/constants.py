"""Figures that several layers need, in one place; the standard library alone."""

DAY = 86400.0  # s
# kg/m3, so that a millilitre is a gram, as keepers reckon. By CoolProp 998.2 at 20 °C and 995.7 at 30 °C: less apart than the
# marks of any jug.
WATER_DENSITY = 1000.0
