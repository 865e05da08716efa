"""A judged log of a trial run on the screen and as JSON: findings, then what was measured with the forecast beside it."""

from collections.abc import Iterable, Iterator
from typing import Any

from advisor.assess_log import TrialAssessment
from advisor.model.figures import Figure, Result, Unknown
from advisor.model.findings import FIX, STOP
from advisor.model.logs import HEATER_ON, HEATER_POWER, clock_time
from advisor.model.trial import Extreme, SensorTold, Trial
from advisor.report.json_report import results
from advisor.report.logs import log_data, log_head, verdict_lines
from advisor.report.screen import WIDTH, Line, how_known, judged_lines, row, wrapped
from advisor.show import Show

VERDICTS = {
    STOP: "STOP: no eggs into this box.",
    FIX: "FIX: put these right, and run the trial again, before the eggs come.",
}

# Field of the trial, what it is called, and the figure of the heat forecast that tells the same.
MEASURED = (
    ("medium", "Medium, mean when settled", ""),
    ("swing", "Swing of the medium in 2 h", "swing"),
    ("daily_swing", "Swing from night to day", ""),
    ("spread", "Warmest egg box minus coolest", "spread"),
    ("drift", "Share of the room's move", ""),
    ("settled_after", "Settled after", ""),
    ("warm_up", "Warm-up", "warm_up_hours"),
    ("overshoot", "Overshoot of the warm-up", ""),
    ("room", "Room, mean when settled", ""),
    ("on_share", "Heater on", ""),
    ("power_for_each_kelvin", "Power to hold each degree", ""),
    ("conductance", "Heat loss of the box", "conductance"),
    ("stuck_on_rise", "Rise if the heater never stops", ""),
    ("time_constant", "Time constant of cooling", ""),
    ("hours_to_lose_3_K", "Power cut until 3 °C (5 °F) are lost", "hours_to_lose_3_K"),
)
IN_COLDEST_ROOM = ("warm_up_hours", "hours_to_lose_3_K")
IN_JSON = tuple(name for name, _, _ in MEASURED if name not in ("medium", "room"))
NAME_WIDTH = 38


def trial_lines(assessed: TrialAssessment, width: int = WIDTH, plot: Iterable[str] = ()) -> Iterator[Line]:
    """The report for the screen, the picture `plot` below its head, the verdict last."""
    assessment, show = assessed.assessment, assessed.assessment.situation.show
    yield from log_head("Trial run of", assessment, assessed.log, width, plot)
    yield from judged_lines(assessment, width)
    yield from _sensor_lines(assessed.trial, show, width)
    yield from _measured_lines(assessed, show, width)
    yield from verdict_lines(assessment.report, VERDICTS, width)


def trial_marks(assessed: TrialAssessment) -> list[tuple[float, str]]:
    """When what was found took place, and its rule, for the picture."""
    trial = assessed.trial
    when = {
        "trial-too-warm": trial.warmest,
        "trial-too-cold": trial.coldest,
        "trial-overshoots": trial.overshoot,
    }
    marks = [
        (at.at, finding.rule)
        for finding in assessed.assessment.report.findings
        if isinstance(at := when.get(finding.rule), Extreme)
    ]
    return marks + [
        (one.since, f"{one.name} is stuck")
        for one in (() if isinstance(trial.stuck, Unknown) else trial.stuck.sensors)
    ]


def _sensor_lines(trial: Trial, show: Show, width: int) -> Iterator[Line]:
    yield Line("Sensors, when settled", "head")
    for sensor in trial.sensors:
        low, high = _reading(sensor, sensor.lowest, show), _reading(sensor, sensor.highest, show)
        yield from wrapped(
            f"  {sensor.name} ({sensor.place}): mean {_reading(sensor, sensor.mean, show)}, lowest {low} on "
            f"{clock_time(sensor.lowest_at)}, highest {high} on {clock_time(sensor.highest_at)}",
            width,
            "",
            4,
        )
    yield Line("")


def _reading(sensor: SensorTold, value: float, show: Show) -> str:
    if sensor.place == HEATER_ON:
        return show.percent(value)
    return show.power(value) if sensor.place == HEATER_POWER else show.temperature(value)


def figure_of(part: object, name: str) -> Result:
    """A figure of the trial; an extreme by its figure."""
    result: Result | Extreme = getattr(part, name)
    return result.figure if isinstance(result, Extreme) else result


def _measured_lines(assessed: TrialAssessment, show: Show, width: int) -> Iterator[Line]:
    forecast = assessed.assessment.situation.forecast.heat
    yield Line("Measured, and what the forecast says", "head")
    unknown: dict[str, list[str]] = {}
    for name, label, twin in MEASURED:
        result, words = figure_of(assessed.trial, name), show.own_units(label)
        if isinstance(result, Unknown):
            unknown.setdefault(result.reason, []).append(words[:1].lower() + words[1:])
            continue
        beside: Result | None = getattr(forecast, twin) if twin else None
        where = " in the coldest room" if twin in IN_COLDEST_ROOM else ""
        ahead = f"; forecast{where} {show.figure(beside)}" if isinstance(beside, Figure) else ""
        yield from row(words, f"{show.figure(result)}{ahead}", NAME_WIDTH, width)
        yield from how_known(result, width)
    for reason, names in unknown.items():
        yield from wrapped(f"  Not told: {', '.join(names)}: {show.own_units(reason)}.", width, "quiet", 4)
    yield Line("")


def trial_data(assessed: TrialAssessment) -> dict[str, Any]:
    """The whole report as plain data."""
    return {
        **log_data(assessed.assessment, assessed.log),
        "sensors": [
            {
                "name": sensor.name,
                "place": sensor.place,
                "mean": _rounded(sensor.mean),
                "lowest": _rounded(sensor.lowest),
                "highest": _rounded(sensor.highest),
            }
            for sensor in assessed.trial.sensors
        ],
        "measured": results({name: figure_of(assessed.trial, name) for name in IN_JSON}),
    }


def _rounded(value: float) -> float:
    return float(f"{value:.6g}")
