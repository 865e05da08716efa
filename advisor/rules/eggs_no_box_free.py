"""More clutches at one time than there are egg boxes."""

from collections.abc import Iterator
from datetime import timedelta

from advisor.forecast.egg_box.use import boxes_for
from advisor.model.figures import Figure
from advisor.model.findings import FIX, WATCH, Finding
from advisor.model.forecast import BoxUse
from advisor.rules.engine import EGG_BOX, Case, Lacking, Rule
from advisor.rules.shared import known
from advisor.show import counted
from advisor.units import number_ranges

ONE_DATE = timedelta(days=7)  # between clutches that are opened, watered and hatch as one; judgement

RULE = Rule(
    id="eggs-no-box-free",
    title="A clutch comes before a box is free",
    explanation=(
        "Eggs of different dates in one box disturb each other. Each look at the older ones opens the box for the younger "
        "ones. Water that suits the start is wrong near the end. The first young crawl over eggs that still need weeks, "
        "turn them and foul the medium. Eggs without a mark cannot be told apart any more."
    ),
    remedy=(
        "Have a box ready for each clutch. Where no more boxes fit, set up another outer box with a plan of its own. "
        "Where eggs of different dates must share a box, write the date on each egg."
    ),
    sources=("judgement",),
    about=EGG_BOX,
    levers=("box.count",),
    good=(
        "control: {set_to: 28 °C}\negg_boxes: [{name: eggs, count: 5}]\n"
        "clutches: [{species: eublepharis-macularius, box: eggs, laying: {expected: 2027-02-01}, "
        "repeats: {every: 15 to 22 days, times: 9}}]"
    ),
    bad=(
        "control: {set_to: 28 °C}\negg_boxes: [{name: eggs, count: 3}]\n"
        "clutches: [{species: eublepharis-macularius, box: eggs, laying: {expected: 2027-02-01}, "
        "repeats: {every: 15 to 22 days, times: 9}}]"
    ),
)


def check(case: Case) -> Iterator[Finding]:
    """The boxes that are in use at one time at worst, each clutch in its own; worse where the eggs have no room together."""
    inside, count = case.clutches_in_box, case.box.count
    if len(inside) < 2:
        return
    if count is None:
        raise Lacking("box.count")
    if sum(boxes_for(clutch, case.box, species) for clutch, species in inside) <= count:
        return
    use = known(case.forecast.box_use[case.box_index or 0])
    if use.short is None or not _apart(use):
        return
    eggs = sum(case.plan.clutches[place].eggs or 0 for place in use.together)
    places = case.box_forecast.places_for_eggs
    crowded = isinstance(places, Figure) and eggs > places.high
    numbers = number_ranges([place + 1 for place in use.together])
    yield Finding(
        FIX if crowded else WATCH,
        f"{counted(use.needed, 'egg box', 'egg boxes')} like '{case.box.name}' may be needed at once between "
        f"{use.short[0]} and {use.short[1]}, and there {'is' if count == 1 else 'are'} {count}. Clutches {numbers}, for "
        "example, can lie in at one time.",
        "box.count",
        RULE.remedy.partition(". ")[2],
    )


def _apart(use: BoxUse) -> bool:
    """Whether the clutches that meet are of different dates."""
    days = [stay.days[0] for stay in use.stays if stay.clutch in use.together]
    return max(days) - min(days) > ONE_DATE
