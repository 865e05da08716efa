"""A plan in the words of its keeper: what stands in it, without a judgement."""

from collections.abc import Iterator

from msgspec import Struct

from advisor.constants import DAY
from advisor.drawings.box_parts import where_heater, where_probe
from advisor.model.care import RhythmStep
from advisor.model.plan import Clutch, EggBox, Plan
from advisor.model.species import Species
from advisor.show import Show, counted
from advisor.units import number
from advisor.wording import hole_size, short_day, size_words, window_words


class PlanRow(Struct, frozen=True):
    """One line of the description: what it is about, what the keeper says."""

    about: str
    says: str


def described(plan: Plan, species: Species, show: Show) -> tuple[PlanRow, ...]:
    """The whole plan in words."""
    return tuple(row for row in _rows(plan, species, show) if row.says)


def _rows(plan: Plan, species: Species, show: Show) -> Iterator[PlanRow]:
    clutch = plan.clutches[0]
    box = next((box for box in plan.egg_boxes if box.name == clutch.box), plan.egg_boxes[0])
    yield PlanRow("Eggs", _eggs(clutch, species))
    yield PlanRow("Room", _joined(_room(plan, show)))
    yield PlanRow("Outer box", _joined(_outer_box(plan, show)))
    yield PlanRow("Heat", _joined(_heat(plan, show)))
    yield PlanRow("Thermostat", _joined(_control(plan, show)))
    yield PlanRow("Cut-out", _cut_out(plan, show))
    yield PlanRow("Egg boxes", _joined(_egg_box(box, show)))
    yield PlanRow("Medium", _joined(_medium(box, show)))
    yield PlanRow("Egg day", _joined(_egg_day(clutch, show)))
    yield PlanRow("Checks", _joined(_checks(plan, show)))
    yield PlanRow("Dates", _joined(_dates(plan, clutch)))
    yield PlanRow("Watching", _joined(_watching(plan, show)))
    yield PlanRow("Safety", _joined(_safety(plan)))


def _joined(parts: Iterator[str]) -> str:
    return "; ".join(part for part in parts if part)


def _eggs(clutch: Clutch, species: Species) -> str:
    return f"{counted(clutch.eggs, 'egg')} of {species.name}" if clutch.eggs else species.name


def _room(plan: Plan, show: Show) -> Iterator[str]:
    room = plan.room
    if room.temperature is not None:
        yield show.temperature_range(room.temperature.low, room.temperature.high)
    if room.humidity is not None:
        yield f"{show.percent_range(room.humidity.low, room.humidity.high)} humidity"


def _outer_box(plan: Plan, show: Show) -> Iterator[str]:
    box = plan.outer_box
    thick = f", {show.length(box.wall.thickness)} thick" if box.wall.thickness is not None else ""
    yield f"{box.wall.material}{thick}" if box.wall.material else ""
    yield f"{size_words(box.inside, show)} inside" if box.inside is not None else ""
    yield f"lid fits {box.lid_fits}" if box.lid_fits else ""


def _heat(plan: Plan, show: Show) -> Iterator[str]:
    heat = plan.heat
    place = f" {where_heater(heat.place)}" if heat.place else ""
    place += " and on the floor" if heat.floor_heater else ""
    power = f", {show.power(heat.power)}" if heat.power is not None else ""
    several = f"{heat.count} x " if heat.count > 1 else ""
    yield (
        f"{several}{heat.source}{place}{power}{' together' if (several or heat.floor_heater) and power else ''}"
        if heat.source
        else ""
    )


def _control(plan: Plan, show: Show) -> Iterator[str]:
    control = plan.control
    aim = f", set to {show.temperature(control.set_to)}" if control.set_to is not None else ""
    if control.thermostat == "none":
        aims = (
            f"; the keeper aims for {show.temperature(control.set_to)}" if control.set_to is not None else ""
        )
        yield f"none, the heater runs all the time{aims}"
    else:
        yield f"{control.thermostat}{aim}" if control.thermostat else ""
    yield f"probe {where_probe(control.probe.sits_in)}" if control.probe.sits_in else ""
    compared = {
        "ice point": "compared with ice and water",
        "reference thermometer": "compared with a good thermometer",
        "nothing": "compared with nothing",
    }
    yield compared.get(control.checked_against or "", "")


def _cut_out(plan: Plan, show: Show) -> str:
    cut_out = plan.control.cut_out
    if cut_out is None:
        return ""
    return f"cuts the power at {show.temperature(cut_out.set_to)}" if cut_out.set_to is not None else "none"


