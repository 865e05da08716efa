"""Levers of the thermostat, its probe and its cut-out."""

from collections.abc import Iterator
from typing import Any

from msgspec.structs import replace

from advisor.advice.levers.box_places import described
from advisor.advice.levers.lever import Ladder, Lever, change, ladder, one_of
from advisor.advice.written import Written
from advisor.constants import DAY
from advisor.forecast.clutch.sex_steering import Setting, advised_band, possible_settings, usual_band
from advisor.model.changes import PURCHASE, SETTING, Change
from advisor.model.species import Species
from advisor.rules.engine import Case
from advisor.rules.shared import ADVISED_GAP, LEAST_GAP

MOST = 3.0  # K above the set point up to which a cut-out is sought
BANDS = (1.0, 0.5, 0.3, 0.2)  # K, switching bands that thermostats can be set to; judgement
SUITED = {
    "bulb": ("dimming",),
    "water bath": ("pulse", "on-off"),
}  # thermostats by heater; common practice, no source
FOR_MOST = ("pulse", "dimming")


def _cut_out(case: Case) -> Iterator[Ladder]:
    """The usual step above the set point first, then what lies nearest to it, at last the least step."""
    control, write = case.plan.control, Written(case.plan.units)
    if control.set_to is None:
        return
    usual = control.set_to + sum(ADVISED_GAP) / 2
    least = control.set_to + LEAST_GAP
    steps = sorted(write.settable(least, control.set_to + MOST), key=lambda step: abs(step - usual))
    fitted = control.cut_out is not None and control.cut_out.fitted
    words = "Set the cut-out to" if fitted else "Fit an independent cut-out, set to"
    cost = SETTING if fitted else PURCHASE
    told = [write.temperature(step) for step in dict.fromkeys((*steps, least))]
    yield from ladder(change(case, f"{words} {one}.", cost, control__cut_out__set_to=one) for one in told)


def _set_to(case: Case) -> Iterator[Ladder]:
    """Set points that suit every clutch, nearest to today's first; from outside them, or from none, nearest to the middle."""
    advised = _advised(case)
    if advised is None:
        return
    low, high = advised
    if case.plan.control.programme:
        yield from _programme(case, low, high)
        return
    set_to, middle = case.plan.control.set_to, (low + high) / 2
    start = set_to if set_to is not None and low <= set_to <= high else middle
    steps = _steps(case, low, high)
    steps.sort(key=lambda step: abs(step - start))
    yield from ladder(_set(case, step) for step in steps if step != set_to)


def _steps(case: Case, low: float, high: float) -> list[float]:
    """What a dial can be set to between two temperatures [°C]; where that is nothing, their middle to a tenth."""
    write = Written(case.plan.units)
    return write.settable(low, high) or [write.tenth((low + high) / 2)]


def _programme(case: Case, low: float, high: float) -> Iterator[Ladder]:
    """Set points of a programme inside the advised band [°C], or warmer nights; at last one set point all the time."""
    steps, write = case.plan.control.programme, Written(case.plan.units)
    settable = _steps(case, low, high)
    inside = [min(settable, key=lambda one: abs(one - step.set_to)) for step in steps]
    first = steps[0]
    if first.night is None:
        outside = [place for place, step in enumerate(steps) if not low <= step.set_to <= high]
        if outside:
            told = " and ".join(
                f"step {place + 1} to {write.temperature(inside[place])}" for place in outside
            )
            entries = {f"control__programme__steps[{place}]__set_to": write.temperature(inside[place]) for place in outside}  # fmt: skip
            yield from one_of(_with_cut_out(case, max(inside), f"Set {told}", entries))
    else:
        drop = first.set_to - first.night
        under = drop * first.night_lasts / DAY  # K that the mean of a day lies under its warmest
        days = sorted(write.settable(low + under, high + under), key=lambda day: abs(day - first.set_to))
        moved = [_nights(case, day, day - drop) for day in days if day != first.set_to]
        nights = write.settable(first.night, first.set_to)
        warmer = [
            _nights(case, first.set_to, night) for night in nights if first.night < night < first.set_to
        ]
        cold_or_hot = not low <= first.set_to - under <= high
        yield from one_of(*(moved if cold_or_hot else warmer), *(warmer if cold_or_hot else moved))
    yield from one_of(_set(case, inside[0]))


