"""A species profile as frozen data, in SI units (temperatures in °C, masses in kg, lengths in m).

A figure that the profile answers with `unknown` is None.
"""

from msgspec import Struct

from advisor.model.plan import Mix, Range

KEEPERS_RECORD = "keepers-record"  # the source of a clutch that a keeper counted and logged
KNOWN = ("published", "from memory", "common practice", "computed")


class Support(Struct, frozen=True):
    """Where a figure comes from: bibliography keys, how it is known (a word of `KNOWN`), an optional note."""

    sources: tuple[str, ...]
    known: str
    note: str = ""


class Band(Struct, frozen=True):
    """A range of one quantity with its support."""

    low: float
    high: float
    support: Support


class Limits(Struct, frozen=True):
    """Temperatures [°C] below and above which eggs come to harm; either may be unknown."""

    below: float | None
    above: float | None
    support: Support


class Observation(Struct, frozen=True):
    """One observed point: temperature [°C], value (days, or a share 0 to 1), eggs counted, full daily swing [K].

    `potential` is the water potential of the medium [Pa]; `counted_from` says where the days start: laying, warming,
    or end of pause. `group` names the population, sample or batch of a study that counted several, or a keeper's clutch.
    """

    at: Range
    value: Range
    eggs: int | None
    swing: float | None
    support: Support
    potential: float | None = None
    counted_from: str = "laying"
    group: str = ""


class Pause(Struct, frozen=True):
    """A rest of the embryo before it develops: days, what ends it."""

    days: Range
    ended_by: str
    support: Support


class Reversal(Struct, frozen=True):
    """Sex reversed by heat: above which temperature [°C], toward which sex."""

    above: float
    toward: str
    support: Support


class Sex(Struct, frozen=True):
    """How the sex is set, the pattern word, counted shares of males, the sensitive part of development (0 to 1)."""

    set_by: str | None
    pattern: str | None = None
    observed: tuple[Observation, ...] = ()
    sensitive: Band | None = None
    reversal: Reversal | None = None
    support: Support | None = None


class Eggs(Struct, frozen=True):
    """The eggs: shell word, eggs in a clutch, clutches of a female, mass [kg], length and width [m], mass gain as a share of the first mass."""

    shell: str | None
    clutch: Range | None
    clutches_a_year: Range | None
    mass: Range | None
    length: Range | None
    width: Range | None
    gain: Range | None
    cling: bool | None
    glued_to_surface: bool | None
    support: Support


class UsedMix(Struct, frozen=True):
    """A mix that is used for the species."""

    mix: Mix
    support: Support


class SpeciesMedium(Struct, frozen=True):
    """What the species' eggs lie in: mixes used, water band [kg/kg], water-potential band [Pa], humidity band [0-1]."""

    mixes: tuple[UsedMix, ...]
    water: Band | None
    potential: Band | None
    humidity: Band | None
    top_up: str | None


class CoolPeriod(Struct, frozen=True):
    """A cool period of the eggs: temperature [°C], days, when.

    `needed_by` says whose eggs need it: "all", "some" populations, or "none" where it is given and not needed.
    """

    at: Range
    days: Range
    when: str
    support: Support
    needed_by: str = "all"


class Climate(Struct, frozen=True):
    """Where the nests are: "temperate", with cold nights, or "tropical"."""

    kind: str
    support: Support


class SpeciesLaying(Struct, frozen=True):
    """Days from the shed, from mating and from ovulation to laying, with their support; days from laying to the next."""

    shed_to_laying: Range | None
    mating_to_laying: Range | None
    ovulation_to_laying: Range | None
    support: Support | None
    next_clutch: Band | None


class Caution(Struct, frozen=True):
    """A known word and a sentence."""

    word: str
    because: str


class Species(Struct, frozen=True):
    """One profile. `origin` says where it was read: "shipped" or the folder the keeper named."""

    id: str
    scientific: str
    common: tuple[str, ...]
    former: tuple[str, ...]
    group: str
    climate: Climate | None
    reviewed: str
    aim: Band | None
    tolerated: Band | None
    harmful: Limits | None
    duration: tuple[Observation, ...]
    pause: Pause | None
    pause_known: bool
    sex: Sex
    eggs: Eggs
    medium: SpeciesMedium
    hatched: tuple[Observation, ...]
    hatch_spread: Band | None
    cool_period: CoolPeriod | None
    cool_period_known: bool
    laying: SpeciesLaying | None
    cautions: tuple[Caution, ...]
    notes: str
    origin: str = "shipped"

    @property
    def name(self) -> str:
        """The first common name, or the scientific name."""
        return self.common[0] if self.common else self.scientific
