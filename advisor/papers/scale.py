"""What the scale should read for each kind of egg box: a table of few days and a chart to plot on."""

from typing import Any

from msgspec import Struct

from advisor.drawings.canvas import svg_of
from advisor.drawings.courses import scale_chart
from advisor.model.papers import PaperFigures, ScaleReading
from advisor.papers.refused import WHY
from advisor.rules.engine import Situation
from advisor.wording import about_scale, scale_text, short_day

MOST_ROWS = 9  # days of the scale table, unless there are a few more top-ups; judgement
MOST_TOP_UPS = 12  # days with a top-up that are told one by one: with more the sheet is no longer one leaf; tried on A4 and Letter


class Reading(Struct, frozen=True):
    """One line of the scale table: day, what to expect, the same on the keeper's scale, water to add, what it reads then.

    `mine` is empty where the plan does not tell the mass of the empty box.
    """

    day: str
    expect: str
    mine: str = ""
    add: str = ""
    after: str = ""


class ScaleTable(Struct, frozen=True):
    """What the scale reads for one kind of egg box; `reason` where nothing is known; `tare` as the scale shows it."""

    box: str
    readings: tuple[Reading, ...] = ()
    reason: str = ""
    tare: str = ""
    empty: str = "Empty, with its lid"
    chart: str = ""
    note: str = ""


def scale_tables(situation: Situation, figures: PaperFigures) -> tuple[ScaleTable, ...]:
    """What the scale reads at the checks, for each kind of box with eggs: few days, top-ups among them."""
    show, plan, tables = situation.show, situation.plan, []
    unknown: dict[str, list[str]] = {}
    for index, (box, readings) in enumerate(zip(plan.egg_boxes, figures.readings, strict=True)):
        if box.holds == "probe":
            continue
        if not readings:
            reason = getattr(situation.forecast.egg_boxes[index].water.water_loss, "reason", WHY)
            unknown.setdefault(f"What the scale should read is not known: {reason}.", []).append(box.name)
            continue
        last = max([readings[-1].day, *(clutch.late_check_days[-1] for clutch in _in(situation, box.name))])
        name = f"scale-{index + 1}"
        drawing = scale_chart(readings, figures.other_masses[index], last, box.tare, show, name)
        topped = [one.day for one in readings if one.after]
        kept = _few([reading.day for reading in readings], set(topped))
        tables.append(
            ScaleTable(
                box.name,
                tuple(_row(one, box.tare, situation) for one in readings if one.day in kept),
                tare=scale_text(box.tare, show) if box.tare is not None else "",
                empty="Empty, with its lid" if box.lid.fitted else "Empty",
                chart=svg_of(drawing),
                note=""
                if kept.issuperset(topped)
                else "At each check between, add about as much as in the row before.",
            )
        )
    # Boxes that share a reason stand together, in the quotes that a single one has.
    return (*tables, *(ScaleTable("', '".join(names), reason=reason) for reason, names in unknown.items()))


def _in(situation: Situation, box: str) -> list[Any]:
    pairs = zip(situation.plan.clutches, situation.forecast.clutches, strict=True)
    return [
        found for clutch, found in pairs if clutch.box == box and found.late_check_days and not clutch.nth
    ]


def _row(reading: ScaleReading, tare: float | None, situation: Situation) -> Reading:
    show = situation.show
    date = f", {short_day(reading.date)}" if reading.date else ""
    return Reading(
        f"{reading.day}{date}",
        about_scale(reading.mass, show).removeprefix("about "),
        scale_text(reading.mass.value + tare, show) if tare is not None else "",
        scale_text(reading.added, show) if reading.added is not None else "",
        scale_text(reading.after.value + (tare or 0.0), show) if reading.after is not None else "",
    )


def _few(days: list[int], wanted: set[int]) -> set[int]:
    """The first day, the last, those with a top-up (of many every second or third), and others evenly between up to `MOST_ROWS`."""
    kept = {days[0], days[-1], *sorted(wanted)[:: 1 + len(wanted) // (MOST_TOP_UPS + 1)]}
    step = max(len(days) / MOST_ROWS, 1.0)
    for number in range(MOST_ROWS):
        place = int(number * step)
        if len(kept) < MOST_ROWS and place < len(days):
            kept.add(days[place])
    return kept
