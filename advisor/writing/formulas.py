"""Which formula made a figure in this plan: the function whose docstring `--why` shows."""

from advisor.model.figures import Figure
from advisor.model.forecast import HOTTEST_LAYER, ONE_LAYER, STAY_SHUT
from advisor.model.plan import Plan

# Figure of a finding or forecast entry -> the function whose docstring is its formula, whatever the plan.
FORMULAS = {
    "spread": "physics.box_network.state_at_set_point",
    "conductance": "physics.foam_box.box_conductance",
    "watts_needed": "physics.box_network.state_at_set_point",
    "power_share": "physics.box_network.state_at_set_point",
    "heater_surface": "physics.box_network.state_at_set_point",
    "heater_surface_full": "physics.box_network.state_at_power",
    "outer_humidity": "physics.outer_vapour.box_vapour_density",
    "hours_to_harm": "eggs.short_exposures.hours_to_dose",
    "hours_to_lose_3_K": "physics.transient.hours_until_share",
    "medium_after_12_h": "physics.transient.medium_course",
    "warm_up_hours": "physics.transient.hours_until_share",
    "lid_minus_medium": "physics.box_network.state_at_set_point",
    "condensation": "physics.convection.layer_condensation",
    "condensation_if_lid_heated": "physics.box_network.state_at_set_point",
    "medium_temperature": "physics.box_network.state_at_set_point",
    "water_potential": "eggs.medium.water_potential",
    "free_water": "eggs.medium.free_water",
    "water_loss": "eggs.water.daily_vapour_loss",
    "lasts_until_day": "eggs.water.step",
    "water_at_hatching": "eggs.water.step",
    "water_if_kept_at_weight": "eggs.water.step",
    "first_top_up_day": "eggs.water.step",
    "opening_loss": "physics.vents.water_lost_at_opening",
    "oxygen_lowest": "eggs.oxygen.box_air",
    "carbon_dioxide_highest": "eggs.oxygen.box_air",
    "holes_enough": "eggs.oxygen.holes_enough",
    "places_for_eggs": "eggs.places.places_for_eggs",
    "incubation_days": "eggs.development.predicted_days",
    "male_share": "eggs.sex.male_share_at",
}
MIXES = {
    "volume": "eggs.medium.water_content_from_volume_mix",
    "mass": "eggs.medium.water_content_from_mass_mix",
}


def formulas_of(name: str, figure: Figure, plan: Plan) -> tuple[str, ...]:
    """The functions behind a figure; none where it is a fixed guess or another figure as it stands."""
    if figure.basis in (ONE_LAYER, STAY_SHUT) or (figure.quantity == "hours" and figure.high == 0):
        return ()
    if name == "condensation" and figure.high == 0:  # the lid is the warmer one
        return (FORMULAS["lid_minus_medium"],)
    if name == "swing":
        pulses = plan.control.thermostat in ("pulse", "dimming")
        return ("physics.control.proportional_ripple" if pulses else "physics.control.switching",)
    if name == "stuck_on_temperature":
        network = "physics.box_network.state_at_power"
        return (network if figure.basis == HOTTEST_LAYER else "physics.transient.stuck_on_temperature",)
    if name == "water_per_dry_mass":
        return tuple(dict.fromkeys(MIXES[box.medium.mix.by] for box in plan.egg_boxes if box.medium.mix))
    return (FORMULAS[name],) if name in FORMULAS else ()
