"""Answers that fill several entries of a plan at once: laying, clutches that follow, set points, egg boxes, holes."""

import re
from collections.abc import Callable
from typing import Any

from advisor.interview.questions import chosen, entry_form, part_of
from advisor.reading.as_written import in_file_form, plain_number
from advisor.reading.marks import path_key
from advisor.reading.quantities import Kind, Refusal
from advisor.reading.schema import entry_at
from advisor.reading.schema_check import also_of
from advisor.reading.words import meant

BOX, REPEATS = "egg_boxes[0]", "clutches[0].repeats"
KIND, READY_BUILT, WALL = "outer_box.kind", "ready-built", "outer_box.wall.material"
THICKNESS = "outer_box.wall.thickness"
SET_POINT, PROGRAMME = "control.set_to", "control.programme"
NIGHT_FORM = "{} by day, {} at night, 12 hours"
FAHRENHEIT = 50.0  # a set point above it can only be one in °F
NIGHT_LIKE = NIGHT_FORM.format("30 °C", "26 °C")
_BOX_WORD = r"(?:egg |shoe ?)?(?:boxes|box|tubs?|containers?|jars?|trays?|cups?|tins?)"
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
_OPEN = re.compile(
    r"(?:\bwith )?\bno (?:lids?|covers?)(?! holes)(?: at all)?\b|\bwithout (?:an? |any )?(?:lids?|covers?)\b|\b(?:an? )?open trays?\Z"
    r"|\b(?:open|uncovered|lidless)\b",
    re.IGNORECASE,
)
_ROUND = re.compile(r"\b(?:round|jars?|cups?|tins?)\b", re.IGNORECASE)
_SORTS = re.compile(
    r"\b(?:round|jam|glass|plastic|mason|deli|food|storage|clear|small|large)\b", re.IGNORECASE
)
_SIZE = r"(?P<size>\d[\d./,]*(?: \d+/\d+)?)\s*(?P<unit>mm|cm|m|in|inch|inches|ft|\")?\s*"
_WIDE = re.compile(rf"{_SIZE}(?:across|wide|(?:in )?diameter)\b", re.IGNORECASE)
_HIGH = re.compile(rf"{_SIZE}(?:high|tall|deep)\b", re.IGNORECASE)
# Of clutches that follow: that there are none, how far apart they are, and what else an answer may say.
_LAST_ONE = re.compile(
    r"(?:no|nope|none|never|nothing)(?: more)?(?: clutch(?:es)?)?|no,? (?:she won['’]?t|she will not|not this (?:year|season))"
    r"|not (?:again|this (?:year|season))|(?:no,? )?(?:only|just) (?:this|the)(?: one)?(?: clutch)?\.?"
)
_APART = re.compile(
    r"(?P<low>\d+)\s*(?:(?:to|or|-|–)\s*(?P<high>\d+)\s*)?-?\s*(?P<unit>days?|weeks?)\b(?: or so)?"
)
_TIMES = {"once": "1 time", "twice": "2 times"}
_IN_ALL = {"all", "altogether", "total"}
_REPEAT_WORDS = _IN_ALL | frozenset(
    re.findall(
        r"\w+",
        "yes maybe probably perhaps about up to more further other additional extra again clutch clutches time times laying "
        "layings she will may lays lay i expect think this season year after that it each every apart later between them "
        "from the next in one and usually at intervals of with",
    )
)
_HOURS = re.compile(r"(?:\bfor\s+)?\b(?P<hours>\d+(?:\.\d+)?)\s*-?(?:h|hrs?|hours?)\b", re.IGNORECASE)
_DEGREES_TOLD = re.compile(
    r"(?P<number>\d+(?:\.\d+)?)\s*(?P<unit>(?:degrees?\s*|deg\s*|°\s*)?(?:celsius|fahrenheit|[cf])\b)?",
    re.IGNORECASE,
)
_THICK = re.compile(
    r"(?:,|\bof\b)?\s*(?P<size>\d[\d./]*(?: \d+/\d+)?\s*-?(?:mm|cm|inch(?:es)?|in\b|\"))(?:[ -]thick)?(?: walls?)?(?: of\b)?",
    re.IGNORECASE,
)
_DROP = re.compile(r"\bdrop (?:of|by)\b|\b(?:cooler|colder|lower|less|warmer)\b", re.IGNORECASE)


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


