"""The days on which a programme turns the thermostat."""

import datetime
from collections.abc import Iterator

from advisor.rules.engine import Situation
from advisor.wording import middle_day

TEXT = "The cut-out stays above it. Read the medium a day later and write it down."


def set_points(
    situation: Situation, doubt: str
) -> Iterator[tuple[str, datetime.date, datetime.date, str, str, bool]]:
    """Key, first and last day, heading, text and "to be prepared" of each step after the first, up to the last day of hatching.

    Days of incubation count from the middle of the laying window of the first clutch; `doubt` tells how far they may be off.
    """
    forecasts = situation.forecast.clutches
    laying = forecasts[0].laying_window
    hatching = [found.hatch_window[1] for found in forecasts if found.hatch_window]
    for number, step in enumerate(situation.plan.control.programme[1:], start=2):
        day = step.from_
        if day is None and laying is not None:
            day = middle_day(laying) + datetime.timedelta(days=step.from_day or 0)
        if day is not None and (not hatching or day <= max(hatching)):
            text = TEXT if step.from_ or not doubt else f"{TEXT} {doubt}"
            heading = f"Turn the thermostat to {situation.show.temperature(step.set_to)}"
            yield f"set point {number}", day, day, heading, text, True
