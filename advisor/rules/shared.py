"""What several rules, or a rule and a paper, share: limits, sentences, the smallest plan with a whole heat forecast."""

from itertools import pairwise
from typing import TypeVar

from msgspec.structs import replace

from advisor.constants import DAY
from advisor.forecast.egg_box.medium import Mixed, contents_of, mixed
from advisor.forecast.heat.egg_warmth import eggs_off
from advisor.forecast.heat.power_cut import NEVER
from advisor.model.figures import Figure, Result, Unknown
from advisor.model.findings import FIX, WATCH
from advisor.model.plan import EggBox, Heat, Medium, Mix, Plan, PlannedCoolPeriod
from advisor.model.species import Species, UsedMix
from advisor.rules.engine import Case, Lacking
from advisor.show import Show
from advisor.units import number

Known = TypeVar("Known")

# The smallest plan whose heat forecast is whole; rules that rest on it lay their own heater beside it.
BOX = """\
room: {temperature: 16 to 22 °C}
outer_box: {inside: 60 x 40 x 25 cm, wall: {material: expanded polystyrene, thickness: 30 mm}, lid_fits: well, stands_on: shelf}
control: {thermostat: pulse, set_to: 28 °C, probe: {sits_in: air}}
egg_boxes:
- {name: eggs, count: 2, holds: eggs, inside: 20 x 15 x 9 cm, stands: on a rack, tier: one,
   medium: {material: vermiculite, grade: medium, depth: 4 cm, mix: {medium: 4, water: 1, by: volume}}}
"""

# kg/kg, soft shells. Vermiculite at 0.1 holds its water at -900 to -1500 kPa (Verdu-Ricoy 2014 and the fit, in the
# data of Bell et al. 2025); at -1500 kPa none to half of the eggs of two species hatched (Paukstis 1984, Muth 1980,
# same data).
DEADLY_DRY = 0.1

# K above the set point of a cut-out: so that a normal swing does not trip it (judgement); as usual (common practice, no source).
LEAST_GAP, ADVISED_GAP = 1.0, (1.5, 2.0)

ROUNDING = 1e-6  # K; so that °F entries do not miss a limit by the last decimal

# share of its power that a heater may give in the coldest room: above it nothing is left to warm the box up; judgement
STRETCHED = 0.85

FOAMS = ("expanded polystyrene", "extruded polystyrene", "polyurethane foam", "plastic cool box")
FOAM_SURFACE = 60.0  # °C that nothing touching foam may pass, even at full power; common practice, no source

PASSED = "If that day has passed, do it today."  # rules do not know the day

MUCH_WETTER = 2.0  # times the middle one of the mixes that a profile names; judgement

HEAD_ROOM = 0.02  # m of air that stays above the medium of an egg box; judgement

# Water that settles on a square metre of lid in a day [kg/(m2 s)]. Mist shows from 1 to 10 g/m2 (from memory, order of
# magnitude), so that a day which brings less than 5 leaves the lid dry to the eye; four times that runs together and
# drips day after day (judgement).
MIST, DRIPS = 5e-3 / DAY, 20e-3 / DAY

# Computed, on-off control with the probe in the medium and heat from the lid (`formulas.heat.thermostat.switching`): 500 boxes drawn
# with 0.3 to 2 W/K, 2 to 40 kJ/K of medium, heaters 1.3 to 6 times as strong as needed, bands of 0.2 to 2 K, the other
# capacities and links at 0.5 to 5 times their guess; 95 % of the shares lie between.
LID_COLDER_SHARE = (0.20, 0.75)  # share of the time in which the egg-box lid is colder than the medium
LID_COLDER_BY = (0.1, 3.9)  # K, at worst; the widest of boxes computed one by one

# °C that eggs at rest bear for months: Chamaeleo chamaeleon hatched after four at 16 (Andrews et al. 2008).
REST_BEARS = 16.0
FAR_COLDER = 3.0  # K past the profile's own cool period; the tolerated bands of profiles end so far from harm; judgement
USUAL_TRIAL = 7  # days, where the plan does not say how long the trial run lasts; common practice, no source

