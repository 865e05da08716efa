"""A group of species that one outer box can hold."""

from advisor.frozen import dataclass
from advisor.model.plan import Range
from advisor.model.species import Species


@dataclass(frozen=True, slots=True)
class BoxGroup:
    """Species that can share a box: the band that is usual for all of them [°C] and a set point in its middle [°C]."""

    species: tuple[Species, ...]
    band: Range
    set_point: float
