"""Eggs against the places their boxes have."""

from collections.abc import Iterator

from advisor.forecast.egg_box.room_for_eggs import SPACINGS, lies_singly
from advisor.model.figures import Figure
from advisor.model.findings import FIX, WATCH, Finding
from advisor.model.forecast import BoxUse
from advisor.rules.engine import EGG_BOX, Case, Lacking, Rule
from advisor.rules.shared import known, what_matters

RULE = Rule(
    id="eggs-crowded",
    title="More eggs than the boxes have room for",
    explanation=(
        "Eggs that touch share the water and the air round them. In a drier mix, lizard eggs that touched took up less "
        "water and gave smaller young than eggs kept a little apart. Mould also grows from a dead egg over to its "
        "neighbours within days. A clutch that has stuck together stays as it is and is not counted here."
    ),
    remedy="Leave about 1 cm (3/8 in) between eggs, and add an egg box when they do not fit.",
    sources=("marco-2004", "phillott-2001", "practice"),
    about=EGG_BOX,
    implied_by=("eggs-no-box-free",),
    levers=("box.count", "box.inside"),
    good=(
        "egg_boxes: [{name: eggs, count: 2, inside: 15 x 10 x 8 cm}]\n"
        "clutches: [{species: pogona-vitticeps, eggs: 24, box: eggs}]"
    ),
    bad=(
        "egg_boxes: [{name: eggs, count: 1, inside: 15 x 10 x 8 cm}]\n"
        "clutches: [{species: pogona-vitticeps, eggs: 24, box: eggs}]"
    ),
)


def check(case: Case) -> Iterator[Finding]:
    """The eggs that lie one by one in this kind of box at one time, against the places in all such boxes."""
    use = case.forecast.box_use[case.box_index or 0]
    elsewhen = {stay.clutch for stay in use.stays} - {*use.together} if isinstance(use, BoxUse) else set()
    counted = {
        index: (clutch, species)
        for index, clutch in enumerate(case.plan.clutches)
        if clutch.box in (None, case.box.name)
        and index not in elsewhen
        and lies_singly(clutch, species := case.situation.species[clutch.species]) is not False
    }
    if not counted:
        return
    places = known(case.box_forecast.places_for_eggs)
    eggs = sum(clutch.eggs or 0 for clutch, _ in counted.values())
    if eggs <= places.value:
        return
    missing = [index for index, (clutch, species) in counted.items() if lies_singly(clutch, species) is None]
    if missing:
        raise Lacking(*(f"clutches[{case.plan.clutches[index].entry}].parted" for index in missing))
    boxes, gap = case.box.count or 1, case.show.length(SPACINGS.typical)
    room = (
        f"all such boxes with {gap} between eggs take"
        if boxes > 1
        else f"the box with {gap} between eggs takes"
    )
    supports = (key for _, species in counted.values() for key in species.eggs.support.sources)
    yield Finding(
        FIX if eggs > places.high else WATCH,
        f"{eggs} {'egg does' if eggs == 1 else 'eggs do'} not fit: {room} {_places(places)}.",
        "box.count" if places.value else "box.inside",
        what_matters(places).strip(),
        figures=(("places_for_eggs", places),),
        sources=tuple(dict.fromkeys((*RULE.sources, *supports))),
    )


def _places(places: Figure) -> str:
    if places.high == 0:
        return "none"
    return f"{places.value:.0f} (likely {places.low:.0f} to {places.high:.0f})"
