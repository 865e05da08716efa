"""One plan from file to report: read, forecast, judge. The only module that knows all three steps."""

from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from advisor.forecast import forecast_plan
from advisor.model.findings import Report
from advisor.model.logs import Log
from advisor.model.plan import Plan
from advisor.model.trial import Trial
from advisor.reading.logs.columns import Asked
from advisor.reading.plan import read_plan
from advisor.reading.sources import sources_for
from advisor.reading.species import load_all
from advisor.reading.yaml_text import Document
from advisor.rules import known_rule_ids, rule_modules, trial_rule_modules
from advisor.rules.engine import Situation, judge
from advisor.show import Show


class Assessment(Struct, frozen=True):
    """A judged plan: what was read, what was computed, what the rules say."""

    document: Document
    situation: Situation
    report: Report


def situation_for(plan: Plan, own_species: Path | None = None) -> Situation:
    """What the rules look at: the plan, its profiles and its forecast."""
    species = load_all((clutch.species for clutch in plan.clutches), own_species)
    known = {key: source.known for key, source in sources_for(own_species).items()}
    return Situation(plan, species, forecast_plan(plan, species), Show(plan.units), known)


def assess(path: Path, own_species: Path | None = None) -> Assessment:
    """Reads, forecasts and judges one plan file; raises `InputError` with every fault of the input."""
    plan, document = read_plan(path, known_rule_ids(), own_species)
    situation = situation_for(plan, own_species)
    return Assessment(document, situation, judge(situation, rule_modules()))


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
    from advisor.forecast.trial.whole import trial_of
    from advisor.reading.logs.readings import read_log

    plan, document = read_plan(path, known_rule_ids(), own_species)
    log = read_log(log_path, replace(asked, places={**dict(plan.watching.sensors or ()), **asked.places}))
    situation = situation_for(plan, own_species)
    trial = trial_of(plan, situation.forecast.heat, log)
    situation = replace(situation, trial=trial)
    report = judge(situation, trial_rule_modules())
    return TrialAssessment(Assessment(document, situation, report), log, trial)