def _nights(case: Case, day: float, night: float) -> Change:
    write, first = Written(case.plan.units), case.plan.control.programme[0]
    words, entries = "", {}
    for name, now, then in (("day", first.set_to, day), ("night", first.night, night)):
        if now != then:
            words += f"{' and ' if words else 'Set '}the {name} to {write.temperature(then)}"
            entries[f"control__programme__{name}"] = write.temperature(then)
    return _with_cut_out(case, day, words, entries)


def _advised(case: Case) -> tuple[float, float] | None:
    """Lowest and highest set point [°C] in the usual band of every clutch and away from its limits of harm."""
    control = case.plan.control
    bath = control.probe.sits_in == "water"
    bands = [
        _bath_band(case, species, setting) if bath else advised_band(species, setting, case.show.settable)
        for clutch, forecast in zip(case.plan.clutches, case.forecast.clutches, strict=True)
        if usual_band(species := case.situation.species[clutch.species]) is not None
        for _, way in possible_settings(control, forecast.warmth)
        for setting in [(control, way)]
    ]
    known = [band for band in bands if band is not None]
    if not known or len(known) < len(bands):
        return None
    low, high = max(low for low, _ in known), min(high for _, high in known)
    return (low, high) if low <= high else None


def _bath_band(case: Case, species: Species, setting: Setting) -> tuple[float, float] | None:
    """The same for the water of a bath that the probe reads [°C]: the eggs over it have a share of its rise over the room."""
    (control, way), room = setting, case.plan.room.temperature
    level = replace(way, value=0.0, low=way.low - way.value, high=way.high - way.value)
    band = advised_band(species, (control, level), case.show.settable)
    if band is None or room is None or control.set_to is None or control.set_to + way.value <= room.low:
        return None
    share = (control.set_to + way.value - room.low) / (control.set_to - room.low)
    return room.low + (band[0] - room.low) / share, room.low + (band[1] - room.low) / share


def _set(case: Case, set_to: float) -> Change:
    """One set point all the time."""
    write = Written(case.plan.units)
    words = f"Set the thermostat to {write.temperature(set_to)}"
    entries: dict[str, Any] = {"control__set_to": write.temperature(set_to)}
    if case.plan.control.programme:
        words = f"Leave the programme out, and s{words[1:]}"
        entries["control__programme"] = None
    return _with_cut_out(case, set_to, words, entries)


def _with_cut_out(case: Case, warmest: float, words: str, entries: dict[str, Any]) -> Change:
    """The change to a warmest set point [°C], with the cut-out as far above it as it is today."""
    control, write = case.plan.control, Written(case.plan.units)
    if control.cut_out is not None and control.cut_out.set_to is not None and warmest != control.set_to:
        gap = control.cut_out.set_to - control.set_to if control.set_to is not None else 0.0
        wanted = warmest + (gap if LEAST_GAP <= gap <= MOST else ADVISED_GAP[1])
        cut = min(write.settable(warmest + LEAST_GAP, warmest + MOST), key=lambda step: abs(step - wanted))
        entries["control__cut_out__set_to"] = write.temperature(cut)
        words += f" and the cut-out to {write.temperature(cut)}"
    return change(case, f"{words}.", **entries)


