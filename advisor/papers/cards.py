"""Mixing cards, box labels and record sheets of one plan, as plain data; templates lay them out."""

import datetime
from collections.abc import Iterator
from typing import TypeGuard

from msgspec import Struct

from advisor import __version__
from advisor.assess import Assessment
from advisor.drawings.temperature_axis import unit_sign
from advisor.model.figures import Figure, Unknown
from advisor.model.forecast import BoxUse, ClutchForecast
from advisor.model.papers import MixAmounts, PaperFigures
from advisor.model.plan import EggBox
from advisor.papers.refused import mark_of
from advisor.rules.engine import Situation
from advisor.show import Show, counted
from advisor.wording import (
    about_scale,
    clutch_names,
    day_words,
    joined,
    mixing_water,
    scale_range,
    scale_text,
    set_point_words,
    weekday_words,
    window_words,
)

MOST_LABELS = 48  # labels printed, eight to a page; judgement
MOST_SHEETS = 20  # record sheets printed; judgement
BOXES_A_SHEET = 2  # boxes side by side on one record sheet: more leave no room to write
LATE = "not hatched?"  # what stands for a mass after the likely hatching, which no forecast tells
BLANK_ROWS = 24  # lines of a sheet whose days are not known


class MixRow(Struct, frozen=True):
    """One ingredient: its words, how much for one box, how much for all."""

    what: str
    one: str
    all: str


BOX_OR_TRAY = {True: "box with its lid", False: "tray"}  # with a lid or without


class MixCard(Struct, frozen=True):
    """How to mix for one kind of egg box; `reason` where the amounts are not known."""

    box: str
    boxes: str
    rows: tuple[MixRow, ...]
    reason: str = ""


class LabelRow(Struct, frozen=True):
    """One line of a label: words and value; an empty value is a blank to write on."""

    words: str
    value: str


class BoxLabel(Struct, frozen=True):
    """The label of one egg box."""

    name: str
    rows: tuple[LabelRow, ...]
    foot: str


class RecordRow(Struct, frozen=True):
    """One day of a record sheet; empty texts are blanks. `after` is what the scale reads when the water is added."""

    day: str = ""
    date: str = ""
    expect: str = ""
    between: str = ""
    add: str = ""
    after: str = ""


class RecordSheet(Struct, frozen=True):
    """The record of up to two boxes of one kind; `degrees` is the unit of the temperatures to write down."""

    title: str
    boxes: tuple[str, ...]
    degrees: str
    notes: tuple[str, ...]
    tare: str
    rows: tuple[RecordRow, ...]
    empty: str


class Cards(Struct, frozen=True):
    """The whole paper; `left_out` says what found no room."""

    title: str
    species: str
    mark: str
    printed_on: str
    version: str
    mixes: tuple[MixCard, ...]
    shopping: str
    labels: tuple[BoxLabel, ...]
    sheets: tuple[RecordSheet, ...]
    left_out: tuple[str, ...]
    empty: str


def cards_of(assessment: Assessment, figures: PaperFigures, today: datetime.date) -> Cards:
    """Cards, labels and sheets for a judged plan; `today` is printed on them."""
    situation = assessment.situation
    labels, sheets = tuple(_labels(situation, figures)), tuple(_sheets(situation, figures))
    left_out = []
    if len(labels) > MOST_LABELS:
        left_out.append(f"{len(labels) - MOST_LABELS} more labels are left out: copy one.")
    if len(sheets) > MOST_SHEETS:
        left_out.append(f"{len(sheets) - MOST_SHEETS} more record sheets are left out: copy one.")
    return Cards(
        title=situation.plan.title,
        species=joined(list(dict.fromkeys(species.name for species in situation.species.values()))),
        mark=mark_of(assessment.report),
        printed_on=day_words(today),
        version=__version__,
        mixes=tuple(_mix_cards(situation, figures)),
        shopping=_shopping(situation),
        labels=labels[:MOST_LABELS],
        sheets=sheets[:MOST_SHEETS],
        left_out=tuple(left_out),
        empty=f"empty {BOX_OR_TRAY[situation.plan.has_lids]}",
    )


