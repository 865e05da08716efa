"""Species whose chromosomes set the sex until heat overrides them."""

from collections.abc import Iterator

from advisor.forecast.heat.egg_warmth import eggs_held_at
from advisor.model.findings import FIX, WATCH, Finding
from advisor.rules.engine import CLUTCH, Case, Lacking, Rule

NEAR = 1.0  # K below the threshold: a home thermostat and the spread inside a box together miss by that much; judgement

RULE = Rule(
    id="sex-heat-overrides",
    title="Heat may change the sex of the young",
    explanation=(
        "In a few species chromosomes set the sex, but heat overrides them. Above a threshold young of one sex grow up as "
        "the other, though their genes say otherwise. It happens in the part of the incubation in which the sex is set, "
        "and nothing shows from outside. Such animals can breed, and heat alone may then set the sex of their young."
    ),
    remedy="Lower the set point well below the threshold, and check it with a second thermometer in the medium.",
    sources=("holleley-2015", "judgement"),
    about=CLUTCH,
    needs=("species.sex.set_by",),
    levers=("control.set_to",),
    good="control: {set_to: 29 °C}\nclutches: [{species: pogona-vitticeps}]",
    bad="control: {set_to: 34 °C}\nclutches: [{species: pogona-vitticeps}]",
)


def check(case: Case) -> Iterator[Finding]:
    """The set point against the threshold of the profile: reached, or nearer than a home thermostat can hold."""
    species, control, warmth, show = case.species, case.plan.control, case.clutch_forecast.warmth, case.show
    if species.sex.set_by != "chromosomes, overridden by heat":
        return
    reversal, at = species.sex.reversal, eggs_held_at(control, warmth)
    if reversal is None or at is None:
        missing = case.missing(("species.sex.reversal", "control.set_to"))
        raise Lacking(*(missing or warmth.missing or ("control.probe.sits_in",)))
    gap = reversal.above - at
    if gap >= NEAR:
        return
    whose = "set point of {}" if at == control.set_to else "{} that the eggs have"
    place = f"only {show.step(gap)} below" if gap > 0 else "at" if gap == 0 else f"{show.step(-gap)} above"
    yield Finding(
        WATCH if gap > 0 else FIX,
        f"The {whose.format(show.temperature(at))} is {place} the {show.temperature(reversal.above)} from which heat "
        f"turns young of {species.name} into {reversal.toward}.",
        "control.set_to",
        support=reversal.support,
    )
