"""A sound plan for a species, as the data of a plan file: what the advisor proposes to somebody who tells nothing but the species."""

import datetime
from collections.abc import Callable
from pathlib import Path
from typing import Any

from advisor.advice.suggest import Bounds, suggestion_for
from advisor.assess import Assessment
from advisor.interview.commented_yaml import flow
from advisor.model.findings import FIX, STOP
from advisor.model.species import Species
from advisor.reading.schema import entries_in, load_schema
from advisor.units import celsius_to_fahrenheit, number

Data = dict[str, Any]
ROOM = {"metric": "17 to 23 °C", "us": "63 to 73 °F"}  # a heated home, nights included; judgement
# What these rules find is about the animal or its profile, not about the box: no plan can put it right.
ABOUT_THE_ANIMAL = ("profile-", "people-", "sex-", "timing-very-long")


def sound_plan(
    species: Species,
    units: str,
    today: datetime.date,
    judged: Callable[[Data, str], Assessment],
    own_species: Path | None = None,
) -> tuple[Data, Assessment] | None:
    """A plan in which the rules find nothing to put right; None where the profile allows none, or tells no temperature."""
    if species.aim is None:
        return None
    start = {
        "format": 1,
        "title": f"Sound box for {species.name}",
        "units": units,
        "room": {"temperature": ROOM[units]},
        "clutches": [{"species": species.id}],
    }
    suggested = suggestion_for(judged(start, "sound"), Bounds(today=today), True, own_species)
    whole = suggested.after.document.data
    data = {name: whole[name] for name in entries_in(load_schema("plan")) if name in whole}
    assessment = judged(data, "sound")
    left = [
        finding
        for finding in assessment.report.findings
        if finding.severity in (STOP, FIX) and not finding.rule.startswith(ABOUT_THE_ANIMAL)
    ]
    return None if left else (data, assessment)


def without_dates(data: Data) -> Data:
    """The same plan for no season in particular."""
    clutch = {key: value for key, value in data["clutches"][0].items() if key not in ("laying", "lay_box")}
    return {**data, "clutches": [clutch], "trial_run": {"days": data["trial_run"]["days"]}}


def warmth(celsius: float, us: bool) -> str:
    """A temperature [°C] as a plan has it: to half a °C; in °F to a whole one."""
    return f"{celsius_to_fahrenheit(celsius):.0f} °F" if us else f"{number(celsius, 3)} °C"


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
