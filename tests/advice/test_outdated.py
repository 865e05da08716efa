"""Advice that changes the box takes out what was measured in the box before: it holds no longer."""

from pathlib import Path

from advisor.advice.levers.lever import outdated
from advisor.advice.remedies import advised
from advisor.assess import assess
from advisor.model.measured import Energy, IcePoint, Measured, WeighedLid
from tests.support import ROOT

MEASURED = Measured(
    energy=Energy(8e5, 86400.0, 19.0, 28.0),
    lids=(WeighedLid("eggs", 0.006, 6e5),),
    offsets=(IcePoint("thermostat", 0.2),),
)


def test_only_what_rests_on_the_changed_entries_goes() -> None:
    assert outdated(MEASURED, ["outer_box.wall.thickness"]) == ("energy",)
    assert outdated(MEASURED, ["egg_boxes[1].lid.holes.count"]) == ("lids",)
    assert outdated(MEASURED, ["control.thermostat"]) == ("offsets",)
    assert outdated(MEASURED, ["control.set_to", "clutches[0].eggs", "heating"]) == ()
    assert outdated(Measured(), ["heat.power"]) == ()


def test_a_weak_heater_that_was_measured_is_changed_and_the_measurement_goes(tmp_path: Path) -> None:
    text = (ROOT / "examples" / "first-season.yaml").read_text("utf-8").replace("power: 14 W", "power: 8 W")
    path = tmp_path / "plan.yaml"
    watch = (
        "measured: {energy: {used: 190 Wh, over: 24 h, thermostat_alone: 0 W, room: 18 °C, medium: 28 °C}}\n"
    )
    path.write_text(text + watch, encoding="utf-8")
    report = advised(assess(path)).report
    found = next(one for one in report.findings if one.rule == "heat-too-weak-for-room")
    assert found.changes[0].works
    assert "measured.energy" in found.changes[0].paths
    assert "measure again" in found.remedy