def _thermostat(case: Case) -> Iterator[Ladder]:
    """Kinds that suit the heater."""
    control = case.plan.control
    kinds = SUITED.get(case.plan.heat.source or "", FOR_MOST)
    verb = "Add" if control.thermostat == "none" else "Use"
    changes = []
    for kind in kinds:
        entries: dict[str, Any] = {"control__thermostat": kind}
        if control.switching_band is not None and kind != "on-off":
            entries["control__switching_band"] = None
        if kind != control.thermostat:
            article = "an" if kind == "on-off" else "a"
            changes.append(change(case, f"{verb} {article} {kind} thermostat.", PURCHASE, **entries))
    yield from one_of(*changes)


def _switching_band(case: Case) -> Iterator[Ladder]:
    """Narrower bands."""
    now, write = case.plan.control.switching_band, Written(case.plan.units)
    if case.plan.control.thermostat != "on-off":
        return
    told = [write.step(band) for band in BANDS if now is None or band < now - 0.05]
    words = "Set the switching band to"
    yield from ladder(
        (change(case, f"{words} {one}.", control__switching_band=one) for one in told), steady=True
    )


def _sits_in(case: Case) -> Iterator[Ladder]:
    """The probe box, made where the plan has none; the air for an on-off thermostat; at last beside the eggs."""
    control, boxes = case.plan.control, case.plan.egg_boxes
    has_probe_box = any(box.holds == "probe" for box in boxes)
    if boxes and not has_probe_box:
        yield from one_of(_with_probe_box(case))
    words = {
        "probe box medium": "Put the probe into the damp medium of a lidded probe box.",
        "air": "Hang the probe in the air beside the egg boxes, and trim the set point until a thermometer in the "
        "medium reads right.",
        "egg box medium": "Put the probe into the damp medium of an egg box.",
    }
    if boxes and not has_probe_box:
        del words["probe box medium"]
    if control.thermostat != "on-off":
        del words["air"]
    yield from ladder(
        change(case, told, control__probe__sits_in=place)
        for place, told in words.items()
        if place != control.probe.sits_in
    )


def _with_probe_box(case: Case) -> Change:
    boxes = case.plan.egg_boxes
    like = next((box for box in boxes if box.holds == "eggs"), boxes[0])
    name = next(name for name in ("probe", "probe box", "probe 2") if name not in {box.name for box in boxes})
    box: dict[str, Any] = {"name": name, "count": 1, "holds": "probe", "top_up": "by weight"}
    for entry, value in described(case, like).items():
        block, _, rest = entry.partition("__")
        if rest:
            box.setdefault(block, {})[rest] = value
        else:
            box[block] = value
    return change(
        case,
        f"Add one more box like '{like.name}', with the same damp medium and no eggs, and put the probe into its medium.",
        PURCHASE,
        **{f"egg_boxes[{len(boxes)}]": box, "control__probe__sits_in": "probe box medium"},
    )


def _fixed(case: Case) -> Iterator[Ladder]:
    if not case.plan.control.probe.fixed:
        words = "Fix the probe with a tie or tape, so that a tug on the lead does not move it."
        yield from one_of(change(case, words, control__probe__fixed="yes"))


def _checked(case: Case) -> Iterator[Ladder]:
    if case.plan.control.checked_against in ("nothing", None):
        words = "Hold the probe in packed crushed ice with a little water for five minutes: it has to read "
        words += f"{Written(case.plan.units).temperature(0.0)}."
        yield from one_of(change(case, words, control__checked_against="ice point"))


LEVERS = (
    Lever("control.cut_out", _cut_out, "it ends the heat when the thermostat sticks"),
    Lever("control.set_to", _set_to, "the middle of the species' usual band"),
    Lever("control.thermostat", _thermostat, "it suits the heater and holds it steady"),
    Lever("control.switching_band", _switching_band, "the eggs swing less"),
    Lever("control.probe.sits_in", _sits_in, "there the probe feels what the eggs feel"),
    Lever("control.probe.fixed", _fixed, "a probe that slips out keeps the heater on"),
    Lever("control.checked_against", _checked, "a new thermostat can read a degree wrong"),
)
