"""Logs of simulated boxes, written and judged as a keeper would."""

import random
from pathlib import Path
from typing import Any

from advisor.assess_log import TrialAssessment, assess_trial
from advisor.reading.logs.columns import Asked
from tests.referees.simulated_box import Run, csv_text, told
from tests.support import ROOT

PLAN = ROOT / "examples" / "first-season.yaml"
PLACES = {"Box": "egg box medium", "Air": "air above", "Room": "room", "Heater": "heater on"}


def columns_of(
    result: Run, dice: random.Random, off: float = 0.0, quantum: float = 0.0625
) -> dict[str, list[float]]:
    """What the sensors tell; each is wrong by up to `off` [K]."""
    named = {"Box": result.medium, "Air": result.air, "Room": result.room}
    columns = {
        name: told(values, quantum, 0.02, dice.uniform(-off, off), dice) for name, values in named.items()
    }
    return {**columns, "Heater": result.on}


def judged(
    folder: Path,
    times: Any,
    columns: dict[str, list[float]],
    plan: Path = PLAN,
    places: dict[str, str] = PLACES,
) -> TrialAssessment:
    """The log of some columns, judged."""
    path = folder / "log.csv"
    path.write_text(
        csv_text(
            times, {f"{name} (C)" if name != "Heater" else name: values for name, values in columns.items()}
        )
    )
    return assess_trial(plan, path, Asked({name: place for name, place in places.items() if name in columns}))


def rules_of(assessed: TrialAssessment) -> dict[str, str]:
    """Severity of each rule that finds something."""
    return {finding.rule: finding.severity for finding in assessed.assessment.report.findings}
