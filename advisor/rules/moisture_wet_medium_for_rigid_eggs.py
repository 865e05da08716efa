"""Wet medium round eggs with a hard shell."""

from collections.abc import Iterator

from advisor.forecast.egg_box.eggs import OUT_OF_THE_MEDIUM
from advisor.forecast.egg_box.medium import content_figure, mixed
from advisor.model.findings import FIX, WATCH, Finding, NotJudged
from advisor.rules.engine import CLUTCH, Case, Lacking, Rule
from advisor.rules.shared import is_used_mix, known, undecided, water_text

# kg/kg, for profiles without a band of their own: about -15 kPa in vermiculite. Wetter media may drown eggs or grow
# mould; judgement. Rigid eggs of pond turtles still hatched well at -12 kPa (Guo 2010), those of a desert tortoise
# died in sand at -5 kPa (Spotila 1994).
WET = 2.0

RULE = Rule(
    id="moisture-wet-medium-for-rigid-eggs",
    title="Eggs with a rigid shell lie in wet medium",
    explanation=(
        "A rigid shell cannot stretch for more water. Wet medium fills its pores, and the embryo gets too little air. "
        "The shell may crack as well. Eggs of a desert tortoise died in wet sand and hatched well in dry sand. Eggs of "
        "some pond turtles bear wet medium, so the profile counts most."
    ),
    remedy="Use barely damp medium, and keep the air moist instead.",
    sources=("spotila-1994", "judgement"),
    about=CLUTCH,
    needs=("species.eggs.shell",),
    levers=("box.medium.mix",),
    good=(
        "egg_boxes: [{name: eggs, medium: {material: vermiculite, grade: medium, mix: {medium: 2, water: 1, by: mass}}}]\n"
        "clutches: [{species: testudo-hermanni, box: eggs}]"
    ),
    bad=(
        "egg_boxes: [{name: eggs, medium: {material: vermiculite, grade: medium, mix: {medium: 4, water: 1, by: volume}}}]\n"
        "clutches: [{species: testudo-hermanni, box: eggs}]"
    ),
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """Rigid eggs touching medium that is wetter than the profile's band, or than a general limit."""
    species = case.species
    if species.eggs.shell != "rigid":
        return
    missing = case.missing(("box.medium",))
    if missing:
        raise Lacking(*missing)
    medium = case.box.medium
    if medium.material == "none" or case.clutch.placed in OUT_OF_THE_MEDIUM:
        return
    mix = known(mixed(medium, case.path("box")))
    assert medium.mix is not None
    content, band = content_figure(mix), species.medium.water
    limit = band.high if band is not None else WET
    if content.value == 0 or is_used_mix(species, medium.mix):
        return
    if mix.medium is None or not mix.medium.has_retention_curve:
        yield NotJudged((f"how wet {medium.called} suits rigid eggs (no measured curve is known)",))
    elif undecided(mix, limit):
        yield NotJudged(mix.left_open)
    elif content.value > limit:
        yield Finding(
            FIX if content.low > limit else WATCH,
            f"{water_text(content, case.show)} For the rigid eggs of {species.name} the most is "
            f"{case.show.water_content(limit)}.",
            "box.medium.mix",
            "It should feel barely damp.",
            figures=(("water_per_dry_mass", content),),
            support=band.support if band is not None else None,
        )
