"""A judged log of a trial run on the screen and as JSON: findings, then what was measured with the forecast beside it."""

from collections.abc import Iterator
from typing import Any

from advisor.assess_trial import TrialAssessment
from advisor.model.figures import Figure, Result, Unknown
from advisor.model.findings import FIX, NOTE, SEVERITIES, STOP, WATCH, Report, alike
from advisor.model.logs import HEATER_ON, HEATER_POWER, clock_time
from advisor.model.trial import Extreme, SensorTold, Trial
from advisor.report.json_report import finding_data, results
from advisor.report.screen import WIDTH, Line, finding_lines, not_judged_lines, wrapped
from advisor.show import Show, counted

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
IN_JSON = tuple(name for name, _, _ in MEASURED if name not in ("medium", "room"))
NAME_WIDTH = 38


def trial_lines(assessed: TrialAssessment, width: int = WIDTH) -> Iterator[Line]:
    """The report for the screen, the verdict last."""
    assessment, log, trial = assessed.assessment, assessed.log, assessed.trial
    situation, report = assessment.situation, assessment.report
    yield from wrapped(f"Trial run of {situation.plan.title}", width, "head", 2)
    yield from wrapped(f"{log.file}: {counted(log.rows, 'row')} from {clock_time(trial.start)} to {clock_time(trial.end)}", width, "quiet", 2)  # fmt: skip
    for left in log.left_out:
        yield from wrapped(f"  Left out: {left.why} ({counted(left.count, 'time')}, first on line {left.first_line})", width, "quiet", 4)  # fmt: skip
    for note in log.notes:
        yield from wrapped(f"  {note}", width, "quiet", 4)
    yield Line("")
    told: set[str] = set()
    for findings in alike(report):
        yield from finding_lines(findings, assessment, width, findings[0].rule not in told)
        yield Line("")
        told.add(findings[0].rule)
    for risk in report.accepted:
        yield from wrapped(f"Accepted ({risk.severity}): {risk.rule}, because: {risk.because}", width, "")
    yield from not_judged_lines(report.not_judged, situation, width)
    yield from _sensor_lines(trial, situation.show, width)
    yield from _measured_lines(assessed, situation.show, width)
    if report.clear:
        yield Line(f"Clear: {counted(len(report.clear), 'rule')} found nothing.", "quiet")
    yield from wrapped(verdict_of(report), width, report.verdict, hanging=0)


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
        ahead = f"; forecast {_about(beside, show)}" if isinstance(beside, Figure) else ""
        yield from wrapped(f"  {words:<{NAME_WIDTH}}{_about(result, show)}{ahead}", width, "", NAME_WIDTH + 2)
        matters = f" What matters most is {result.matters_most}." if result.matters_most else ""
        yield from wrapped(f"      How: {result.basis}.{matters}", width, "quiet", 6)
    for reason, names in unknown.items():
        yield from wrapped(f"  Not told: {', '.join(names)}: {show.own_units(reason)}.", width, "quiet", 4)
    yield Line("")


def _about(figure: Figure, show: Show) -> str:
    return show.about(figure.quantity, figure.value, figure.low, figure.high)


def verdict_of(report: Report) -> str:
    """The verdict in one or two sentences; it counts what could not be judged."""
    counts = {severity: sum(one[0].severity == severity for one in alike(report)) for severity in SEVERITIES}
    parts = ", ".join(f"{count} {severity.upper()}" for severity, count in counts.items() if count)
    opening = {
        STOP: "STOP: no eggs into this box.",
        FIX: "FIX: put these right, and run the trial again, before the eggs come.",
        WATCH: "WATCH: this can work; know what to look at.",
        NOTE: "Nothing to put right; read the notes.",
        "clear": "Nothing found.",
    }[report.verdict]
    unjudged = len({answer.rule for answer in report.not_judged})
    rest = f" {counted(unjudged, 'rule')} could not be judged by this log: nothing here says that those points are safe."
    return f"Verdict: {opening}{f' ({parts}.)' if parts else ''}{rest if unjudged else ' Every rule was judged.'}"


def trial_data(assessed: TrialAssessment) -> dict[str, Any]:
    """The whole report as plain data."""
    assessment, log, trial = assessed.assessment, assessed.log, assessed.trial
    report = assessment.report
    return {
        "format": 1,
        "plan": {"file": assessment.document.file, "title": assessment.situation.plan.title},
        "verdict": report.verdict,
        "findings": [finding_data(finding, assessment) for finding in report.findings],
        "clear": list(report.clear),
        "not_judged": [
            {"rule": answer.rule, "subject": answer.subject, "needs": list(answer.needs)}
            for answer in report.not_judged
        ],
        "accepted": [
            {"rule": risk.rule, "because": risk.because, "severity": risk.severity}
            for risk in report.accepted
        ],
        "rows": {
            "read": log.rows,
            "left_out": [
                {"why": left.why, "count": left.count, "first_line": left.first_line} for left in log.left_out
            ],
            "notes": list(log.notes),
        },
        "sensors": [
            {
                "name": sensor.name,
                "place": sensor.place,
                "mean": _rounded(sensor.mean),
                "lowest": _rounded(sensor.lowest),
                "highest": _rounded(sensor.highest),
            }
            for sensor in trial.sensors
        ],
        "measured": results({name: figure_of(trial, name) for name in IN_JSON}),
    }


def _rounded(value: float) -> float:
    return float(f"{value:.6g}")
