"""What goes wrong, on the back of the sheet: this plan's numbers, people first, no false promise."""

from pathlib import Path

from advisor.assess import assess
from advisor.forecast.for_papers import paper_figures
from advisor.model.figures import Figure
from advisor.papers.emergency import emergencies
from advisor.rules.shared import about_time
from advisor.show import Show
from tests.papers.pages import Papers, example, papers_of, plan_file
from tests.support import ROOT


def emergency(papers: Papers, start: str) -> str:
    (case,) = [case for case in papers.checklist.emergencies if case.condition.startswith(start)]
    return f"{case.condition} {case.sign} {' '.join(case.actions)}"


def with_refused(name: str) -> str:
    """The emergencies of an example as they would be with what the check refuses, which no paper prints."""
    situation = assess(ROOT / "examples" / f"{name}.yaml").situation
    figures = paper_figures(situation.plan, situation.species, situation.forecast)
    return " ".join(f"{case.sign} {' '.join(case.actions)}" for case in emergencies(situation, figures))


def test_emergencies_carry_this_plans_numbers() -> None:
    papers = example("first-season")
    situation, show = papers.assessment.situation, Show()
    hours, stuck = situation.forecast.heat.hours_to_harm, situation.forecast.heat.stuck_on_temperature
    assert isinstance(hours, Figure) and isinstance(stuck, Figure)
    power = emergency(papers, "The power is off")
    assert f"Harm is possible after {about_time(show, hours)}" in power
    assert "28 °C" in power
    hot = emergency(papers, "Too hot")
    assert "30 °C (cut-out)" in hot
    assert show.about_temperature(stuck.value, stuck.low, stuck.high) in papers.checklist.ladder.description
    # By hand for a colubrid harmed from 33 °C: 24 h a degree above (48 h, halved for the weeks in which eggs bear less), a
    # third (10 ** -0.5) of that 2 K further, at once 8 K above. The cold table is that of eggs from a cool climate.
    assert "Harm: 24 h at 34 °C, 7.5 h at 36 °C, at once from 41 °C." in hot
    cold = emergency(papers, "Too cold")
    assert "Harm: 3 days at 15 °C, 2 days at 10 °C, 12 h at 5 °C." in cold
    assert "no water gathers" in emergency(papers, "Drops")
    assert "Forecast: about" in with_refused("floor-heat")
    assert emergency(papers, "Mould")


def test_people_come_before_eggs_in_an_emergency() -> None:
    assert example("first-season").checklist.emergencies[0].condition.startswith("Smoke")


def test_a_litre_of_water_is_told_where_harm_is_forecast() -> None:
    papers = example("first-season")
    litre = papers.figures.litre_adds
    assert isinstance(litre, Figure)
    assert litre.low < litre.value < litre.high
    assert f"Each litre adds {Show().hours(litre.value)}" in emergency(papers, "The power is off")


def test_a_room_that_is_never_too_cold_promises_no_harm(tmp_path: Path) -> None:
    papers = papers_of(plan_file(tmp_path / "plan.yaml", {"room": {"temperature": "23 to 25 °C"}}))
    power = emergency(papers, "The power is off")
    assert "They bear ten days of the coldest room." in power
    assert "adds" not in power


def test_a_set_point_beyond_a_limit_makes_no_false_promise() -> None:
    """The two species of this plan harm each other's limits: no sign may stand on the wrong side of the set point."""
    # Set to 31.5 °C, which crested geckos do not bear: only the python counts, harmed from 33.3 °C. One degree above that it
    # bears 48 h, half as late eggs, and half of that again in a box that is short of oxygen.
    assert "12 h at 34.3 °C" in with_refused("two-species")