# m3 of water in m3 of box. A 60-litre foam box in a room at 20 °C falls from 29 to 23 °C in 5.1 h without bottles, in 7.5 h
# with 2 litres and in 11.6 h with 5 litres (derived: three lumps with 4 kg of medium, heat loss 0.96 W/K). The limit:
# judgement.
LITTLE_WATER = 1 / 30


def only_if_both_fail(case: Case, figure: Figure) -> bool:
    """Whether a part that is that hot in a stuck-on box [°C] stays at what foam bears while thermostat or cut-out work.

    At full power a heater is warmer than the box by the same step, whatever the box is at.
    """
    control, stuck = case.plan.control, case.forecast.heat.stuck_on_temperature
    if control.cut_out is None or control.cut_out.set_to is None or not isinstance(stuck, Figure):
        return False
    guarded = min(control.cut_out.set_to, stuck.value)
    return figure.value - (stuck.value - guarded) <= FOAM_SURFACE


def lid_cools_in_off_times(plan: Plan) -> bool:
    """Whether on-off heat from the lid, with the probe in the medium, lets the egg-box lids cool and drip."""
    control = plan.control
    buried = control.probe.sits_in in ("probe box medium", "egg box medium")
    return buried and control.thermostat == "on-off" and plan.heat.place == "lid" and plan.has_lids


def cool_period_is_borne(planned: PlannedCoolPeriod, species: Species) -> bool:
    """Whether a planned cool period is one that a paper may order: not colder than the eggs bear."""
    need, at = species.cool_period, planned.at
    if at is None:
        return True
    if need is not None:
        return at.low > need.at.low - FAR_COLDER + ROUNDING
    if not species.cool_period_known:
        return at.low >= REST_BEARS - ROUNDING
    return species.tolerated is not None and at.low >= species.tolerated.low - ROUNDING


def longest_gap(check_days: tuple[int, ...], begin: int, days: Figure) -> int:
    """The longest time [days] without a check from day `begin` to hatching on the likeliest day."""
    late = [day for day in check_days if day > begin]
    return max(later - earlier for earlier, later in pairwise((begin, *late, round(days.value))))


def is_dry(box: EggBox) -> bool:
    """Whether the box holds no wet medium, as the plan tells."""
    return box.medium.material == "none" or (box.medium.mix is not None and box.medium.mix.water == 0)


def sign_is_rough(heat: Heat) -> bool:
    """Whether even the sign of lid against medium may be wrong whatever its range (docs/limits.md)."""
    return heat.source in ("water bath", "bulb", "ceramic emitter") or heat.place in (
        "one side",
        "all sides",
        "in water",
    )


def graded(water: Figure, box: EggBox, heat: Heat) -> str | None:
    """How bad a computed condensation is on the lid of this box; not worse than watch where it may be none at all."""
    assert box.inside is not None
    area = box.inside.floor
    if water.value >= DRIPS * area and water.low > 0 and not sign_is_rough(heat):
        return FIX
    return WATCH if water.high >= MIST * area else None


def water_a_day(case: Case, water: Figure) -> str:
    """A computed condensation in words: "about 1 g of water a day (0.6 to 3)"."""
    return case.show.figure(water).replace(" a day", " of water a day")


def is_used_mix(species: Species, mix: Mix) -> bool:
    """Whether the profile lists this mix, or a wetter one measured in the same way, as used for the species."""
    return any(
        used.mix.by == mix.by and mix.water * used.mix.medium <= used.mix.water * mix.medium
        for used in species.medium.mixes
    )


def used_mixes(species: Species, medium: Medium) -> list[tuple[float, UsedMix]]:
    """The mixes that the profile names with their water content [kg/kg] in this medium, the driest first."""
    used = (
        (mixture.water_content.typical, entry)
        for entry in species.medium.mixes
        if isinstance(mixture := mixed(replace(medium, mix=entry.mix), ""), Mixed)
    )
    return sorted(used, key=lambda one: (one[0], number(one[1].mix.medium), number(one[1].mix.water)))


