"""Faults planted into simulated logs are found by their rule."""

import math
import random
from pathlib import Path

from tests.referees.simulated_box import Box, run
from tests.trial.runs import columns_of, judged, rules_of

HOURS = 96.0


def found(folder: Path, box: Box, hours: float = HOURS, **changes: object) -> dict[str, str]:
    result = run(box, hours, every=300.0, step=20.0)
    columns = columns_of(result, random.Random(2))
    for name, change in changes.items():
        columns[name] = change(result, columns)  # type: ignore[operator]
    places = {
        "Box": "egg box medium",
        "Second": "egg box medium",
        "Air": "air above",
        "Room": "room",
        "Heater": "heater on",
    }
    return rules_of(judged(folder, result.times, columns, places=places))


def test_sound_box(tmp_path: Path) -> None:
    assert found(tmp_path, Box()) == {}


def test_set_too_low_and_too_high(tmp_path: Path) -> None:
    assert found(tmp_path, Box(set_to=24.5))["trial-too-cold"] == "fix"
    assert found(tmp_path, Box(set_to=32.0, watts=25.0))["trial-too-warm"] == "fix"


def test_probe_fallen_out(tmp_path: Path) -> None:
    # The heater is on for good: 14 W / 1.2 / 0.5 = 23 K over the room.
    assert found(tmp_path, Box(set_to=60.0, conductance=0.5))["trial-too-warm"] == "stop"


def test_too_weak_on_cold_nights(tmp_path: Path) -> None:
    # 8 W / 1.2 / 0.67 = 10 K over a room of 12 °C at night.
    cold = Box(
        watts=8.0, room=lambda hour: 18.0 + 6.0 * math.sin(2 * math.pi * (hour - 15) / 24), medium=6000.0
    )
    told = found(tmp_path, cold, 150.0)
    assert told["trial-too-cold"] == "fix"
    # Nor are such nights taken for spells without heat where the log does not tell of the heater.
    result = run(cold, 150.0, step=20.0)
    columns = columns_of(result, random.Random(2))
    del columns["Heater"]
    assert rules_of(judged(tmp_path, result.times, columns))["trial-too-cold"] == "fix"
    assert "trial-drifts-with-room" in told or "trial-not-settled" in told


def test_cut_out_that_works_against_the_thermostat(tmp_path: Path) -> None:
    # The medium never comes to its 28 °C: the air about it, warm from the heater, trips the cut-out before.
    assert found(tmp_path, Box(cut_out=28.5, watts=20.0)) == {}
    assert found(tmp_path, Box(cut_out=27.5, watts=20.0))["trial-too-cold"] == "watch"
    assert found(tmp_path, Box(cut_out=25.5, watts=20.0))["trial-too-cold"] == "fix"
    result = run(Box(cut_out=25.5, watts=20.0), HOURS, every=300.0, step=20.0)
    report = judged(tmp_path, result.times, columns_of(result, random.Random(2))).assessment.report
    assert "hear whether the cut-out breaks the heat" in report.findings[0].remedy


def test_swing(tmp_path: Path) -> None:
    assert "trial-swings" in found(tmp_path, Box(pulse=False, band=2.5, watts=30.0, medium=5000.0))


def test_sensors_apart(tmp_path: Path) -> None:
    assert (
        found(tmp_path, Box(), Second=lambda _, columns: [value + 1.5 for value in columns["Box"]])[
            "trial-sensors-differ"
        ]
        == "watch"
    )
    assert (
        found(tmp_path, Box(), Second=lambda _, columns: [value - 2.1 for value in columns["Box"]])[
            "trial-sensors-differ"
        ]
        == "fix"
    )


def test_stuck_sensor(tmp_path: Path) -> None:
    told = found(tmp_path, Box(), Second=lambda _, columns: [26.9375] * len(columns["Box"]))
    assert told["trial-sensor-stuck"] == "fix"


def test_a_flat_medium_of_coarse_steps_is_no_stuck_sensor(tmp_path: Path) -> None:
    told = found(
        tmp_path, Box(), 200.0, Box=lambda result, _: [round(value * 2) / 2 for value in result.medium]
    )
    assert told == {}


def test_still_climbing(tmp_path: Path) -> None:
    slow = Box(medium=300_000.0, watts=9.0)
    assert found(tmp_path, slow, 60.0)["trial-not-settled"] == "fix"


def test_too_short(tmp_path: Path) -> None:
    assert found(tmp_path, Box(), 10.0)["trial-too-short"] == "fix"
    assert found(tmp_path, Box(), 40.0)["trial-too-short"] == "watch"


def test_overshoot(tmp_path: Path) -> None:
    # The probe in a medium that the heat reaches late.
    late = Box(pulse=False, watts=60.0, to_medium=0.8, air=9000.0, medium=7000.0)
    assert "trial-overshoots" in found(tmp_path, late)


def test_room_that_was_too_mild(tmp_path: Path) -> None:
    # The plan says 17 to 23 °C.
    assert found(tmp_path, Box(room=lambda hour: 21.5 + 0.5 * math.sin(hour / 4)))[
        "trial-room-not-covered"
    ] in ("watch", "fix")