def _egg_box(box: EggBox, show: Show) -> Iterator[str]:
    yield f"{box.count} of {size_words(box.inside, show)} inside" if box.count and box.inside else ""
    yield box.stands or ""
    yield f"{box.lid.fit} lid" if box.lid.fit else "" if box.lid.fitted else "no lid"
    yield f"{show.length(box.foam_on_lid)} of foam on the lid" if box.foam_on_lid else ""
    holes = box.lid.holes
    if holes is not None:
        width = f" of {hole_size(holes.diameter, show)}" if holes.diameter is not None else ""
        yield f"{counted(holes.count, 'air hole')}{width}" if holes.count else "no air holes"


def _medium(box: EggBox, show: Show) -> Iterator[str]:
    medium = box.medium
    deep = f", {show.length(medium.depth)} deep" if medium.depth is not None else ""
    yield f"{medium.called}{deep}" if medium.called else ""
    if medium.mix is not None:
        yield f"{counted(medium.mix.medium, 'part')} to {number(medium.mix.water)} of water by {medium.mix.by}"
    if box.top_up is not None:
        every = box.top_up.every
        yield (
            f"water added every {show.days(every / DAY)}"
            if every
            else {
                "none": "no water added later",
                "by weight": "water added when the scale says so",
                "to": "water added so that the box grows heavier",
            }.get(box.top_up.way, "")
        )


def _egg_day(clutch: Clutch, show: Show) -> Iterator[str]:
    if clutch.looked_for is not None:
        hours = clutch.looked_for / 3600
        often = show.days(hours / 24) if hours >= 48 else f"{number(hours)} h"
        yield f"looks for eggs every {often}"
    yield {
        "half buried": "beds them half buried",
        "buried": "covers them with medium",
        "on the surface": "lays them on the medium",
        "over the medium": "lays them on a grid over the medium",
        "attached to its surface": "leaves them on what they were laid on",
    }.get(clutch.placed or "", "")
    yield {
        "while fresh": "parts them while fresh",
        "later": "parts them some days later",
        "left together": "leaves them together",
    }.get(clutch.parted or "", "")
    if clutch.marked is not None:
        yield "marks the top of each" if clutch.marked else "does not mark the top"


def _checks(plan: Plan, show: Show) -> Iterator[str]:
    checks = plan.checks
    lasting = ""
    if checks.lasting is not None:
        lasting = (
            f" for {number(checks.lasting)} s"
            if checks.lasting < 60
            else f" for {number(checks.lasting / 60)} min"
        )
    yield f"opens the {checks.opens}{lasting}" if checks.opens else ""
    if checks.rhythm == ():
        yield "every 7 days, later every 5, at the end every 3"
    elif checks.rhythm:
        yield ", ".join(_step(step, show) for step in checks.rhythm)


def _step(step: RhythmStep, show: Show) -> str:
    until = f" to day {step.to_day}" if step.to_day is not None else ""
    return f"every {show.days(step.every / DAY)}{until}"


def _dates(plan: Plan, clutch: Clutch) -> Iterator[str]:
    if clutch.laying.expected is not None:
        yield f"eggs expected {window_words(clutch.laying.expected)}"
    if clutch.lay_box.ready_on is not None:
        yield f"lay box in on {short_day(clutch.lay_box.ready_on)}"
    if plan.trial_run.from_ is not None and plan.trial_run.days is not None:
        yield f"trial run of {counted(plan.trial_run.days, 'day')} from {short_day(plan.trial_run.from_)}"


def _watching(plan: Plan, show: Show) -> Iterator[str]:
    watching, cut = plan.watching, plan.power_cut
    if watching.thermometers is not None:
        yield (
            counted(watching.thermometers, "thermometer")
            if watching.thermometers
            else "no thermometer of its own"
        )
    if watching.alarm is not None:
        yield "an alarm" if watching.alarm else "no alarm"
    if cut.prepared is not None:
        water = f", {show.volume(cut.water)}" if cut.water is not None else ""
        yield f"for a power cut: {cut.prepared}{water}"


def _safety(plan: Plan) -> Iterator[str]:
    people = plan.people
    if people.residual_current_device is not None:
        yield f"residual-current device (RCD, GFCI): {'yes' if people.residual_current_device else 'no'}"
    if people.drip_loop is not None:
        yield f"drip loop in every lead: {'yes' if people.drip_loop else 'no'}"
