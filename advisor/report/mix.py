"""The answer of `advisor mix`: what to measure out, how wet it is, the other ratio, and how we know."""

from collections.abc import Iterator

from advisor.model.figures import Figure, Unknown
from advisor.model.water_answers import MixAnswer
from advisor.report.json_report import results
from advisor.report.screen import WIDTH, Line, row, wrapped
from advisor.show import Show, counted
from advisor.units import number

NAME_WIDTH = 20
MEASURES = {"volume": "by volume", "mass": "by mass"}
PLAIN = {
    "dry": "Dry. Soft-shelled eggs take up little from it.",
    "rather dry": "Rather dry for soft-shelled eggs. Many rigid-shelled eggs do well in it.",
    "usual": "Usual for soft-shelled eggs.",
    "wet": "Wet but usable, as long as no water stands at the bottom. Too wet for most rigid-shelled eggs.",
    "more water than it holds": "Too wet: water stands at the bottom.",
}


def mix_lines(answer: MixAnswer, show: Show, width: int = WIDTH) -> Iterator[Line]:
    """The answer as lines for the screen."""
    medium, water = answer.parts
    yield Line(
        f"{counted(medium, 'part')} of {answer.medium} to {number(water)} of water, {MEASURES[answer.by]}",
        "head",
    )
    yield Line("")
    rows = [
        ("Dry medium", f"{show.figure(answer.medium_volume)}, {show.figure(answer.medium_mass)}"),
        ("Water", f"{show.figure(answer.water_volume)}, {show.figure(answer.water)}"),
    ]
    if show.us:
        rows.append(("In the kitchen", f"{show.spoons(answer.medium_volume.value)} of medium"))
        rows.append(("", f"{show.spoons(answer.water_volume.value)} of water"))
    rows += [
        ("Water content", f"{show.figure(answer.water_content)}: grams of water to each gram of dry medium"),
        ("Water potential", _potential(answer, show)),
        ("The same by volume" if answer.by == "mass" else "The same by mass", _other_ratio(answer)),
        ("Free water", _free_water(answer, show)),
    ]
    for name, value in rows:
        yield from row(name, value, NAME_WIDTH, width)
    yield Line("")
    for text in _in_words(answer):
        yield from wrapped(text, width, "", 0)
    for text in _sources(answer):
        yield from wrapped(text, width, "quiet", 0)


def _in_words(answer: MixAnswer) -> Iterator[str]:
    if answer.wetness is not None:
        low, typical, high = answer.wetness
        yield PLAIN[typical] + (f" By its likely range: {low} to {high}." if low != high else "")
    elif isinstance(answer.free_water, Figure) and answer.free_water.low > 0:
        yield PLAIN["more water than it holds"]
    if answer.water_content.matters_most or answer.water.matters_most:
        yield (
            "What matters most is the density of your medium: weigh one litre of it, dry, and give it with --litre-mass."
        )


def _sources(answer: MixAnswer) -> Iterator[str]:
    yield f"Density and what it holds: {answer.source}."
    if isinstance(answer.water_potential, Figure) and answer.medium.startswith("vermiculite"):
        yield f"Water potential: {answer.water_potential.basis} (Bell et al. 2025)."
    if answer.wetness is not None:
        yield "Dry, usual and wet: this project's judgement; laboratories and keepers mostly use 0.6 to 2 g/g."


def mix_data(answer: MixAnswer) -> dict[str, object]:
    """The answer as plain data for JSON."""
    return {
        "format": 1,
        "medium": answer.medium,
        "parts": {"medium": answer.parts[0], "water": answer.parts[1], "by": answer.by},
        **results(
            {
                "medium_volume": answer.medium_volume,
                "medium_mass": answer.medium_mass,
                "water": answer.water,
                "water_volume": answer.water_volume,
                "water_content": answer.water_content,
                "water_potential": answer.water_potential,
                "free_water": answer.free_water,
                "medium_parts_by_volume": answer.by_volume,
                "medium_parts_by_mass": answer.by_mass,
            }
        ),
        "wetness": list(answer.wetness) if answer.wetness else None,
        "source": answer.source,
        "known": answer.known,
    }


def _other_ratio(answer: MixAnswer) -> str:
    parts = answer.by_volume if answer.by == "mass" else answer.by_mass
    value, low, high = (number(end, 2) for end in (parts.value, parts.low, parts.high))
    spread = f" ({low} to {high})" if low != high else ""
    if parts.value >= 1:
        return f"about {value} parts of medium to 1 of water{spread}"
    wet, least, most = (number(1 / end, 2) for end in (parts.value, parts.high, parts.low))
    spread = f" ({least} to {most})" if least != most else ""
    return f"about 1 part of medium to {wet} of water{spread}"


def _potential(answer: MixAnswer, show: Show) -> str:
    if isinstance(answer.water_potential, Unknown):
        return f"not known: {answer.water_potential.reason}"
    driest = answer.driest_potential
    lonely = f"; one laboratory's curve says {number(driest / 1000, 2)} kPa" if driest else ""
    return show.figure(answer.water_potential) + lonely


def _free_water(answer: MixAnswer, show: Show) -> str:
    free = answer.free_water
    if isinstance(free, Unknown):
        return f"not known: {free.reason}"
    if free.high <= 0:
        return "none"
    if free.value <= 0:
        return f"likely none; up to {show.mass(free.high)} where the medium holds little"
    return show.figure(free)
