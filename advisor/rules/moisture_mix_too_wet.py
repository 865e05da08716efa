"""The water in the mix against the wettest that suits the species."""

from collections.abc import Iterator

from advisor.forecast.egg_box.eggs import OUT_OF_THE_MEDIUM
from advisor.forecast.egg_box.medium import content_figure, mixed
from advisor.formulas.water.medium import KnownMedium, drained_capacity
from advisor.model.figures import Figure, Unknown
from advisor.model.findings import FIX, NOTE, WATCH, Finding, NotJudged
from advisor.model.plan import Mix
from advisor.model.species import Band
from advisor.rules.engine import CLUTCH, Case, Rule
from advisor.rules.shared import (
    drunk_by_eggs,
    far_wetter,
    growth_of,
    is_used_mix,
    known,
    undecided,
    used_mixes,
    water_text,
    what_matters,
)
from advisor.units import number

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
    levers=("box.medium.mix",),
    good=(
        "egg_boxes: [{name: eggs, medium: {material: vermiculite, grade: medium, mix: {medium: 4, water: 1, by: volume}}}]\n"
        "clutches: [{species: pantherophis-guttatus, box: eggs}]"
    ),
    bad=(
        "egg_boxes: [{name: eggs, medium: {material: vermiculite, grade: medium, mix: {medium: 2, water: 1, by: volume}}}]\n"
        "clutches: [{species: pantherophis-guttatus, box: eggs}]"
    ),
)

# Used everywhere and never too wet by itself where soft-shelled eggs may lie in all that vermiculite can hold
# (3.8 g/g): common practice, no source.
TRADE_MIX = Mix(4, 1, "volume")
LEAST_GROWTH = 0.5e-3  # kg; less than kitchen scales show; judgement


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """Above the profile's band for vermiculite; unknown for other media. Listed mixes pass."""
    medium, species = case.box.medium, case.species
    if medium.material == "none" or case.clutch.placed in OUT_OF_THE_MEDIUM:
        return
    mix = known(mixed(medium, case.path("box")))
    assert medium.mix is not None
    content, band = content_figure(mix), species.medium.water
    if content.value == 0:
        return
    if mix.medium is None or not mix.medium.has_retention_curve:
        yield NotJudged(
            (
                f"how wet {medium.called} suits eggs (no measured curve is known): drops on them, or water at the bottom of a tilted box, mean too wet",
            )
        )
    elif band is None:
        yield NotJudged(("species.medium.water",))
    elif is_used_mix(species, medium.mix) or _is_trade_mix(medium.mix, mix.medium, band):
        yield from _wetter_than_usual(case, content)
        yield from _grown_too_wet(case, band)
    elif undecided(mix, band.high):
        yield NotJudged(mix.left_open)
    elif content.value <= band.high:
        yield from _wetter_than_usual(case, content)
        yield from _grown_too_wet(case, band)
    else:
        over = f"{number(content.value - band.high, 1)} g/g"
        yield Finding(
            FIX if content.low > band.high else WATCH,
            f"{water_text(content, case.show)} That is {over} more than the most that suits {species.name}.",
            "box.medium.mix",
            figures=(("water_per_dry_mass", content),),
            support=band.support,
        )


def _grown_too_wet(case: Case, band: Band) -> Iterator[Finding]:
    """A box that is to grow by more than its eggs drink: what they leave stays in the medium."""
    kept, growth, drunk = (
        case.box_forecast.water.water_if_kept_at_weight,
        growth_of(case.box),
        drunk_by_eggs(case),
    )
    if not growth or drunk is None or isinstance(kept, Unknown) or kept.value <= band.high:
        return
    ends = case.show.about("water content", *(round(end, 2) for end in (kept.value, kept.low, kept.high)))
    drinks = f"about {case.show.mass_two_digits(drunk)}" if drunk > LEAST_GROWTH else "nothing"
    yield Finding(
        FIX if kept.low > band.high else WATCH,
        f"Grown heavier by {case.show.mass(growth)} the box ends with {ends} of water, and {case.species.name} needs at most "
        f"{case.show.water_content(band.high)}: its eggs drink {drinks}.",
        "box.top_up",
        what_matters(kept).strip(),
        levers=("box.top_up",),
        figures=(("water_if_kept_at_weight", kept),),
        support=band.support,
    )


def _wetter_than_usual(case: Case, content: Figure) -> Iterator[Finding]:
    """No study speaks against it, but most mixes that the profile names are far drier: a note."""
    used = used_mixes(case.species, case.box.medium)
    if not used:
        return
    usual, entry = used[(len(used) - 1) // 2]
    if not far_wetter(content.value, used):
        return
    yield Finding(
        NOTE,
        f"{water_text(content, case.show)} Most mixes that are used for {case.species.name} are far drier, such as {number(entry.mix.medium)} to "
        f"{number(entry.mix.water)} by {entry.mix.by}, that is {case.show.water_content(usual)}.",
        "box.medium.mix",
        "Use that mix, if you have no reason for more water.",
        figures=(("water_per_dry_mass", content),),
        support=entry.support,
    )


def _is_trade_mix(mix: Mix, known: KnownMedium, band: Band) -> bool:
    """Whether the mix is 4:1 by volume or drier, for a species whose eggs may lie in all that the medium can hold."""
    no_wetter = mix.by == TRADE_MIX.by and mix.water * TRADE_MIX.medium <= TRADE_MIX.water * mix.medium
    return no_wetter and band.high >= drained_capacity(known).high
