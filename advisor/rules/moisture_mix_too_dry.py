"""The water in the mix against the driest that suits the species."""

from collections.abc import Iterator

from advisor.forecast.egg_box.bare_eggs import bare_egg_loss, room_air_in_the_box
from advisor.forecast.egg_box.eggs import OUT_OF_THE_MEDIUM, load_of
from advisor.forecast.egg_box.medium import content_figure, mixed
from advisor.model.figures import Figure, Result, Unknown
from advisor.model.findings import FIX, STOP, WATCH, Finding, NotJudged
from advisor.rules.engine import CLUTCH, Case, Rule
from advisor.rules.shared import DEADLY_DRY, is_dry, known, water_text
from advisor.units import number

# Share of its mass that a soft egg loses by hatching. Eggs dent when they dry and fill again when wetted (Legler 1960), so a
# little is borne; of bare eggs of a python fewer hatched the drier the air was from 100 to 75 % (Lourdais 2007). The
# limits are judgement.
DENTS, KILLS = 0.1, 0.3
AIR_DRY = 0.02  # kg/kg; mineral media straight from the bag hold about as much, organic ones more; judgement

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
    levers=("box.medium.mix", "box.medium.material"),
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
    """Below the profile's band for vermiculite; hardly any water for other media; what bare eggs lose without any."""
    medium, species, show = case.box.medium, case.species, case.show
    shell, band = species.eggs.shell, species.medium.water
    out_of_it = case.clutch.placed in OUT_OF_THE_MEDIUM
    if medium.material == "none" or (out_of_it and is_dry(case.box)):
        yield from _bare(case)
        return
    if out_of_it:
        return
    mix = known(mixed(medium, case.path("box")))
    content = content_figure(mix)
    if content.value <= AIR_DRY and shell == "parchment":
        amount = "hardly any" if content.value else "no"
        yield Finding(STOP, f"The medium is dry: the mix has {amount} water.", "box.medium.mix")
    elif mix.medium is None or not mix.medium.has_retention_curve:
        yield NotJudged(
            (
                f"how dry {medium.called} suits eggs (no measured curve is known): dents before the last weeks mean too dry",
            )
        )
    elif band is None:
        yield NotJudged(("species.medium.water",))
    elif mix.left_open and content.low < band.low <= content.high:
        yield NotJudged(mix.left_open)
    elif content.value < band.low:
        yield Finding(
            _severity(case, content, band.low),
            f"{water_text(content, show)} That is {number(band.low - content.value, 1)} g/g less than the least "
            f"that suits {species.name}.",
            "box.medium.mix",
            figures=(("water_per_dry_mass", content),),
            support=band.support,
        )


def _severity(case: Case, content: Figure, limit: float) -> str:
    """Rigid eggs need little water (Dunson 1982, Spotila 1994): for them dry medium is a risk and no more."""
    shell, top_up, end = case.species.eggs.shell, case.box.top_up, case.box_forecast.water.water_at_hatching
    if content.high >= limit or shell == "rigid":
        return WATCH
    dries_out = (
        top_up is not None and top_up.way == "none" and isinstance(end, Figure) and end.value < DEADLY_DRY
    )
    return STOP if shell == "parchment" and (content.high < DEADLY_DRY or dries_out) else FIX


def _bare(case: Case) -> Iterator[Finding | NotJudged]:
    """Nothing wet in the box. A rigid shell bears that; a soft one gives its water to the air that passes the lid."""
    shell = case.species.eggs.shell
    if shell is None:
        yield NotJudged(("species.eggs.shell",))
    if shell != "parchment":
        return
    severity, lost = WATCH, _lost_bare(case)
    message = (
        f"Nothing in the box is wet, so the soft eggs of {case.species.name} can only lose water to the air."
    )
    if case.plan.heat.source == "water bath":
        message += " The water bath moistens the air round the egg boxes; how much is not known."
    elif isinstance(lost, Unknown):
        yield NotJudged(lost.needs or (lost.reason,))
    else:
        severity = STOP if lost.low >= KILLS else FIX if lost.value >= DENTS else WATCH
        around = room_air_in_the_box(case.plan)
        assert around is not None
        message += (
            f" Warmed to the set point, the air of the room has {case.show.percent(around)} humidity. Through this lid the "
            f"eggs lose {_share_lost(case, lost)} of their mass by hatching."
        )
    entry = "box.medium.material" if case.box.medium.material == "none" else "box.medium.mix"
    figures = (("bare_egg_loss", lost),) if isinstance(lost, Figure) else ()
    yield Finding(
        severity,
        message,
        entry,
        "In a closed box the air over damp medium stays at 95 to 100 % humidity.",
        figures=figures,
        levers=(entry,),
        sources=("lourdais-2007a", "practice"),
    )


def _lost_bare(case: Case) -> Result:
    assert case.box_index is not None
    plan, index = case.plan, case.box_index
    return bare_egg_loss(plan, index, load_of(plan, index, case.situation.species, case.forecast.clutches))


def _share_lost(case: Case, lost: Figure) -> str:
    """What eggs lose, in words: no more is told than that all can go."""
    if lost.low >= KILLS:
        return f"more than {case.show.percent(KILLS)}"
    return case.show.about_percent(*(min(end, 1.0) for end in (lost.value, lost.low, lost.high)))
