"""What lies in the egg boxes: dry medium, water and their masses, from the plan's words."""

from dataclasses import dataclass

from advisor.eggs.medium import (
    Medium,
    medium_named,
    water_content_from_mass_mix,
    water_content_from_volume_mix,
    with_measured_bulk_density,
)
from advisor.model.figures import Unknown
from advisor.model.plan import EggBox
from advisor.physics.vents import Band

LITRE = 1e-3  # m3
NAMES = {"sphagnum moss": "sphagnum"}  # the plan's word to the physics' word


@dataclass(frozen=True, slots=True)
class BoxContents:
    """One egg box: the medium, its volume [m3], dry mass [kg] and water content w [kg/kg], with their ranges."""

    medium: Medium
    volume: float
    dry_mass: Band
    water_content: Band


def medium_of(box: EggBox, path: str) -> Medium | Unknown:
    """The medium of an egg box; `path` is the box's plan path, for the reasons."""
    words = box.medium
    if words.material is None:
        return Unknown("the plan names no medium", (f"{path}.medium.material",))
    if words.material == "none":
        return Unknown("this box has no medium")
    grade = words.grade if words.grade != "unknown" and words.material == "vermiculite" else None
    try:
        medium = medium_named(NAMES.get(words.material, words.material), grade)
    except ValueError:
        return Unknown(f"nothing is known here of {words.material} as a medium")
    if words.material == "vermiculite" and words.grade is None and words.litre_mass is None:
        return Unknown("the grade of the vermiculite is not told", (f"{path}.medium.grade",))
    if words.litre_mass is None:
        return medium
    try:
        return with_measured_bulk_density(medium, words.litre_mass / LITRE)
    except ValueError as error:
        return Unknown(str(error))


def contents_of(box: EggBox, path: str) -> BoxContents | Unknown:
    """Dry medium and water in one egg box as planned."""
    medium = medium_of(box, path)
    if isinstance(medium, Unknown):
        return medium
    missing = [
        f"{path}.{entry}"
        for entry, value in (
            ("inside", box.inside),
            ("medium.depth", box.medium.depth),
            ("medium.mix", box.medium.mix),
        )
        if value is None
    ]
    if missing:
        return Unknown("size, depth or mix is not told", tuple(missing))
    assert box.inside is not None and box.medium.depth is not None and box.medium.mix is not None
    mix = box.medium.mix
    volume = box.inside.length * box.inside.width * box.medium.depth
    density = medium.bulk_density
    try:
        if mix.by == "mass":
            same = water_content_from_mass_mix(mix.medium, mix.water)
            content = Band(same, same, same)
        else:
            # Denser medium means more dry mass in the same volume: less water for each gram of it.
            content = Band(
                *(
                    water_content_from_volume_mix(mix.medium, mix.water, number)
                    for number in (density.high, density.typical, density.low)
                )
            )
    except ValueError as error:
        return Unknown(str(error))
    mass = Band(volume * density.low, volume * density.typical, volume * density.high)
    return BoxContents(medium, volume, mass, content)
