"""The water in the mix against the length of the incubation."""

import math
from collections.abc import Iterator

from advisor.eggs.medium import WATER_DENSITY
from advisor.model.figures import Figure, Unknown
from advisor.model.findings import FIX, WATCH, Finding, NotJudged
from advisor.model.plan import Mix
from advisor.model.species import Species
from advisor.rules.engine import CLUTCH, Case, Rule
from advisor.rules.moisture_mix_too_wet import WEIGHT, known_medium, mix_water_content, weight_left_open

DAY = 86400.0  # s
KNOWN_DAYS = (
    60.0  # days that 4:1 by volume lasts in a lidded egg box without a top-up; common practice, no source
)
KNOWN_SHARE = 1 / 4  # parts of water to one part of vermiculite by volume, in that mix
ABOUT = 1.25  # "about 60 days" is read as 48 to 75 days; judgement
USUAL_TOP_UP = 14  # days; laboratories and zoos check the water every 3 to 14 days, common practice

RULE = Rule(
    id="moisture-mix-too-short",
    title="The water in the mix does not last until hatching",
    explanation=(
        "The medium loses water through the lid, and the eggs take their share. A mix that begins well is then too dry "
        "in the last two thirds, when the embryo cannot do without. The eggs sink in, and the young hatch small or die "
        "late, after months of care."
    ),
    remedy="Plan top-ups: weigh the box when you set it up, and add the lost water at the checks.",
    sources=("practice", "judgement"),
    about=CLUTCH,
    needs=("box.medium",),
    implied_by=("moisture-mix-too-dry",),
    good="""\
control: {set_to: 28 °C}
egg_boxes: [{name: eggs, medium: {material: vermiculite, mix: {medium: 4, water: 1, by: volume}}, top_up: none}]
clutches: [{species: pantherophis-guttatus, box: eggs}]""",
    bad="""\
control: {set_to: 28 °C}
egg_boxes: [{name: eggs, medium: {material: vermiculite, mix: {medium: 4, water: 1, by: volume}}, top_up: none}]
clutches: [{species: chamaeleo-calyptratus, box: eggs}]""",
)


def days_a_mix_lasts(water_share: float) -> float:
    """Days a vermiculite mix lasts in a lidded egg box without a top-up, from its parts of water to one of vermiculite.

    water_share [m3/m3], 0 or more; result [days], good to a factor of ABOUT at best.
    Assumes that 4:1 by volume lasts about 60 days (common practice, no source) and that a box loses the same water each
    day whatever its mix, so that the days go with the water in the box (judgement). It knows neither depth, lid, holes,
    room nor eggs: a water forecast does.
    """
    return KNOWN_DAYS / KNOWN_SHARE * water_share


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """The days to the first top-up, or to hatching, against the days the mix lasts."""
    medium, top_up, show = case.box.medium, case.box.top_up, case.show
    if medium.material == "none" or (top_up is not None and top_up.way == "by weight"):
        return
    content = mix_water_content(medium)
    if isinstance(content, Unknown):
        yield NotJudged(content.needs)
        return
    known, mix = known_medium(medium), medium.mix
    assert mix is not None
    if known is None or not known.has_retention_curve:
        yield NotJudged((f"how long a mix with {medium.material} lasts (not known)",))
        return
    density = known.bulk_density
    typical, *ends = (_days(case.species, mix, each) for each in (density.typical, density.low, density.high))
    lasts = Figure(typical, min(ends) / ABOUT, max(ends) * ABOUT, "days", "4:1 by volume lasts about 60 days")
    limit = (min(ends) if weight_left_open(medium) else typical) * ABOUT
    every = top_up.every / DAY if top_up is not None and top_up.every is not None else None
    if every is not None and every <= limit:
        return
    incubation = case.clutch_forecast.incubation_days
    if isinstance(incubation, Unknown):
        yield NotJudged(case.missing(("clutch_forecast.incubation_days",)))
        return
    needed = incubation.value if every is None else min(every, incubation.value)
    if needed <= limit:
        return
    if weight_left_open(medium) and needed <= lasts.high:
        yield NotJudged(WEIGHT)
        return
    if top_up is None:
        yield NotJudged(("box.top_up",))
        return
    surely_needed = incubation.low if every is None else min(every, incubation.low)
    first = "no top-up is planned" if every is None else f"the first top-up comes after {show.days(every)}"
    yield Finding(
        FIX if surely_needed > max(lasts.high, KNOWN_DAYS * ABOUT) else WATCH,
        f"By the keepers' rule that 4:1 by volume lasts about 60 days, this mix lasts {show.days(typical)} (likely "
        f"{show.days_range(lasts.low, lasts.high)}); the incubation takes "
        f"{show.days_range(incubation.low, incubation.high)}, and {first}. Only the days, the mix and the top-ups count "
        "here, not the lid, the holes or the room.",
        "box.medium.mix",
        f"Plan a top-up every {show.days(max(1, min(USUAL_TOP_UP, int(lasts.low))))}, or weigh the box at the checks and "
        "add what it lost.",
        figures=(("lasts_until_day", lasts), ("incubation_days", incubation)),
    )


def _days(species: Species, mix: Mix, bulk_density: float) -> float:
    """Days at one bulk density [kg/m3]; as long as 4:1 when the profile lists a mix no wetter as used without top-ups."""
    content = _content(mix, bulk_density)
    days = days_a_mix_lasts(content * bulk_density / WATER_DENSITY)
    driest_used = min((_content(used.mix, bulk_density) for used in species.medium.mixes), default=math.inf)
    if species.medium.top_up == "not usually" and content >= driest_used:
        return max(days, KNOWN_DAYS)
    return days


def _content(mix: Mix, bulk_density: float) -> float:
    share = mix.water / mix.medium
    return share if mix.by == "mass" else share * WATER_DENSITY / bulk_density
