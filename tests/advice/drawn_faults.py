"""Sound plans of all profiles with faults planted into them: what was sound before can be made sound again."""

import datetime
import random
from collections.abc import Iterator
from functools import cache
from typing import Any

from advisor.advice.trials import SERIOUS
from advisor.assess import Assessment, assess_document
from advisor.lesson.sound_plan import plan_yaml, sound_plan
from advisor.reading.names import profile_files
from advisor.reading.species import load_species
from advisor.reading.yaml_text import parse_yaml
from tests.changes import with_entries

TODAY = datetime.date(2027, 3, 1)
BOX, CLUTCH = "egg_boxes[0]", "clutches[0]"

# What people get wrong, an entry and the values that are wrong in most boxes; the room is never among them.
FAULTS: dict[str, tuple[Any, ...]] = {
    "control.thermostat": ("none", "on-off", "dimming"),
    "control.cut_out": ("none", {"set_to": "45 °C"}, {"set_to": "20 °C"}),
    "control.probe.sits_in": ("air", "on heater", "outside the box"),
    "control.probe.fixed": ("no",),
    "control.checked_against": ("nothing",),
    "control.switching_band": ("4 °C",),
    "heat.power": ("4 W", "60 W", "150 W"),
    "heat.place": ("floor",),
    "heat.size": ("8 x 6 cm",),
    "outer_box.wall.thickness": ("10 mm",),
    "outer_box.lid_fits": ("poorly",),
    f"{BOX}.lid.holes": ("none", {"count": 1, "diameter": "1 mm"}, {"count": 40, "diameter": "6 mm"}),
    f"{BOX}.lid.fit": ("gasket", "loose"),
    f"{BOX}.medium.depth": ("1 cm",),
    f"{BOX}.medium.mix": (
        {"medium": 40, "water": 1, "by": "volume"},
        {"medium": 1, "water": 3, "by": "mass"},
        {"medium": 20, "water": 1, "by": "mass"},
    ),
    f"{BOX}.top_up": ("none",),
    f"{BOX}.stands": ("on the heater",),
    f"{BOX}.count": (1,),
    f"{BOX}.dry_late": ("yes",),
    f"{CLUTCH}.placed": ("buried", "on the surface"),
    f"{CLUTCH}.parted": ("later",),
    f"{CLUTCH}.marked": ("no",),
    f"{CLUTCH}.looked_for": ("every 5 days",),
    f"{CLUTCH}.lay_box": ("none",),
    f"{CLUTCH}.cool_period": ({"at": "6 °C", "days": 60},),
    f"{CLUTCH}.box": ("probe",),
    "checks.opens": ("egg boxes",),
    "checks.rhythm": ([{"every": "1 day"}], [{"every": "21 days"}]),
    "trial_run.days": (0, 1),
    "trial_run.from": ("2027-04-10",),
    "watching.thermometers": (0,),
    "watching.alarm": ("no",),
    "power_cut": ({"prepared": "nothing"},),
    "people.residual_current_device": ("no",),
    "people.drip_loop": ("no",),
}


def judged(data: Any, name: str = "drawn.yaml") -> Assessment:
    """The plan of some data, written, read and judged."""
    return assess_document(parse_yaml(plan_yaml(data, "drawn").encode(), name))


@cache
def sound(species: str, units: str) -> Any:
    """A plan of the species without stop or fix; None where its profile allows none."""
    found = sound_plan(load_species(species), units, TODAY, judged)
    return found[0] if found is not None and found[1].report.verdict not in SERIOUS else None


def faulty_plans(count: int, seed: int) -> Iterator[tuple[str, Any, tuple[str, ...]]]:
    """Plans with one to three faults: a name, the data, the entries that are wrong. Species in turn, faults by chance."""
    draw = random.Random(seed)
    names = sorted(name for name in profile_files())
    draw.shuffle(names)
    number = 0
    while number < count:
        species = names[number % len(names)]
        plan = sound(species, draw.choice(("metric", "us")))
        if plan is None:
            names.remove(species)
            continue
        entries = draw.sample(sorted(FAULTS), draw.choice((1, 1, 2, 3)))
        planted = {entry: draw.choice(FAULTS[entry]) for entry in entries}
        yield f"{number}-{species}", with_entries(plan, planted), tuple(entries)
        number += 1
