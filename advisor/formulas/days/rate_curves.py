"""Published curves of development rate and incubation length against temperature.

T is the temperature of the egg [°C]; a rate is the share of the whole development done in a day [1/day].
"""

from advisor.formulas.air.moist_air import NoSolution

# Inhibition constants of the Dallwitz-Higgins curve that Georges et al. 2005 leave at these values
# (Dallwitz & Higgins 1992, CSIRO Division of Entomology Report 2, formula from memory) [dimensionless].
USUAL_B4 = 6.0
USUAL_B5 = 0.4


# Temperatures [°C] these functions accept: far wider than any egg survives (judgement).
WIDEST_RANGE = (-20.0, 70.0)


def check_temperature(temperature: float) -> None:
    """Raise ValueError unless the temperature [°C] lies in WIDEST_RANGE."""
    if not WIDEST_RANGE[0] <= temperature <= WIDEST_RANGE[1]:
        raise NoSolution(
            f"the temperature must lie between {WIDEST_RANGE[0]:g} and {WIDEST_RANGE[1]:g} °C, "
            f"not {temperature:g}"
        )
