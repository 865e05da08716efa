"""What keeps the box warm when the power fails."""

from collections.abc import Iterator

from advisor.constants import DAY
from advisor.forecast.heat.egg_limits import without_cold_limit
from advisor.forecast.heat.power_cut import NEVER
from advisor.model.figures import Figure
from advisor.model.findings import NOTE, WATCH, Finding, NotJudged
from advisor.model.plan import OuterBox
from advisor.rules.engine import PLAN, Case, Rule
from advisor.rules.shared import LITTLE_WATER

ROUNDING = 1.0 - 1e-9  # so that 24 litres are no less than a thirtieth of 720

RULE = Rule(
    id="watching-no-power-cut-plan",
    title="Little or nothing keeps the box warm in a power cut",
    explanation=(
        "Without power a foam box cools by a few degrees within one to three hours, and in a night to little more than the "
        "room. Most eggs bear a short cool spell, and it only slows them. A night in a heated home does no known harm. A "
        "cold room or a cut of days may do some. Water in bottles gives its heat back slowly and so buys hours."
    ),
    remedy="Stand full water bottles in the box from the first day, together a twelfth of its volume or more.",
    sources=("judgement",),
    about=PLAN,
    needs=("power_cut.prepared",),
    implied_by=("heat-power-cut-cools-eggs",),  # tells the hours, and the litres that make more of them
    levers=("power_cut.water", "power_cut.prepared"),
    good="power_cut: {prepared: water bottles, water: 2 L}\nouter_box: {inside: 50 x 30 x 20 cm}",
    bad="power_cut: {prepared: nothing}",
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """Nothing prepared, bottles without water, or too little water for the size of the box."""
    power_cut, volume, show = case.plan.power_cut, _inside_volume(case.plan.outer_box), case.show
    if power_cut.prepared == "nothing":
        spared = " A day without power does the eggs no known harm." if _bears_a_day(case) else ""
        yield Finding(
            NOTE if spared else WATCH, f"Nothing is prepared for a power cut.{spared}", "power_cut.prepared"
        )
    if power_cut.prepared != "water bottles":
        return
    if power_cut.water is None:
        yield NotJudged(("power_cut.water",))
    elif power_cut.water == 0:
        yield Finding(WATCH, "Water bottles are named, but they hold no water.", "power_cut.water")
    elif volume is None:
        yield NotJudged(("outer_box.wall.thickness" if case.plan.outer_box.outside else "outer_box.inside",))
    elif power_cut.water < LITTLE_WATER * volume * ROUNDING:
        yield Finding(
            NOTE,
            f"The bottles hold {show.volume(power_cut.water)}, little for a box of {show.volume(volume)}: "
            f"{show.volume(LITTLE_WATER * volume)} are the least.",
            "power_cut.water",
        )


def _bears_a_day(case: Case) -> bool:
    """Whether every species of the plan is known to bear a day without power in the coldest room (a day: judgement)."""
    if without_cold_limit(case.situation.species.values()):
        return False
    hours = case.forecast.heat.hours_to_harm
    return hours.low >= DAY if isinstance(hours, Figure) else hours == NEVER


def _inside_volume(box: OuterBox) -> float | None:
    """The volume inside the outer box [m3]; None when the plan does not tell it."""
    size, walls = (box.inside, 0.0) if box.inside else (box.outside, 2 * (box.wall.thickness or 0.0))
    if size is None or (box.inside is None and box.wall.thickness is None):
        return None
    return (size.length - walls) * (size.width - walls) * (size.height - walls)
