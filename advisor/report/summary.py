"""Many plans in one table: a line a plan, the worst first."""

from collections import Counter
from collections.abc import Iterator

from msgspec import Struct, field

from advisor.model.findings import SEVERITIES, Report, alike
from advisor.report.screen import Line
from advisor.show import counted

ORDER = ("faulty", *SEVERITIES, "clear")


class Summary(Struct, frozen=True):
    """One plan: file, verdict (None when the file is faulty), findings by severity, rules not judged."""

    file: str
    verdict: str | None
    counts: dict[str, int] = field(default_factory=dict)
    not_judged: int = 0


def summary_of(file: str, report: Report) -> Summary:
    """The line of one judged plan."""
    counts = Counter(findings[0].severity for findings in alike(report))
    return Summary(file, report.verdict, dict(counts), len({answer.rule for answer in report.not_judged}))


def summary_lines(rows: list[Summary]) -> Iterator[Line]:
    """The table, and a line that counts the plans by verdict."""
    width = max([len(row.file) for row in rows] + [4])
    heads = "".join(f"{severity:>7}" for severity in SEVERITIES)
    yield Line(f"{'plan':<{width}}  {'verdict':<8}{heads}  not judged", "head")
    for row in sorted(rows, key=lambda row: ORDER.index(row.verdict or "faulty")):
        if row.verdict is None:
            yield Line(f"{row.file:<{width}}  faulty, see above", "stop")
            continue
        counts = "".join(f"{row.counts.get(severity, 0) or '-':>7}" for severity in SEVERITIES)
        yield Line(f"{row.file:<{width}}  {row.verdict:<8}{counts}  {row.not_judged or '-':>10}", row.verdict)
    totals = Counter(row.verdict or "faulty" for row in rows)
    told = ", ".join(f"{totals[word]} {word}" for word in ORDER if totals[word])
    yield Line(f"{counted(len(rows), 'plan')}: {told}. `advisor check PLAN` tells each in full.")
