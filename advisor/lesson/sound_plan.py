"""A sound plan for a species, as the data of a plan file; the rules decide whether it is sound."""

import datetime
import math
from collections.abc import Callable, Iterator
from itertools import islice, product
from typing import Any

from msgspec import Struct

from advisor.assess import Assessment
from advisor.interview.commented_yaml import flow
from advisor.model.findings import FIX, NOTE, STOP
from advisor.model.species import Species
from advisor.units import celsius_to_fahrenheit, number

Data = dict[str, Any]
# What these rules find is about the animal or its profile, not about the box: no plan can put it right.
ABOUT_THE_ANIMAL = ("profile-", "people-", "sex-", "timing-very-long")
MOST_TRIES = 20  # plans tried for one species; with most shipped profiles the first does; judgement
TRIES_TO_WATCH = (
    10  # plans tried as long as one of them has nothing worse than what is to be watched; judgement
)
NARROW = 1.5  # K; a band to aim for below this is missed when it is told in whole °F; judgement
MOST_EGGS = 16  # in the lesson's clutch, so that two egg boxes hold it; judgement


class BoxKit(Struct, frozen=True):
    """A size of outer box with what goes into it: texts in metric and in US units."""

    outer: tuple[str, str]
    heater: tuple[str, str]
    power: str
    egg_box: tuple[str, str]
    depth: tuple[str, str]
    bottles: tuple[str, str]


# Three sizes that people build: small, for large eggs, for very large eggs; judgement, tried out with the rules.
ROOMS = (
    BoxKit(("55 x 35 x 22 cm", "22 x 14 x 9 in"), ("50 x 32 cm", "20 x 12 in"), "14 W", ("20 x 14 x 9 cm", "8 x 6 x 4 in"), ("5 cm", "2 in"), ("4 L", "4 quarts")),
    BoxKit(("80 x 40 x 30 cm", "32 x 16 x 12 in"), ("74 x 36 cm", "29 x 14 in"), "22 W", ("24 x 16 x 14 cm", "10 x 7 x 6 in"), ("6 cm", "2.5 in"), ("6 L", "6 quarts")),
    BoxKit(("100 x 50 x 35 cm", "40 x 20 x 14 in"), ("94 x 46 cm", "37 x 18 in"), "32 W", ("30 x 20 x 16 cm", "12 x 8 x 7 in"), ("8 cm", "3 in"), ("10 L", "10 quarts")),
)  # fmt: skip


def sound_plans(species: Species, units: str, today: datetime.date) -> Iterator[Data]:
    """Plans to try, the simplest first, until the rules find nothing to put right; none without a temperature to aim for.

    What departs least from the first choices comes first: one other set point, room, number of eggs or mix, then two.
    """
    if species.aim is None:
        return
    us = units == "us"
    set_points, eggs, mixes = (
        _set_points(species.aim.low, species.aim.high),
        _egg_counts(species),
        _mixes(species),
    )
    steps = product(*(range(len(choice)) for choice in (set_points, ROOMS, eggs, mixes)))
    for warm, wide, few, wet in sorted(steps, key=sum):
        yield _plan(species, units, us, set_points[warm], ROOMS[wide], mixes[wet], eggs[few], today)


def _set_points(low: float, high: float) -> list[float]:
    """The middle of the band to aim for, then its cool and its warm quarter, to half a °C."""
    return list(dict.fromkeys(round((low + share * (high - low)) * 2) / 2 for share in (0.5, 0.25, 0.75)))


def _plan(
    species: Species,
    units: str,
    us: bool,
    set_to: float,
    room: BoxKit,
    mix: Data,
    eggs: int,
    today: datetime.date,
) -> Data:
    def day(after: int) -> str:
        return (today + datetime.timedelta(days=after)).isoformat()

    def box(name: str, holds: str, count: int) -> Data:
        return {
            "name": name,
            "count": count,
            "holds": holds,
            "inside": room.egg_box[us],
            "stands": "on a rack",
            "tier": "one",
            "lid": {"fit": "clip", "thickness": "1 mm", "holes": {"count": 5, "diameter": "2 mm"}},
            "medium": {"material": "vermiculite", "grade": "medium", "depth": room.depth[us], "mix": mix},
            "top_up": "by weight",
            "dry_late": "no",
        }

    mass = species.eggs.mass
    narrow = species.aim is not None and species.aim.high - species.aim.low < NARROW
    return {
        "format": 1,
        "title": f"Sound box for {species.name}",
        "units": units,
        "room": {"temperature": _warmth_range(set_to - 11, set_to - 5, us), "humidity": "50 %"},
        "outer_box": {
            "inside": room.outer[us],
            "wall": {"material": "expanded polystyrene", "thickness": "1.5 in" if us else "40 mm"},
            "lid_fits": "well",
            "stands_on": "shelf",
        },
        "heat": {"source": "mat", "place": "lid", "power": room.power, "size": room.heater[us]},
        "control": {
            "thermostat": "pulse",
            "set_to": warmth(set_to, us, narrow),
            "probe": {"sits_in": "probe box medium", "fixed": "yes"},
            "cut_out": {"set_to": warmth(_cut_out(species, set_to), us, narrow)},
            "checked_against": "ice point",
        },
        "watching": {"thermometers": 2, "logger": "yes", "alarm": "yes"},
        "power_cut": {"prepared": "water bottles", "water": room.bottles[us]},
        "egg_boxes": [box("eggs", "eggs", 2), box("probe", "probe", 1)],
        "clutches": [
            {
                "species": species.id,
                "eggs": eggs,
                **({"egg_mass": f"{number(mass.middle * 1000)} g"} if mass else {}),
                "box": "eggs",
                "wanted": "any",
                "laying": {"expected": f"{day(35)} to {day(42)}"},
                "lay_box": {"ready_on": day(21)},
                "looked_for": "every 12 h",
                "placed": "attached to its surface" if species.eggs.glued_to_surface else "half buried",
                "parted": "left together" if species.eggs.glued_to_surface else "while fresh",
                "marked": "yes",
                "cool_period": _cool_period(species),
            }
        ],
        "checks": {"opens": "outer lid", "lasting": "5 s", "rhythm": "thirds"},
        "trial_run": {"from": day(16), "days": 7},
        "people": {"residual_current_device": "yes", "drip_loop": "yes", "children_under_five": "no"},
    }


