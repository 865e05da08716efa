"""A log beside its plan, from files to report: of a trial run, or with eggs inside."""

from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from advisor.assess import Assessment, situation_for
from advisor.forecast.follow.plan_now import laid_as_told, moved_by_log
from advisor.forecast.follow.whole import followed_of
from advisor.forecast.trial.courses import courses_of
from advisor.forecast.trial.taken import taken_from
from advisor.forecast.trial.whole import trial_of
from advisor.model.follow import Followed, Happening
from advisor.model.logs import Log
from advisor.model.measured import Measured
from advisor.model.plan import Plan
from advisor.model.trial import Trial
from advisor.reading.happened import read_happened
from advisor.reading.logs.cells import bare_name
from advisor.reading.logs.columns import Asked
from advisor.reading.logs.readings import read_log
from advisor.reading.plan import read_plan
from advisor.reading.problems import InputError
from advisor.reading.yaml_text import Document
from advisor.rules import ALL_RULE_IDS, follow_rule_modules, rule_modules, trial_rule_modules
from advisor.rules.engine import judge


class TrialAssessment(Struct, frozen=True):
    """A judged log of a trial run, beside its plan: `report` and `situation` of `assessment` are those of the log.

    `taken` is what it measured that the plan can hold.
    """

    assessment: Assessment
    log: Log
    trial: Trial
    taken: Measured


class FollowAssessment(Struct, frozen=True):
    """A judged log with eggs inside, beside its plan, and what the keeper wrote down."""

    assessment: Assessment
    log: Log
    followed: Followed
    happened: tuple[Happening, ...]


def assess_trial(
    path: Path, log_path: Path, asked: Asked, own_species: Path | None = None
) -> TrialAssessment:
    """Reads a plan and a log, and judges the log; raises `InputError`.

    The places of `asked` go before those of the plan.
    """
    plan, document = read_plan(path, ALL_RULE_IDS, own_species)
    log = read_log(log_path, _placed(asked, plan))
    situation = situation_for(plan, own_species)
    courses = courses_of(log)
    trial = trial_of(plan, situation.forecast.heat, courses)
    situation = replace(situation, trial=trial)
    assessment = Assessment(document, situation, judge(situation, trial_rule_modules()))
    return TrialAssessment(assessment, log, trial, taken_from(trial, courses, plan))


def assess_follow(
    path: Path, log_path: Path, asked: Asked, happened_path: Path | None = None, own_species: Path | None = None
) -> FollowAssessment:  # fmt: skip
    """Reads a plan, a log with eggs inside and what happened, and judges the log; raises `InputError`.

    At least one clutch must have a laying day, in the plan or in what happened.
    """
    plan, document = read_plan(path, ALL_RULE_IDS, own_species)
    happened = () if happened_path is None else read_happened(happened_path, plan, own_species)
    plan = laid_as_told(plan, happened)
    _check_laid(plan, document)
    log = read_log(log_path, _placed(asked, plan))
    situation = situation_for(plan, own_species)
    followed = followed_of(plan, situation.species, situation.forecast, log, happened)
    situation = replace(situation, followed=followed)
    report = judge(situation, follow_rule_modules())
    return FollowAssessment(Assessment(document, situation, report), log, followed, happened)


def moved_by(assessed: FollowAssessment) -> Assessment:
    """The plan, judged with the days to hatching that the log tells."""
    assessment, species = assessed.assessment, assessed.assessment.situation.species
    before = assessment.situation
    moved = moved_by_log(before.plan, species, before.forecast, assessed.followed)
    situation = replace(before, forecast=moved, followed=None)
    return Assessment(assessment.document, situation, judge(situation, rule_modules()))


def _placed(asked: Asked, plan: Plan) -> Asked:
    """What was asked before what the plan tells; a sensor without a place is not used."""
    told = {bare_name(name).lower() for name in asked.places}
    planned = {
        name: place for name, place in plan.watching.sensors or () if bare_name(name).lower() not in told
    }
    places = {name: place for name, place in {**planned, **asked.places}.items() if place}
    return replace(asked, places=places)


def _check_laid(plan: Plan, document: Document) -> None:
    if not any(clutch.laid_on for clutch in plan.clutches):
        raise InputError(
            [
                document.problem(
                    ("clutches", 0, "laying"),
                    "clutches[0].laying: nothing says on which day the eggs were laid",
                    "Write it into the plan, laying: {laid_on: 2027-05-11}, or into a file for --happened: "
                    "{on: 2027-05-11, what: laid}.",
                )
            ]
        )
