"""The log of a trial run beside its plan, from files to report."""

from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from advisor.assess import Assessment, situation_for
from advisor.forecast.trial.whole import trial_of
from advisor.model.logs import Log
from advisor.model.trial import Trial
from advisor.reading.logs.columns import Asked
from advisor.reading.logs.readings import read_log
from advisor.reading.plan import read_plan
from advisor.rules import known_rule_ids, trial_rule_modules
from advisor.rules.engine import judge


class TrialAssessment(Struct, frozen=True):
    """A judged log of a trial run, beside its plan: `report` and `situation` of `assessment` are those of the log."""

    assessment: Assessment
    log: Log
    trial: Trial


def assess_trial(
    path: Path, log_path: Path, asked: Asked, own_species: Path | None = None
) -> TrialAssessment:
    """Reads a plan and a log, and judges the log; raises `InputError`.

    The places of `asked` go before those of the plan.
    """
    plan, document = read_plan(path, known_rule_ids(), own_species)
    log = read_log(log_path, replace(asked, places={**dict(plan.watching.sensors or ()), **asked.places}))
    situation = situation_for(plan, own_species)
    trial = trial_of(plan, situation.forecast.heat, log)
    situation = replace(situation, trial=trial)
    report = judge(situation, trial_rule_modules())
    return TrialAssessment(Assessment(document, situation, report), log, trial)
