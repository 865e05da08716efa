"""Levers of the heater: its power, its size, its place, or another heater."""

import math
from collections.abc import Iterator
from typing import Any

from msgspec.structs import replace

from advisor.advice.levers.lever import Ladder, Lever, change, ladder, one_of
from advisor.advice.written import Written
from advisor.forecast.heat.parts import cooling_needed
from advisor.forecast.heat.setup import (
    POINT_SOURCES,
    WIDEST_RUNS,
    heated_area,
    heater_wall,
    lies_flat,
    outer_inside,
)
from advisor.model.changes import PURCHASE, SETTING, Change
from advisor.model.figures import Figure, Unknown
from advisor.model.plan import Area
from advisor.rules.engine import Case
from advisor.units import number

# W, heaters as they are sold; judgement
SOLD = (
    3, 5, 7, 8, 10, 12, 14, 16, 18, 20, 22, 25, 28, 30, 35, 40, 45, 50, 60, 75, 80, 100, 120, 150, 200, 250, 300,
)  # fmt: skip
UNTOLD = (10, 14, 20, 25, 35, 50)  # W, tried where the need of the box is not known
USUAL_SPARE, LEAST_SPARE, NEW_SPARE, MOST_SPARE = 1.5, 1.03, 2.5, 4.0  # times the need; judgement
COVERS = 0.9  # share of length and width of what carries it that a heater takes at most; judgement
NEW_COVERS = 0.75, 0.9  # the same of a new mat, and how many powers of each are tried
MOST_NEW = 3
BULB = 0.10  # m across a bulb or an emitter; from memory
STEPS = 5  # sizes from that of today to the largest
LYING = ("mat", "cable")
# what is told of one heater and not of the next
SIZED = ("power", "size", "length", "watts_per_metre", "spacing", "count", "bath_water", "floor_heater")
NAMES = {
    "mat": "a heating mat",
    "cable": "a heating cable",
    "bulb": "a bulb",
    "water bath": "a water heater",
    None: "a heater",
}


def _need(case: Case) -> Figure | None:
    """Watts that the box needs in the coldest room; by its heat loss alone where the heater is not told."""
    heat, room, set_to = case.forecast.heat, case.plan.room.temperature, case.plan.control.set_to
    if isinstance(heat.watts_needed, Figure):
        return heat.watts_needed
    loss = heat.conductance
    if isinstance(loss, Unknown) or room is None or set_to is None or set_to <= room.low:
        return None
    gap = set_to - room.low
    return Figure(loss.value * gap, loss.low * gap, loss.high * gap, "power")


def _power(case: Case) -> Iterator[Ladder]:
    """Stronger heaters up to four times what the box needs, and weaker ones down to half of that."""
    need, power = _need(case), case.plan.heat.power
    if need is None:
        return
    if power is None:
        power = USUAL_SPARE * need.value
    below = _on_the_floor(case)
    stronger = [watts + below for watts in SOLD if power < watts + below <= MOST_SPARE * need.high]
    weaker = [watts + below for watts in reversed(SOLD) if need.value / 2 <= watts + below < power]
    for steps in (stronger, weaker):
        yield from ladder((_of_power(case, watts) for watts in steps), steady=True)


def _on_the_floor(case: Case) -> float:
    """Watts of a second heater on the floor, which stays as it is."""
    second = case.plan.heat.floor_heater
    return second.power if second is not None else 0.0


def _without_floor(case: Case) -> Iterator[Ladder]:
    if case.plan.heat.floor_heater is not None:
        words = "Leave the heater on the floor out: warm the box from its lid alone."
        yield from one_of(change(case, words, heat__floor_heater=None))


