"""`advisor new` for a bought incubator: said once, and nothing is asked that its owner cannot know."""

import pytest

from advisor.assess import assess_document
from advisor.interview.new_plan import plan_check, told_alone
from advisor.interview.plan_answers import made_of
from advisor.interview.second_round import untold
from advisor.reading.quantities import Refusal
from advisor.report.screen import HIDDEN_INSIDE, report_lines

ANSWERS = {
    "clutches[0].species": "leopard gecko",
    "clutches[0].eggs": 2,
    "room.temperature": "18 to 23 °C",
    "outer_box.inside": "40 x 30 x 25 cm",
}
HIDDEN = ("outer_box.wall", "heat.source", "heat.place", "heat.size", "control.thermostat", "control.probe")


def asked_after(answer: str) -> list[str]:
    answers = {**ANSWERS, **made_of(answer)}
    document = told_alone(plan_check()(answers), answers)
    return untold(assess_document(document).report)


@pytest.mark.parametrize("answer", ["ready-built", "Bought", "incubator", "9"])
def test_a_bought_box_is_understood(answer: str) -> None:
    assert made_of(answer) == {"outer_box.kind": "ready-built"}


def test_other_answers_are_walls() -> None:
    assert made_of("foam box") == {"outer_box.wall.material": "expanded polystyrene"}
    assert made_of("8") == {"outer_box.wall.material": "plastic cool box"}
    with pytest.raises(Refusal):
        made_of("moonlight")


def test_its_owner_is_not_asked_what_nobody_can_see() -> None:
    bought, built = asked_after("ready-built"), asked_after("plywood")
    assert not [entry for entry in bought if entry.startswith(HIDDEN)]
    assert [entry for entry in built if entry.startswith(HIDDEN)]
    # What can be known is asked for all the same.
    assert {"heat.power", "control.set_to", "watching.alarm"} <= set(bought)


def test_the_report_tells_that_a_trial_run_shows_what_nobody_can_see() -> None:
    """Of a bought box alone, beside what to add; of one that was built nothing is hidden."""

    def report_on(answer: str) -> str:
        answers = {**ANSWERS, **made_of(answer)}
        found = assess_document(told_alone(plan_check()(answers), answers))
        return "\n".join(line.text for line in report_lines(found, 1000))

    bought, built = report_on("bought"), report_on("plywood")
    for text in (HIDDEN_INSIDE, "A trial run tells what nobody can see in a ready-built box."):
        assert text in bought and text not in built
