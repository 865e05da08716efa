"""Boxes of known heat loss, simulated by another model: what the log tells is what they are, within the ranges told."""

import dataclasses
import math
import random
from pathlib import Path
from typing import Any

import pytest

from advisor.assess import situation_for
from advisor.model.figures import Figure, Result
from advisor.reading.plan import read_plan
from tests.referees.simulated_box import Box, run
from tests.referees.walled_box import WalledBox, foam_for
from tests.trial.runs import PLACES, PLAN, columns_of, judged

RUNS = 30


class Drawn:
    """A box of 0.6 to 1.6 times the forecast's loss, its label off by 10 %, its sensors by 0.3 K.

    Its wall is one number, or foam in layers with a mat under the lid.
    """

    def __init__(self, seed: int, folder: Path, layers: bool) -> None:
        dice = random.Random(seed)
        plan, _ = read_plan(PLAN)
        heat = situation_for(plan).forecast.heat
        assert isinstance(heat.conductance, Figure) and isinstance(heat.watts_needed, Figure)
        self.scale = math.exp(dice.uniform(math.log(0.6), math.log(1.6)))
        self.loss = heat.conductance.value * self.scale
        # Watts over heat of the air: as in the plan's own heat balance, and more behind the heater of a leakier box
        # (1.20, 1.32 and 1.48 at 0.6, 1 and 1.6 times the wall's conductivity), within 6 %.
        ours = heat.watts_needed.value / (heat.conductance.value * (28.0 - 17.0))
        behind = ours * self.scale**0.21 * math.exp(dice.gauss(0.0, 0.04))
        label = math.exp(dice.uniform(-0.09, 0.09))
        room, night = dice.uniform(18.0, 21.0), dice.uniform(1.0, 2.5)
        walls: dict[str, Any] = (
            {"foam": foam_for(self.loss)} if layers else {"conductance": self.loss, "behind": behind}
        )
        self.box = (WalledBox if layers else Box)(
            **walls,
            to_medium=dice.uniform(1.6, 3.0),
            air=dice.uniform(1200.0, 2500.0),
            medium=dice.uniform(8000.0, 16_000.0),
            watts=28.0 * label,
            pulse=dice.random() < 0.7,
            room=lambda hour: room + night * math.sin(2 * math.pi * (hour - 15) / 24),
            off=((70.0, 71.0),),
        )
        self.label = label
        result = run(self.box, 84.0, every=dice.choice((60.0, 300.0)), step=20.0)
        folder.joinpath("plan.yaml").write_text(PLAN.read_text("utf-8").replace("power: 14 W", "power: 28 W"))
        self.assessed = judged(folder, result.times, columns_of(result, dice, 0.3), folder / "plan.yaml")


