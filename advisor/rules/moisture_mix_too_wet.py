"""The water in the mix against the wettest that suits the species."""

import math
from collections.abc import Iterator

from advisor.eggs.medium import (
    MEDIA,
    drained_capacity,
    medium_parts_by_volume,
    water_content_from_mass_mix,
    water_content_from_volume_mix,
    with_measured_bulk_density,
)
from advisor.eggs.medium import Medium as KnownMedium
from advisor.model.figures import Figure, Result, Unknown
from advisor.model.findings import FIX, WATCH, Finding, NotJudged
from advisor.model.plan import Medium, Mix
from advisor.model.species import Band, Species
from advisor.rules.engine import CLUTCH, Case, Rule
from advisor.units import Show

RULE = Rule(
    id="moisture-mix-too-wet",
    title="The mix is wetter than suits the eggs of this species",
    explanation=(
        "Water that the medium cannot hold stands at the bottom of the box and creeps up round the eggs. It closes the "
        "pores of the shell, so the embryo gets too little air. Mould grows faster too. Alligator eggs that were under "
        "water for two days all died."
    ),
    remedy="Mix in dry medium until a squeezed handful gives no drop and no water stands at the bottom.",
    sources=("practice", "seafwa-1977"),
    about=CLUTCH,
    needs=("box.medium",),
    implied_by=("moisture-wet-medium-for-rigid-eggs",),
    good=(
        "egg_boxes: [{name: eggs, medium: {material: vermiculite, grade: medium, mix: {medium: 4, water: 1, by: volume}}}]\n"
        "clutches: [{species: pantherophis-guttatus, box: eggs}]"
    ),
    bad=(
        "egg_boxes: [{name: eggs, medium: {material: vermiculite, grade: medium, mix: {medium: 2, water: 1, by: volume}}}]\n"
        "clutches: [{species: pantherophis-guttatus, box: eggs}]"
    ),
)

# Words for eggs that the medium does not touch.
OUT_OF_THE_MEDIUM = ("over the medium", "attached to its surface")

# Used everywhere and never too wet by itself where soft-shelled eggs may lie in all that vermiculite can hold
# (3.8 g/g): common practice, no source.
TRADE_MIX = Mix(4, 1, "volume")

WEIGHT = ("box.medium.grade", "box.medium.litre_mass")
HEAVIEST_LITRE = 2.5  # kg; what `eggs.medium` takes at most, nearly that of solid quartz (2.65, from memory)

_MEDIUM_WORDS = {"sphagnum moss": "sphagnum"}  # the plan's word: the other word of `eggs.medium`


def known_medium(medium: Medium) -> KnownMedium | None:
    """What is known of the planned medium, with the keeper's own density if given; None when nothing is known."""
    words = (medium.material, _MEDIUM_WORDS.get(medium.material or ""))
    grade = medium.grade if medium.material == "vermiculite" else None
    known = next((entry for entry in MEDIA if entry.material in words and entry.grade == grade), None)
    if known is None or medium.litre_mass is None or medium.litre_mass > HEAVIEST_LITRE:
        return known
    return with_measured_bulk_density(known, medium.litre_mass * 1000)


def weight_left_open(medium: Medium) -> bool:
    """Whether the plan leaves open how heavy the vermiculite is; either of WEIGHT would tell."""
    return medium.material == "vermiculite" and medium.grade is None and medium.litre_mass is None


def mix_water_content(medium: Medium) -> Result:
    """Water in a planned mix, kg per kg of dry medium, over all bulk densities the medium may have."""
    if medium.material is None:
        return Unknown("the plan names no medium", ("box.medium.material",))
    if medium.mix is None:
        return Unknown("the plan has no mix", ("box.medium.mix",))
    dry, water = medium.mix.medium, medium.mix.water
    try:
        if medium.mix.by == "mass":
            content = water_content_from_mass_mix(dry, water)
            return Figure(content, content, content, "water content", "the mix is weighed out")
        if medium.litre_mass is not None:
            content = water_content_from_volume_mix(dry, water, medium.litre_mass * 1000)
            return Figure(content, content, content, "water content", "one litre was weighed by the keeper")
        known = known_medium(medium)
        if known is None:
            reason = f"no bulk density of {medium.material} is known"
            return Unknown(reason, ("box.medium.litre_mass",))
        density = known.bulk_density
        typical, low, high = (
            water_content_from_volume_mix(dry, water, each)
            for each in (density.typical, density.high, density.low)
        )
    except ValueError as error:
        entry = "box.medium.mix" if medium.litre_mass is None else "box.medium.litre_mass"
        return Unknown(str(error), (entry,))
    return Figure(typical, low, high, "water content", f"bulk density: {known.source}", "weigh one litre")


