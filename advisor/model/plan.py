"""The planned set-up as frozen data: the same names and nesting as the plan file, in SI units.

Temperatures are in °C, temperature steps in K, lengths in m, masses in kg, volumes in m3, power in W,
durations in s, humidities and shares from 0 to 1. An entry that the keeper left out is None.
"""

import math
from datetime import date

from msgspec import Struct, field

from advisor.model.care import Checks, People, PowerCut, TrialRun, Watching
from advisor.model.measured import Measured


class Range(Struct, frozen=True):
    """A low and a high value; equal when one value was given."""

    low: float
    high: float

    @property
    def middle(self) -> float:
        """The middle of the range."""
        return (self.low + self.high) / 2


class Size(Struct, frozen=True):
    """Length, width and height [m]; of what is `round`, a circle or an oval seen from above, the diameters."""

    length: float
    width: float
    height: float
    round: bool = False

    @property
    def floor(self) -> float:
        """Area of its floor [m2]."""
        return self.length * self.width * (math.pi / 4 if self.round else 1.0)

    @property
    def around(self) -> float:
        """Length of its rim [m]."""
        sides = self.length + self.width
        return math.pi / 2 * sides if self.round else 2 * sides  # of an oval twice as long as wide 3 % short


class Area(Struct, frozen=True):
    """Length and width [m]."""

    length: float
    width: float


class Room(Struct, frozen=True):
    """The room: temperature range [°C], relative humidity range [0-1], height above the sea [m]."""

    temperature: Range | None = None
    humidity: Range | None = None
    altitude: float | None = None


class Wall(Struct, frozen=True):
    """Wall of the outer box: material word, thickness [m]."""

    material: str | None = None
    thickness: float | None = None


class Part(Struct, frozen=True):
    """A door or window: words for what it is, its material and its side; thickness [m]; share of that side [0-1]."""

    what: str
    material: str
    thickness: float
    share: float
    side: str


class OuterVents(Struct, frozen=True):
    """Open holes of the outer box: number (at each height), diameter [m], word for where."""

    count: int
    diameter: float
    where: str


class OuterBox(Struct, frozen=True):
    """The insulated box, a word for its kind; one of the two sizes is given; length and width of an open dish of water
    in it [m].
    """

    kind: str | None = None
    inside: Size | None = None
    outside: Size | None = None
    wall: Wall = field(default_factory=Wall)
    lid_fits: str | None = None
    stands_on: str | None = None
    water_dish: Area | None = None
    parts: tuple[Part, ...] = ()
    vents: OuterVents | None = None

    @property
    def ready_built(self) -> bool:
        """Whether it was bought with heater and thermostat inside, so that its owner cannot know its walls."""
        return self.kind == "ready-built"


class FloorHeater(Struct, frozen=True):
    """A second heater that lies on the floor: power [W], heated area [m x m]."""

    power: float
    size: Area


class Heat(Struct, frozen=True):
    """The heater, or `count` alike: words for source and place, power of all together [W], heated area of each [m x m]; of
    cables the length of all [m], power of each metre [W/m] and the distance between the runs [m]; water of a bath [m3].

    The power is that of all heaters together, the one on the floor included.
    """

    source: str | None = None
    place: str | None = None
    power: float | None = None
    size: Area | None = None
    length: float | None = None
    watts_per_metre: float | None = None
    spacing: float | None = None
    count: int = 1
    bath_water: float | None = None
    floor_heater: FloorHeater | None = None

    @property
    def floor_share(self) -> float:
        """Share of the power [-] that a second heater on the floor has; 0 without one."""
        return self.floor_heater.power / self.power if self.floor_heater and self.power else 0.0


class Fan(Struct, frozen=True):
    """A fan inside the outer box: whether it runs "always" or "with heater"; its power [W]."""

    runs: str
    power: float


class Cooler(Struct, frozen=True):
    """What takes heat out of the outer box: how much [W]."""

    power: float


class Probe(Struct, frozen=True):
    """The thermostat's probe; tier is the layer of egg boxes it is in or beside, where the plan tells it here."""

    sits_in: str | None = None
    fixed: bool | None = None
    tier: str | None = None


class CutOut(Struct, frozen=True):
    """The independent cut-out: fitted or "none"; the temperature it cuts at [°C]."""

    fitted: bool
    set_to: float | None = None


class SetPointStep(Struct, frozen=True):
    """A set point by day [°C], for some hours by night a cooler one [°C, s]; from a day of incubation or a date on."""

    set_to: float
    night: float | None = None
    night_lasts: float = 0.0
    from_day: int | None = None
    from_: date | None = None


class Control(Struct, frozen=True):
    """Thermostat word, set point [°C], switching band [K, from on to off], probe, cut-out.

    With a programme, the steps of what is set, `set_to` is the warmest of its set points.
    """

    thermostat: str | None = None
    set_to: float | None = None
    switching_band: float | None = None
    probe: Probe = field(default_factory=Probe)
    cut_out: CutOut | None = None
    checked_against: str | None = None
    programme: tuple[SetPointStep, ...] = ()

    @property
    def held(self) -> tuple[float, ...]:
        """The set points by day [°C], one after the other; none where it is not told."""
        return tuple(step.set_to for step in self.programme) or (
            () if self.set_to is None else (self.set_to,)
        )

    @property
    def coldest(self) -> float | None:
        """The coldest set point [°C], nights counted."""
        nights = (step.night for step in self.programme if step.night is not None)
        return min((*self.held, *nights), default=None)