@pytest.fixture(scope="module", params=[False, True], ids=["two lumps", "walls in layers"])
def drawn(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> list[Drawn]:
    return [Drawn(seed, tmp_path_factory.mktemp("box"), request.param) for seed in range(RUNS)]


def off_by(result: Result, truth: float) -> float:
    assert isinstance(result, Figure), result
    return abs(math.log(result.value / truth))


def held(result: Result, truth: float) -> bool:
    return isinstance(result, Figure) and result.low <= truth <= result.high


def test_conductance_is_found(drawn: list[Drawn]) -> None:
    found = [(box.assessed.trial.conductance, box.loss) for box in drawn]
    errors = sorted(off_by(result, truth) for result, truth in found)
    assert errors[RUNS // 2] < 0.08
    assert errors[int(0.9 * RUNS)] < 0.15
    assert sum(held(result, truth) for result, truth in found) >= 0.9 * RUNS
    assert all(isinstance(result, Figure) and result.high / result.value < 1.26 for result, _ in found)


def test_stuck_on_rise_is_found(drawn: list[Drawn]) -> None:
    # At full power the air rises by the heat that reaches it over the loss, the label as it really is.
    truths = [box.box.rise() for box in drawn]
    found = [box.assessed.trial.stuck_on_rise for box in drawn]
    errors = sorted(off_by(result, truth) for result, truth in zip(found, truths, strict=True))
    assert errors[int(0.9 * RUNS)] < 0.08
    assert sum(map(held, found, truths)) >= 0.9 * RUNS


def test_time_constant_is_found(drawn: list[Drawn]) -> None:
    found = [(box.assessed.trial.time_constant, box.box.slow()) for box in drawn]
    assert sum(held(result, truth) for result, truth in found) >= 0.9 * RUNS


def test_hours_to_lose_three_kelvins_are_found(drawn: list[Drawn]) -> None:
    errors, inside = [], 0
    for box in drawn:
        cut = dataclasses.replace(box.box, off=((0.0, 99.0),), room=lambda hour: 17.0)
        course = run(cut, 14.0, every=60.0, cold=False, step=20.0).medium
        truth = next(minute for minute, value in enumerate(course) if value <= course[0] - 3.0) * 60.0
        result = box.assessed.trial.hours_to_lose_3_K
        errors.append(off_by(result, truth) if isinstance(result, Figure) else math.inf)
        inside += held(result, truth)
    assert sorted(errors)[int(0.9 * RUNS) - 1] < math.log(1.25)
    assert inside >= 0.9 * RUNS


def test_clean_logs_have_no_fault(drawn: list[Drawn]) -> None:
    for box in drawn:
        told = {
            finding.rule
            for finding in box.assessed.assessment.report.findings
            if finding.severity in ("stop", "fix")
        }
        assert not told


def test_without_the_room_nothing_of_the_loss_is_told(tmp_path: Path) -> None:
    result = run(Box(), 48.0, step=20.0)
    columns = columns_of(result, random.Random(1))
    del columns["Room"]
    trial = judged(tmp_path, result.times, columns).trial
    for told in (
        trial.conductance,
        trial.stuck_on_rise,
        trial.power_for_each_kelvin,
        trial.hours_to_lose_3_K,
        trial.drift,
    ):
        assert not isinstance(told, Figure)


def test_the_saw_tooth_tells_the_on_share_where_nothing_else_does(tmp_path: Path) -> None:
    box = Box(pulse=False, band=2.0, probe_in_air=True, watts=20.0, air=5000.0)
    result = run(box, 72.0, every=60.0, step=5.0)
    columns = columns_of(result, random.Random(1))
    truth = sum(columns.pop("Heater")[-2000:]) / 2000
    share = judged(tmp_path, result.times, columns).trial.on_share
    assert isinstance(share, Figure) and share.low <= truth <= share.high
    assert share.high - share.low == pytest.approx(0.2, abs=0.01)


def test_watts_of_a_meter_without_those_of_the_thermostat(tmp_path: Path) -> None:
    result = run(Box(pulse=False, watts=20.0), 72.0, every=60.0, step=20.0)
    columns = columns_of(result, random.Random(1))
    on = columns.pop("Heater")
    columns["Watts"] = [1.5 + 20.0 * share for share in on]
    trial = judged(tmp_path, result.times, columns, places={**PLACES, "Watts": "heater power"}).trial
    assert isinstance(trial.on_share, Figure)
    assert trial.on_share.value == pytest.approx(sum(on[-2880:]) / 2880, abs=0.02)


def test_a_fan_that_always_runs_heats_too(tmp_path: Path) -> None:
    # 14 W on for a share s and a fan of 3 W: (14 s + 3) W for what 14 s alone would be; at full power 17 W.
    result = run(Box(off=((70.0, 71.0),)), 84.0, step=20.0)
    text = PLAN.read_text("utf-8")
    told = []
    for name, fan in (("still", ""), ("stirred", "fan: {runs: always, power: 3 W}\n")):
        folder = tmp_path / name
        folder.mkdir()
        folder.joinpath("plan.yaml").write_text(text + fan)
        columns = columns_of(result, random.Random(1))
        told.append(judged(folder, result.times, columns, folder / "plan.yaml").trial)
    still, stirred = told
    share, loss, more, rise, lower = (
        figure_of(one)
        for one in (still.on_share, still.power_for_each_kelvin, stirred.power_for_each_kelvin,
                    still.stuck_on_rise, stirred.stuck_on_rise)
    )  # fmt: skip
    assert more / loss == pytest.approx((14 * share + 3) / (14 * share), rel=1e-6)
    assert lower / rise == pytest.approx(17 * share / (14 * share + 3), rel=1e-6)


def figure_of(result: Result) -> float:
    assert isinstance(result, Figure), result
    return result.value