def is_used_mix(species: Species, mix: Mix) -> bool:
    """Whether the profile lists this mix, or a wetter one measured in the same way, as used for the species."""
    return any(
        used.mix.by == mix.by and mix.water * used.mix.medium <= used.mix.water * mix.medium
        for used in species.medium.mixes
    )


def drier_mix(medium: Medium, limit: float) -> str:
    """What to mix so that the water content stays at or below a limit [kg/kg]."""
    if limit < 0.01:
        return "Use the medium dry."
    known = known_medium(medium)
    if medium.mix is None or medium.mix.by == "mass" or known is None:
        return f"Use no more water than {limit:.2g} times the weight of the dry medium."
    parts = math.ceil(medium_parts_by_volume(limit, known.bulk_density.typical))
    return f"Mix at least {parts} parts of {medium.material} to 1 part of water by volume."


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


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """Above the profile's band for vermiculite; more than it can hold for other media. Listed mixes pass."""
    medium, species = case.box.medium, case.species
    if medium.material == "none" or case.clutch.placed in OUT_OF_THE_MEDIUM:
        return
    content = mix_water_content(medium)
    if isinstance(content, Unknown):
        yield NotJudged(content.needs)
        return
    assert medium.mix is not None
    known, band = known_medium(medium), species.medium.water
    if known is None or not known.has_retention_curve:
        yield from _more_than_it_holds(case, known, content)
    elif band is None:
        yield NotJudged(("species.medium.water",))
    elif is_used_mix(species, medium.mix) or _is_trade_mix(medium.mix, known, band):
        return
    elif weight_left_open(medium) and content.low <= band.high < content.high:
        yield NotJudged(WEIGHT)
    elif content.value > band.high:
        over = case.show.water_content(content.value - band.high)
        yield Finding(
            FIX if content.low > band.high else WATCH,
            f"{water_text(content, case.show)} That is {over} more than the most that suits {species.name}.",
            "box.medium.mix",
            f"{drier_mix(medium, band.high)} No water may stand at the bottom.",
            figures=(("water_per_dry_mass", content),),
            sources=band.support.sources,
            evidence=band.support.known,
        )


def _is_trade_mix(mix: Mix, known: KnownMedium, band: Band) -> bool:
    """Whether the mix is 4:1 by volume or drier, for a species whose eggs may lie in all that the medium can hold."""
    no_wetter = mix.by == TRADE_MIX.by and mix.water * TRADE_MIX.medium <= TRADE_MIX.water * mix.medium
    return no_wetter and band.high >= drained_capacity(known).high


def _more_than_it_holds(
    case: Case, known: KnownMedium | None, content: Figure
) -> Iterator[Finding | NotJudged]:
    """For media without a curve: too wet for sure when water stands free, else nobody knows."""
    medium = case.box.medium
    if content.value == 0:
        return
    if known is not None:
        density = known.bulk_density
        # Heavy medium has less water for its mass after mixing by volume, and can hold less: compare like with like.
        held = max(
            drained_capacity(with_measured_bulk_density(known, weight)).high / water
            for weight, water in ((density.high, content.low), (density.low, content.high))
        )
        if held < 1:
            yield Finding(
                WATCH,
                f"{water_text(content, case.show)} As far as is known {medium.material} holds "
                f"{case.show.percent(held)} of that at most: the rest stands at the bottom.",
                "box.medium.mix",
                RULE.remedy,
                figures=(("water_per_dry_mass", content),),
                sources=("practice",),
            )
            return
    yield NotJudged((f"how wet {medium.material} suits eggs (no measured curve is known)",))
