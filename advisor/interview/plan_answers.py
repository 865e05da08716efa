"""Answers that fill several entries of a plan at once: laying, egg boxes, medium with its mix, holes."""

import re
from typing import Any

from advisor.interview.questions import chosen, entry_form, mix_of
from advisor.reading.as_written import in_file_form, plain_number
from advisor.reading.marks import path_key
from advisor.reading.quantities import Kind, Refusal
from advisor.reading.schema import entry_at
from advisor.reading.schema_check import also_of
from advisor.reading.words import meant

BOX = "egg_boxes[0]"
KIND, READY_BUILT, WALL = "outer_box.kind", "ready-built", "outer_box.wall.material"
_BOX_WORD = r"(?:egg )?(?:boxes|box|tubs?|containers?)"
_BETWEEN = r"(?:[\s,:]|of\b|each\b|at\b|with\b|measuring\b)"
# A count and the size: parted by a word or the word for a box; or four numbers, the first of which is the count.
_BOXES = re.compile(
    rf"(?P<count>\d{{1,3}})\s*(?:{_BOX_WORD}{_BETWEEN}*(?=\D|\d)|(?:,|of\b|boxes\b){_BETWEEN}*|[x×]\s*(?=(?:[^x×]+[x×]){{2}}))"
    r"(?P<inside>\d.*)",
    re.IGNORECASE,
)
_HOLES = re.compile(
    rf"(?P<count>\d{{1,4}})\s*(?:(?:air )?holes?\b{_BETWEEN}*|(?:,|of\b|[x×]){_BETWEEN}*)(?P<width>[\d.].*?)(?:\s+holes?)?",
    re.IGNORECASE,
)
# What an answer about the mix says beside the name of the medium.
_MIX_WORDS = frozenset(
    [
        "to",
        "by",
        "volume",
        "vol",
        "mass",
        "weight",
        "part",
        "parts",
        "of",
        "water",
        "dry",
        "medium",
        "and",
        "mixed",
        "with",
        "mix",
        "in",
        "ratio",
    ]
)


def laying(text: str) -> dict[str, Any]:
    """When the eggs come, from "shed 2 May 2027", "laid on 2027-05-11" or "10 to 17 May 2027"; raises `Refusal`."""
    path = "clutches[0].laying"
    told = [key for key in ("shed", "laid") if re.search(rf"\b{key}\b", text, re.IGNORECASE)]
    if len(told) > 1:
        raise Refusal(f"'{text}' tells of two days", "Write one: the day they were laid, if that is known.")
    try:
        if told:
            date = re.sub(rf"\b(?:{told[0]}|pre-?lay(?:ing)?)\b", " ", text, flags=re.IGNORECASE)
            return {path: {f"{told[0]}_on": in_file_form(date.strip(), Kind("date"))}}
        return {path: {"expected": _once(in_file_form(text, Kind("date-range")))}}
    except Refusal as refusal:
        if "stands where" not in refusal.message:
            raise
        raise Refusal(
            f"'{text}' does not say when the eggs come",
            "Write shed 2027-05-02, or 2027-05-09 to 2027-05-16, or laid 11 May 2027.",
        ) from refusal


def _once(dates: str) -> str:
    """Two equal dates as one."""
    return " to ".join(dict.fromkeys(dates.split(" to ")))


def boxes(text: str) -> dict[str, Any]:
    """How many egg boxes of what inside size, from "2 of 20 x 14 x 9 cm"; raises `Refusal`."""
    form = re.sub(rf"^an? (?:single )?(?={_BOX_WORD}\b)", "1 ", plain_number(text), flags=re.IGNORECASE)
    found = _BOXES.fullmatch(form)
    if not found:
        raise Refusal(
            f"'{text}' does not say how many boxes of what size",
            "Write it like this: 2 of 20 x 14 x 9 cm, or 2 of 8 x 6 x 4 in.",
        )
    return {
        f"{BOX}.count": int(found["count"]),
        f"{BOX}.inside": entry_form(f"{BOX}.inside", found["inside"]),
    }


