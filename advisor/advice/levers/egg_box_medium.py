"""Levers of what is in an egg box: medium, mix, depth, and the water that is added."""

import math
from collections.abc import Iterable, Iterator
from typing import Any

from advisor.advice.levers.egg_box_kits import clutches_of, kit_for, like, named
from advisor.advice.levers.lever import Ladder, Lever, change, ladder, one_of
from advisor.advice.written import Written
from advisor.constants import DAY
from advisor.forecast.egg_box.medium import Mixed, mixed
from advisor.model.changes import PURCHASE, Change
from advisor.model.plan import Medium, Mix
from advisor.model.species import Species
from advisor.rules.engine import Case
from advisor.rules.shared import HEAD_ROOM, drunk_by_eggs, far_wetter, growth_of, used_mixes
from advisor.show import counted
from advisor.units import INCH, number

# What a keeper measures: parts of medium to one of water by volume, water to each gram of dry medium by mass; judgement.
BY_VOLUME = (20, 15, 12, 10, 8, 7, 6, 5, 4.5, 4, 3.5, 3, 2.5, 2, 1.5, 1)
BY_MASS = (0.1, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 1, 1.2, 1.4, 1.7, 2, 2.5, 3, 4)
USUAL = Mix(4, 1, "volume")  # common practice, no source
BARELY_DAMP = Mix(2, 1, "mass")  # for rigid eggs; judgement
DEPTHS = {
    "metric": tuple(cm / 100 for cm in (4, 5, 6, 7, 8, 10, 12)),
    "us": tuple(inches * INCH for inches in (1.5, 2, 2.5, 3, 3.5, 4, 5)),
}  # m
GROWTHS = (0.5, 0.75, 1.0, 1.25, 1.5, 2.0, 2.5, 3.0, 4.0)  # times what the eggs drink as planned
LEAST_GROWTH = 1e-3  # kg that a scale shows
TOP_UPS = (28, 21, 14, 10, 7, 5, 3, 2, 1)  # days
MEDIUM, GRADE = "vermiculite", "medium"
ROUNDING = 1e-9  # m


def usual_mixes(species: Iterable[Species]) -> list[Mix]:
    """The mixes that the profiles name, none far wetter than the others before those, by volume first; else the usual one."""
    found = list(species)
    own = dict.fromkeys(
        (used.mix.medium, used.mix.water, used.mix.by) for one in found for used in one.medium.mixes
    )
    rigid = bool(found) and all(one.eggs.shell == "rigid" for one in found)
    mixes = sorted(
        (Mix(*parts) for parts in own),
        key=lambda mix: (any(_far_wetter(mix, one) for one in found), mix.by != "volume"),
    )
    return mixes or [BARELY_DAMP if rigid else USUAL]


def _far_wetter(mix: Mix, species: Species) -> bool:
    medium = Medium(MEDIUM, GRADE, mix=mix)
    used, mixture = used_mixes(species, medium), mixed(medium, "")
    return bool(used) and isinstance(mixture, Mixed) and far_wetter(mixture.water_content.typical, used)


def written_mix(mix: Mix) -> dict[str, Any]:
    """The mix as a plan holds it."""
    return {"medium": _whole(mix.medium), "water": _whole(mix.water), "by": mix.by}


def _whole(parts: float) -> float | int:
    return int(parts) if parts == int(parts) else round(parts, 4)


def _mix(case: Case) -> Iterator[Ladder]:
    """The species' own mixes, the nearest in the planned way of measuring first; then wetter and drier ones in that way."""
    now = case.box.medium.mix
    own = usual_mixes(case.situation.species[clutch.species] for clutch in clutches_of(case))
    if now is None:
        model = like(case)
        own = [model.medium.mix] if model is not None and model.medium.mix is not None else own
        yield from ladder(_mixed(case, mix) for mix in own)
        return
    by = now.by
    wetness = now.water / now.medium
    own.sort(key=lambda mix: (mix.by != by, abs(mix.water / mix.medium - wetness)))
    same_way = (mix.water / mix.medium for mix in own if mix.by == by)
    yield from ladder(_mixed(case, mix) for mix in own if mix != now)
    steps = (
        [Mix(parts, 1, by) for parts in BY_VOLUME]
        if by == "volume"
        else [Mix(1, water, by) for water in BY_MASS]
    )
    steps.append(Mix(1, 0, by))
    told = {round(wetness, 4), *(round(content, 4) for content in same_way)}
    steps = [mix for mix in steps if round(mix.water / mix.medium, 4) not in told]
    wetter = [mix for mix in steps if mix.water / mix.medium > wetness]
    drier = [mix for mix in steps if mix.water / mix.medium < wetness]
    drier.sort(key=lambda mix: -mix.water / mix.medium)
    for mixes in (wetter, drier):
        yield from ladder((_mixed(case, mix) for mix in mixes), steady=True)


def _mixed(case: Case, mix: Mix) -> Change:
    return change(case, _mix_words(case, mix), box__medium__mix=written_mix(mix))


