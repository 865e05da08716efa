"""What several tests share: plans from fragments, and the situation that rules look at."""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import yaml
from msgspec import structs

from advisor.assess import situation_for
from advisor.model.figures import Figure
from advisor.model.forecast import EggWarmth
from advisor.reading.plan import read_document
from advisor.reading.yaml_text import parse_yaml
from advisor.rules.engine import Situation

ROOT = Path(__file__).resolve().parents[1]
MINIMAL = {"format": "1", "clutches": [{"species": "pantherophis-guttatus"}]}


def merged(base: Any, change: Any) -> Any:
    """The base with a change laid over it: blocks merge, null (None or the text "null") removes, all else replaces."""
    if not isinstance(base, dict) or not isinstance(change, dict):
        return change
    result = dict(base)
    for key, value in change.items():
        if value is None or value == "null":
            result.pop(key, None)
        else:
            result[key] = merged(result.get(key), value)
    return result


class _Plain(yaml.SafeDumper):
    """Writes text that looks like a number without quotes, so that fragments keep their numbers."""


_Plain.yaml_implicit_resolvers = {}


def plan_text(plan: Any) -> str:
    """A plan as a file holds it: plain text throughout."""
    return yaml.dump(_in_words(plan), Dumper=_Plain, allow_unicode=True, sort_keys=False)


def _in_words(value: Any) -> Any:
    if isinstance(value, dict):
        return {name: _in_words(entry) for name, entry in value.items()}
    return [_in_words(entry) for entry in value] if isinstance(value, list) else f"{value}"


def situation_of(
    fragment: Any, own_species: Path | None = None, figures: Mapping[str, Sequence[str | float]] | None = None
) -> Situation:
    """The situation for a plan fragment laid over the minimal plan (one corn-snake clutch).

    `own_species` is a folder of profiles that are looked at before the shipped ones. `figures` sets figures of the
    forecast by their path, as [value, low, high] in SI: so a limit of a rule is tested without the forecast's formulas. "clutches.0.warmth" is one way of the eggs' warmth [K].
    """
    text = plan_text(merged(MINIMAL, fragment))
    plan, _ = read_document(parse_yaml(text.encode(), "fragment.yaml"), own_species=own_species)
    situation = situation_for(plan, own_species)
    for path, numbers in (figures or {}).items():
        value, low, high = map(float, numbers)
        forecast = _with_figure(situation.forecast, path.split("."), value, low, high)
        situation = structs.replace(situation, forecast=forecast)
    return situation


def _with_figure(part: Any, path: list[str], value: float, low: float, high: float) -> Any:
    """A forecast with one figure replaced; a path such as ["clutches", "0", "incubation_days"]."""
    step, rest = path[0], path[1:]
    if step.isdigit():
        changed = [
            _with_figure(entry, rest, value, low, high) if str(place) == step else entry
            for place, entry in enumerate(part)
        ]
        return tuple(changed)
    if rest:
        return structs.replace(part, **{step: _with_figure(getattr(part, step), rest, value, low, high)})
    if step == "warmth":
        return structs.replace(part, warmth=EggWarmth((Figure(value, low, high, "step"),)))
    quantity = getattr(getattr(part, step), "quantity", "share")
    return structs.replace(part, **{step: Figure(value, low, high, quantity)})
