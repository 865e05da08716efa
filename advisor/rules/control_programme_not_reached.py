"""A programme that the box can't follow: nights that do not get as cool as planned, days that do not get as warm."""

from collections.abc import Iterator

from advisor.forecast.heat.night_drop import cooler_nights
from advisor.model.figures import Figure
from advisor.model.findings import FIX, NOTE, Finding
from advisor.rules.engine import PLAN, Case, Lacking, Rule
from advisor.rules.shared import BOX, needs_of, what_matters

MISSED = 0.5  # K, as well as a home thermostat is set and read; judgement
MAT = "heat: {source: mat, place: lid, power: 20 W, size: 40 x 30 cm}\npower_cut: {prepared: nothing}"
NIGHT = "programme: {{day: 29 °C, night: 26 °C, hours: {}}}"

RULE = Rule(
    id="control-programme-not-reached",
    title="The box does not follow the programme",
    explanation=(
        "A box only cools as fast as its walls let the heat out, and wet medium holds a lot of it. With good walls, a "
        "warm room or a short night the eggs never get as cool as the thermostat is set. In the morning they warm only as "
        "fast as the heater is strong. What the eggs reach is what counts: days and sexes are told for that."
    ),
    remedy="Count on what is reached, or make the nights longer.",
    sources=("judgement",),
    about=PLAN,
    levers=("heat.power", "control.set_to"),
    good=BOX.replace("set_to: 28 °C", NIGHT.format(12)) + MAT,
    bad=BOX.replace("set_to: 28 °C", NIGHT.format(1)) + MAT,
)


def check(case: Case) -> Iterator[Finding]:
    """The medium at the end of the night and of the day against what is set; in steps, that are held for days, none."""
    step, heat, show = cooler_nights(case.plan), case.forecast.heat, case.show
    if step is None or step.night is None:
        return
    night, day = heat.night_reached, heat.day_reached
    if not isinstance(night, Figure) or not isinstance(day, Figure):
        assert night is not None
        raise Lacking(*needs_of(night, "control.programme"))
    if day.value < step.set_to - MISSED:
        reached = show.figure(day)
        yield Finding(
            FIX,
            f"By day the eggs reach {reached}, not {show.temperature(step.set_to)}: after the night the heater can't warm "
            f"them in time.{what_matters(day)}",
            "control.programme",
            figures=(("day_reached", day),),
        )
    elif night.value > step.night + MISSED:
        reached = show.figure(night)
        yield Finding(
            NOTE,
            f"By night the eggs get down to {reached} in {show.hours(step.night_lasts)}, not "
            f"{show.temperature(step.night)}.{what_matters(night)}",
            "control.programme",
            RULE.remedy,
            figures=(("night_reached", night),),
        )