def _mix_words(case: Case, mix: Mix) -> str:
    material, box = case.box.medium.called or MEDIUM, named(case)
    if not mix.water:
        return f"Use the {material} dry in {box}."
    if mix.by == "volume":
        parts, water = number(mix.medium, 3), number(mix.water, 3)
        return f"Mix {parts} parts of dry {material} with {water} part{'' if mix.water == 1 else 's'} of water by volume for {box}."
    times = mix.water / mix.medium
    weight = "its own weight" if times == 1 else f"{number(times, 2)} times its weight"
    return f"Mix dry {material} with {weight} of water for {box}."


def _depth(case: Case) -> Iterator[Ladder]:
    """Deeper medium, as far as air stays above it; the usual depth for these eggs where none is told."""
    medium, inside, units = case.box.medium, case.box.inside, case.plan.units
    most = math.inf if inside is None else inside.height - HEAD_ROOM
    least = 0.0
    if medium.depth is None:
        model = like(case)
        wanted = (model.medium.depth if model is not None else None) or kit_for(
            case, clutches_of(case)
        ).depth[units]
        least = min(wanted, most)
    steps = [least] if medium.depth is None else []
    steps += [step for step in DEPTHS[units] if (medium.depth or least) + ROUNDING < step <= most + ROUNDING]
    texts, words = [Written(units).length(step) for step in steps], f"of medium into {named(case)}"
    yield from ladder(
        (change(case, f"Fill {text} {words}.", box__medium__depth=text) for text in texts), steady=True
    )


def _material(case: Case) -> Iterator[Ladder]:
    """Vermiculite; where nothing lies in the box with depth and mix, and the eggs in it."""
    medium, box = case.box.medium, named(case)
    if medium.material == MEDIUM and medium.mixed_with is None:
        return
    entries: dict[str, Any] = {"box__medium__material": MEDIUM}
    if medium.mixed_with is not None:
        entries["box__medium__mixed_with"] = None
    if medium.material is not None:
        mix = usual_mixes(case.situation.species[clutch.species] for clutch in clutches_of(case))[0]
        entries |= {"box__medium__grade": GRADE, "box__medium__mix": written_mix(mix)}
    if medium.material == "none" and medium.depth is None:
        depths = list(_depth(case))
        if not depths:
            return
        entries["box__medium__depth"] = depths[0].changes[0].settings[0].value
    yield from one_of(change(case, f"Use damp {MEDIUM} in {box}.", PURCHASE, **entries))


def _grade(case: Case) -> Iterator[Ladder]:
    medium = case.box.medium
    parts = (medium.material, medium.mixed_with.material if medium.mixed_with else None)
    if medium.grade is None and (medium.material is None or MEDIUM in parts):  # no other medium has grades
        words = f"Use {MEDIUM} of medium grain in {named(case)}."
        yield from one_of(change(case, words, PURCHASE, box__medium__grade=GRADE))


def _top_up(case: Case) -> Iterator[Ladder]:
    """By weight at the checks first; then at fixed days, the rarest first."""
    box, top_up = named(case), case.box.top_up
    if top_up is None or top_up.way != "by weight":
        words = f"Weigh {box} when you set it up, and bring it back to that weight with water at each check."
        yield from one_of(change(case, words, box__top_up="by weight"))
    yield from _growth(case, box)
    now = top_up.every / DAY if top_up is not None and top_up.every is not None else math.inf
    oftener = (
        change(
            case,
            f"Add to {box} {f'every {days} days' if days > 1 else 'each day'} the water that it lost and that the eggs drank.",
            box__top_up={"every": counted(days, "day")},
        )
        for days in TOP_UPS
        if days < now
    )
    yield from ladder(oftener, steady=True)


def _growth(case: Case, box: str) -> Iterator[Ladder]:
    """A box that grows by what its eggs drink, or by more, since in wetter medium they drink more; then by less."""
    drunk, planned, write = drunk_by_eggs(case), growth_of(case.box), Written(case.plan.units)
    if drunk is None or drunk <= LEAST_GROWTH:
        return
    sizes = [drunk * times for times in GROWTHS]

    def grown(gain: float) -> Change:
        words = f"Weigh {box} at each check, and add water so that it has grown by {write.mass(gain)} until hatching."
        return change(case, words, box__top_up={"to": f"+{write.mass(gain)}"})

    yield from ladder((grown(gain) for gain in sizes if gain > planned * 1.02), steady=True)
    yield from ladder((grown(gain) for gain in reversed(sizes) if gain < planned * 0.98), steady=True)


def _dry_late(case: Case) -> Iterator[Ladder]:
    if case.box.dry_late is not False:
        words = f"Keep {named(case)} as moist as before until hatching."
        yield from one_of(change(case, words, box__dry_late="no"))


LEVERS = (
    Lever("egg_boxes[].medium.material", _material, "it holds water evenly and does not rot"),
    Lever("egg_boxes[].medium.grade", _grade, "it drains well and holds enough"),
    Lever("egg_boxes[].medium.depth", _depth, "it holds the water of the whole incubation"),
    Lever("egg_boxes[].medium.mix", _mix, "as it is used for these eggs"),
    Lever("egg_boxes[].top_up", _top_up, "what the scale shows is lost water"),
    Lever("egg_boxes[].dry_late", _dry_late, "eggs want their moisture until they hatch"),
)
