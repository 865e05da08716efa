"""Where the thermostat's probe sits, and whether it stays there."""

from collections.abc import Iterator

from advisor.forecast.heat.egg_warmth import AIR_OFF
from advisor.model.figures import Figure
from advisor.model.findings import FIX, NOTE, STOP, WATCH, Finding, NotJudged
from advisor.rules.engine import PLAN, Case, Rule
from advisor.rules.shared import LID_COLDER_BY, LID_COLDER_SHARE

# Derived with a network of air in layers for a usual box (60 x 40 x 25 cm, 30 mm foam, room 20 °C, eggs at 29 °C, mat
# of 40 x 30 cm): heater minus medium with a floor mat 4.3, a lid mat 9.4, the same over two tiers 12.4 K.
HEATER_WARMER = (4.0, 12.5)  # K

RULE = Rule(
    id="control-probe-misplaced",
    title="The thermostat's probe sits where it misleads the thermostat",
    explanation=(
        "The thermostat knows only what its probe feels. A probe outside the box, or one that slips out, keeps the heater "
        "on at full power, and eggs can die within hours. A probe on the heater keeps the eggs cold. "
        "A probe in the air, or in the water of a bath, misses what the eggs feel. A probe buried in medium reads the eggs well, but with an on-off "
        "thermostat it acts so late that the lid cools and drips."
    ),
    remedy="Put the probe in a lidded probe box, touching the damp medium, and fix it there.",
    sources=("practice", "judgement"),
    about=PLAN,
    levers=("control.probe.sits_in",),
    good="heat: {place: lid}\ncontrol: {thermostat: pulse, probe: {sits_in: probe box medium, fixed: yes}}",
    bad="control: {thermostat: pulse, probe: {sits_in: outside the box, fixed: yes}}",
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """The place first, then whether the probe can slip out of it."""
    control = case.plan.control
    probe = control.probe
    if control.thermostat == "none":
        return
    if probe.sits_in is None:
        yield NotJudged(("control.probe.sits_in",))
    elif probe.sits_in in ("outside the box", "on heater"):
        yield _wrong_place(case)
    elif probe.sits_in == "air":
        yield NotJudged(("control.thermostat",)) if control.thermostat is None else _in_air(case)
    elif probe.sits_in == "water":
        yield _in_water(case)
    else:
        yield from _in_medium(case)
    if probe.sits_in == "outside the box":
        return
    if probe.fixed is None:
        yield NotJudged(("control.probe.fixed",))
    elif not probe.fixed:
        yield Finding(
            FIX,
            "The probe is not fixed. Once it slips out of the box it reads the room, and the heater stays on.",
            "control.probe.fixed",
            subject="the probe's lead",  # another matter than its place, and put right by itself
            levers=("control.probe.fixed",),
        )


def _wrong_place(case: Case) -> Finding:
    set_to, show = case.plan.control.set_to, case.show
    target = show.temperature(set_to) if set_to is not None else "the set point"
    if case.plan.control.probe.sits_in == "outside the box":
        message = (
            f"The probe reads the room: the heater stays on at full power until the room itself has {target}."
        )
        return Finding(STOP, message, "control.probe.sits_in")
    return Finding(
        FIX,
        f"The thermostat holds the heater at {target}, not the eggs: in a usual box the heater has to be "
        f"{show.step_range(*HEATER_WARMER)} warmer than the eggs.",
        "control.probe.sits_in",
    )


def _trim(case: Case) -> str:
    set_to = case.plan.control.set_to
    reads = case.show.temperature(set_to) if set_to is not None else "right"
    return f"Put a thermometer in the medium, and change the set point bit by bit until that thermometer reads {reads}."


def _in_water(case: Case) -> Finding | NotJudged:
    """The water of a bath is steady, but the eggs over it are cooler by what the bath gives off."""
    source = case.plan.heat.source
    if source is None:
        return NotJudged(("heat.source",))
    if source != "water bath":
        return Finding(
            FIX,
            f"The probe sits in water, but the heat comes from a {source}: nobody can say how warm the eggs are then.",
            "control.probe.sits_in",
        )
    medium = _medium(case)
    off = "how much cooler the eggs lie over it could not be computed"
    if medium is not None:
        off = f"the medium of the egg boxes over it is then at {case.show.figure(medium)}"
    return Finding(
        WATCH,
        f"The probe reads the water of the bath, and {off}.",
        "control.probe.sits_in",
        "Until then put a thermometer in the medium and go by that: set the water as much warmer as the eggs need it.",
        figures=() if medium is None else (("medium_temperature", medium),),
    )


def _medium(case: Case) -> Figure | None:
    """The medium that is furthest from the set point, of the boxes with eggs; None without a forecast."""
    set_to = case.plan.control.set_to
    boxes = zip(case.plan.egg_boxes, case.forecast.egg_boxes, strict=True)
    found = [forecast.heat.medium_temperature for box, forecast in boxes if box.holds != "probe"]
    media = [medium for medium in found if isinstance(medium, Figure)]
    return max(media, key=lambda one: abs(one.value - set_to), default=None) if set_to is not None else None


def _in_air(case: Case) -> Finding:
    """Air is the better place for an on-off thermostat (a dry lid), the worse one for the others."""
    show, trim, medium, set_to = case.show, _trim(case), _medium(case), case.plan.control.set_to
    off = f"the medium can settle up to about {show.step(AIR_OFF)} away from it"
    if medium is not None and set_to is not None and abs(medium.value - set_to) > AIR_OFF:
        off = f"the medium of the egg boxes is then at {show.figure(medium)}"
    if case.plan.control.thermostat == "on-off":
        return Finding(
            NOTE,
            f"With an on-off thermostat a probe in the air keeps the lid dry, but it reads the air, and {off}.",
            "control.probe.sits_in",
            trim,
        )
    return Finding(
        WATCH,
        f"The probe reads the air, and {off}. It also reacts to every opening of the lid.",
        "control.probe.sits_in",
        "Until then put a thermometer in the medium, and go by that.",
    )


def _in_medium(case: Case) -> Iterator[Finding | NotJudged]:
    """A buried probe is common practice; with on-off control and heat from the lid it lets the lid cool and drip."""
    control, place, show = case.plan.control, case.plan.heat.place, case.show
    if control.thermostat not in ("on-off", None) or place not in ("lid", None) or not case.plan.has_lids:
        return
    missing = case.missing(("control.thermostat", "heat.place"))
    if missing:
        yield NotJudged(missing)
        return
    yield Finding(
        WATCH,
        "A probe in the medium is common practice, but this thermostat is on-off. In computed boxes of many kinds the "
        f"egg-box lids are then colder than the medium for {show.percent_range(*LID_COLDER_SHARE)} of the time, at worst by "
        f"{show.step_range(*LID_COLDER_BY)}, and can drip.",
        "control.probe.sits_in",
        evidence="common practice, computed",
        levers=("control.thermostat", "control.probe.sits_in"),
    )
