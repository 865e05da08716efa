"""What the eggs lie in, from one answer: a medium or two of them with their shares, and the mix with water."""

import re
from typing import Any

from msgspec import Struct

from advisor.interview.questions import chosen, mix_of
from advisor.reading.as_written import plain_number
from advisor.reading.marks import path_key
from advisor.reading.quantities import Refusal
from advisor.reading.schema import entry_at
from advisor.reading.schema_check import also_of
from advisor.reading.words import meant

MEDIUM = "egg_boxes[0].medium"
TWO_LIKE = "half vermiculite half perlite, 4 to 1 by volume"
# What an answer says beside the names of the media.
_MIX_WORDS = frozenset(
    re.findall(
        r"\w+",
        "damp moist wet moistened wetted to by volume vol mass weight part parts of water dry medium and mixed with mix in ratio",
    )
)
_SHARE_WORDS = {
    "half": 50.0, "one half": 50.0, "1/2": 50.0, "third": 100 / 3, "1 third": 100 / 3, "1/3": 100 / 3, "2 thirds": 200 / 3,
    "2/3": 200 / 3, "quarter": 25.0, "1 quarter": 25.0, "1/4": 25.0, "3 quarters": 75.0, "3/4": 75.0,
}  # fmt: skip
_SHARE = re.compile(
    rf"\b(?:a )?(?:(?P<percent>\d+(?:\.\d+)?) ?%|(?P<parts>\d+(?:\.\d+)?) parts?\b|(?P<word>{'|'.join(sorted(_SHARE_WORDS, key=len, reverse=True))})\b)"
    r"(?: of)?(?: dry)?\s*$"
)
_HALVES = re.compile(
    r"\b(?:half(?: and |[-/ ]+)half|50 ?%? ?(?:/|:|-|and|to) ?50 ?%?|fifty[- /]fifty|(?:in )?equal parts(?: of)?)\b(?: of)?"
)
_WATER_PART = re.compile(r"(?P<parts>\d+(?:\.\d+)?) parts? (?:of )?water\b")


class _Named(Struct, frozen=True):
    """A medium in a text: where its name stands, the words it may mean."""

    start: int
    end: int
    words: tuple[str, ...]


def medium(text: str) -> dict[str, Any]:
    """The medium and its mix, from "vermiculite, 4 to 1 by volume" or one of the two; raises `Refusal`."""
    form = plain_number(text).lower()
    named = _media_in(form)
    if len({one.words for one in named}) > 1:
        return _two_media(text, form, named)
    form = re.sub(r"\bequal parts\b", "1 to 1", form)
    words = re.findall(r"[^\W\d_]+", form)
    names = [word for word in words if word not in _MIX_WORDS]
    entries: dict[str, Any] = {}
    if names:
        entry = entry_at("plan", path_key(f"{MEDIUM}.material"))
        entries[f"{MEDIUM}.material"] = chosen(" ".join(names), tuple(entry["enum"]), also_of(entry))
    if re.search(r"\d", form) or not names:
        _refuse_water_first(text, words, names)
        entries[f"{MEDIUM}.mix"] = mix_of(_mix_form(form))
    return entries


def _media_in(form: str) -> list[_Named]:
    """The media that are named, from left to right; of names that overlap the longest."""
    entry = entry_at("plan", path_key(f"{MEDIUM}.mixed_with.material"))
    also = also_of(entry)
    names = {name.lower() for word in entry["enum"] for name in (word, *also.get(word, ()))}
    pattern = "|".join(re.escape(name) for name in sorted(names, key=len, reverse=True))
    return [
        _Named(found.start(), found.end(), meant(found[0], tuple(entry["enum"]), also).words)
        for found in re.finditer(rf"\b(?:{pattern})\b", form)
    ]


