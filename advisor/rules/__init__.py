"""The rules, one module each; `rule_modules` lists them in the order in which findings of one severity are told."""

from functools import cache
from importlib import import_module
from types import ModuleType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from advisor.rules.engine import Rule

RULE_IDS = (
    "people-no-residual-current-device",
    "people-mains-near-water",
    "people-infection",
    "people-venomous",
    "people-licence",
    "heat-bulb-in-foam",
    "heat-stuck-on-softens-foam",
    "heat-surface-too-hot",
    "heat-species-need-different-temperatures",
    "heat-outside-species-band",
    "heat-room-too-warm",
    "heat-too-weak-for-room",
    "heat-stuck-on-harms-eggs",
    "heat-cooling-stuck-on",
    "heat-from-below-wet-medium",
    "heat-condensation-on-lid",
    "heat-egg-box-on-heater",
    "heat-uneven-between-boxes",
    "heat-power-cut-cools-eggs",
    "control-no-thermostat",
    "control-probe-misplaced",
    "control-probe-box-differs",
    "control-no-cut-out",
    "control-never-checked",
    "control-unsuited-to-heater",
    "control-swing-too-wide",
    "control-programme-not-reached",
    "air-no-holes",
    "air-short-of-oxygen-late",
    "air-checks-too-rare-late",
    "air-checks-too-often-early",
    "moisture-mix-too-dry",
    "moisture-wet-medium-for-rigid-eggs",
    "moisture-mix-too-wet",
    "moisture-free-water",
    "moisture-mix-too-short",
    "moisture-dries-too-fast",
    "moisture-no-top-up-planned",
    "moisture-medium-too-shallow",
    "moisture-dried-late",
    "moisture-lid-opened-at-checks",
    "moisture-pane-runs-wet",
    "eggs-detached",
    "eggs-parted-too-late",
    "eggs-in-probe-box",
    "eggs-looked-for-too-rarely",
    "eggs-cool-period-unsuited",
    "eggs-cool-period-missing",
    "eggs-unlike-species",
    "eggs-buried",
    "eggs-no-box-free",
    "eggs-crowded",
    "eggs-boxes-do-not-fit",
    "eggs-not-marked",
    "sex-heat-overrides",
    "sex-not-as-wanted",
    "sex-too-close-to-call",
    "timing-not-ready-before-laying",
    "timing-trial-too-short",
    "timing-no-lay-box",
    "timing-very-long",
    "measured-unlike-forecast",
    "watching-no-second-thermometer",
    "watching-no-alarm",
    "watching-no-power-cut-plan",
    "profile-missing",
    "profile-outside-data",
    "profile-thin-evidence",
)


# What judges the log of a trial run; the modules lie in `advisor.rules.trial`, without the "trial" of the id.
TRIAL_RULE_IDS = (
    "trial-too-warm",
    "trial-too-cold",
    "trial-not-settled",
    "trial-sensor-stuck",
    "trial-sensors-differ",
    "trial-swings",
    "trial-drifts-with-room",
    "trial-overshoots",
    "trial-room-not-covered",
    "trial-too-short",
)


# What judges a log with eggs inside; the modules lie in `advisor.rules.follow`.
FOLLOW_RULE_IDS = (
    "follow-too-hot",
    "follow-too-cold",
    "follow-sensor-moved",
    "follow-part-not-logged",
    "follow-sexes-undecided",
    "follow-hatching-moved",
)
# every id that a plan may accept
ALL_RULE_IDS = (*RULE_IDS, *TRIAL_RULE_IDS, *FOLLOW_RULE_IDS)


@cache
def rule_modules() -> tuple[ModuleType, ...]:
    """All rule modules, imported on first use."""
    return tuple(import_module(f"advisor.rules.{identifier.replace('-', '_')}") for identifier in RULE_IDS)


@cache
def trial_rule_modules() -> tuple[ModuleType, ...]:
    """The rule modules for the log of a trial run, imported on first use."""
    return _of_log(TRIAL_RULE_IDS)


@cache
def follow_rule_modules() -> tuple[ModuleType, ...]:
    """The rule modules for a log with eggs inside, imported on first use."""
    return _of_log(FOLLOW_RULE_IDS)


def _of_log(identifiers: tuple[str, ...]) -> tuple[ModuleType, ...]:
    """Rules on a log lie in a folder of their own, which their ids begin with."""
    names = (identifier.replace("-", "_").replace("_", ".", 1) for identifier in identifiers)
    return tuple(import_module(f"advisor.rules.{name}") for name in names)


def all_rule_modules() -> tuple[ModuleType, ...]:
    """The modules of all rules: on plans, on trial runs, on eggs."""
    return (*rule_modules(), *trial_rule_modules(), *follow_rule_modules())


def rule_by_id(identifier: str) -> "Rule":
    """The rule of an id; raises `KeyError`."""
    from advisor.rules.engine import ENGINE_RULES

    area = identifier.split("-")[0]
    of_log = {"trial": trial_rule_modules, "follow": follow_rule_modules}
    modules = of_log.get(area, rule_modules)()
    for rule in (*(module.RULE for module in modules), *ENGINE_RULES):
        if identifier == rule.id:
            found: Rule = rule
            return found
    raise KeyError(identifier)
