"""What is in or on the outer box besides its walls, from one answer: fan, vents, panes, cooling, water dish."""

import re
from collections.abc import Iterator
from itertools import pairwise
from typing import Any

from advisor.interview.questions import entry_form
from advisor.reading.as_written import plain_number
from advisor.reading.marks import path_key
from advisor.reading.quantities import Refusal
from advisor.reading.schema import entry_at
from advisor.reading.schema_check import also_of

EXTRAS = "outer_box"  # the question stands for what the outer box has besides its size and its walls
FAN, COOLING = "fan", "cooling"
VENTS, PARTS, DISH = "outer_box.vents", "outer_box.parts", "outer_box.water_dish"
# What each part of an answer is about. What comes first goes before: a cooling fan is a fan, a hole in the door a vent.
_ABOUT = {
    FAN: r"(?:(?:cooling|computer|vent|pc) )?(?:fans?|blowers?|ventilators?)",
    DISH: r"(?:(?:glass|water|open) )*(?:dish(?:es)?|bowls?)(?: (?:of|with) water)?",
    VENTS: r"(?:vent |air )?(?:vents?|holes?)(?: in the (?:glass |front )?(?:lid|door|pane|front|back|window|walls?|sides?))?",
    COOLING: r"cooling|coolers?|peltiers?|thermoelectric|fridges?|refrigerators?",
    PARTS: r"glass|glazing|glazed|acrylic|panes?|windows?|doors?",
}
_LIKE = {
    FAN: "fan 2 W always on, or fan 2 W with the heater; several with their watts together",
    DISH: "water dish 20 x 10 cm, or 8 x 4 in; a round one as nine tenths of its width both ways",
    VENTS: "2 high and 2 low holes of 10 mm, or 4 holes of 10 mm in the lid, or 4 low holes of 10 mm",
    COOLING: "cooling takes out 30 W: of a cooler without compressor a third of the watts on its label, of a fridge as many; none where it is never on",
    PARTS: "glass front 4 mm, or double glass window 20 mm over 60 % of the front; its material, thickness, share of its side",
}
_PARTED = re.compile(r"\s*(?:;|,(?!\d)|\+|\b(?:and|plus|with|but)\b)\s*")
_NONE = re.compile(r"(?:there (?:is|are) )?(?:no|none|nope|nothing|neither|without|not any)\b")
_YET = re.compile(r"\b(?:an?|but|only|just|except|yes)\b|\d")
_NOT = re.compile(r"\b(?:no|not|never|without)\b|n['’]t\b")
_POWER = re.compile(r"(\d+(?:\.\d+)?)\s*(?:w|watts?)\b")
_LENGTH = re.compile(r"\d+(?: \d+/\d+|/\d+|\.\d+)?\s*(?:mm|cm|inch(?:es)?|in(?!\s+the\b)|\")(?![a-z])")
_BOTH = re.compile(r"\b(?:high|top)\b.*\b(?:low|bottom)\b|\b(?:low|bottom)\b.*\b(?:high|top)\b")
_EACH = re.compile(
    r"(\d+) (?:(?:holes?|vents?) )?(?:high|top|low|bottom)[^\d]*(\d+) (?:(?:holes?|vents?) )?(?:high|top|low|bottom)"
)
_SIDES = ("front", "back", "left", "right", "lid")


def extras(text: str) -> dict[str, Any]:
    """The entries of what the answer names; none for "none". Raises `Refusal` with what to write of the first that lacks a figure."""
    form = plain_number(text).lower()
    # "2 high and 2 low" is one thing.
    form = re.sub(
        r"\b(high|low|top|bottom)( (?:holes?|vents?))?\s*(?:,|\band\b)\s*(?=[^,;]*?\b(?:low|high|bottom|top)\b)",
        r"\1\2 & ",
        form,
    )
    listed = _PARTED.search(form) and not re.search(r"\bn?or\b", form)
    if _NONE.match(form) and not _YET.search(form) and not listed:
        return {}
    entries: dict[str, Any] = {}
    for about, part in _parts(form):
        if _NONE.match(part):
            continue
        new = _READ[about](part) if about and not _NOT.search(part) else None
        if new is None or (about in entries and about != PARTS):
            like = _LIKE.get(about, "fan 2 W always on, glass front 4 mm; or none")
            raise Refusal(f"'{part}' does not say all of it", f"Write it like this: {like}.")
        entries[about] = [*entries[about], *new] if about in entries else new
    return entries


def _parts(form: str) -> Iterator[tuple[str, str]]:
    """The parts of an answer, each with the entry that it is about; what names nothing belongs to the part before."""
    start, end, about = 0, 0, ""
    cuts = [(0, 0), *(found.span() for found in _PARTED.finditer(form)), (len(form), len(form))]
    for (_, begin), (stop, _) in pairwise(cuts):
        here = _about(form[begin:stop])
        if here or _NONE.match(form[begin:stop]):
            if form[start:end].strip():
                yield about, form[start:end]
            start, about = begin, here
        end = stop
    yield about, form[start:end].strip()


