"""Heat that evaporates a kilogram of water [J/kg], from CoolProp."""

from CoolProp.CoolProp import PropsSI


def latent_heat(temperature: float) -> float:
    vapour, liquid = (PropsSI("H", "T", temperature + 273.15, "Q", quality, "Water") for quality in (1, 0))
    return float(vapour - liquid)
