"""A group of species that one outer box can hold."""

from msgspec import Struct

from advisor.model.plan import Range
from advisor.model.species import Species


class BoxGroup(Struct, frozen=True):
    """Species that can share a box: the band that is usual for all of them [°C] and a set point in its middle [°C]."""

    species: tuple[Species, ...]
    band: Range
    set_point: float
