"""Water that the medium cannot hold."""

from collections.abc import Iterator

from advisor.forecast.egg_box.eggs import OUT_OF_THE_MEDIUM
from advisor.model.figures import Unknown
from advisor.model.findings import FIX, WATCH, Finding, NotJudged
from advisor.rules.engine import CLUTCH, Case, Rule
from advisor.rules.shared import what_matters

TRACE = 0.002  # kg, a film that nobody sees; judgement

RULE = Rule(
    id="moisture-free-water",
    title="Water stands free at the bottom of the egg box",
    explanation=(
        "A medium holds only so much water. The rest sinks to the bottom, and eggs that reach down to it lie in water. "
        "The water closes the pores of the shell, so the embryo gets too little air. Alligator eggs that were under water "
        "for two days all died. Mould grows in such wet medium too."
    ),
    remedy="Pour off what stands free, or mix in dry medium until nothing runs out of a tilted box.",
    sources=("practice", "seafwa-1977"),
    about=CLUTCH,
    needs=("box.medium",),
    implied_by=("moisture-mix-too-wet", "moisture-wet-medium-for-rigid-eggs"),
    levers=("box.medium.mix",),
    good="""\
egg_boxes:
  - {name: eggs, inside: 20 x 14 x 9 cm,
     medium: {material: vermiculite, grade: medium, depth: 5 cm, mix: {medium: 4, water: 1, by: volume}}}
clutches: [{species: pantherophis-guttatus, box: eggs}]""",
    bad="""\
egg_boxes:
  - {name: eggs, inside: 20 x 14 x 9 cm,
     medium: {material: vermiculite, grade: medium, depth: 5 cm, mix: {medium: 2, water: 1, by: volume}}}
clutches: [{species: pantherophis-guttatus, box: eggs}]""",
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """More than the drained medium holds: for certain, or as far as is known. Told once for each kind of box."""
    medium, free = case.box.medium, case.box_forecast.water.free_water
    dry = medium.mix is not None and medium.mix.water == 0
    if medium.material == "none" or dry or case.clutch.placed in OUT_OF_THE_MEDIUM:
        return
    if case.clutches_in_box[0][0] is not case.clutch:
        return
    if isinstance(free, Unknown):
        yield NotJudged(case.missing(("box_forecast.water.free_water",)))
    elif free.value >= TRACE:
        yield Finding(
            FIX if free.low >= TRACE else WATCH,
            f"{case.show.figure(free).capitalize()} of water stands at the bottom of each box: the {medium.called} holds no more.",
            "box.medium.mix",
            what_matters(free).strip(),
            figures=(("free_water", free),),
        )