def without_dates(data: Data) -> Data:
    """The same plan for no season in particular."""
    clutch = {key: value for key, value in data["clutches"][0].items() if key not in ("laying", "lay_box")}
    return {**data, "clutches": [clutch], "trial_run": {"days": data["trial_run"]["days"]}}


def warmth(celsius: float, us: bool, fine: bool = False) -> str:
    """A temperature [°C] as a plan has it: to half a °C; in °F to a whole one, or `fine` to a tenth."""
    if us:
        fahrenheit = celsius_to_fahrenheit(celsius)
        return f"{fahrenheit:.1f} °F" if fine else f"{fahrenheit:.0f} °F"
    return f"{number(celsius, 3)} °C"


def _warmth_range(low: float, high: float, us: bool) -> str:
    return f"{warmth(low, us).split()[0]} to {warmth(high, us)}"


def _cut_out(species: Species, set_to: float) -> float:
    """Two degrees above the set point, or less where the eggs bear less."""
    harmful, tolerated = species.harmful, species.tolerated
    limit = harmful.above if harmful is not None and harmful.above is not None else None
    if limit is None and tolerated is not None:
        limit = tolerated.high
    return set_to + 2.0 if limit is None else min(set_to + 2.0, max(limit - 0.5, set_to + 0.5))


def _cool_period(species: Species) -> Any:
    cool = species.cool_period
    if cool is None or cool.needed_by == "none":
        return "none"
    middle = number(cool.days.middle, 3)
    return {"at": f"{number(cool.at.middle, 3)} °C", "days": int(float(middle))}


def _mixes(species: Species) -> list[Data]:
    """The profile's own mixes, by volume first; else the mix most keepers start with (common practice, no source)."""
    used = sorted((entry.mix for entry in species.medium.mixes), key=lambda mix: mix.by != "volume")
    own = [{"medium": _whole(mix.medium), "water": _whole(mix.water), "by": mix.by} for mix in used]
    usual: Data = {"medium": 4, "water": 1, "by": "volume"}
    if species.eggs.shell == "rigid":
        usual = {"medium": 2, "water": 1, "by": "mass"}  # barely damp: judgement of the rule on rigid eggs
    return [*own, *([usual] if usual not in own else [])]


def _whole(value: float) -> float | int:
    return int(value) if value == int(value) else value


def _egg_counts(species: Species) -> list[int]:
    clutch = species.eggs.clutch
    usual = min(math.ceil(clutch.middle), MOST_EGGS) if clutch is not None else 8
    return list(dict.fromkeys((usual, max(usual // 2, 1), 2)))


def plan_yaml(data: Data, first_line: str) -> str:
    """The plan file of the data, with one comment line on top."""
    lines = [f"# {first_line}"]
    for key, value in data.items():
        if isinstance(value, list):
            lines.append(f"{key}:")
            for item in value:
                rows = [f"{name}: {flow(entry)}" for name, entry in item.items()]
                lines += [f"  - {rows[0]}", *(f"    {row}" for row in rows[1:])]
        else:
            lines.append(f"{key}: {flow(value)}")
    return "\n".join(lines) + "\n"


def sound_plan(
    species: Species, units: str, today: datetime.date, judged: Callable[[Data, str], Assessment]
) -> tuple[Data, Assessment] | None:
    """The first plan in which the rules find nothing to put right, or else the one with the least; None without any.

    What is only to be watched is not worth as many tries.
    """
    best: tuple[tuple[int, int], Data, Assessment] | None = None
    for tries, data in enumerate(islice(sound_plans(species, units, today), MOST_TRIES)):
        if tries >= TRIES_TO_WATCH and best is not None and not best[0][0]:
            break
        assessment = judged(data, "sound")
        found = [
            finding
            for finding in assessment.report.findings
            if finding.severity != NOTE and not finding.rule.startswith(ABOUT_THE_ANIMAL)
        ]
        weight = (sum(finding.severity in (STOP, FIX) for finding in found), len(found))
        if best is None or weight < best[0]:
            best = (weight, data, assessment)
        if not found:
            break
    return best[1:] if best is not None and best[0][0] == 0 else None
