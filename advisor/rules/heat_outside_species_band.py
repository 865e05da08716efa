"""The set point against the species' bands."""

from collections.abc import Iterator

from msgspec.structs import replace

from advisor.forecast.clutch.box_shared import meeting
from advisor.forecast.clutch.days_and_sexes import thermostat_error
from advisor.forecast.heat.egg_limits import TENDER_GROUPS, harmed_from, limit_support, without_cold_limit
from advisor.forecast.heat.egg_warmth import eggs_off, medium_temperature
from advisor.model.findings import FIX, SEVERITIES, STOP, WATCH, Finding, NotJudged
from advisor.model.follow import HARM_WORDS, LIKELY, NEAR, POSSIBLE
from advisor.model.forecast import EggProgramme, EggStep
from advisor.model.species import CoolPeriod
from advisor.rules.engine import CLUTCH, Case, Lacking, Rule
from advisor.rules.shared import ROUNDING, needs_of

# K past the usual band that a tolerated one reaches, in the profiles that tell both (66: 0 to 4 K on either side)
FURTHEST = 4.0
LASTING = 7.0  # days of a step from which it counts as held; a shorter one is judged by its hours; judgement
HARMS = {LIKELY: STOP, POSSIBLE: FIX, NEAR: WATCH}
# K either side of the middle. Hatching at a swing against that at its constant mean, pairs of one study in the data of
# Noble et al. 2018: up to 4 K 17 pairs, middle -2 points; 5 to 6 K 8 pairs, middle -10, of them Elusor -84 (Micheli-Campbell
# 2012) and Pelodiscus -77 (Li 2013). Limits: judgement.
TRIED, USUAL_SWING, TENDER_SWING = 3.0, 4.0, 5.0
APART = "The usual bands of the species in this box do not meet: no set point suits all."