def _mix_cards(situation: Situation, figures: PaperFigures) -> Iterator[MixCard]:
    show = situation.show
    for box, one, all_boxes in zip(
        situation.plan.egg_boxes, figures.mixes, figures.mixes_in_all, strict=True
    ):
        count = counted(box.count, "box", "boxes") if box.count else "number of boxes not told"
        if isinstance(one, Unknown) or isinstance(all_boxes, Unknown):
            reason = one.reason if isinstance(one, Unknown) else ""
            yield MixCard(box.name, count, (), f"The amounts are not known: {reason}.")
        else:
            yield MixCard(box.name, count, tuple(_mix_rows(box, one, all_boxes, show)))


def _mix_rows(box: EggBox, one: MixAmounts, all_boxes: MixAmounts, show: Show) -> Iterator[MixRow]:
    grade = f" ({box.medium.grade} grade)" if box.medium.grade and box.medium.grade != "unknown" else ""
    material = f"Dry {box.medium.called}{grade}"
    by_mass = box.medium.mix is not None and box.medium.mix.by == "mass"
    volume = MixRow(f"{material}, loosely filled", show.volume(one.volume), show.volume(all_boxes.volume))
    mass = MixRow(
        f"{material}, mass" if by_mass else "Its mass, dry",
        about_scale(one.dry, show),
        about_scale(all_boxes.dry, show),
    )
    yield from (mass, volume) if by_mass else (volume, mass)
    yield MixRow("Water", mixing_water(one, show), mixing_water(all_boxes, show))
    yield MixRow("Wet medium, ready", about_scale(one.wet, show), about_scale(all_boxes.wet, show))


def _shopping(situation: Situation) -> str:
    shopping, show = situation.forecast.shopping, situation.show
    medium, mass, water = shopping.medium, shopping.medium_mass, shopping.water
    if isinstance(medium, Figure) and isinstance(mass, Figure) and isinstance(water, Figure):
        return (
            f"To buy for all boxes, with a tenth to spare: {show.volume(medium.value)} of dry medium, "
            f"{show.figure(mass)}. Water to mix in: {show.volume(water.value)}."
        )
    return ""


def _clutches_of(situation: Situation, box: EggBox) -> list[tuple[int, ClutchForecast]]:
    return [
        (index, found)
        for index, (clutch, found) in enumerate(
            zip(situation.plan.clutches, situation.forecast.clutches, strict=True)
        )
        if clutch.box == box.name
    ]


def _labels(situation: Situation, figures: PaperFigures) -> Iterator[BoxLabel]:
    """A label for each box; where clutches take turns, or each has just its own boxes, one for each clutch and its box."""
    for box, mix, use in zip(
        situation.plan.egg_boxes, figures.mixes, situation.forecast.box_use, strict=True
    ):
        count, inside = box.count or 1, _clutches_of(situation, box)
        labels = [(number, inside) for number in range(1, count + 1)]
        if _by_turns(use) or (isinstance(use, BoxUse) and 1 < len(use.stays) <= count == use.needed):
            count = max(count, use.needed)
            labels = [
                (number, [one for one in inside if one[0] == stay.clutch])
                for stay in use.stays
                for number in stay.boxes
            ]
        for number, clutches in labels:
            name = f"Box '{box.name}'" + (f", {number} of {count}" if count > 1 else "")
            yield _label(situation, box, name, mix, clutches)


def _by_turns(use: BoxUse | Unknown) -> TypeGuard[BoxUse]:
    return isinstance(use, BoxUse) and use.by_turns


def _label(
    situation: Situation,
    box: EggBox,
    name: str,
    mix: MixAmounts | Unknown,
    clutches: list[tuple[int, ClutchForecast]],
) -> BoxLabel:
    show = situation.show
    wet = about_scale(mix.wet, show) if isinstance(mix, MixAmounts) else ""
    tare = (
        LabelRow(
            "Empty box with lid (tare)" if box.lid.fitted else "Empty tray (tare)",
            scale_text(box.tare, show) if box.tare is not None else "",
        ),
        LabelRow("Wet medium", wet),
    )
    if box.holds == "probe":
        return BoxLabel(
            name,
            (
                LabelRow("For", "the probe, no eggs"),
                LabelRow("Thermostat set to", set_point_words(situation.plan.control, show)),
                *tare,
            ),
            f"{'Keep the lid on. ' if box.lid.fitted else ''}Keep the probe in its place.",
        )
    names = clutch_names(situation.plan.clutches, situation.species)
    return BoxLabel(
        name,
        (
            *(row for index, found in clutches for row in _of_clutch(names[index], found, show)),
            LabelRow("Eggs in this box", ""),
            *tare,
            LabelRow("Closed box with eggs" if box.lid.fitted else "Tray with eggs", ""),
        ),
        "Keep this side up. Do not turn the eggs.",
    )


