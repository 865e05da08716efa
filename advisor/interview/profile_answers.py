"""Typed answers about a species as entries of its profile; every figure ends with its source in square brackets."""

import re
from typing import Any

from advisor.interview.answered_sources import answer_parts
from advisor.interview.questions import NUMBER, chosen, mix_of, part_of
from advisor.reading.marks import path_key
from advisor.reading.quantities import Refusal
from advisor.reading.schema import entry_at


def words_of(path: str) -> tuple[str, ...]:
    """The words that an entry takes."""
    return tuple(word for word in entry_at("species", path_key(path))["enum"] if word != "unknown")


def caution_words() -> tuple[str, ...]:
    """The kinds of caution."""
    return tuple(entry_at("species", path_key("cautions[0].word"))["enum"])


def both_ends(text: str) -> tuple[str, str]:
    """Both ends of "27 to 29 °C", each with its unit; the same twice for one value."""
    found = re.fullmatch(r"(-?[\d.]+) ?(\D*?) ?(?:to|-|–) ?(-?[\d.]+) ?(\D*)", text)
    if not found:
        return text, text
    return f"{found[1]} {found[2] or found[4]}".strip(), f"{found[3]} {found[4]}".strip()


def sourced(text: str, example: str) -> tuple[str, list[str]]:
    """An answer without its source, and the keys of the source; raises `Refusal` when there is none."""
    found = re.fullmatch(r"(.*?)\s*\[([^\[\]]*)\]\.?", text)
    keys = listed(found[2]) if found else []
    if found is None or not keys:
        raise Refusal(
            "the source is missing",
            f"Write it like this: {example}. `practice` is what keepers do; other keys stand in species/sources.yaml.",
        )
    return found[1], keys


def listed(text: str) -> list[str]:
    """The parts of an answer that commas part."""
    return [part.strip() for part in text.split(",") if part.strip()]


def harmful(text: str) -> dict[str, Any]:
    """Limits on one side or both."""
    example = "below 21 °C, above 33 °C [practice]"
    value, sources = sourced(text, example)
    sides: dict[str, Any] = {}
    for part in listed(value):
        side, _, limit = part.partition(" ")
        if side.lower() not in ("below", "above") or not limit:
            raise Refusal(f"'{part}' says neither below nor above", f"Write it like this: {example}.")
        sides[side.lower()] = limit
    return {"temperature.harmful": {**sides, "sources": sources}}


def duration(text: str) -> dict[str, Any]:
    """One temperature with its days."""
    example = "28 °C: 57 to 65 days, 40 eggs [practice]"
    value, sources = sourced(text, example)
    found = re.fullmatch(r"([^:]+): ?([^,]+?)(?: days?)?(?:, ?(\d+) eggs?)?", value)
    if not found:
        raise Refusal(f"'{value}' is not a temperature with its days", f"Write it like this: {example}.")
    eggs = {"eggs": int(found[3])} if found[3] else {}
    return {"at": found[1].strip(), "days": _number(found[2]), **eggs, "sources": sources}


def _number(text: str) -> Any:
    """A bare number as a number, all else (a range, a fault to be told) as text."""
    return part_of(text) if re.fullmatch(NUMBER, text) else text


def pause(text: str) -> dict[str, Any]:
    """The rest of the embryo."""
    if text.lower() in ("none", "no"):
        return {"pause": "none"}
    example = "50 to 80 days, ended by warming [practice]"
    value, sources = sourced(text, example)
    found = re.fullmatch(r"(.+?)(?: days)?, ?ended by (.+)", value)
    if not found:
        raise Refusal(
            f"'{value}' does not say how long the rest is and what ends it",
            f"Write none alone, or {example}.",
        )
    ended_by = chosen(found[2], tuple(entry_at("species", path_key("pause.ended_by"))["enum"]))
    return {"pause": {"days": _number(found[1]), "ended_by": ended_by, "sources": sources}}


def set_by(text: str) -> dict[str, Any]:
    """What sets the sex."""
    value, sources = sourced(text, "temperature [practice]")
    return {"sex.set_by": chosen(value, words_of("sex.set_by")), "sex.sources": sources}


def observed(text: str) -> dict[str, Any]:
    """Males counted at one temperature."""
    example = "26 °C: 3 of 40 [practice]"
    value, sources = sourced(text, example)
    found = re.fullmatch(r"([^:]+): ?(\d+) (?:males? )?of (\d+)", value)
    if not found or not int(found[3]):
        raise Refusal(
            f"'{value}' is not a temperature with a count of males", f"Write it like this: {example}."
        )
    males, eggs = int(found[2]), int(found[3])
    if males > eggs:
        raise Refusal(
            f"{males} males of {eggs} young is too many", "Males first, then all young that were sexed."
        )
    return {
        "at": found[1].strip(),
        "male_share": _number(f"{males / eggs:.4f}"),
        "eggs": eggs,
        "sources": sources,
    }


def shell(text: str) -> dict[str, Any]:
    """The kind of shell."""
    value, sources = sourced(text, "parchment [practice]")
    return {"eggs.shell": chosen(value, words_of("eggs.shell")), "eggs.sources": sources}


def mix(text: str) -> dict[str, Any]:
    """One mix of medium and water."""
    value, sources = sourced(text, "4 to 1 by volume [practice]")
    return {**mix_of(value), "sources": sources}


def water(text: str) -> dict[str, Any]:
    """Water in the medium."""
    value, sources = sourced(text, "0.6 to 3.8 g/g [judgement]")
    return {"medium.water": {"range": value, "sources": sources}}


def cool_period(text: str) -> dict[str, Any]:
    """The cool period."""
    if text.lower() in ("none", "no"):
        return {"cool_period": "none"}
    example = "16 to 20 °C for 45 to 60 days, after four weeks of warmth [practice]"
    value, sources = sourced(text, example)
    found = re.fullmatch(r"(.+?) for (.+?)(?: days)?, ?(.+)", value)
    if not found:
        raise Refusal(
            f"'{value}' does not say how cold, how long and when", f"Write none alone, or {example}."
        )
    return {"cool_period": {"at": found[1], "days": _number(found[2]), "when": found[3], "sources": sources}}


def laying(text: str) -> dict[str, Any]:
    """Days from the shed to laying."""
    value, sources = sourced(text, "7 to 14 days [practice]")
    return {"laying.shed_to_laying": value, "laying.sources": sources}


def next_clutch(text: str) -> dict[str, Any]:
    """Days from one laying to the next."""
    value, sources = sourced(text, "45 to 70 days [practice]")
    days = re.sub(r" days?$", "", value)
    return {"laying.next_clutch": {"days": _number(days), "sources": sources}}


def climate(text: str) -> dict[str, Any]:
    """Where the species nests."""
    value, sources = sourced(text, "temperate [judgement]")
    return {"climate": {"kind": chosen(value, words_of("climate.kind")), "sources": sources}}


def cautions(text: str) -> dict[str, Any]:
    """Words of caution, each with its sentence."""
    if text.lower() in ("none", "no"):
        return {"cautions": []}
    cautions = []
    for part in answer_parts(text):
        word, colon, because = part.partition(":")
        if not colon:
            raise Refusal(
                f"'{part}' has no sentence", "Write the word, a colon and one sentence that says why."
            )
        cautions.append({"word": chosen(word.strip(), caution_words()), "because": because.strip()})
    return {"cautions": cautions}
