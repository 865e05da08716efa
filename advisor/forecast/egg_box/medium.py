"""What lies in the egg boxes: dry medium, water and their masses, from the plan's words."""

from collections.abc import Callable, Mapping

from msgspec import Struct

from advisor.forecast.edge import reason_of
from advisor.forecast.ranges import Uncertainty, figure, propagate
from advisor.formulas.air.moist_air import NoSolution
from advisor.formulas.air.vents import LikelyRange
from advisor.formulas.water.medium import (
    MEDIA,
    KnownMedium,
    drained_capacity,
    free_water,
    mixture,
    water_content_from_mass_mix,
    water_content_from_volume_mix,
    water_potential,
    with_measured_bulk_density,
)
from advisor.model.figures import Figure, Formula, Result, Unknown
from advisor.model.plan import EggBox, Medium, Mix

LITRE = 1e-3  # m3
NAMES = {"sphagnum moss": "sphagnum"}  # the plan's word to the physics' word
WEIGH_A_LITRE = "the density of your medium: weigh one litre of it, dry, and write it at `litre_mass` under `medium` of each box"
CONTENT_BY: dict[str, Formula] = {
    "volume": water_content_from_volume_mix,
    "mass": water_content_from_mass_mix,
}
DRAIN_A_POT = (
    "what the medium can hold: soak some in a pot with holes, let it drain, weigh it wet and dry, and write it at "
    "`measured.medium_holds`"
)


class Mixed(Struct, frozen=True):
    """A planned mix: what is known of its medium (None: nothing), its density [kg/m3], its water content [kg/kg].

    `left_open` are the plan entries that would tell how heavy the medium is; `by` is what the parts are measured by.
    """

    medium: KnownMedium | None
    water_content: LikelyRange
    left_open: tuple[str, ...]
    by: str


class BoxContents(Struct, frozen=True):
    """One egg box: medium and mix, volume [m3] and dry mass [kg] of the medium, water content w [kg/kg], with ranges."""

    medium: KnownMedium
    mix: Mix
    volume: float
    dry_mass: LikelyRange
    water_content: LikelyRange


def known_medium(words: Medium) -> KnownMedium | None:
    """What is known of a medium, with the keeper's own density if told; None when nothing is known.

    A grade that is left out or not known stands for any grade.
    """
    known = _one(words.material, words.grade)
    if known is not None and words.mixed_with is not None:
        second = _one(words.mixed_with.material, words.grade)
        known = mixture(known, second, words.mixed_with.share) if second is not None else None
    if known is None or words.litre_mass is None:
        return known
    return with_measured_bulk_density(known, words.litre_mass / LITRE)


def _one(material: str | None, grade: str | None) -> KnownMedium | None:
    material = NAMES.get(material or "", material)
    grade = grade if grade != "unknown" and material == "vermiculite" else None
    return next((entry for entry in MEDIA if (entry.material, entry.grade) == (material, grade)), None)


def content_at(mix: Mix, bulk_density: float) -> float:
    """Water content [kg/kg] of a mix with dry medium of a bulk density [kg/m3]; raises `ValueError` out of range."""
    if mix.by == "mass":
        return water_content_from_mass_mix(mix.medium, mix.water)
    return water_content_from_volume_mix(mix.medium, mix.water, bulk_density)


def mixed(words: Medium, path: str) -> Mixed | Unknown:
    """The mix of an egg box, over all densities the medium may have; `path` is the plan path of the box."""
    if words.material is None:
        return Unknown("the plan names no medium", (f"{path}.medium.material",))
    if words.material == "none":
        return Unknown("this box has no medium")
    if words.mix is None:
        return Unknown("the plan has no mix", (f"{path}.medium.mix",))
    known = known_medium(words)
    own = words.litre_mass / LITRE if words.litre_mass is not None else None
    if known is not None:
        density = known.bulk_density
    elif own is not None or words.mix.by == "mass":
        density = LikelyRange(own or 0.0, own or 0.0, own or 0.0)
    else:
        return Unknown(f"no density of {words.called} is known", (f"{path}.medium.litre_mass",))
    try:
        # Denser medium means more dry mass in the same volume: less water for each gram of it.
        low, typical, high = (
            content_at(words.mix, number) for number in (density.high, density.typical, density.low)
        )
    except NoSolution as error:
        return Unknown(reason_of(error), (f"{path}.medium.mix",))
    left_open: tuple[str, ...] = ()
    materials = (words.material, words.mixed_with.material if words.mixed_with else None)
    if "vermiculite" in materials and words.grade in (None, "unknown") and own is None:
        left_open = (f"{path}.medium.{'grade' if words.grade is None else 'litre_mass'}",)
    return Mixed(known, LikelyRange(low, typical, high), left_open, words.mix.by)


