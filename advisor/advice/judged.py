"""One plan judged, with the remedies of what was found tried; a plan without findings needs no advice, and loads none."""

from pathlib import Path

from advisor.assess import Assessment, assess_document
from advisor.reading.yaml_text import Document, read_yaml


def advised_assessment(path: Path, own_species: Path | None = None) -> Assessment:
    """The plan of a file; raises `InputError` with every fault of the input."""
    return advised_document(read_yaml(path), own_species)


def advised_document(document: Document, own_species: Path | None = None) -> Assessment:
    """The plan in a parsed document; raises `InputError` with every fault of the input."""
    assessment = assess_document(document, own_species)
    if not any(finding.levers and finding.severity != "note" for finding in assessment.report.findings):
        return assessment
    from advisor.advice.remedies import advised

    return advised(assessment, own_species)
