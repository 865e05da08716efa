"""Which formula made a figure in this plan: the function whose docstring `--why` shows."""

from advisor.model.figures import Figure
from advisor.model.forecast import HOTTEST_LAYER, ONE_LAYER, STAY_SHUT
from advisor.model.plan import Plan

# Figure of a finding or forecast entry -> the function whose docstring is its formula, whatever the plan.
FORMULAS = {
    "spread": "formulas.heat.box_network.state_at_set_point",
    "conductance": "formulas.heat.insulated_box.box_conductance",
    "watts_needed": "formulas.heat.box_network.state_at_set_point",
    "power_share": "formulas.heat.box_network.state_at_set_point",
    "heater_surface": "formulas.heat.box_network.state_at_set_point",
    "heater_surface_full": "formulas.heat.box_network.state_at_power",
    "outer_humidity": "formulas.air.outer_vapour.box_vapour_density",
    "hours_to_harm": "formulas.heat.short_exposures.hours_to_dose",
    "hours_to_lose_3_K": "formulas.heat.warming_and_cooling.hours_until_share",
    "medium_after_12_h": "formulas.heat.warming_and_cooling.medium_course",
    "warm_up_hours": "formulas.heat.warming_and_cooling.hours_until_share",
    "lid_minus_medium": "formulas.heat.box_network.state_at_set_point",
    "condensation": "formulas.heat.convection.layer_condensation",
    "condensation_if_lid_heated": "formulas.heat.box_network.state_at_set_point",
    "medium_temperature": "formulas.heat.box_network.state_at_set_point",
    "water_potential": "formulas.water.medium.water_potential",
    "free_water": "formulas.water.medium.free_water",
    "water_loss": "formulas.water.egg_box_water.daily_vapour_loss",
    "lasts_until_day": "formulas.water.egg_box_water.step",
    "water_at_hatching": "formulas.water.egg_box_water.step",
    "water_if_kept_at_weight": "formulas.water.egg_box_water.step",
    "first_top_up_day": "formulas.water.egg_box_water.step",
    "opening_loss": "formulas.air.vents.water_lost_at_opening",
    "oxygen_lowest": "formulas.air.oxygen.box_air",
    "carbon_dioxide_highest": "formulas.air.oxygen.box_air",
    "holes_enough": "formulas.air.oxygen.holes_enough",
    "places_for_eggs": "formulas.water.places.places_for_eggs",
    "incubation_days": "formulas.days.incubation_days.predicted_days",
    "male_share": "formulas.sexes.male_share.male_share_at",
}
MIXES = {
    "volume": "formulas.water.medium.water_content_from_volume_mix",
    "mass": "formulas.water.medium.water_content_from_mass_mix",
}


def formulas_of(name: str, figure: Figure, plan: Plan) -> tuple[str, ...]:
    """The functions behind a figure; none where it is a fixed guess or another figure as it stands."""
    if figure.basis in (ONE_LAYER, STAY_SHUT) or (figure.quantity == "hours" and figure.high == 0):
        return ()
    if name == "condensation" and figure.high == 0:  # the lid is the warmer one
        return (FORMULAS["lid_minus_medium"],)
    if name == "swing":
        pulses = plan.control.thermostat in ("pulse", "dimming")
        return (
            "formulas.heat.thermostat.proportional_ripple"
            if pulses
            else "formulas.heat.thermostat.switching",
        )
    if name == "stuck_on_temperature":
        network = "formulas.heat.box_network.state_at_power"
        return (
            network
            if figure.basis == HOTTEST_LAYER
            else "formulas.heat.warming_and_cooling.stuck_on_temperature",
        )
    if name == "water_per_dry_mass":
        return tuple(dict.fromkeys(MIXES[box.medium.mix.by] for box in plan.egg_boxes if box.medium.mix))
    return (FORMULAS[name],) if name in FORMULAS else ()