def repeats(text: str) -> dict[str, Any]:
    """How many clutches follow, and how far apart, from "4 more, every 15 to 22 days"; none for "no". Raises `Refusal`."""
    if _LAST_ONE.fullmatch(text.lower().rstrip(" .!")):
        return {}
    form = re.sub(r"\b(once|twice)\b", lambda found: _TIMES[found[0]], plain_number(text).lower())
    entries: dict[str, Any] = {}
    apart = _APART.search(form)
    if apart:
        days = [
            str(int(day) * (7 if "week" in apart["unit"] else 1)) for day in apart.group("low", "high") if day
        ]
        entries[f"{REPEATS}.every"] = entry_form(f"{REPEATS}.every", f"{' to '.join(days)} days")
        form = form.replace(apart[0], " ")
    numbers, words = re.findall(r"\d+", form), set(re.findall(r"[^\W\d_]+", form))
    if len(numbers) == 2 and words & {"to", "or"}:
        raise Refusal(
            f"'{text}' is a range, one number belongs here", f"Write the most you expect: {numbers[1]} more."
        )
    if len(numbers) != 1 or not words <= _REPEAT_WORDS:
        raise Refusal(
            f"'{text}' does not say how many clutches follow",
            "Write it like this: 4 more, or 4 more every 15 to 22 days, or no.",
        )
    times = int(numbers[0]) - (1 if words & _IN_ALL else 0)
    return {f"{REPEATS}.times": times, **entries} if times else {}


def set_point(text: str) -> dict[str, Any]:
    """One set point, or one by day and a cooler one by night: "30 °C by day, 26 °C at night, 12 hours"; raises `Refusal`."""
    steady = re.sub(r",?\s*\b(?:day and night|night and day)\b", "", text, flags=re.IGNORECASE)
    if not re.search(r"\bnights?\b", steady, re.IGNORECASE):
        return {SET_POINT: entry_form(SET_POINT, steady)}
    form = plain_number(text)
    hours, rest = _HOURS.search(form), _HOURS.sub(" ", form)
    found = list(_DEGREES_TOLD.finditer(rest))
    labels = re.findall(r"\b(day|night)(?:s|time)?\b", rest.lower())
    if labels == ["night"] and found:
        labels = ["night", "day"] if rest.lower().index("night") < found[0].start() else ["day", "night"]
    if len(found) != 2 or sorted(labels) != ["day", "night"] or _DROP.search(rest):
        raise Refusal(
            f"'{text}' does not tell a set point by day and one by night",
            f"Write it like this: {NIGHT_LIKE}.",
        )
    told = {label: one["number"] for label, one in zip(labels, found, strict=True)}
    units = [one["unit"] for one in found if one["unit"]]
    if not units or not hours:
        unit = units[0] if units else "°C" if float(told["day"]) < FAHRENHEIT else "°F"
        like = NIGHT_FORM.format(*(f"{told[label]} {unit}" for label in ("day", "night")))
        raise Refusal(
            f"'{text}' does not say {'how long the night lasts' if units else 'in which unit'}",
            f"Write {like}, with your own hours of night.",
        )
    set_points = {
        label: entry_form(f"{PROGRAMME}.{label}", f"{one['number']} {one['unit'] or units[0]}")
        for label, one in zip(labels, found, strict=True)
    }
    return {
        PROGRAMME: {"day": set_points["day"], "night": set_points["night"], "hours": part_of(hours["hours"])}
    }