def _about(part: str) -> str:
    """The entry that a part of an answer is about; empty for none. Raises `Refusal` for two at once."""
    found, rest = [], part
    for entry, names in _ABOUT.items():
        rest, times = re.subn(rf"\b(?:{names})\b", " ", rest)
        found += [entry] if times else []
    if len(found) > 1 and not _NONE.match(part):
        raise Refusal(
            f"'{part.strip()}' names two things",
            f"Put a comma between them, and write each like this: {_LIKE[found[0]]}.",
        )
    return found[0] if found else ""


def _fan(part: str) -> dict[str, str] | None:
    power, runs = _POWER.findall(part), _word("fan.runs", part)
    each = re.search(r"\bfans\b", part) and not re.search(r"\b(?:together|in all|in total)\b", part)
    if len(power) != 1 or not runs or each:
        return None
    return {"runs": runs, "power": entry_form("fan.power", f"{power[0]} W")}


def _cooling(part: str) -> dict[str, str] | None:
    """The heat that it takes out; the label of a cooler without compressor tells three times as much."""
    power = _POWER.findall(part)
    on_label = re.search(r"peltier|thermoelectric|wine|cooler", part) and not re.search(
        r"\btakes?\b|\bout\b", part
    )
    if len(power) != 1 or on_label:
        return None
    return {"power": entry_form("cooling.power", f"{power[0]} W")}


def _dish(part: str) -> str | None:
    size = re.search(r"\d.*?(?:mm|cm|inch(?:es)?|in|\")(?![a-z])", part)
    several = re.search(r"\b(?:dishes|bowls)\b", part)
    return entry_form(DISH, size[0]) if size and re.search(r"[x×]|\bby\b", size[0]) and not several else None


def _vents(part: str) -> dict[str, Any] | None:
    widths = _LENGTH.findall(part)
    rest = _LENGTH.sub(" ", part)
    counts = re.findall(r"\d+", rest)
    if len(widths) != 1 or not counts:
        return None
    width = entry_form(f"{VENTS}.diameter", widths[0])
    where = _where(rest, [int(count) for count in counts], width)
    return {"count": int(counts[0]), "diameter": width, "where": where} if where else None


def _where(rest: str, counts: list[int], width: str) -> str | None:
    """Where so many holes are; raises `Refusal` where a number can be that of one height or of both."""
    if _BOTH.search(rest):
        if len(counts) == 2 and counts[0] == counts[1] and _EACH.search(rest):
            return "high and low"
        if len(counts) == 1 and re.search(r"\beach\b|\bas many\b", rest):
            return "high and low"
        if len(counts) == 1:
            ways = dict.fromkeys((counts[0], max(counts[0] // 2, 1)))
            told = ", or ".join(f"{one} high and {one} low holes of {width}" for one in ways)
            raise Refusal("the holes can be meant at each height or in all", f"Write {told}.")
        return None
    return _word(f"{VENTS}.where", rest) if len(counts) == 1 else None


def _pane(part: str) -> list[dict[str, str]] | None:
    """A door or a window; a side that is of another stuff as a whole is a window over all of it."""
    widths, shares = _LENGTH.findall(part), re.findall(r"\d+(?:\.\d+)?\s*%", part)
    material = _word(f"{PARTS}[0].material", part)
    sides = [side for side in _SIDES if re.search(rf"\b{side}\b", part)]
    opening = re.search(r"\b(door|window)s?\b", part)
    whole = re.search(r"\b(?:whole|entire|all of)\b", part) or not opening
    if len(widths) != 1 or len(sides) != 1 or not material or re.search(r"\d\s*[x×]\s*\d", part):
        return None
    if len(shares) != 1 and not (whole and not shares):
        return None
    return [
        {
            "what": opening[1] if opening else "window",
            "material": material,
            "thickness": entry_form(f"{PARTS}[0].thickness", widths[0]),
            "share": shares[0] if shares else "100 %",
            "side": sides[0],
        }
    ]


def _word(path: str, part: str) -> str | None:
    """The one word of an entry that stands in a part of an answer, or what it is called; of several the longest."""
    entry = entry_at("plan", path_key(path))
    also = also_of(entry)
    named = {
        name.lower(): word
        for word in entry["enum"]
        for name in (word, *also.get(word, ()))
        if re.search(rf"\b{re.escape(name.lower())}\b", part)
    }
    longest = max(map(len, named), default=0)
    words = {word for name, word in named.items() if len(name) == longest}
    return words.pop() if len(words) == 1 else None


_READ = {FAN: _fan, DISH: _dish, VENTS: _vents, COOLING: _cooling, PARTS: _pane}
EXTRA_ENTRIES = tuple(_READ)  # what an answer to the question tells of, also where it says that there is none