class Holes(Struct, frozen=True):
    """Air holes of one egg box: number (0 for "none"), diameter [m]."""

    count: int
    diameter: float | None = None


class Lid(Struct, frozen=True):
    """Egg-box lid: fit word, thickness [m], holes; not `fitted` where the box is an open tray."""

    fit: str | None = None
    thickness: float | None = None
    holes: Holes | None = None
    fitted: bool = True


class Mix(Struct, frozen=True):
    """Parts of dry medium and of water; `by` is "volume" or "mass"."""

    medium: float
    water: float
    by: str


class SecondMedium(Struct, frozen=True):
    """A second dry medium in a mix, and its share of the dry volume [0-1]."""

    material: str
    share: float


class Medium(Struct, frozen=True):
    """What the eggs lie in; depth [m]; `litre_mass` is the keeper's own bulk density [kg per litre of dry medium]."""

    material: str | None = None
    grade: str | None = None
    litre_mass: float | None = None
    depth: float | None = None
    mix: Mix | None = None
    mixed_with: SecondMedium | None = None

    @property
    def called(self) -> str | None:
        """Its name in a sentence: "vermiculite", "vermiculite with 50 % perlite"; None where it is not told."""
        second = self.mixed_with
        if second is None or self.material is None:
            return self.material
        return f"{self.material} with {second.share * 100:.0f} % {second.material}"


class TopUp(Struct, frozen=True):
    """How water is added: way is "none", "every", "by weight" or "to"; interval [s] for "every"; for "to" the gain [kg] of
    each box from laying to hatching.
    """

    way: str
    every: float | None = None
    gain: float | None = None


class EggBox(Struct, frozen=True):
    """One kind of egg box, `count` alike; inside size [m]; mass empty with its lid [kg]; tier "one", "two" (stacked), or which of two; thickness
    of the foam that lies on the lid [m], 0 without; height of the rack it stands on [m].
    """

    name: str
    count: int | None = None
    holds: str | None = None
    inside: Size | None = None
    tare: float | None = None
    stands: str | None = None
    tier: str | None = None
    lid: Lid = field(default_factory=Lid)
    medium: Medium = field(default_factory=Medium)
    top_up: TopUp | None = None
    dry_late: bool | None = None
    foam_on_lid: float = 0.0
    shelf_height: float | None = None

    @property
    def stacked(self) -> bool:
        """Whether it is known to stand in one of two tiers."""
        return self.tier in ("two", "lower", "upper")


class Laying(Struct, frozen=True):
    """What is known of the laying day."""

    shed_on: date | None = None
    expected: tuple[date, date] | None = None
    laid_on: date | None = None


class Repeats(Struct, frozen=True):
    """Further clutches of one female: days from one laying to the next (None: as the profile), how many follow the first."""

    every: Range | None
    times: int


class LayBox(Struct, frozen=True):
    """The box the female lays in; `planned` is False for "none"."""

    ready_on: date | None = None
    planned: bool = True


class PlannedCoolPeriod(Struct, frozen=True):
    """A cool period the keeper plans: temperature [°C], days; `planned` is False for "none"."""

    planned: bool
    at: Range | None = None
    days: Range | None = None


class Clutch(Struct, frozen=True):
    """One clutch: species id, number of eggs, mass of one egg [kg], egg-box name; `looked_for` is an interval [s].

    `called` is the species' name that the plan uses; None where that is the id. An entry of the file that repeats makes
    several clutches: `entry` is its place in the file, `nth` which of them this one is, from 0; `laying` is that of the first.
    """

    species: str
    eggs: int | None = None
    egg_mass: float | None = None
    box: str | None = None
    wanted: str | None = None
    laying: Laying = field(default_factory=Laying)
    lay_box: LayBox = field(default_factory=LayBox)
    looked_for: float | None = None
    placed: str | None = None
    parted: str | None = None
    marked: bool | None = None
    cool_period: PlannedCoolPeriod | None = None
    called: str | None = None
    repeats: Repeats | None = None
    entry: int = 0
    nth: int = 0

    @property
    def laid_on(self) -> date | None:
        """The laying day that the plan tells; that of the first clutch is none of those that follow."""
        return None if self.nth else self.laying.laid_on


class Accept(Struct, frozen=True):
    """A rule whose findings the keeper accepts, and why."""

    rule: str
    because: str


class Plan(Struct, frozen=True):
    """One outer box with everything in and around it."""

    clutches: tuple[Clutch, ...]
    title: str = "Untitled set-up"
    units: str = "metric"
    room: Room = field(default_factory=Room)
    outer_box: OuterBox = field(default_factory=OuterBox)
    heat: Heat = field(default_factory=Heat)
    fan: Fan | None = None
    cooling: Cooler | None = None
    control: Control = field(default_factory=Control)
    watching: Watching = field(default_factory=Watching)
    power_cut: PowerCut = field(default_factory=PowerCut)
    egg_boxes: tuple[EggBox, ...] = ()
    checks: Checks = field(default_factory=Checks)
    trial_run: TrialRun = field(default_factory=TrialRun)
    measured: Measured = field(default_factory=Measured)
    people: People = field(default_factory=People)
    accept: tuple[Accept, ...] = ()

    @property
    def has_lids(self) -> bool:
        """Whether an egg box has a lid, as far as the plan tells."""
        return not self.egg_boxes or any(box.lid.fitted for box in self.egg_boxes)

    def first_of(self, entry: int) -> int:
        """Place of the first clutch that an entry of the file stands for."""
        return next(place for place, clutch in enumerate(self.clutches) if clutch.entry == entry)
