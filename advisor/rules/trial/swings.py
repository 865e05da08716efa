"""How far the medium swung."""

from collections.abc import Iterator

from advisor.forecast.heat.night_drop import cooler_nights
from advisor.model.figures import Figure, Unknown
from advisor.model.findings import FIX, WATCH, Finding, NotJudged
from advisor.rules.engine import PLAN, Case, Lacking, Rule
from advisor.rules.trial.shared import COOLER_NIGHTS

STEADY = 1.0  # K from lowest to highest that eggs bear without a thought; judgement
# share of the tolerated band that the swing may take: the set point is not exact either; judgement
HALF = 0.5

RULE = Rule(
    id="trial-swings",
    title="In the trial run the medium swung too far",
    explanation=(
        "Air may swing by several degrees with every switching and the medium hardly feels it. When the medium itself "
        "swings, the thermostat acts too late, or the box follows day and night. Eggs then leave their band for hours, "
        "and a daily swing shifts the hatching day and the sexes."
    ),
    remedy="Take a pulse or dimming thermostat, a narrower switching band, or a weaker heater.",
    sources=("judgement",),
    about=PLAN,
    needs=("trial.swing",),
    good="log: {swing: 0.3 K}",
    bad="log: {swing: 2.4 K}",
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """The wider of the swing within two hours and that within a day, against a degree and half of the tolerated band."""
    if cooler_nights(case.plan) is not None:
        raise Lacking(COOLER_NIGHTS)
    trial, show = case.trial, case.show
    assert isinstance(trial.swing, Figure)
    told = [(trial.swing, "within two hours")]
    if isinstance(trial.daily_swing, Figure):
        told.append((trial.daily_swing, "from night to day"))
    widest, how = max(told, key=lambda one: one[0].value)
    bands = [one.tolerated for one in case.situation.species.values() if one.tolerated is not None]
    half = min((HALF * (band.high - band.low) for band in bands), default=None)
    if widest.value <= (STEADY if half is None else min(STEADY, half)):
        if isinstance(trial.daily_swing, Unknown):
            yield NotJudged(trial.daily_swing.needs or (trial.daily_swing.reason,))
        return
    certain = half is not None and widest.low > max(STEADY, half)
    slow = how != "within two hours"
    yield Finding(
        FIX if certain else WATCH,
        f"The medium swings by {show.figure(widest)} {how}; up to {show.step(STEADY)} is fine.",
        "control.thermostat",
        "Keep the room steadier, make the walls thicker, and put the probe into the medium of an egg box."
        if slow
        else RULE.remedy,
        figures=(("swing", widest),),
    )