def _of_power(case: Case, watts: float) -> Change:
    """The heaters with other watts together; a cable keeps its watts for each metre and changes its length."""
    heat, write = case.plan.heat, Written(case.plan.units)
    watts -= _on_the_floor(case)
    told, several = write.power(watts / heat.count), heat.count > 1
    entries = {"heat__power": told}
    if heat.length is not None and heat.watts_per_metre is not None:
        length = watts / heat.watts_per_metre / heat.count
        entries["heat__length"] = f"{number(length / 0.3048, 3)} ft" if write.us else f"{number(length, 3)} m"
        of = (
            f"{heat.count} cables of {entries['heat__length']}"
            if several
            else f"{entries['heat__length']} of this cable"
        )
        return change(case, f"Use {of} ({told}{' each' if several else ''}).", PURCHASE, **entries)
    size = ", the size unchanged" if heat.source in LYING else ""
    name = f"{heat.count} heaters" if several else NAMES.get(heat.source, f"a {heat.source}")
    return change(case, f"Use {name} of {told}{' each' if several else ''}{size}.", PURCHASE, **entries)


def _face(case: Case) -> tuple[float, float] | None:
    """Length and width [m] of what the heater lies on; all walls in one strip for heat on all sides."""
    inside, heat = outer_inside(case.plan), case.plan.heat
    if heat.place == "all sides" and heat.source in LYING and not isinstance(inside, Unknown):
        return 2 * (inside.length + inside.width), inside.height
    return heater_wall(case.plan)


def _largest(face: tuple[float, float], share: float = COVERS) -> Area:
    return Area(share * max(face), share * min(face))


def _size(case: Case) -> Iterator[Ladder]:
    """Larger heaters of the same power, up to what carries them; the largest that lies flat where today's does not."""
    face, heat = _face(case), case.plan.heat
    if heat.source in POINT_SOURCES and heat.size is None:
        size = Written(case.plan.units).size(BULB, BULB)
        yield from one_of(change(case, f"Measure how wide the {heat.source} is.", heat__size=size))
    if face is None or heat.count > 1:
        return
    most, now = _largest(face), heated_area(case.plan)
    if now is None or not lies_flat(now, face):
        yield from one_of(_of_size(case, most))
        return
    long, short = max(now.length, now.width), min(now.length, now.width)
    steps = [
        Area(
            long + max(most.length - long, 0.0) * step / STEPS,
            short + max(most.width - short, 0.0) * step / STEPS,
        )
        for step in range(1, STEPS + 1)
    ]
    reach = math.inf if heat.length is None else heat.length * WIDEST_RUNS
    area = now.length * now.width
    larger = [size for size in steps if 1.05 * area < size.length * size.width <= max(reach, area)]
    yield from ladder((_of_size(case, size) for size in larger), steady=True)


def _of_size(case: Case, size: Area) -> Change:
    heat, write = case.plan.heat, Written(case.plan.units)
    told = write.size(size.length, size.width)
    if heat.source == "cable":
        return change(case, f"Spread the cable over {told}.", SETTING, heat__size=told)
    watts = f", of the same {write.power(heat.power)}" if heat.power else ""
    return change(case, f"Use a mat of {told}{watts}.", PURCHASE, heat__size=told)


def _place(case: Case) -> Iterator[Ladder]:
    """To the lid, then to a long side: where the heater finds room as it is."""
    heat = case.plan.heat
    if heat.source == "water bath" or heat.place == "in water" or heat.floor_heater is not None:
        return
    moved = [_moved(case, place) for place in ("lid", "one side") if place != heat.place]
    yield from ladder(found for found in moved if found is not None)


def _moved(case: Case, place: str) -> Change | None:
    heat, write = case.plan.heat, Written(case.plan.units)
    there = replace(case.plan, heat=replace(heat, place=place))
    face, size = heater_wall(there), heated_area(case.plan)
    entries: dict[str, Any] = {"heat__place": place}
    if face is not None and size is not None and not lies_flat(size, face):
        share = math.sqrt(size.length * size.width / (face[0] * face[1]))
        if heat.source == "mat" or heat.count > 1 or share > COVERS:
            return None
        entries["heat__size"] = write.size(share * face[0], share * face[1])
    racks = _off_the_heater(case) if heat.place is not None else {}
    where = "to the lid" if place == "lid" else "to a long side"
    rest = ", and stand the egg boxes on a rack" if racks else ""
    return change(case, f"Move the heater {where} of the outer box{rest}.", SETTING, **entries, **racks)


