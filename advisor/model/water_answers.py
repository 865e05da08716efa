"""Answers to a keeper's own questions about water: one mix, and one box that was weighed."""

from msgspec import Struct

from advisor.model.figures import Figure, Result
from advisor.model.forecast import TopUpForecast, WaterForecast


class MixAnswer(Struct, frozen=True):
    """One mix: amounts, how wet it is and how hard it holds its water, the other ratio, where the figures come from.

    `medium` names the medium; `parts` are medium and water by the measure `by`; `by_volume` and `by_mass` are parts of
    medium to one part of water. `wetness` are words for the driest, the typical and the wettest the mix may be, none
    where no figures are known. `driest_potential` [Pa] is what one laboratory's curve says.
    """

    medium: str
    parts: tuple[float, float]
    by: str
    medium_volume: Figure
    medium_mass: Figure
    water: Figure
    water_volume: Figure
    water_content: Figure
    water_potential: Result
    driest_potential: float | None
    free_water: Result
    by_volume: Figure
    by_mass: Figure
    wetness: tuple[str, str, str] | None
    source: str
    known: str


class Weighed(Struct, frozen=True):
    """What the keeper weighed, in kg: the box on a day of incubation, the empty box with its lid, the box on laying day
    (None: not weighed), water added since (None: as the plan tops up), one egg now (None: not weighed), and the smallest step of the scale.

    `earlier` are weighings before that day: day, mass, water added until then.
    """

    day: int
    mass: float
    tare: float = 0.0
    start_mass: float | None = None
    added: float | None = 0.0
    egg_mass: float | None = None
    scale_step: float = 0.001
    earlier: tuple[tuple[int, float, float], ...] = ()


class WeighingAnswer(Struct, frozen=True):
    """One egg box weighed on a day of incubation; masses in kg, water contents in kg/kg.

    `lighter` is what the scale lost since laying (or since the first weighing, where there are several and none of the
    laying day), top-ups counted as they are; `lost` is what left through lid and vents;
    `drunk` is what the eggs took (below 0: gave); `leak` is the loss as a factor on the forecast's. `top_ups` are those
    still to come, the first of them today when its day is `day`. `rigid` tells whether an egg in the box has a rigid shell;
    `added_as_planned` that the keeper did not tell what was added.
    """

    box: str
    weighed: Weighed
    added_as_planned: bool
    rigid: bool
    lighter: Figure
    lost: Figure
    drunk: Figure
    leak: Figure
    content_at_start: float
    content: Figure
    before: WaterForecast
    lasts: Result
    end: Figure
    add_now: Figure
    top_ups: tuple[TopUpForecast, ...]
