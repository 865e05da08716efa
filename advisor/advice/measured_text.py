"""What was measured, as a keeper writes it into the plan."""

from typing import Any

from advisor.advice.plan_text import edited
from advisor.advice.written import Written
from advisor.model.changes import Setting
from advisor.model.measured import Measured
from advisor.units import number


def with_measured(text: str, measured: Measured, units: str) -> tuple[str, tuple[str, ...]]:
    """The text of a plan with these entries under `measured`, and their names; what stood there before goes.

    Comments and all other entries stay. Without entries the text is as it was.
    """
    settings = [Setting(f"measured.{name}", value) for name, value in _entries(measured, Written(units))]
    return (edited(text, settings) if settings else text), tuple(one.path for one in settings)


def _entries(measured: Measured, written: Written) -> list[tuple[str, Any]]:
    degrees = written.temperature
    found: list[tuple[str, Any]] = []
    if measured.heater_on:
        found.append(("heater_on", [
            {"share": f"{number(one.share * 100, 2)} %", "over": _time(one.over), "room": degrees(_tenth(one.room)), "medium": degrees(_tenth(one.medium))}
            for one in measured.heater_on
        ]))  # fmt: skip
    if (off := measured.switched_off) is not None:
        found.append(("switched_off", {
            "medium_from": degrees(_tenth(off.medium_from)), "medium_to": degrees(_tenth(off.medium_to)),
            "after": _time(off.after), "room": degrees(_tenth(off.room)),
        }))  # fmt: skip
    if (warm := measured.warm_up) is not None:
        found.append(("warm_up", {"took": _time(warm.took), "room": degrees(_tenth(warm.room))}))
    if measured.boxes:
        found.append(("boxes", [
            {"box": one.box, "place": one.place, "medium": degrees(_tenth(one.medium)), "thermometer": one.thermometer}
            for one in measured.boxes
        ]))  # fmt: skip
    if measured.swing is not None:
        unit, kelvin = ("°F", 1.8) if written.us else ("°C", 1.0)
        found.append(("swing", f"{number(measured.swing * kelvin, 2)} {unit}"))
    return found


def _tenth(celsius: float) -> float:
    return round(celsius, 1)


def _time(seconds: float) -> str:
    """A duration: minutes below two hours, then hours, days from three on."""
    if seconds < 7200:
        return f"{round(seconds / 60)} min"
    return f"{number(seconds / 3600, 3)} h" if seconds < 259_200 else f"{number(seconds / 86_400, 3)} days"