def _heater(case: Case) -> Iterator[Ladder]:
    """A heating mat on the lid, under a pulse thermostat, from a little over the need upward; then larger ones."""
    inside, need = outer_inside(case.plan), _need(case)
    if isinstance(inside, Unknown):
        yield from one_of(_mat_on_lid(case))
        return
    watts = UNTOLD if need is None else [
        step for step in SOLD if LEAST_SPARE * need.high <= step <= NEW_SPARE * need.high
    ]  # fmt: skip
    if case.plan.heat.source is None and need is not None:
        usual = USUAL_SPARE * need.value
        watts = sorted(watts, key=lambda step: abs(step - usual))
    lid = inside.length, inside.width
    yield from ladder(
        _mat_on_lid(case, step, _largest(lid, share)) for share in NEW_COVERS for step in watts[:MOST_NEW]
    )


def _mat_on_lid(case: Case, watts: float | None = None, size: Area | None = None) -> Change:
    """The change to such a mat; without power and size where nobody can tell them."""
    write, control, heat = Written(case.plan.units), case.plan.control, case.plan.heat
    told = {"source": "mat", "place": "lid"}
    words = "Put a heating mat"
    if watts is not None and size is not None:
        told |= {"power": write.power(watts), "size": write.size(size.length, size.width)}
        words += f" of {told['power']}, {told['size']},"
    entries: dict[str, Any] = {
        f"heat__{entry}": None for entry in SIZED if getattr(heat, entry) not in (None, 1)
    } | {f"heat__{entry}": value for entry, value in told.items()}
    words += " on the lid of the outer box" + (" in place of today's heater" if heat.source else "")
    if control.thermostat != "pulse":
        entries["control__thermostat"] = "pulse"
        words += ", and use a pulse thermostat"
        if control.switching_band is not None:
            entries["control__switching_band"] = None
    if control.probe.sits_in == "water":  # that of the bath, which goes
        entries["control__probe__sits_in"] = "air"
        words += ", with its probe in the air beside the egg boxes"
    return change(case, f"{words}.", PURCHASE, **entries, **_off_the_heater(case))


def _off_the_heater(case: Case) -> dict[str, str]:
    """Entries for boxes that stand on a heater which will lie elsewhere."""
    return {
        f"egg_boxes[{index}]__stands": "on a rack"
        for index, box in enumerate(case.plan.egg_boxes)
        if box.stands == "on the heater"
    }


def _untold_source(case: Case) -> Iterator[Ladder]:
    if case.plan.heat.source is None:
        yield from _heater(case)


def _cooling(case: Case) -> Iterator[Ladder]:
    """Just as much as the warmest room takes, where there is a cooling: more does harm if it never switches off."""
    loss = case.forecast.heat.conductance
    need = None if isinstance(loss, Unknown) else cooling_needed(case.plan, loss)
    if case.plan.cooling is None or need is None:
        return
    watts = max(math.ceil(need.high), 1.0)
    if watts != case.plan.cooling.power:
        told = Written(case.plan.units).power(watts)
        yield from one_of(
            change(case, f"Use a cooling that takes out {told}.", PURCHASE, cooling__power=told)
        )


LEVERS = (
    Lever("cooling.power", _cooling, "just as much as the warmest room takes"),
    Lever("heat", _heater, "a mat on the lid warms evenly and keeps the egg-box lids dry"),
    Lever("heat.source", _untold_source, "a mat on the lid warms evenly and keeps the egg-box lids dry"),
    Lever("heat.place", _place, "from the lid, the egg-box lids stay warmer than the medium and dry"),
    Lever("heat.floor_heater", _without_floor, "from the lid alone, the egg-box lids stay dry"),
    Lever("heat.power", _power, "about one and a half times what the box needs in the coldest room"),
    Lever("heat.size", _size, "the larger its face, the cooler it stays; measure yours and correct it"),
)
