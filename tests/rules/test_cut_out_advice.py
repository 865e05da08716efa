"""The cut-out that is advised, put into the plan: nothing is left to put right, for every profile, set point and unit."""

import re
from functools import cache

import pytest
from msgspec.structs import replace

from advisor.forecast.heat.egg_limits import bearing_of, hot_from
from advisor.forecast.heat.stuck_heater import NIGHT, STAGE
from advisor.formulas.heat.short_exposures import FACTOR, allowed_heat
from advisor.model.findings import FIX, STOP, WATCH, Finding
from advisor.model.plan import CutOut
from advisor.reading.names import profile_files
from advisor.reading.species import load_species
from advisor.rules import control_no_cut_out, engine, heat_stuck_on_harms_eggs
from advisor.show import Show
from tests.rules.test_rules import HERE, loaded
from tests.support import situation_of

SPECIES = sorted(profile_files())
RULES = (control_no_cut_out, heat_stuck_on_harms_eggs)
ADVICE = re.compile(r"[Ss]et the cut-out to ([\d.]+)(?: to ([\d.]+))? (°[CF])\.")


@cache
def heat_box() -> engine.Situation:
    """A box that a stuck heater takes past what any eggs bear; its forecast does not hang on what the tests change."""
    plan = loaded(HERE / "bases" / "heat_box.yaml")
    return situation_of(
        {**plan, "heat": {**plan["heat"], "power": "30 W"}, "checks": {"rhythm": "thirds"}},
        HERE / "species_heat",
    )


def findings(species: str, set_to: float, cut: float | None, alarm: bool, units: str) -> list[Finding]:
    situation = heat_box()
    plan = situation.plan
    control = replace(plan.control, set_to=set_to, cut_out=CutOut(cut is not None, cut))
    situation = replace(
        situation,
        plan=replace(plan, control=control, watching=replace(plan.watching, alarm=alarm), units=units),
        species={species: load_species(species)},
        show=Show(units),
    )
    return [
        answer
        for module in RULES
        for answer in engine.ask(module.RULE, module.check, situation)
        if isinstance(answer, Finding) and answer.severity in (STOP, FIX, WATCH)
    ]


def advised(finding: Finding) -> list[float]:
    """The cut-outs [°C] that a remedy names."""
    advice = ADVICE.search(finding.remedy)
    assert advice, finding.remedy
    low, high, unit = advice.groups()
    told = [float(value) for value in (low, high) if value]
    return [(value - 32) * 5 / 9 for value in told] if unit == "°F" else told


def set_points(species: str) -> list[float]:
    """The ends of the aim, and just under where heat counts."""
    profile = load_species(species)
    band = profile.aim or profile.tolerated
    own = [band.low, band.high] if band else [29.0]
    return [point for point in (*own, hot_from(profile) - 0.2) if point < min(hot_from(profile), 39.0)]


@pytest.mark.parametrize(("alarm", "units"), [(True, "metric"), (False, "metric"), (False, "us")])
@pytest.mark.parametrize("species", SPECIES)
def test_the_advised_cut_out_leaves_nothing_to_put_right(species: str, alarm: bool, units: str) -> None:
    for set_to in set_points(species):
        found = findings(species, set_to, None, alarm, units)
        assert any(finding.severity == FIX for finding in found)
        for finding in found:
            called = alarm or "Add an alarm" in finding.remedy
            for cut in advised(finding):
                assert findings(species, set_to, cut, called, units) == [], (set_to, finding.remedy)
                harmful = load_species(species).harmful
                if (
                    harmful is not None
                    and harmful.above
                    and set_to + 1.0 <= harmful.above
                    and units == "metric"
                ):
                    assert cut <= harmful.above + 1e-6, (set_to, finding.remedy)


@pytest.mark.parametrize("species", SPECIES)
def test_an_advised_cut_out_is_borne_for_a_night_at_the_short_end(species: str) -> None:
    """No advice sends eggs into harm, whatever rule gives it: by the time-temperature rule itself."""
    allowed = allowed_heat(bearing_of(load_species(species)), halvings=STAGE)
    for set_to in set_points(species):
        for finding in findings(species, set_to, None, False, "metric"):
            for cut in advised(finding):
                assert allowed(cut) / FACTOR >= NIGHT * (1 - 1e-9)
