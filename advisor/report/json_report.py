"""The report as JSON by schema/report.schema.json. A figure that cannot be given is null, its reason under `reasons`."""

from datetime import timedelta
from typing import Any

from advisor.assess import Assessment
from advisor.model.changes import Change
from advisor.model.figures import Figure, Unknown, formula_name
from advisor.model.findings import Finding
from advisor.model.forecast import ClutchForecast, EggBoxForecast, TopUpForecast, results_in
from advisor.reading.marks import line_of
from advisor.units import QUANTITIES


def report_data(assessment: Assessment) -> dict[str, Any]:
    """The whole report as plain data."""
    species = assessment.situation.species.values()
    return {
        **judged_data(assessment),
        "follows": [{"rule": rule, "implied_by": cause} for rule, cause in assessment.report.followers],
        "species": [{"id": one.id, "from": one.origin} for one in species],
        "forecast": forecast_data(assessment),
    }


def judged_data(assessment: Assessment) -> dict[str, Any]:
    """What every report has, on a plan or on a log: findings, clear, not judged, accepted."""
    report = assessment.report
    return {
        "format": 1,
        "plan": {"file": assessment.document.file, "title": assessment.situation.plan.title},
        "verdict": report.verdict,
        "findings": [finding_data(finding, assessment) for finding in report.findings],
        "clear": list(report.clear),
        "not_judged": [
            {"rule": answer.rule, "subject": answer.subject, "needs": list(answer.needs)}
            for answer in report.not_judged
        ],
        "accepted": [
            {"rule": risk.rule, "because": risk.because, "severity": risk.severity}
            for risk in report.accepted
        ],
    }


def finding_data(finding: Finding, assessment: Assessment) -> dict[str, Any]:
    """One finding, with the line of its entry."""
    return {
        "rule": finding.rule,
        "severity": finding.severity,
        "subject": finding.subject,
        "message": finding.message,
        "remedy": finding.remedy,
        "path": finding.path,
        "line": line_of(assessment.document, finding.path),
        "evidence": finding.evidence,
        "sources": list(finding.sources),
        "figures": {name: figure_data(figure) for name, figure in finding.figures},
        "changes": [change_data(change) for change in finding.changes],
        "obstacle": finding.obstacle or None,
    }


def change_data(change: Change) -> dict[str, Any]:
    """A change that was tried, with what came of it."""
    return {
        "set": [{"path": setting.path, "value": setting.value} for setting in change.settings],
        "words": change.words,
        "cost": change.cost,
        "clears": change.clears,
        "brings": list(change.brings),
    }


def figure_data(figure: Figure) -> dict[str, Any]:
    """One figure in its JSON unit, rounded to six significant digits."""
    quantity = QUANTITIES[figure.quantity]
    low, value, high = (
        float(f"{number * quantity.factor:.6g}") for number in (figure.low, figure.value, figure.high)
    )
    formulas = [formula_name(formula) for formula in figure.formulas]
    return {"value": value, "low": low, "high": high, "unit": quantity.unit, "formulas": formulas}


def results(named: dict[str, Figure | Unknown]) -> dict[str, Any]:
    """Figures by name, null where there is none, and the reasons of the nulls under `reasons`."""
    data: dict[str, Any] = {
        name: figure_data(result) if isinstance(result, Figure) else None for name, result in named.items()
    }
    data["reasons"] = {name: result.reason for name, result in named.items() if isinstance(result, Unknown)}
    return data


def forecast_data(assessment: Assessment) -> dict[str, Any]:
    """The forecast as plain data."""
    forecast = assessment.situation.forecast
    return {
        "heat": results(results_in(forecast.heat)),
        "egg_boxes": [_egg_box(box) for box in forecast.egg_boxes],
        "clutches": [_clutch(clutch) for clutch in forecast.clutches],
        "shopping": results(results_in(forecast.shopping)),
    }


def _egg_box(box: EggBoxForecast) -> dict[str, Any]:
    return {
        "name": box.name,
        **results(results_in(box)),
        "top_ups": top_up_data(box.water.top_ups),
        "box_mass_by_day": _by_day(box.water.mass_by_day),
        "box_mass_if_none_added": _by_day(box.water.mass_if_none_added),
    }


def _by_day(masses: tuple[tuple[int, Figure], ...]) -> list[dict[str, Any]]:
    return [{"day": day, "mass": figure_data(mass)} for day, mass in masses]


def top_up_data(top_ups: tuple[TopUpForecast, ...]) -> list[dict[str, Any]]:
    """Top-ups as plain data, in grams."""
    return [
        {
            "day": top_up.day,
            "date": top_up.date.isoformat() if top_up.date else None,
            "grams": round(top_up.water * 1000, 1),
        }
        for top_up in top_ups
    ]


def _clutch(clutch: ClutchForecast) -> dict[str, Any]:
    data = {"species": clutch.species, **results(results_in(clutch))}
    for name, window in (("laying_window", clutch.laying_window), ("hatch_window", clutch.hatch_window)):
        data[name] = [day.isoformat() for day in window] if window else None
    data["ready_by"] = clutch.ready_by.isoformat() if clutch.ready_by else None
    data["checks"] = [
        (clutch.laid + timedelta(days=day)).isoformat() if clutch.laid else day for day in clutch.check_days
    ]
    return data
