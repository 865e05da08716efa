"""The water in the mix against the length of the incubation."""

from collections.abc import Iterator

from advisor.constants import DAY
from advisor.forecast.egg_box.eggs import OUT_OF_THE_MEDIUM
from advisor.model.figures import Figure, Unknown
from advisor.model.findings import FIX, STOP, WATCH, Finding
from advisor.model.species import Species
from advisor.rules.engine import CLUTCH, Case, Lacking, Rule
from advisor.rules.shared import DEADLY_DRY, drunk_by_eggs, growth_of, what_matters

GONE = 0.005  # kg/kg, told as 0

RULE = Rule(
    id="moisture-mix-too-short",
    title="The water in the mix does not last until hatching",
    explanation=(
        "The medium loses water through the lid, and soft-shelled eggs drink from it. A mix that begins well is then too "
        "dry in the last two thirds, when the embryo cannot do without. The eggs sink in, and the young hatch small or die "
        "late, after months of care. What the eggs drink does not show on the scale, since it stays in the box."
    ),
    remedy="Plan top-ups: weigh the box when you set it up, and add water at the checks.",
    sources=("practice", "gutzke-1986", "bell-2025"),
    about=CLUTCH,
    needs=("box.medium",),
    implied_by=("moisture-mix-too-dry",),
    levers=("box.top_up", "box.medium.depth", "box.medium.mix", "box.count"),
    good="""\
room: {temperature: 20 °C, humidity: 50 %}
control: {set_to: 28 °C}
egg_boxes:
  - {name: eggs, count: 1, inside: 20 x 14 x 9 cm, lid: {fit: clip, thickness: 1 mm, holes: {count: 5, diameter: 2 mm}},
     medium: {material: vermiculite, grade: medium, depth: 5 cm, mix: {medium: 4, water: 1, by: volume}}, top_up: none}
clutches: [{species: pantherophis-guttatus, eggs: 14, egg_mass: 11 g, box: eggs}]""",
    bad="""\
room: {temperature: 20 °C, humidity: 50 %}
control: {set_to: 28 °C}
egg_boxes:
  - {name: eggs, count: 1, inside: 20 x 14 x 9 cm, lid: {fit: clip, thickness: 1 mm, holes: {count: 5, diameter: 2 mm}},
     medium: {material: vermiculite, grade: medium, depth: 5 cm, mix: {medium: 8, water: 1, by: volume}}, top_up: none}
clutches: [{species: chamaeleo-calyptratus, eggs: 35, egg_mass: 1.4 g, box: eggs}]""",
)


def check(case: Case) -> Iterator[Finding]:
    """Water at hatching, or at the first planned top-up, against the driest that suits. Told once for each kind of box."""
    if case.box.medium.material == "none" or case.clutches_in_box[0][0] is not case.clutch:
        return
    found, top_up, days = case.box_forecast.water, case.box.top_up, case.clutch_forecast.incubation_days
    end, lasts, kept = found.water_at_hatching, found.lasts_until_day, found.water_if_kept_at_weight
    if isinstance(end, Unknown) or isinstance(lasts, Unknown) or isinstance(kept, Unknown):
        if isinstance(gone := _all_gone(case), Finding):
            yield gone
            return
        raise Lacking(*case.missing(("box_forecast.water.lasts_until_day",)))
    assert isinstance(days, Figure)  # the forecast of the water rests on it
    limit, species = _driest(case)
    if _dry_from_the_start(case, limit):
        return
    if top_up is not None and top_up.way in ("by weight", "to"):
        yield from _kept_at_weight(case, kept, limit, species)
        return
    every = top_up.every / DAY if top_up is not None and top_up.every is not None else None
    short, perhaps, first = end.value < limit, end.low < limit, "no top-up is planned"
    if every is not None:
        first = f"the first top-up comes after {case.show.days(every)}"
        if every < days.low:
            short, perhaps = every > lasts.value, every > lasts.low
        else:
            first += ", when the first young may be out"
    if not perhaps:
        return
    if top_up is None:
        raise Lacking("box.top_up")
    day = case.show.figure(lasts)
    yield Finding(
        _severity(short, end, species),
        f"Without top-ups the mix ends with {_content(case, end)} of water; "
        f"{species.name} needs at least {case.show.water_content(limit)}. "
        + (f"It is that dry in {day}" if short else f"It may be that dry from day {lasts.low:.0f} on")
        + f", and {first}.",
        "box.medium.mix",
        what_matters(lasts if short else end).strip(),
        figures=(("water_at_hatching", end), ("lasts_until_day", lasts)),
        subject=case.box_subject,
    )


def _all_gone(case: Case) -> Finding | None:
    """No water left at hatching is too dry in any medium, though nobody knows how dry of one without a curve is."""
    found, top_up = case.box_forecast.water, case.box.top_up
    if top_up is None or top_up.way == "every":
        return None
    left = found.water_at_hatching if top_up.way == "none" else found.water_if_kept_at_weight
    if not isinstance(left, Figure) or left.value >= GONE:
        return None
    way = "Without top-ups" if top_up.way == "none" else "Kept as planned"
    return Finding(
        _severity(left.high < GONE, left, case.species),
        f"{way} the medium ends with {_content(case, left)} of water: all of it is used up before hatching.",
        "box.medium.mix" if top_up.way == "none" else "box.top_up",
        what_matters(left).strip(),
        figures=(("water_left", left),),
        subject=case.box_subject,
    )


def _driest(case: Case) -> tuple[float, Species]:
    """The driest [kg/kg] that suits every species in the box, and the species that sets it."""
    limits = [
        (species.medium.water.low, species)
        for _, species in case.clutches_in_box
        if species.medium.water is not None
    ]
    return max(limits, key=lambda entry: entry[0])


def _dry_from_the_start(case: Case, limit: float) -> bool:
    """Whether the mix is too dry on the first day for eggs that lie in it: moisture-mix-too-dry tells that."""
    start = case.box_forecast.water.water_per_dry_mass
    return isinstance(start, Figure) and start.value < limit and case.clutch.placed not in OUT_OF_THE_MEDIUM


def _severity(short: bool, end: Figure, species: Species) -> str:
    """Rigid eggs need little water (Dunson 1982, Spotila 1994): for them dry medium is a risk and no more."""
    if not short or species.eggs.shell == "rigid":
        return WATCH
    return STOP if end.value < DEADLY_DRY else FIX


def _content(case: Case, content: Figure) -> str:
    """A forecast water content, no finer than a hundredth."""
    return case.show.about(
        "water content", *(round(end, 2) for end in (content.value, content.low, content.high))
    )


def _kept_at_weight(case: Case, kept: Figure, limit: float, species: Species) -> Iterator[Finding]:
    """A box that is kept at a weight loses what the eggs drink, less what it is to grow by."""
    drinks, growth = drunk_by_eggs(case), growth_of(case.box)
    if kept.low >= limit or drinks is None:
        return
    if drinks <= growth:  # rigid eggs, or eggs off the medium: they take nothing
        return
    weight = f"Grown heavier by {case.show.mass(growth)}" if growth else "Kept at its first weight"
    yield Finding(
        _severity(
            kept.high < limit, kept, species
        ),  # what eggs drink differs a lot: only a certain lack is a fix
        f"{weight} the box still dries, since the eggs drink about {case.show.mass_two_digits(drinks)} and keep it. The "
        f"medium ends with {_content(case, kept)} of water; {species.name} needs at least "
        f"{case.show.water_content(limit)}.",
        "box.top_up",
        what_matters(kept).strip(),
        figures=(("water_if_kept_at_weight", kept),),
        subject=case.box_subject,
    )
