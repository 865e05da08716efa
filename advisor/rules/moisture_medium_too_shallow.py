"""Depth of the medium against the size of the eggs."""

import math
from collections.abc import Iterator

from advisor.formulas.water.places import EGG_DENSITY
from advisor.model.findings import FIX, WATCH, Finding
from advisor.model.plan import Clutch
from advisor.model.species import Species
from advisor.rules.engine import CLUTCH, Case, Lacking, Rule

# m; keepers use 4 to 5 cm or 1.5 to 2 in, and 1.5 in is 3.8 cm; common practice, no source
LEAST_DEPTH = 0.038
USUAL_DEPTH = 0.05  # m; as above, and enough for any egg of up to 175 g (see `egg_height` and BELOW_EGG)
FAR_TOO_SHALLOW = 0.02  # m; holds half the water of the usual depth or less; judgement
BELOW_EGG = 0.02  # m of medium left under a half-sunk egg; judgement
# egg width over length; turtle eggs in Tracy, Packard & Packard 1978, Physiol Zool 51:378 (seen)
AXIS_RATIO = 0.6

RULE = Rule(
    id="moisture-medium-too-shallow",
    title="The medium is too shallow for these eggs",
    explanation=(
        "Eggs lie half sunk in the medium, with some of it below them. A thin layer holds little water and dries out in "
        "weeks. An egg that touches the bare floor takes up no water there, and it lies in any water that has "
        "gathered. A thin layer also follows the temperature of the box faster."
    ),
    remedy="Fill in 4 to 5 cm (1.5 to 2 in) of medium, more for very large eggs.",
    sources=("practice", "judgement"),
    about=CLUTCH,
    needs=("box.medium",),
    levers=("box.medium.depth", "box.inside"),
    good=(
        "egg_boxes: [{name: eggs, medium: {material: vermiculite, depth: 5 cm}}]\n"
        "clutches: [{species: pantherophis-guttatus, box: eggs}]"
    ),
    bad=(
        "egg_boxes: [{name: eggs, medium: {material: vermiculite, depth: 1.5 cm}}]\n"
        "clutches: [{species: pantherophis-guttatus, box: eggs}]"
    ),
)


def check(case: Case) -> Iterator[Finding]:
    """Less than the usual depth, or less than half an egg and some medium below it. Eggs glued to bark need none."""
    medium, show = case.box.medium, case.show
    if medium.material == "none" or case.clutch.placed == "attached to its surface":
        return
    depth = medium.depth
    if depth is None:
        raise Lacking("box.medium.depth")
    if depth >= USUAL_DEPTH:
        return
    sunk = case.clutch.placed not in ("on the surface", "over the medium")
    height = egg_height(case.clutch, case.species) if sunk else 0.0
    if height is None and depth >= LEAST_DEPTH:
        raise Lacking("clutch.egg_mass")
    half = (height or 0.0) / 2
    least = max(LEAST_DEPTH, half + BELOW_EGG if half else 0.0)
    if depth >= least:
        return
    large = f", since the eggs are about {show.length(2 * half)} high" if least > LEAST_DEPTH else ""
    yield Finding(
        FIX if depth < max(FAR_TOO_SHALLOW, half) else WATCH,
        f"The medium is {show.length(depth)} deep; at least {show.length(least)} is needed{large}.",
        "box.medium.depth",
    )


def egg_height(clutch: Clutch, species: Species) -> float | None:
    """Height [m] of an egg that lies on its side: the profile's width, else from the mass of an egg; None when unknown."""
    if species.eggs.width is not None:
        return species.eggs.width.high
    mass = clutch.egg_mass or (species.eggs.mass.high if species.eggs.mass is not None else None)
    if mass is None:
        return None
    return math.cbrt(6 * AXIS_RATIO * mass / (math.pi * EGG_DENSITY))
