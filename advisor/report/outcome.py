"""A clutch that has hatched, in words: how good the forecasts were, and the record for a species profile."""

from collections.abc import Iterator
from typing import Any

from advisor.interview.commented_yaml import flow
from advisor.model.figures import Unknown
from advisor.model.follow import ClutchFollowed, ForecastAndCount, Outcome, Record
from advisor.model.species import KEEPERS_RECORD
from advisor.show import Show, counted

LONGEST_TITLE = 50  # characters of a plan's title in the name of a record


def outcome_words(outcome: Outcome, show: Show) -> Iterator[str]:
    """What came, a sentence each."""
    when = f"{outcome.first} to {outcome.last}" if outcome.first < outcome.last else str(outcome.first)
    yield f"Hatched: {counted(outcome.hatched, 'egg')}, {when}"
    for one in outcome.compared:
        yield f"{one.what[0].upper()}{one.what[1:]}: {_compared(one, show)}"


def _compared(one: ForecastAndCount, show: Show) -> str:
    found = one.found
    if found.quantity == "share":
        came = f"{show.percent(found.value)} (such a count stands for {show.percent(found.low)} to {show.percent(found.high)})"
    else:
        came = show.figure(found)
    if isinstance(one.forecast, Unknown):
        return f"not forecast, {one.forecast.reason}; came {came}"
    told = show.figure(one.forecast)
    return f"forecast {told}; came {came}: {'in range' if one.agree else 'NOT in range'}"


def record_lines(clutch: ClutchFollowed, record: Record, title: str) -> Iterator[str]:
    """The record as the lines of YAML that go into the profile, in the units of profiles."""
    swing = {} if record.swing is None else {"swing": f"{record.swing:.1f} °C"}
    group = f"{' '.join(title.split())[:LONGEST_TITLE]}, laid {clutch.laid}"

    def entry(at: float, name: str, value: str, eggs: int) -> str:
        told = {"at": f"{at:.1f} °C", name: float(value), "eggs": eggs, **swing}
        return f"- {flow({**told, 'sources': [KEEPERS_RECORD], 'group': group})}"

    yield from ("duration:", f"  {entry(record.at, 'days', f'{record.days:.1f}', record.hatched)}")
    if record.sexed and record.sexed_at is not None:
        share = f"{record.males / record.sexed:.3g}"
        yield from ("sex:", "  observed:", f"    {entry(record.sexed_at, 'male_share', share, record.sexed)}")
    if record.counted is not None:
        share = f"{record.hatched / record.counted:.3g}"
        yield from ("hatched:", f"  {entry(record.at, 'share', share, record.counted)}")


def outcome_data(clutch: ClutchFollowed, title: str) -> dict[str, Any] | None:
    """The same as plain data."""
    outcome = clutch.outcome
    if outcome is None:
        return None
    record = outcome.record
    return {
        "first": outcome.first.isoformat(),
        "last": outcome.last.isoformat(),
        "hatched": outcome.hatched,
        "compared": [{"what": one.what, "in_range": one.agree, "found": round(one.found.value, 3)} for one in outcome.compared],
        "record": None if isinstance(record, Unknown) else "\n".join(record_lines(clutch, record, title)) + "\n",
    }  # fmt: skip
