"""The water in the mix against the driest that suits the species."""

from collections.abc import Iterator

from advisor.forecast.contents import content_figure, mixed
from advisor.forecast.load import OUT_OF_THE_MEDIUM
from advisor.model.figures import Figure, Unknown
from advisor.model.findings import FIX, STOP, WATCH, Finding, NotJudged
from advisor.rules.engine import CLUTCH, Case, Rule
from advisor.rules.shared import DEADLY_DRY, water_text, wetter_mix
from advisor.units import number

RULE = Rule(
    id="moisture-mix-too-dry",
    title="The mix is drier than suits the eggs of this species",
    explanation=(
        "A soft-shelled egg drinks from the medium. Dry medium holds its water so hard that the egg takes up little, and "
        "very dry medium draws water out of the egg. The egg dents after a day or more. Young that hatch are small, and in "
        "very dry medium few hatch at all. A hygrometer does not show it: the air over damp and over nearly "
        "dry medium is almost the same."
    ),
    remedy="Add water to the medium and stir well before the eggs go in.",
    sources=("practice", "bell-2025"),
    about=CLUTCH,
    needs=("box.medium",),
    good=(
        "egg_boxes: [{name: eggs, medium: {material: vermiculite, grade: medium, mix: {medium: 1, water: 1, by: mass}}}]\n"
        "clutches: [{species: pantherophis-guttatus, box: eggs}]"
    ),
    bad=(
        "egg_boxes: [{name: eggs, medium: {material: vermiculite, grade: medium, mix: {medium: 4, water: 1, by: mass}}}]\n"
        "clutches: [{species: pantherophis-guttatus, box: eggs}]"
    ),
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """Below the profile's band for vermiculite; no water at all, or no medium, for other media."""
    medium, species, show = case.box.medium, case.species, case.show
    shell, band = species.eggs.shell, species.medium.water
    if case.clutch.placed in OUT_OF_THE_MEDIUM:
        return
    if medium.material == "none":
        yield from _without_medium(case)
        return
    mix = mixed(medium, case.path("box"))
    if isinstance(mix, Unknown):
        yield NotJudged(mix.needs)
        return
    content = content_figure(mix.water_content)
    if content.value == 0 and shell == "parchment":
        yield Finding(STOP, "The medium is dry: the mix has no water.", "box.medium.mix", RULE.remedy)
    elif mix.medium is None or not mix.medium.has_retention_curve:
        yield NotJudged((f"how dry {medium.material} suits eggs (no measured curve is known)",))
    elif band is None:
        yield NotJudged(("species.medium.water",))
    elif mix.left_open and content.low < band.low <= content.high:
        yield NotJudged(mix.left_open)
    elif content.value < band.low:
        yield Finding(
            _severity(content, band.low, shell),
            f"{water_text(content, show)} That is {number(band.low - content.value, 1)} g/g less than the least "
            f"that suits {species.name}.",
            "box.medium.mix",
            wetter_mix(medium, band.low),
            figures=(("water_per_dry_mass", content),),
            sources=band.support.sources,
            evidence=band.support.known,
        )


def _severity(content: Figure, limit: float, shell: str | None) -> str:
    """Rigid eggs need little water (Dunson 1982, Spotila 1994): for them dry medium is a risk and no more."""
    if content.high >= limit or shell == "rigid":
        return WATCH
    return STOP if content.high < DEADLY_DRY and shell == "parchment" else FIX


def _without_medium(case: Case) -> Iterator[Finding | NotJudged]:
    shell = case.species.eggs.shell
    if shell is None:
        yield NotJudged(("species.eggs.shell",))
    elif shell == "parchment":
        yield Finding(
            WATCH,
            f"There is no medium, so the soft eggs of {case.species.name} can only lose water to the air.",
            "box.medium.material",
            "Keep the air in the egg box at 95 to 100 % humidity, or lay the eggs in damp medium.",
            sources=("lourdais-2007a", "practice"),
        )
