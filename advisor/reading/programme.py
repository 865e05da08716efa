"""Set points that change on purpose: `control.programme` of a plan, and what in it does not fit together."""

from collections.abc import Iterator
from typing import Any

from advisor.model.plan import SetPointStep
from advisor.reading.convert import converted
from advisor.reading.problems import Problem
from advisor.reading.quantities import Refusal
from advisor.reading.schema import entry_at
from advisor.reading.yaml_text import Document, PathKey

PROGRAMME: PathKey = ("control", "programme")
HOUR = 3600.0
NIGHTS = ("day", "night", "hours")
LIKE = "Write either `{day: 29 °C, night: 26 °C, hours: 12}`, or `steps`."


def programme_of(data: dict[str, Any]) -> tuple[SetPointStep, ...]:
    """The steps of a programme from converted data; none where there is no programme."""
    if "steps" in data:
        return tuple(
            SetPointStep(step["set_to"], from_day=step.get("from_day"), from_=step.get("from"))
            for step in data["steps"]
        )
    return (SetPointStep(data["day"], data["night"], data["hours"] * HOUR),) if data else ()


def programme_problems(document: Document) -> Iterator[Problem]:
    """Faults of a programme that need more than one entry to see."""
    control = document.data.get("control")
    programme = control.get("programme") if isinstance(control, dict) else None
    if not isinstance(programme, dict):
        return
    if "set_to" in control:
        yield document.problem(
            ("control", "set_to"),
            "control: both `set_to` and `programme` are written",
            "Keep one. A programme holds its own set points.",
        )
    given = [entry for entry in NIGHTS if entry in programme]
    if "steps" in programme and given:
        yield document.problem(
            (*PROGRAMME, given[0]), f"control.programme: both `{given[0]}` and `steps` are written", LIKE
        )
    elif "steps" in programme:
        yield from _steps_problems(document, programme["steps"])
    elif len(given) < len(NIGHTS):
        missing = next(entry for entry in NIGHTS if entry not in given)
        yield document.problem(PROGRAMME, f"control.programme: `{missing}` is missing", LIKE)
    else:
        day, night = (_si(programme[entry], (*PROGRAMME, entry)) for entry in ("day", "night"))
        if day is not None and night is not None and night >= day:
            yield document.problem(
                (*PROGRAMME, "night"),
                "control.programme.night: the night is not cooler than the day",
                "Write the cooler of the two at `night`, or one set point at `control.set_to`.",
            )


def _steps_problems(document: Document, steps: Any) -> Iterator[Problem]:
    """Each step begins on a day or on a date, all but the first in the same way, one after the other."""
    if not isinstance(steps, list) or not all(isinstance(step, dict) for step in steps):
        return
    before: Any = None
    for index, step in enumerate(steps):
        path = (*PROGRAMME, "steps", index)
        name = f"control.programme.steps[{index}]"
        entries = [entry for entry in ("from_day", "from") if entry in step]
        if len(entries) != 1:
            yield document.problem(
                path, f"{name}: it needs `from_day` or `from`, one of them", "Write when the step begins."
            )
            return
        begins = _si(step[entries[0]], (*path[:-1], 0, entries[0]))
        if index > 1 and type(begins) is not type(before):
            yield document.problem(
                (*path, entries[0]),
                f"{name}: some steps begin on days and some on dates",
                "Write all of them in the same way.",
            )
            return
        if type(begins) is type(before) and begins <= before:
            yield document.problem(
                (*path, entries[0]),
                f"{name}.{entries[0]}: {begins} does not come after {before}",
                "List the steps in the order of their days.",
            )
        before = begins


def _si(value: Any, path: PathKey) -> Any:
    """A converted entry, or None when it is faulty (the schema tells that fault)."""
    try:
        return converted(value, entry_at("plan", path))
    except (Refusal, AttributeError, TypeError):
        return None
