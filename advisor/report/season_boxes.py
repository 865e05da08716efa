"""A season that takes several plans: which clutches go into which outer box, and what is suggested for each."""

from collections.abc import Iterator, Sequence
from typing import Any

from advisor.advice.season_boxes import BoxSuggestion
from advisor.assess import Assessment
from advisor.model.findings import SEVERITIES
from advisor.report.screen import Line, wrapped
from advisor.report.suggestion import suggestion_data, suggestion_lines
from advisor.show import counted
from advisor.units import number_ranges
from advisor.wording import joined


def boxes_lines(base: Assessment, boxes: Sequence[BoxSuggestion], width: int) -> Iterator[Line]:
    """How many outer boxes and plans, what each is for, then the changes of each."""
    plan, show = base.situation.plan, base.situation.show
    number = max(one.planned.box for one in boxes)
    told = f"The clutches of this plan take {counted(number, 'outer box', 'outer boxes')}, no fewer"
    told += (
        "." if number == len(boxes) else f", and {len(boxes)} plans: a box is set anew between two of them."
    )
    yield from wrapped(told, width, "head", 2)
    for one in boxes:
        after = one.suggestion.after.situation.plan
        numbers = [
            place + 1 for place, clutch in enumerate(plan.clutches) if clutch.entry in one.planned.entries
        ]
        names = dict.fromkeys(
            base.situation.species[plan.clutches[place - 1].species].name for place in numbers
        )
        which = f"{'clutch' if len(numbers) == 1 else 'clutches'} {number_ranges(numbers)}"
        at = f", set to {show.temperature(after.control.set_to)}" if after.control.set_to is not None else ""
        words = f"  Outer box {one.planned.box}{at}: {which} ({joined(list(names))})"
        kinds = [f"{box.count or 'some'} '{box.name}'" for box in after.egg_boxes if box.holds != "probe"]
        yield from wrapped(f"{words}; egg boxes: {joined(kinds) or 'none told'}.", width, "", 4)
    for one in boxes:
        yield Line("")
        yield from suggestion_lines(one.suggestion, width)


def boxes_data(base: Assessment, boxes: Sequence[BoxSuggestion]) -> dict[str, Any]:
    """The same as plain data: the suggestion of each plan, with its outer box and its entries of `clutches`."""
    worst = (*SEVERITIES, "clear")
    afters = [one.suggestion.after.report.verdict for one in boxes]
    obstacles = [one.suggestion.obstacle for one in boxes if one.suggestion.obstacle]
    return {
        "format": 1,
        "before": base.report.verdict,
        "after": min(afters, key=worst.index),
        "tries": sum(one.suggestion.tries for one in boxes),
        "changes": [],
        "obstacle": obstacles[0] if obstacles else None,
        "plans": [
            {
                "outer_box": one.planned.box,
                "clutches": list(one.planned.entries),
                "parting": [{"path": setting.path, "to": setting.value} for setting in one.parting],
                **suggestion_data(one.suggestion),
            }
            for one in boxes
        ],
    }
