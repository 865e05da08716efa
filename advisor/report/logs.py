"""What the reports on logs share: head, findings, verdict, and the same as JSON."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from advisor.assess import Assessment
from advisor.model.findings import NOTE, SEVERITIES, WATCH, Report, alike
from advisor.model.logs import Log, clock_time
from advisor.report.json_report import judged_data
from advisor.report.screen import Line, wrapped
from advisor.show import counted


def log_head(what: str, assessment: Assessment, log: Log, width: int, plot: Iterable[str]) -> Iterator[Line]:
    """Whose log it is, its rows, what was left out, what was found out on the way; its picture."""
    start = min(sensor.times[0] for sensor in log.sensors)
    end = max(sensor.times[-1] for sensor in log.sensors)
    yield from wrapped(f"{what} {assessment.situation.plan.title}", width, "head", 2)
    yield from wrapped(f"{log.file}: {counted(log.rows, 'row')} from {clock_time(start)} to {clock_time(end)}", width, "quiet", 2)  # fmt: skip
    for left in log.left_out:
        yield from wrapped(f"  Left out: {left.why} ({counted(left.count, 'time')}, first on line {left.first_line})", width, "quiet", 4)  # fmt: skip
    for note in log.notes:
        yield from wrapped(f"  {note}", width, "quiet", 4)
    yield Line("")
    drawn = [Line(row, "") for row in plot]
    yield from (*drawn, Line("")) if drawn else ()


def verdict_lines(report: Report, openings: Mapping[str, str], width: int) -> Iterator[Line]:
    """How many rules are clear, and the verdict in one or two sentences; it counts what could not be judged."""
    if report.clear:
        yield Line(f"Clear: {counted(len(report.clear), 'rule')} found nothing.", "quiet")
    counts = {severity: sum(one[0].severity == severity for one in alike(report)) for severity in SEVERITIES}
    parts = ", ".join(f"{count} {severity.upper()}" for severity, count in counts.items() if count)
    opening = {
        WATCH: "WATCH: this can work; know what to look at.",
        NOTE: "Nothing to put right; read the notes.",
        "clear": "Nothing found.",
        **openings,
    }[report.verdict]
    unjudged = len({answer.rule for answer in report.not_judged})
    rest = f" {counted(unjudged, 'rule')} could not be judged by this log: nothing here says that those points are safe."
    words = f"Verdict: {opening}{f' ({parts}.)' if parts else ''}{rest if unjudged else ' Every rule was judged.'}"
    yield from wrapped(words, width, report.verdict, hanging=0)


def log_data(assessment: Assessment, log: Log) -> dict[str, Any]:
    """What the reports on logs have in common, as plain data."""
    return {
        **judged_data(assessment),
        "rows": {
            "read": log.rows,
            "left_out": [
                {"why": left.why, "count": left.count, "first_line": left.first_line} for left in log.left_out
            ],
            "notes": list(log.notes),
        },
    }