def boxes(text: str) -> dict[str, Any]:
    """How many egg boxes of what inside size, from "2 of 20 x 14 x 9 cm"; jars and open trays too; raises `Refusal`."""
    is_open, is_round = _OPEN.search(text), _ROUND.search(text)
    form = _across_and_high(_OPEN.sub(" ", text)) if is_round else _OPEN.sub(" ", text)
    form = " ".join(re.sub(r"[\s,]+(?=[,.]|$)|^[\s,]+", "", _SORTS.sub(" ", form)).split())
    form = re.sub(rf"^an? (?:single )?(?={_BOX_WORD}\b)", "1 ", plain_number(form), flags=re.IGNORECASE)
    found = _BOXES.fullmatch(form)
    if not found:
        like = (
            "2 jars 8 cm wide, 12 cm high, or 2 jars 3 in wide, 5 in high"
            if is_round
            else "2 of 20 x 14 x 9 cm, or 2 of 8 x 6 x 4 in"
        )
        raise Refusal(f"'{text}' does not say how many boxes of what size", f"Write it like this: {like}.")
    entries = {
        f"{BOX}.count": int(found["count"]),
        f"{BOX}.inside": entry_form(f"{BOX}.inside", found["inside"]),
    }
    return (
        entries
        | ({f"{BOX}.shape": "round"} if is_round else {})
        | ({f"{BOX}.lid": "none"} if is_open else {})
    )


def _across_and_high(text: str) -> str:
    """A width and a height of something round as three sizes: "8 cm wide, 12 cm high" is 8 cm x 8 cm x 12 cm."""
    wide, high = _WIDE.search(text), _HIGH.search(text)
    if not wide or not high:
        return text
    unit = wide["unit"] or high["unit"] or ""
    across, tall = (f"{found['size']} {found['unit'] or unit}" for found in (wide, high))
    return f"{text[: min(wide.start(), high.start())]} {across} x {across} x {tall}"


def holes(text: str) -> dict[str, Any]:
    """How many holes of what width, from "5 of 2 mm", or none; that there is no lid; raises `Refusal`."""
    path = f"{BOX}.lid.holes"
    entry = entry_at("plan", path_key(path))
    if meant(text, ("none",), also_of(entry["then"])).sure:
        return {path: "none"}
    if _OPEN.fullmatch(text.strip(" .")):
        return {f"{BOX}.lid": "none"}
    found = _HOLES.fullmatch(plain_number(text))
    if not found:
        raise Refusal(
            f"'{text}' does not say how many holes of what width",
            "Write it like this: 5 of 2 mm, or 5 of 5/64 in, or none. Without a lid write no lid.",
        )
    return {path: {"count": int(found["count"]), "diameter": entry_form(f"{path}.diameter", found["width"])}}


def made_of(text: str) -> dict[str, Any]:
    """The wall of the outer box, with its thickness where that is told too; of a bought incubator, whose walls nobody can look at, that it is one."""
    material, kind = (entry_at("plan", path_key(path)) for path in (WALL, KIND))
    if text == str(len(material["enum"]) + 1) or meant(text, (READY_BUILT,), also_of(kind)).sure:
        return {KIND: READY_BUILT}
    thick = _THICK.search(text)
    told = f"{text[: thick.start()]} {text[thick.end() :]}".strip(" ,") if thick else text
    wall = {WALL: chosen(told, tuple(material["enum"]), also_of(material))}
    return wall | ({THICKNESS: entry_form(THICKNESS, thick["size"].replace("-", " "))} if thick else {})


def watts(text: str) -> dict[str, Any]:
    """The watts of the heater, or "2 of 14 W" where there are several alike."""
    found = re.fullmatch(r"(\d{1,2}) (?:heaters )?of (.+)", text, re.IGNORECASE)
    power = entry_form("heat.power", found[2] if found else text)
    return {"heat.count": int(found[1]), "heat.power": power} if found else {"heat.power": power}


def there(read: Callable[[str], dict[str, Any]]) -> Callable[[str], dict[str, Any]]:
    """As `read`; of who has no such thing it says that the eggs follow the room."""

    def answered(text: str) -> dict[str, Any]:
        if re.match(r"(?:none|no|nothing|without|(?:at )?room temp\w*)\b", text, re.IGNORECASE):
            raise Refusal(
                "eggs without a heated box follow the room, which is not judged here",
                "Hold your room against what `advisor species list` tells of your species. Or press Enter: a box is proposed.",
            )
        return read(text)

    return answered
