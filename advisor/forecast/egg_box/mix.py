"""One mix of medium and water: what to measure out, how wet it is, and what the other ratio would be."""

from collections.abc import Callable

from advisor.constants import WATER_DENSITY
from advisor.forecast.edge import reason_of
from advisor.forecast.egg_box.medium import (
    CONTENT_BY,
    LITRE,
    WEIGH_A_LITRE,
    content_at,
    content_figure,
    free_water_figure,
    mixed,
    potential_figure,
)
from advisor.formulas.air.moist_air import NoSolution
from advisor.formulas.air.vents import LikelyRange
from advisor.formulas.water.medium import (
    KnownMedium,
    drained_capacity,
    medium_parts_by_mass,
    medium_parts_by_volume,
    water_potential,
)
from advisor.model.figures import Figure, Formula, Result, Unknown
from advisor.model.plan import Medium
from advisor.model.water_answers import MixAnswer

# Water contents [kg/kg] of vermiculite that part the words; judgement. Most laboratories and keepers use 0.6 to 2.
DRY, USUAL, WET = 0.3, 0.6, 2.0


def mix_answer(words: Medium, volume: float | None, mass: float | None) -> MixAnswer | Unknown:
    """What a mix needs and how wet it is.

    words: the medium with its mix; volume [m3] or mass [kg] of the dry medium, one of the two.
    """
    found = mixed(words, "")
    if isinstance(found, Unknown):
        return found
    assert words.mix is not None
    mix, medium = words.mix, found.medium
    if medium is None and words.litre_mass is None:
        return Unknown(f"no density of {words.called} is known: weigh one litre of it, dry")
    own = (words.litre_mass or 0.0) / LITRE
    density = medium.bulk_density if medium is not None else LikelyRange(own, own, own)

    def dry(at: float) -> float:
        return mass if mass is not None else (volume or 0.0) * at

    def water(at: float) -> float:
        return content_at(mix, at) * dry(at)

    content, by = found.water_content, CONTENT_BY[mix.by]
    try:
        potential: Result = Unknown(f"nothing is known here of {words.called} as a medium")
        free, driest, wetness = potential, None, None
        if medium is not None:
            potential = potential_figure(medium, content)
            free = free_water_figure(medium, mix, dry)
            driest = water_potential(medium, content.typical).driest
            if medium.has_retention_curve:
                held = drained_capacity(medium).typical
                wetness = (
                    wetness_word(content.low, held),
                    wetness_word(content.typical, held),
                    wetness_word(content.high, held),
                )
        return MixAnswer(
            medium=_name(words),
            parts=(mix.medium, mix.water),
            by=mix.by,
            medium_volume=_over(density, lambda at: volume if volume is not None else dry(at) / at, "volume"),
            medium_mass=_over(density, dry, "mass"),
            water=_over(density, water, "mass", by),
            water_volume=_over(density, lambda at: water(at) / WATER_DENSITY, "volume", by),
            water_content=content_figure(found),
            water_potential=potential,
            driest_potential=driest,
            free_water=free,
            by_volume=_over(
                density,
                lambda at: medium_parts_by_volume(content_at(mix, at), at),
                "share",
                medium_parts_by_volume,
            ),
            by_mass=_over(
                density, lambda at: medium_parts_by_mass(content_at(mix, at)), "share", medium_parts_by_mass
            ),
            wetness=wetness,
            source="your own weighing of one litre" if words.litre_mass is not None else _source(medium),
            known=medium.known if medium is not None else "",
        )
    except NoSolution as error:
        return Unknown(reason_of(error))


def wetness_word(content: float, held: float) -> str:
    """How wet vermiculite of a water content is that holds `held` drained [kg/kg], in a word."""
    if content > held:
        return "more water than it holds"
    if content > WET:
        return "wet"
    if content >= USUAL:
        return "usual"
    return "rather dry" if content >= DRY else "dry"


def _over(density: LikelyRange, value: Callable[[float], float], quantity: str, *formulas: Formula) -> Figure:
    """A figure over the densities [kg/m3] that the medium may have."""
    values = [value(at) for at in (density.low, density.typical, density.high)]
    spread = max(values) - min(values) > 1e-9 * max(values)
    matters = WEIGH_A_LITRE if spread else ""
    return Figure(values[1], min(values), max(values), quantity, "the mix", matters, formulas)


def _name(words: Medium) -> str:
    graded = words.grade is not None and words.grade != "unknown" and words.material == "vermiculite"
    return f"{words.called} ({words.grade} grade)" if graded else words.called or "medium"


def _source(medium: KnownMedium | None) -> str:
    return medium.source if medium is not None else ""
