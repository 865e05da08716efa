"""The rules, one module each; `rule_modules` lists them in the order in which findings of one severity are told."""

from functools import cache
from importlib import import_module
from types import ModuleType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from advisor.rules.engine import Rule

RULE_IDS = (
    "heat-outside-species-band",
    "control-no-cut-out",
    "air-no-holes",
)


@cache
def rule_modules() -> tuple[ModuleType, ...]:
    """All rule modules, imported on first use."""
    return tuple(import_module(f"advisor.rules.{identifier.replace('-', '_')}") for identifier in RULE_IDS)


def known_rule_ids() -> tuple[str, ...]:
    """Every id a plan may accept: current and former ones."""
    return tuple(name for module in rule_modules() for name in (module.RULE.id, *module.RULE.former_ids))


def rule_by_id(identifier: str) -> "Rule":
    """The rule of an id or a former id; raises `KeyError`."""
    from advisor.rules.engine import ENGINE_RULES

    for rule in (*(module.RULE for module in rule_modules()), *ENGINE_RULES):
        if identifier == rule.id or identifier in rule.former_ids:
            found: Rule = rule
            return found
    raise KeyError(identifier)
