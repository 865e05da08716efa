"""The rounds of a season in the calendar: one entry for all that follow at one interval."""

from collections.abc import Iterator

from advisor.papers.calendar.entry import Entry, amount, makes_top_ups, one_line
from advisor.papers.rounds import rounds_of, spells_of
from advisor.rules.engine import Situation
from advisor.wording import joined


def round_entries(situation: Situation, how: str) -> Iterator[Entry]:
    """One look at all boxes on a day, as often as the clutch asks that has to be looked at most often; `how` to look."""
    texts = [
        how,
        "Look at all egg boxes that hold eggs. The check sheet has the days of each clutch.",
        *(
            f"Water for each box '{one_line(box.name)}': "
            + joined(
                [
                    f"{amount(top_up.water, situation.show)} on day {top_up.day}"
                    for top_up in found.water.top_ups
                ]
            )
            + " after laying. Weigh first: the scale has the last word."
            for box, found in zip(situation.plan.egg_boxes, situation.forecast.egg_boxes, strict=True)
            if found.water.top_ups and makes_top_ups(box)
        ),
        "The days count from the middle of each laying window. Write the day of laying into the plan when it is known.",
    ]
    for number, spell in enumerate(spells_of(rounds_of(situation.forecast.clutches)), start=1):
        often = "each day" if spell.every == 1 else f"every {spell.every} days"
        heading = f"Round of all egg boxes{f', {often}' if spell.times > 1 else ''}"
        yield Entry(
            f"round {number}",
            spell.first,
            spell.first,
            heading,
            " ".join(texts),
            False,
            spell.every,
            spell.times,
        )
