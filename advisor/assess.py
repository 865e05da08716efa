"""One plan from file to report: read, forecast, judge. The only module that knows all three steps."""

from pathlib import Path

from msgspec import Struct

from advisor.forecast import forecast_plan
from advisor.model.findings import Report
from advisor.model.plan import Plan
from advisor.reading.plan import read_document
from advisor.reading.sources import sources_for
from advisor.reading.species_by_name import profiles_of
from advisor.reading.yaml_text import Document, read_yaml
from advisor.rules import ALL_RULE_IDS, rule_modules
from advisor.rules.engine import Situation, judge
from advisor.show import Show


class Assessment(Struct, frozen=True):
    """A judged plan: what was read, what was computed, what the rules say."""

    document: Document
    situation: Situation
    report: Report


def situation_for(plan: Plan, own_species: Path | None = None) -> Situation:
    """What the rules look at: the plan, its profiles and its forecast."""
    species = profiles_of(plan.clutches, own_species)
    known = {key: source.known for key, source in sources_for(own_species).items()}
    return Situation(plan, species, forecast_plan(plan, species), Show(plan.units), known)


def assess(path: Path, own_species: Path | None = None) -> Assessment:
    """Reads, forecasts and judges one plan file; raises `InputError` with every fault of the input."""
    return assess_document(read_yaml(path), own_species)


def assess_document(document: Document, own_species: Path | None = None) -> Assessment:
    """Forecasts and judges the plan in a parsed document; raises `InputError` with every fault of the input."""
    plan, document = read_document(document, ALL_RULE_IDS, own_species)
    situation = situation_for(plan, own_species)
    return Assessment(document, situation, judge(situation, rule_modules()))
