"""Advice on the sexes over all profiles: inside the usual band, clear of harm, and it works when it is followed."""

import itertools
import re
from typing import Any

import pytest

from advisor.forecast.clutch.sex_steering import LEAST_MARGIN, usual_band
from advisor.model.findings import Finding
from advisor.reading.names import profile_files
from advisor.reading.species import load_species
from advisor.rules import engine, heat_outside_species_band, sex_not_as_wanted, sex_too_close_to_call
from tests.support import situation_of

BY_WARMTH = [name for name in sorted(profile_files()) if load_species(name).sex.set_by == "temperature"]
CASES = [
    (wanted, checked, spread)
    for wanted in ("females", "males", "both")
    for checked, spread in (("ice point", 0.0), ("nothing", 2.0))
]
NAMED = re.compile(r"(?:Set the thermostat to|or) (-?[\d.]+) (°[CF])|(-?[\d.]+) (°[CF]) comes nearest")


def plan(identifier: str, set_to: str, wanted: str, checked: str, units: str) -> dict[str, Any]:
    return {
        "units": units,
        "control": {"set_to": set_to, "checked_against": checked},
        "clutches": [{"species": identifier, "wanted": wanted}],
    }


def told(module: Any, fragment: dict[str, Any], spread: float) -> list[Finding]:
    situation = situation_of(fragment, figures={"clutches.0.warmth": [0, -spread / 2, spread / 2]})
    return [
        answer for answer in engine.ask(module.RULE, module.check, situation) if isinstance(answer, Finding)
    ]


def celsius(value: str, unit: str) -> float:
    return float(value) if unit == "°C" else (float(value) - 32) / 1.8


@pytest.mark.parametrize("units", ["metric", "us"])
@pytest.mark.parametrize("identifier", BY_WARMTH)
def test_advised_set_points_are_usual_clear_of_harm_and_give_the_wish(identifier: str, units: str) -> None:
    species = load_species(identifier)
    band = usual_band(species)
    if band is None:
        return
    starts = (band.low, band.high)
    for start, (wanted, checked, spread) in itertools.product(starts, CASES):
        before = plan(identifier, f"{start:g} °C", wanted, checked, units)
        for module in (sex_not_as_wanted, sex_too_close_to_call):
            for finding in told(module, before, spread):
                for match in NAMED.finditer(finding.remedy):
                    named = celsius(match[1] or match[3], match[2] or match[4])
                    assert band.low - 1e-6 <= named <= band.high + 1e-6, finding
                    error = 2.0 * (0.25 if checked == "ice point" else 0.5)
                    margin = max(LEAST_MARGIN, (error**2 + (spread / 2) ** 2) ** 0.5) - 1e-6
                    limits = species.harmful
                    if limits is not None:
                        assert limits.above is None or named <= limits.above - margin, finding
                        assert limits.below is None or named >= limits.below + margin, finding
                    after = plan(
                        identifier,
                        f"{match[1] or match[3]} {match[2] or match[4]}",
                        wanted,
                        checked,
                        units,
                    )
                    assert told(heat_outside_species_band, after, spread) == []
                    again = told(sex_not_as_wanted, after, spread)
                    if module is sex_not_as_wanted and match[1] is not None:
                        assert again == [], (finding, again)
                    elif module is sex_not_as_wanted:
                        # What only comes nearest is a note once it is set: nothing better is to be had.
                        assert [found.severity for found in again] == ["note"], (finding, again)


@pytest.mark.parametrize("identifier", BY_WARMTH)
def test_a_wish_that_cannot_be_had_is_said_plainly(identifier: str) -> None:
    species = load_species(identifier)
    band = usual_band(species)
    if band is None:
        return
    for wanted in ("females", "males"):
        fragment = plan(identifier, f"{(band.low + band.high) / 2:g} °C", wanted, "ice point", "metric")
        for finding in told(sex_not_as_wanted, fragment, 0.0):
            assert re.search(r"Set the thermostat to |No set point in the usual band", finding.remedy)
