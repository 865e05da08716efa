"""A keeper's own questions about water, from the words to the answer: one mix, one box that was weighed."""

import re
from collections.abc import Mapping

from advisor.forecast.edge import in_range
from advisor.forecast.egg_box.mix import mix_answer
from advisor.forecast.egg_box.weighing import forecast_weighing
from advisor.model.figures import Unknown
from advisor.model.plan import Medium, Mix, Plan
from advisor.model.species import Species
from advisor.model.water_answers import MixAnswer, Weighed, WeighingAnswer
from advisor.reading.quantities import Kind, Refusal, read_quantity

RATIO = re.compile(r"^\s*(\d+(?:\.\d+)?)\s*(?::|to)\s*(\d+(?:\.\d+)?)\s*$")


def mix_told(
    ratio: str, by: str, amount: str | None, material: str, grade: str, litre_mass: str | None, us: bool
) -> MixAnswer | Unknown:
    """What a mix needs and how wet it is; raises `Refusal` that begins with the name of what is not understood.

    amount: a volume or a mass of dry medium, one litre or one quart if None.
    """
    kind, size = _amount(amount if amount is not None else "1 quart" if us else "1 litre")
    own = _quantity("litre-mass", litre_mass, "mass", "5 g", "2.5 kg") if litre_mass is not None else None
    words = Medium(material, grade, own, None, _mix(ratio, by))
    return in_range(
        lambda: mix_answer(words, size if kind == "volume" else None, size if kind == "mass" else None)
    )


def weighing_told(
    plan: Plan,
    species: Mapping[str, Species],
    box: str,
    day: int,
    masses: Mapping[str, str | None],
    eggs: int | None,
) -> WeighingAnswer | Unknown:
    """What a weighed box tells; raises `Refusal` that begins with the name of what is not understood.

    masses: mass, tare, start-mass, added, egg-mass-now and scale-step as people write them; None: not told.
    """
    names = [egg_box.name for egg_box in plan.egg_boxes]
    if box not in names:
        known = ", ".join(names) or "none"
        raise Refusal(f"box: there is no egg box '{box[:60]}'", f"Boxes in this plan: {known}.")

    def mass(name: str, least: str, most: str) -> float | None:
        text = masses[name]
        return None if text is None else _quantity(name, text, "mass", least, most)

    weighed = Weighed(
        day=day,
        mass=_quantity("mass", masses["mass"] or "", "mass", "1 g", "100 kg"),
        tare=_quantity("tare", masses["tare"] or "0 g", "mass", "0 g", "20 kg"),
        start_mass=mass("start-mass", "1 g", "100 kg"),
        added=mass("added", "0 g", "10 kg"),
        egg_mass=mass("egg-mass-now", "10 mg", "1 kg"),
        scale_step=_quantity("scale-step", masses["scale-step"] or "1 g", "mass", "0 g", "100 g"),
    )
    return in_range(lambda: forecast_weighing(plan, species, names.index(box), weighed, eggs))


def _mix(ratio: str, by: str) -> Mix:
    found = RATIO.match(ratio)
    if not found or not float(found[1]) or not float(found[2]):
        raise Refusal(
            f"ratio: '{ratio[:60]}' is no ratio", "Write parts of medium to parts of water, for example 4:1."
        )
    return Mix(float(found[1]), float(found[2]), "mass" if by == "weight" else by)


def _amount(text: str) -> tuple[str, float]:
    """Whether an amount is a volume or a mass, and its SI number."""
    try:
        return "mass", read_quantity(text, Kind("mass", least="1 g", most="1000 kg", example="250 g"))[0]
    except Refusal:
        return "volume", _quantity("medium-amount", text, "volume", "1 ml", "1000 l")


def _quantity(name: str, text: str, kind: str, least: str, most: str) -> float:
    """The SI number of a text."""
    example = "80 g" if kind == "mass" else "3 litres"
    try:
        return read_quantity(text, Kind(kind, least=least, most=most, example=example))[0]
    except Refusal as refusal:
        raise Refusal(f"{name}: {refusal.message}", refusal.hint) from None