def far_wetter(content: float, used: list[tuple[float, UsedMix]]) -> bool:
    """Whether a water content [kg/kg] is far above the middle one of the mixes that a profile names."""
    middle = (used[(len(used) - 1) // 2][0] + used[len(used) // 2][0]) / 2
    return content > MUCH_WETTER * middle


def water_text(content: Figure, show: Show) -> str:
    """The water content of a mix with its likely range, in a sentence."""
    likely = (
        f" (likely {show.water_content_range(content.low, content.high)})"
        if content.low < content.high
        else ""
    )
    return (
        f"The mix holds {show.water_content(content.value)} of water{likely}, "
        "that is grams of water to each gram of dry medium."
    )


def growth_of(box: EggBox) -> float:
    """By how much the box is to be heavier at hatching [kg]; 0 where the plan does not let it grow."""
    return (box.top_up.gain or 0.0) if box.top_up is not None else 0.0


def drunk_by_eggs(case: Case) -> float | None:
    """Water [kg] that the eggs of one box take out of its medium by hatching, below 0 what they give; None when unknown."""
    start, kept = case.box_forecast.water.water_per_dry_mass, case.box_forecast.water.water_if_kept_at_weight
    contents = contents_of(case.box, case.path("box"))
    if isinstance(start, Unknown) or isinstance(kept, Unknown) or isinstance(contents, Unknown):
        return None
    return growth_of(case.box) + (start.value - kept.value) * contents.dry_mass.typical


def undecided(mix: Mixed, limit: float) -> bool:
    """Whether the weight of the medium, which the plan leaves open, decides on which side of a limit [kg/kg] it is."""
    return bool(mix.left_open) and mix.water_content.low <= limit < mix.water_content.high


def about_time(show: Show, hours: Figure) -> str:
    """A forecast time with its range: in hours, from two days on in days."""
    if hours.value < 2 * DAY:
        return show.figure(hours)
    return show.about("days", hours.value / DAY, hours.low / DAY, hours.high / DAY)


def cold_borne(show: Show, hours: Result) -> str:
    """How long the eggs bear a power cut in the coldest room, in one sentence."""
    if isinstance(hours, Figure):
        return f"Harm is possible after {about_time(show, hours)}."
    if hours == NEVER:
        return "They bear ten days of that."
    return "How long they bear the cold is not known here."


def warmer_eggs(case: Case) -> float:
    """How much warmer than the set point the eggs of the clutch are held [K], where the probe reads water or heated air."""
    return eggs_off(case.plan.control, case.clutch_forecast.warmth) or 0.0


def held_by_eggs(case: Case) -> tuple[float, ...]:
    """The temperatures [°C] that the eggs of the clutch are held at for weeks: of a programme the mean of each step."""
    programme = case.clutch_forecast.programme
    if programme is None:
        return tuple(at + warmer_eggs(case) for at in case.plan.control.held)
    return tuple(dict.fromkeys(step.mean for step in programme.steps))


def temperature_for_sexes(case: Case) -> float | None:
    """The set point [°C], of a programme the steady one that gives the same sexes."""
    programme, control = case.clutch_forecast.programme, case.plan.control
    if programme is None:
        return None if control.programme else control.set_to
    found = programme.sexes_as_at  # what the eggs have
    return found.value - warmer_eggs(case) if isinstance(found, Figure) else None


def at_that(case: Case, temperature: float) -> str:
    """ "at 27 °C" for a set point; for a programme, what it counts as."""
    if case.plan.control.programme:
        steady = case.show.temperature(temperature + warmer_eggs(case))
        return f"under this programme, which counts as a steady {steady} for the sexes,"
    return f"at {case.show.temperature(temperature)}"


def known(result: Known | Unknown) -> Known:
    """What a forecast tells; where it is not known, the rule can't judge."""
    if isinstance(result, Unknown):
        raise Lacking(*(result.needs or (result.reason,)))
    return result


def needs_of(result: Result, usual: str) -> tuple[str, ...]:
    """What a forecast lacks, for a rule that then can't judge: entries, else the reason; `usual` where it is the profile's."""
    if not isinstance(result, Unknown) or any(need.startswith("species/") for need in result.needs):
        return (usual,)
    return result.needs or (result.reason,)


def capital(text: str) -> str:
    """The text with a capital first letter."""
    return text[:1].upper() + text[1:]


def what_matters(figure: Figure) -> str:
    """The sentence, after a space, on the input that widens a figure's range most; nothing where no input does."""
    return f" What matters most is {figure.matters_most}." if figure.matters_most else ""
