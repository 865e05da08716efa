"""The logs in examples/logs, of boxes that nobody built: `python -m tests.referees.example_logs` writes them anew."""

import math
import random
from datetime import datetime

from tests.referees.simulated_box import Box, Run, run
from tests.referees.walled_box import WalledBox, foam_for
from tests.support import ROOT

LOSS = 0.55  # W/K of the box of the trial run


def trial_run() -> str:
    """A box from cold, a reading every ten minutes for half a week; the heater off for an hour on the third day."""
    box = WalledBox(
        foam=foam_for(LOSS),
        watts=14.0,
        off=((66.0, 67.0),),
        room=lambda hour: 19.5 + 2.0 * math.sin((hour - 15) / 24 * 2 * math.pi),
    )
    return _table(run(box, 84.0, every=600.0, step=20.0), datetime(2027, 4, 20, 18), 3, heater=True)


def season() -> str:
    """A reading an hour from laying to the last young; the power off for eight hours on the 22nd day."""
    box = Box(off=((500.0, 508.0),), room=lambda hour: 20.0 + 2.0 * math.sin((hour + 3) / 24 * 2 * math.pi))
    return _table(
        run(box, 62 * 24.0, every=3600.0, cold=False, step=60.0), datetime(2027, 5, 11, 12), 4, heater=False
    )


def _table(result: Run, start: datetime, seed: int, heater: bool) -> str:
    dice = random.Random(seed)
    rows = ["Time,T1 (°C),T2 (°C)" + (",Heater" if heater else "")]
    for time, medium, room, on in zip(result.times, result.medium, result.room, result.on, strict=True):
        told = [f"{value + dice.gauss(0.0, 0.03):.1f}" for value in (medium, room)] + (
            [f"{on:.2f}"] if heater else []
        )
        rows.append(",".join([f"{time - result.times[0] + start:%Y-%m-%d %H:%M}", *told]))
    return "\n".join(rows) + "\n"


LOGS = {"trial-run.csv": trial_run, "season.csv": season}

if __name__ == "__main__":
    for name, made in LOGS.items():
        (ROOT / "examples" / "logs" / name).write_text(made(), "utf-8")