RULE = Rule(
    id="heat-outside-species-band",
    title="The set point lies outside the species' temperature band",
    explanation=(
        "An egg takes the temperature of the medium round it and cannot move away. A little too cool slows the embryo. "
        "A little too warm hurries it and brings weak or bent young. Further out the embryo dies, within days on the "
        "cool side and within hours on the hot side. Nights may be cooler: the mean counts, as long as neither goes too far."
    ),
    remedy="Set the thermostat to the species' usual band, then check it with a second thermometer in the medium.",
    sources=("practice",),
    about=CLUTCH,
    needs=("control.set_to", "species.aim"),
    levers=("control.set_to",),
    good="control: {set_to: 28 °C}",
    bad="control: {set_to: 34 °C}",
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """Compares what the eggs are held at for weeks with the bands of the profile, the worst first; then what comes and goes."""
    set_to, programme, warmth = (
        case.plan.control.set_to,
        case.clutch_forecast.programme,
        case.clutch_forecast.warmth,
    )
    assert set_to is not None
    off = eggs_off(case.plan.control, warmth)
    if off is None:
        raise Lacking(*(warmth.missing or ("control.probe.sits_in",)))
    if not case.plan.control.programme:
        yield from _steady(case, set_to, off)
        return
    if programme is None:
        raise Lacking(*needs_of(case.clutch_forecast.incubation_days, "species.duration"))
    answers = [
        *_of_steps(case, programme, off != 0.0),
        *_of_hours(case, programme),
        *_of_swing(case, programme),
    ]
    yield from sorted(answers, key=lambda finding: SEVERITIES.index(finding.severity))[:1]
    unknown = without_cold_limit((case.species,))
    if not answers and unknown and any(step.coldest < step.warmest for step in programme.steps):
        yield NotJudged(unknown)


def _steady(case: Case, set_to: float, off: float) -> Iterator[Finding]:
    """What the eggs are held at: the set point, or another where the probe reads the water of a bath, or air beside a hot heater."""
    told = f"The set point is {case.show.temperature(set_to)}"
    if off:
        control, warmth = case.plan.control, case.clutch_forecast.warmth
        eggs = medium_temperature(set_to, thermostat_error(control), warmth, case.show)
        reads = (
            "water, and the eggs over it" if control.probe.sits_in == "water" else "air, and the eggs in it"
        )
        told = f"{told} for the {reads} are at {case.show.figure(eggs)}"
    found = _outside(case, set_to + off, told)
    if found is not None:
        # A probe that feels what the eggs feel is surer than a set point that makes up for one that does not.
        yield replace(found, levers=("control.probe.sits_in", *RULE.levers) if off else ())


def _outside(case: Case, at: float, told: str) -> Finding | None:
    """A temperature [°C] held for weeks against the harmful, tolerated and usual bands."""
    species, show = case.species, case.show
    assert species.aim is not None
    aim = show.temperature_range(species.aim.low, species.aim.high)
    usual = [one.aim for one in case.situation.species.values() if one.aim is not None]
    harmful, tolerated = species.harmful, species.tolerated
    side, because = "below" if at < species.aim.low else "above", ""
    if at >= harmed_from(species):
        severity, support = STOP, limit_support(species, hot=True)
        known = harmful is not None and harmful.above is not None
        harm = "eggs of this species come to harm" if known else "minutes can harm eggs"
        because = f": {harm} from {show.temperature(harmed_from(species))}"
    elif harmful and harmful.below is not None and at <= harmful.below:
        severity, support = STOP, harmful.support
        because = f": eggs of this species come to harm at {show.temperature(harmful.below)} and below"
    elif tolerated and not tolerated.low <= at <= tolerated.high:
        limit = tolerated.low if at < tolerated.low else tolerated.high
        severity, support = FIX, tolerated.support
        because = f": the tolerated band ends at {show.temperature(limit)}"
    elif not species.aim.low <= at <= species.aim.high:
        limit = species.aim.low if at < species.aim.low else species.aim.high
        far = tolerated is None and abs(at - limit) > FURTHEST + ROUNDING
        severity, support = FIX if far else WATCH, species.aim.support
        if far:
            because = (
                f": no profile tells of eggs that bear more than {show.step(FURTHEST)} past theirs for long"
            )
    else:
        return None
    apart = not meeting(usual)
    return Finding(
        severity,
        f"{told}, {side} the usual band of {aim} for {species.name}{because}.",
        "control.programme" if case.plan.control.programme else "control.set_to",
        remedy=f"Give the eggs of {species.name} an outer box of their own, set to {aim}." if apart else "",
        obstacle=APART if apart else "",
        support=support,
    )


def _of_steps(case: Case, programme: EggProgramme, apart: bool) -> Iterator[Finding]:
    """Each step that lasts; what a shorter one does is a matter of hours. apart: the eggs are not at the set point."""
    for step in programme.steps:
        if step.until is not None and (
            step.until - step.first < LASTING or _is_cool_period(step, step.until, case.species.cool_period)
        ):
            continue
        mean = case.show.temperature(step.mean)
        told = (
            f"From day {step.first:.0f} on the set point is {mean}"
            if step.first
            else f"The first set point is {mean}"
        )
        if apart:
            told = f"{f'From day {step.first:.0f} on' if step.first else 'At first'} the eggs are at {mean}"
        if step.coldest < step.warmest:
            told = f"With the cooler nights the eggs are at {mean} in the mean"
        found = _outside(case, step.mean, told)
        if found is not None:
            yield found


def _is_cool_period(step: EggStep, until: float, known: CoolPeriod | None) -> bool:
    """Whether a step is no colder and no longer than the cool period of the profile; what is warmer is judged by the bands."""
    return (
        known is not None
        and known.at.low - ROUNDING <= step.coldest
        and step.mean <= known.at.high + ROUNDING
        and until - step.first <= known.days.high
    )


def _of_hours(case: Case, programme: EggProgramme) -> Iterator[Finding]:
    """Nights, days and short steps past what weeks would harm, by the time that eggs bear them."""
    show, name = case.show, case.species.name
    for harm in programme.harms:
        if harm.harm and (harm.daily or harm.hours < LASTING * 24.0):
            hot = harm.side == "hot"
            time = (
                ("Each day" if hot else "Each night")
                if harm.daily
                else f"For {show.hours(harm.hours * 3600)}"
            )
            support = limit_support(case.species, hot)
            yield Finding(
                HARMS[harm.harm],
                f"{time} the eggs of {name} get {'up' if hot else 'down'} to {show.temperature(harm.extreme)}, "
                f"{'above' if hot else 'below'} what they bear for weeks: {HARM_WORDS[harm.harm]}.",
                "control.programme",
                sources=support.sources if support else (),
            )


def _of_swing(case: Case, programme: EggProgramme) -> Iterator[Finding]:
    """Swings between day and night that were tried on few species."""
    half = max((step.warmest - step.coldest) / 2 for step in programme.steps)
    if half > TRIED + ROUNDING:
        tender = case.species.group in TENDER_GROUPS and half >= TENDER_SWING - ROUNDING
        yield Finding(
            FIX if tender else WATCH,
            f"Between day and night the eggs swing by {case.show.step(half)} either side of their middle. In most trials "
            f"up to {case.show.step(USUAL_SWING)} cost next to nothing; {case.show.step(TENDER_SWING)} and more cost nearly "
            "all eggs of two turtles.",
            "control.programme",
            sources=("noble-2018", "judgement"),
        )
