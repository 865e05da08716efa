"""The warmth of late eggs: how much warmer than its surroundings the medium of a box gets by what the eggs give off."""

from msgspec.structs import replace

from advisor.forecast.egg_box.eggs import BoxLoad
from advisor.forecast.heat.egg_warmth import probe_among
from advisor.formulas.air.oxygen import HEAT_OF_OXYGEN
from advisor.formulas.air.vents import LikelyRange
from advisor.model.figures import Result, Unknown
from advisor.model.plan import EggBox, Plan
from advisor.show import Show

# W/(m2 K), from the medium to the air round an egg box, by its outer area: the layered network gave 3.7 to 5.7 for twelve
# boxes of 12 x 12 x 8 to 40 x 28 x 20 cm, heated from lid or floor. The ends are a little wider: judgement.
FROM_BOX = LikelyRange(3.5, 4.5, 6.0)
LEAST = 0.1  # K; less is lost in the error of any thermostat: judgement


def late_lift(box: EggBox, load: BoxLoad) -> LikelyRange | None:
    """How much warmer [K] eggs at hatching make the medium of their box; None where size or breathing is not known."""
    oxygen = load.peak_oxygen
    if box.inside is None or isinstance(oxygen, Unknown):
        return None
    length, width, height = box.inside.length, box.inside.width, box.inside.height
    area = 2.0 * (length * width + (length + width) * height)
    return LikelyRange(
        HEAT_OF_OXYGEN.low * oxygen.low / (FROM_BOX.high * area),
        HEAT_OF_OXYGEN.typical * oxygen.typical / (FROM_BOX.typical * area),
        HEAT_OF_OXYGEN.high * oxygen.high / (FROM_BOX.low * area),
    )


def with_late_heat(medium: Result, plan: Plan, box: EggBox, load: BoxLoad | Unknown, show: Show) -> Result:
    """The medium's temperature with the eggs' own heat in its high end, where no probe among the eggs makes up for it."""
    lift = None if isinstance(load, Unknown) else late_lift(box, load)
    if isinstance(medium, Unknown) or lift is None or lift.typical < LEAST or probe_among(plan, box):
        return medium
    late = show.about_step(lift.typical, lift.low, lift.high)
    return replace(
        medium,
        high=medium.high + lift.high,
        basis=f"{medium.basis}; near hatching {late} warmer by the eggs' own heat",
    )