def contents_of(box: EggBox, path: str) -> BoxContents | Unknown:
    """Dry medium and water in one egg box as planned."""
    found = mixed(box.medium, path)
    if isinstance(found, Unknown) and not found.needs:
        return found
    graded = box.medium.grade is not None  # "unknown" is an answer: then the medium may be of any grade
    missing = [
        *(found.needs if isinstance(found, Unknown) else () if graded else found.left_open),
        *(
            f"{path}.{entry}"
            for entry, value in (("inside", box.inside), ("medium.depth", box.medium.depth))
            if value is None
        ),
    ]
    if isinstance(found, Unknown) or missing:
        reason = found.reason if isinstance(found, Unknown) else "size, depth or grade is not told"
        return Unknown(reason, tuple(missing))
    if found.medium is None:
        return Unknown(f"nothing is known here of {box.medium.called} as a medium")
    assert box.inside is not None and box.medium.depth is not None and box.medium.mix is not None
    volume, density = box.inside.floor * box.medium.depth, found.medium.bulk_density
    mass = LikelyRange(volume * density.low, volume * density.typical, volume * density.high)
    return BoxContents(found.medium, box.medium.mix, volume, mass, found.water_content)


def content_figure(mix: Mixed) -> Figure:
    """The water content of a mix as a figure."""
    content = mix.water_content
    return Figure(
        content.typical,
        content.low,
        content.high,
        "water content",
        "the mix and the density of the medium",
        WEIGH_A_LITRE if content.low < content.high else "",
        (CONTENT_BY[mix.by],),
    )


def potential_figure(medium: KnownMedium, content: LikelyRange) -> Result:
    """How hard the medium holds the water of a mix, with the range of the mix and of the laboratories."""
    middle = water_potential(medium, content.typical)
    if middle.typical is None:
        return Unknown(middle.reason or "no water-holding curve is known for this medium")
    ends = [water_potential(medium, end) for end in (content.low, content.high)]
    low = min(end.low for end in (*ends, middle) if end.low is not None)
    high = max(end.high for end in (*ends, middle) if end.high is not None)
    basis = "curve for vermiculite; laboratories differ"
    return Figure(middle.typical, low, high, "water potential", basis, formulas=(water_potential,))


def drained_of(medium: KnownMedium) -> LikelyRange:
    """What a medium of its usual density holds when drained [kg/kg]."""
    return drained_capacity(with_measured_bulk_density(medium, medium.bulk_density.typical))


def free_water_figure(
    medium: KnownMedium, mix: Mix, dry_mass: Callable[[float], float], drained: LikelyRange | None = None
) -> Figure:
    """Water [kg] that the medium cannot hold; `dry_mass` gives the dry medium [kg] from its bulk density [kg/m3].

    drained: what it holds where that was tried [kg/kg].
    """
    density = medium.bulk_density
    capacity = drained or drained_of(medium)

    def model(values: Mapping[str, float]) -> dict[str, float]:
        dry = dry_mass(values["density"])
        held = values["capacity"]
        if (
            medium.drained_by_mass is None and drained is None
        ):  # measured by volume: the heavier, the less for each gram
            held *= density.typical / values["density"]
        return {"free": free_water(content_at(mix, values["density"]) * dry, dry, held)}

    inputs = (
        Uncertainty("density", density.typical, density.low, density.high, WEIGH_A_LITRE),
        Uncertainty(
            "capacity", capacity.typical, capacity.low, capacity.high, "" if drained else DRAIN_A_POT
        ),
    )
    basis = "water beyond what the drained medium holds"
    return figure(propagate(model, inputs)["free"], "mass", basis, free_water, least=0.0)