def _of_clutch(name: str, found: ClutchForecast, show: Show) -> Iterator[LabelRow]:
    """Species, laying day and due date of one clutch; before laying the days to count, and a line for the date."""
    days = found.incubation_days
    yield LabelRow("Species", name)
    yield LabelRow("Laid on", day_words(found.laid) if found.laid else "")
    if found.laid and found.hatch_window:
        yield LabelRow("Due", window_words(found.hatch_window))
    elif isinstance(days, Figure):
        yield LabelRow("Hatching", f"{show.days_range(days.low, days.high)} from laying")
        yield LabelRow("Due on", "")


def _sheets(situation: Situation, figures: PaperFigures) -> Iterator[RecordSheet]:
    plan, show = situation.plan, situation.show
    for index, box in enumerate(plan.egg_boxes):
        if box.holds == "probe":
            continue
        use = situation.forecast.box_use[index]
        turns = _by_turns(use)
        own = max(len(stay.boxes) for stay in use.stays) if _by_turns(use) else box.count or 1
        names = [f"box {number}" for number in range(1, own + 1)]
        rows = _record_rows(situation, figures, index)
        notes = (
            [f"Set point {set_point_words(plan.control, show)}."] if plan.control.set_to is not None else []
        )
        clutches = [found for _, found in _clutches_of(situation, box)]
        if turns:
            notes.append(f"Copy this sheet for each of the {len(clutches)} clutches.")
        if not rows[0].date:
            notes.append("Days count from laying. Fill in the dates.")
        if not any(row.expect for row in rows):
            notes.append("What the scale should read is not known for this plan.")
        elif len(clutches) > 1 and not turns:
            notes.append("Masses are those of the clutches together, days those of the first.")
        notes.append(
            f"'Expect' is the whole {'closed box' if box.lid.fitted else 'tray'}."
            if box.tare is not None
            else f"'Expect' is without the box: the scale shows that and the empty {BOX_OR_TRAY[box.lid.fitted]}."
        )
        if any(row.expect == LATE for row in rows):
            notes.append(
                f"'{LATE}': check on if eggs are left, and add what the box has lost since the last row."
            )
        if any(row.after for row in rows):
            notes.append(
                "Where water is to be added, weigh first: 'then' is what the scale shows after that."
            )
        for start in range(0, len(names), BOXES_A_SHEET):
            yield RecordSheet(
                f"Record: box '{box.name}'",
                tuple(names[start : start + BOXES_A_SHEET]),
                unit_sign(show),
                tuple(notes),
                scale_text(box.tare, show) if box.tare is not None else "",
                rows,
                f"Empty {BOX_OR_TRAY[box.lid.fitted]}",
            )


def _record_rows(situation: Situation, figures: PaperFigures, index: int) -> tuple[RecordRow, ...]:
    """One row a check, to the last day of the hatch window; the forecast of the mass ends where hatching is likely."""
    show, readings, box = situation.show, figures.readings[index], situation.plan.egg_boxes[index]
    clutches = _clutches_of(situation, box)
    late = sorted(
        {
            day
            for place, clutch in clutches
            for day in clutch.late_check_days
            if not situation.plan.clutches[place].nth
        }
    )
    days = next((clutch.check_days for _, clutch in clutches if clutch.check_days), ())
    laid = _laid(clutches)

    def dated(day: int) -> str:
        return weekday_words(laid + datetime.timedelta(days=day)) if laid else ""

    if not readings and not days:
        return tuple(RecordRow() for _ in range(BLANK_ROWS))
    tare = box.tare or 0.0
    rows = [
        RecordRow(
            str(reading.day),
            weekday_words(reading.date) if reading.date else "",
            *scale_range(reading.mass.moved(lambda end: end + tare), show),
            scale_text(reading.added, show) if reading.added is not None else "",
            scale_text(reading.after.value + tare, show) if reading.after is not None else "",
        )
        for reading in readings
    ] or [RecordRow(str(day), dated(day)) for day in (0, *days)]
    last = int(rows[-1].day)
    return (*rows, *(RecordRow(str(day), dated(day), LATE) for day in late if day > last))


def _laid(clutches: list[tuple[int, ClutchForecast]]) -> datetime.date | None:
    windows = {found.laying_window for _, found in clutches}
    window = windows.pop() if len(windows) == 1 else None
    return window[0] if window is not None and window[0] == window[1] else None
