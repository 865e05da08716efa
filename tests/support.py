"""What several tests share: plans from fragments, and the situation that rules look at."""

from pathlib import Path
from typing import Any

import yaml

from advisor.assess import situation_for
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


def situation_of(fragment: Any, own_species: Path | None = None) -> Situation:
    """The situation for a plan fragment laid over the minimal plan (one corn-snake clutch).

    `own_species` is a folder of profiles that are looked at before the shipped ones.
    """
    text = yaml.dump(merged(MINIMAL, fragment), Dumper=_Plain, allow_unicode=True, sort_keys=False)
    plan, _ = read_document(parse_yaml(text.encode(), "fragment.yaml"), own_species=own_species)
    return situation_for(plan, own_species)
