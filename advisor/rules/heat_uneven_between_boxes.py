"""How far the egg boxes differ in temperature, against the species' band and the change from one sex to the other."""

import math
from collections.abc import Iterator

from advisor.forecast.clutch.evidence import share_model
from advisor.formulas.numerics.no_data import NoData
from advisor.formulas.sexes.curve_choice import ShareModel
from advisor.formulas.sexes.male_share import male_share_at
from advisor.model.figures import Figure
from advisor.model.findings import FIX, SEVERITIES, WATCH, Finding, NotJudged
from advisor.rules.engine import CLUTCH, Case, Rule
from advisor.rules.shared import BOX, ROUNDING, needs_of, temperature_for_sexes, warmer_eggs

OTHER_SEXES = 0.2  # difference in the share of males [0-1] between boxes that is worth telling; judgement
CHANGE_OVER = (0.2, 0.8)  # shares of males [0-1] between which one sex gives way to the other; judgement

THERMOMETERS = "Put a thermometer in each box before the eggs come."

RULE = Rule(
    id="heat-uneven-between-boxes",
    title="The egg boxes differ too much in temperature",
    explanation=(
        "The thermostat knows one place only. Warm air gathers under the lid, a floor heater favours the boxes above it, "
        "and corners run cool. Eggs in the other boxes are off the set point all season, while the display looks right. "
        "They hatch days or weeks apart, and where warmth sets the sex it is not the one that was planned."
    ),
    remedy="Stand all egg boxes in one layer on a rack, away from the corners, and put a thermometer in each.",
    sources=("practice", "judgement"),
    about=CLUTCH,
    levers=(
        "box.tier",
        "box.stands",
        "heat.place",
        "outer_box.wall.thickness",
        "room.temperature",
        "control.set_to",
    ),
    needs=("forecast.heat.spread", "control.set_to", "species.tolerated"),
    good=BOX + "heat: {source: mat, place: lid, power: 20 W, size: 40 x 30 cm}",
    bad=BOX.replace("count: 2", "count: 4")
    .replace("tier: one", "tier: two")
    .replace("set_to: 28", "set_to: 30")
    + "heat: {source: mat, place: lid, power: 20 W, size: 40 x 30 cm}",
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """Boxes may run warmer or cooler than the one with the probe, the worst of all set points by day."""
    found = [answer for set_to in dict.fromkeys(case.plan.control.held) for answer in _at(case, set_to)]
    yield from sorted(found, key=_rank)[:1]


def _rank(answer: Finding | NotJudged) -> int:
    return SEVERITIES.index(answer.severity) if isinstance(answer, Finding) else len(SEVERITIES)


def _at(case: Case, set_to: float) -> Iterator[Finding | NotJudged]:
    """By the forecast spread, or as the tiers tell."""
    spread, species, show = case.forecast.heat.spread, case.species, case.show
    assert isinstance(spread, Figure) and species.tolerated is not None
    low, high = species.tolerated.low, species.tolerated.high
    if (
        not low - ROUNDING <= set_to + warmer_eggs(case) <= high + ROUNDING
        or sum(box.count or 0 for box in case.plan.egg_boxes) == 1
    ):
        return
    differ = f"The boxes differ by {show.figure(spread)}"
    cool, warm = _reached(case, set_to, spread)
    harm = _harm(case, cool, warm)
    told = harm or _harm(case, *_at_worst(case, set_to))
    if told is not None and species.harmful is not None:
        reached, limit = told
        severity, support = FIX if harm else WATCH, species.harmful.support
        message = (
            f"{differ}: with the probe at {show.temperature(set_to)}, some may sit at {_near(case, reached)}, and eggs "
            f"of {species.name} come to harm at {show.temperature(limit)}."
        )
    elif cool < low - ROUNDING or warm > high + ROUNDING:
        certain = _certain(case, set_to, spread, low, high)
        severity, support = FIX if certain else WATCH, species.tolerated.support
        message = (
            f"{differ}: with the probe at {show.temperature(set_to)}, some may leave the "
            f"{show.temperature_range(low, high)} that {species.name} tolerates."
        )
    else:
        yield from _sexes(case, spread, differ)
        return
    yield Finding(
        severity,
        message,
        "egg_boxes",
        THERMOMETERS,
        figures=(("spread", spread),),
        sources=tuple(dict.fromkeys((*RULE.sources, *support.sources))),
        evidence=support.known,
    )


def _reached(case: Case, set_to: float, spread: Figure) -> tuple[float, float]:
    """Coolest and warmest typical temperature [°C] of the clutch's boxes; in one tier nobody knows which is which."""
    ways = _layers(case)
    if not ways:
        held = set_to + warmer_eggs(case)
        return held - spread.value, held + spread.value
    return set_to + min(way.value for way in ways), set_to + max(way.value for way in ways)


def _at_worst(case: Case, set_to: float) -> tuple[float, float]:
    """Coolest and warmest temperature [°C] at the bad ends of the range, where boxes stand in two tiers."""
    ways, off = _layers(case), warmer_eggs(case)
    return set_to + min((way.low for way in ways), default=off), set_to + max(
        (way.high for way in ways), default=off
    )


def _certain(case: Case, set_to: float, spread: Figure, low: float, high: float) -> bool:
    """Whether boxes leave the band [°C] also at the mild end of the range, whatever the plan leaves open."""
    ways = _layers(case)
    if not ways:
        held = set_to + warmer_eggs(case)
        return held - spread.low < low and held + spread.low > high
    box = case.box if case.box_index is not None else None
    if box is not None and box.tier == "two" and (box.count or 1) > 1:
        ways = tuple(
            way for way in ways if way.value
        )  # whatever tier the probe is in, one box is in the other
    return all(set_to + way.high < low or set_to + way.low > high for way in ways)


def _layers(case: Case) -> tuple[Figure, ...]:
    """How much warmer than the set point the clutch's boxes may be [K], where boxes stand in two tiers."""
    stacked = any(box.stacked for box in case.plan.egg_boxes)
    return case.clutch_forecast.warmth.ways if stacked else ()


def _harm(case: Case, cool: float, warm: float) -> tuple[float, float] | None:
    """The temperature that some boxes may reach and the limit of harm that it passes, when it does."""
    harmful = case.species.harmful
    if harmful is None:
        return None
    if harmful.above is not None and warm >= harmful.above - ROUNDING:
        return warm, harmful.above
    if harmful.below is not None and cool <= harmful.below + ROUNDING:
        return cool, harmful.below
    return None


def _near(case: Case, temperature: float) -> str:
    return case.show.about_temperature(temperature, temperature, temperature)


def _sexes(case: Case, spread: Figure, differ: str) -> Iterator[Finding | NotJudged]:
    """Where temperature sets the sex: how far the share of males moves over the spread."""
    species, set_to, show = case.species, temperature_for_sexes(case), case.show
    if species.sex.set_by is None:
        yield NotJudged(("species.sex.set_by",))
        return
    if species.sex.set_by != "temperature":
        return
    if set_to is None:
        yield NotJudged(needs_of(case.clutch_forecast.male_share, "species.sex.observed"))
        return
    model = share_model(species)
    shares = [
        (at, share.share)
        for at in sorted({*_reached(case, set_to, spread), set_to + warmer_eggs(case)})
        if not isinstance(share := male_share_at(model, at), NoData)
    ]
    if len(shares) < 2:
        yield NotJudged(("species.sex.observed",))
        return
    least, most = (choose(shares, key=lambda pair: pair[1]) for choose in (min, max))
    if most[1] - least[1] < OTHER_SEXES:
        return
    width = change_over(model)
    turns = f" The sex turns within about {show.step(width)}." if width else ""
    yield Finding(
        WATCH,
        f"{differ}: boxes at {_near(case, least[0])} give {show.percent(least[1])} males, at "
        f"{_near(case, most[0])} {show.percent(most[1])}.{turns}",
        "egg_boxes",
        THERMOMETERS,
        figures=(("spread", spread),),
        sources=tuple(dict.fromkeys(key for point in species.sex.observed for key in point.support.sources)),
    )


def change_over(model: ShareModel) -> float | None:
    """Width [K] over which the share of males goes from 0.2 to 0.8, of the steeper slope; None without a fitted curve.

    Logistic curve: T = P + S ln(p/(1 - p)), so that the width is |S| times the difference of the two logits.
    """
    if model.fit is None or not model.fit.identified:
        return None
    low, high = (math.log(share / (1 - share)) for share in CHANGE_OVER)
    return min(abs(width) for width in model.fit.widths) * (high - low)