def _two_media(text: str, form: str, named: list[_Named]) -> dict[str, Any]:
    """Two media and how much of each; a guess of the shares would change every amount."""
    if len(named) > 2:
        raise Refusal(f"'{text}' names more than two media", f"Two can be told, the main ones: {TWO_LIKE}.")
    for one in named:
        if len(one.words) > 1:
            raise Refusal(
                f"'{form[one.start : one.end]}' is not one medium", f"Write {' or '.join(one.words)}."
            )
    (first,), (second,) = (one.words for one in named)
    shares, rest = _shares(form, named)
    if shares is None:
        raise Refusal(
            f"'{text}' does not say how much of each medium",
            f"Write half {first} half {second}, or 70 % {first} 30 % {second}, then the mix with water.",
        )
    share = round(100 * shares[1] / sum(shares))
    if not 1 <= share <= 99:
        raise Refusal(f"one of the two media in '{text}' is next to nothing", "Leave it away.")
    entries: dict[str, Any] = {
        f"{MEDIUM}.material": first,
        f"{MEDIUM}.mixed_with": {"material": second, "share": f"{share} %"},
    }
    return entries | _with_water(text, rest, sum(shares))


def _with_water(text: str, rest: str, parts: float) -> dict[str, Any]:
    """The mix of two media with water; parts: of both, where they were told in parts."""
    water = _WATER_PART.search(rest)
    if water:
        if re.search(r"\b(?:mass|weight)\b", rest):
            raise Refusal(
                f"'{text}' tells parts of two media by mass", f"Their shares are by volume: {TWO_LIKE}."
            )
        rest = f"{parts:g} to {water['parts']} {'by volume' if 'vol' in rest else ''}".strip()
    if not re.search(r"\d", rest):
        if "water" in rest:
            raise Refusal(f"'{text}' does not say how much water", f"Write it like this: {TWO_LIKE}.")
        return {}
    _refuse_water_first(text, re.findall(r"[^\W\d_]+", rest), [])
    return {f"{MEDIUM}.mix": mix_of(_mix_form(rest))}


def _shares(form: str, named: list[_Named]) -> tuple[tuple[float, float] | None, str]:
    """The parts or percents of two media, None where they are not both told; and what else the text says."""
    one, two = named
    before, between, after = form[: one.start], form[one.end : two.start], form[two.end :]
    halves = _HALVES.search(form)
    if halves:
        rest = " ".join((before, between, after))
        return (50.0, 50.0), _HALVES.sub(" ", rest)
    found = [_SHARE.search(before), _SHARE.search(between)]
    if found[0] is None and not re.match(r"[\s,]*(?:with|and|plus|mixed|,)", between):
        return None, ""  # "vermiculite 70 % perlite": of which?
    told = [_told(one) for one in found if one]
    rest = " ".join((_SHARE.sub(" ", before), _SHARE.sub(" ", between), after))
    if len(told) == 2 and told[0][0] == told[1][0]:
        whole = told[0][0] == "parts" or abs(told[0][1] + told[1][1] - 100) < 1.5
        return ((told[0][1], told[1][1]) if whole else None), rest
    if len(told) == 1 and told[0][0] == "percent" and told[0][1] < 100:
        share = told[0][1]
        return ((share, 100 - share) if found[0] else (100 - share, share)), rest
    return None, ""


def _told(found: re.Match[str]) -> tuple[str, float]:
    """What a share is measured in, parts or percent, and how much it is."""
    if found["parts"]:
        return "parts", float(found["parts"])
    return "percent", _SHARE_WORDS[found["word"]] if found["word"] else float(found["percent"])


def _refuse_water_first(text: str, words: list[str], names: list[str]) -> None:
    dry = [words.index(word) for word in names] or [
        words.index("medium") if "medium" in words else len(words)
    ]
    if "water" in words and words.index("water") < min(dry):
        raise Refusal(
            f"'{text}' names the water first", "Parts of dry medium first, then water: 4 to 1 by volume."
        )


def _mix_form(form: str) -> str:
    """What a text says of the parts: "4 to 1 by volume"."""
    kept = re.findall(r"[\d.]*\d|:|\b(?:to|by|volume|mass|weight)\b", form.replace(" vol ", " volume "))
    return " ".join(kept)