def medium(text: str) -> dict[str, Any]:
    """The medium and its mix, from "vermiculite, 4 to 1 by volume" or one of the two; raises `Refusal`."""
    form = re.sub(r"\bequal parts\b", "1 to 1", plain_number(text), flags=re.IGNORECASE)
    words = re.findall(r"[^\W\d_]+", form)
    names = [word for word in words if word.lower() not in _MIX_WORDS]
    entries: dict[str, Any] = {}
    if names:
        entry = entry_at("plan", path_key(f"{BOX}.medium.material"))
        _refuse_two(text, names, entry)
        entries[f"{BOX}.medium.material"] = chosen(" ".join(names), tuple(entry["enum"]), also_of(entry))
    if re.search(r"\d", form) or not names:
        _refuse_water_first(text, words, names)
        entries[f"{BOX}.medium.mix"] = mix_of(_mix_form(form))
    return entries


def _refuse_two(text: str, names: list[str], entry: dict[str, Any]) -> None:
    """Two media in one answer: how much of each is not in it, and a guess would change every amount."""
    known = [name for name in names if meant(name, tuple(entry["enum"]), also_of(entry)).sure]
    if len(known) > 1 and not meant(" ".join(names), tuple(entry["enum"]), also_of(entry)).sure:
        raise Refusal(
            f"'{text}' names two media",
            f"Answer with the one there is more of, and write the other in the file as `mixed_with`: {{material: {known[1]}, share: 50 %}}.",
        )


def _refuse_water_first(text: str, words: list[str], names: list[str]) -> None:
    lower = [word.lower() for word in words]
    dry = [lower.index(word.lower()) for word in names] or [
        lower.index("medium") if "medium" in lower else len(lower)
    ]
    if "water" in lower and lower.index("water") < min(dry):
        raise Refusal(
            f"'{text}' names the water first", "Parts of dry medium first, then water: 4 to 1 by volume."
        )


def _mix_form(form: str) -> str:
    """What a text says of the parts: "4 to 1 by volume"."""
    kept = re.findall(
        r"[\d.]*\d|:|\b(?:to|by|volume|mass|weight)\b", form.lower().replace(" vol ", " volume ")
    )
    return " ".join(kept)


def holes(text: str) -> dict[str, Any]:
    """How many holes of what width, from "5 of 2 mm", or none; raises `Refusal`."""
    path = f"{BOX}.lid.holes"
    entry = entry_at("plan", path_key(path))
    if meant(text, ("none",), also_of(entry["then"])).sure:
        return {path: "none"}
    found = _HOLES.fullmatch(plain_number(text))
    if not found:
        raise Refusal(
            f"'{text}' does not say how many holes of what width",
            "Write it like this: 5 of 2 mm, or 5 of 5/64 in, or none.",
        )
    return {path: {"count": int(found["count"]), "diameter": entry_form(f"{path}.diameter", found["width"])}}


def made_of(text: str) -> dict[str, Any]:
    """The wall of the outer box; of a bought incubator, whose walls nobody can look at, that it is one."""
    material, kind = (entry_at("plan", path_key(path)) for path in (WALL, KIND))
    if text == str(len(material["enum"]) + 1) or meant(text, (READY_BUILT,), also_of(kind)).sure:
        return {KIND: READY_BUILT}
    return {WALL: chosen(text, tuple(material["enum"]), also_of(material))}


def watts(text: str) -> dict[str, Any]:
    """The watts of the heater, or "2 of 14 W" where there are several alike."""
    found = re.fullmatch(r"(\d{1,2}) (?:heaters )?of (.+)", text, re.IGNORECASE)
    power = entry_form("heat.power", found[2] if found else text)
    return {"heat.count": int(found[1]), "heat.power": power} if found else {"heat.power": power}
