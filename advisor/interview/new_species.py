"""A first species profile: its questions, and the commented file that comes of the answers."""

import datetime
import re
from collections.abc import Callable
from typing import Any

from msgspec.structs import replace

from advisor import __version__
from advisor.interview.answered_sources import answer_parts, source_offered, with_source
from advisor.interview.commented_yaml import Layout, commented
from advisor.interview.questions import Answers, Question, as_text, chosen, mix_of, one_of
from advisor.reading.marks import path_key
from advisor.reading.problems import InputError
from advisor.reading.quantities import Refusal
from advisor.reading.schema import entry_at, load_schema
from advisor.reading.schema_check import schema_problems
from advisor.reading.sources import shipped_sources
from advisor.reading.species_build import build_species
from advisor.reading.species_lints import lint
from advisor.reading.words import nearest
from advisor.reading.yaml_text import Document, parse_yaml

NO_NOTES = (
    "Nothing is noted yet. Say in plain words what is well known, what is thin, and what contradicts what."
)
SOURCED = "End with the source in square brackets: [practice] for what keepers do, or a key of species/sources.yaml."

# Entries a profile cannot do without; `unknown` stands there until somebody knows.
UNKNOWN = ("temperature.aim", "temperature.tolerated", "temperature.harmful", "duration", "pause", "sex.set_by",
           "eggs.shell", "medium.mixes", "medium.water", "medium.top_up", "cool_period", "laying")  # fmt: skip


def scientific_name(identifier: str) -> str:
    """The scientific name that an id stands for: pantherophis-guttatus is Pantherophis guttatus."""
    words = identifier.split("-")
    return " ".join([words[0].capitalize(), *words[1:]])


def species_questions() -> tuple[Question, ...]:
    """The questions, in the order of the profile; where a source is asked for, that of the answer before is offered."""
    return tuple(
        replace(question, more=source_offered, filled=with_source) if SOURCED in question.help else question
        for question in _questions()
    )


def _questions() -> tuple[Question, ...]:
    return (
        Question(
            "names.common",
            "What do keepers call the species?",
            "The most used name first, more names after commas.",
            "corn snake, red ratsnake",
            lambda text: {"names.common": _listed(text)},
            required=True,
        ),
        Question(
            "names.former",
            "Which older scientific names stand in books?",
            "Several are parted by commas.",
            "Elaphe guttata",
            lambda text: {"names.former": _listed(text)},
        ),
        _words(
            "group", "What kind of reptile is it?", "Rules use it where the profile is silent.", required=True
        ),
        _band("temperature.aim", "At which egg temperature does a keeper aim?", "27 to 29 °C [practice]"),
        _band(
            "temperature.tolerated",
            "Between which temperatures do eggs still hatch well?",
            "25 to 31 °C [practice]",
        ),
        Question(
            "temperature.harmful",
            "Below and above which temperature do many eggs die or young come out malformed?",
            f"One side is enough. {SOURCED}",
            "below 21 °C, above 33 °C [practice]",
            _harmful,
        ),
        Question(
            "duration",
            "How many days pass from laying to hatching, at which temperature?",
            f"One entry for each temperature and source, parted by ; {SOURCED}",
            "26 to 28 °C: 60 to 70 days [practice]; 28 °C: 62 days, 40 eggs [practice]",
            lambda text: {"duration": [_duration(part) for part in answer_parts(text)]},
        ),
        Question(
            "pause",
            "Does the embryo rest before it starts to grow?",
            f"Write none when it starts at once. Else the days and what ends the rest. {SOURCED}",
            "none, or 50 to 80 days, ended by warming [practice]",
            _pause,
        ),
        Question(
            "sex.set_by",
            "What sets the sex?",
            f"One of the words. {SOURCED}",
            "temperature [practice]",
            _set_by,
            words=_enum("sex.set_by"),
        ),
        _words(
            "sex.pattern",
            "How does the sex follow the temperature?",
            "Cool males: males when cool, females when warm.",
        ),
        Question(
            "sex.observed",
            "How many males were counted, at which temperature?",
            f"Males of all young that were sexed. One entry for each temperature and source, parted by ; {SOURCED}",
            "26 °C: 3 of 40 [practice]; 32 °C: 38 of 40 [practice]",
            lambda text: {"sex.observed": [_observed(part) for part in answer_parts(text)]},
        ),
        Question(
            "eggs.shell",
            "What is the shell like?",
            f"Parchment gives under a finger, rigid is hard like a hen's egg. {SOURCED}",
            "parchment [practice]",
            _shell,
            words=_enum("eggs.shell"),
        ),
        _plain("eggs.clutch", "How many eggs has a clutch?", "A number or a range.", "8 to 20"),
        _plain("eggs.mass", "What does one fresh egg weigh?", "A mass or a range.", "8 to 14 g"),
        _plain("eggs.length", "How long is one fresh egg?", "A length or a range.", "30 to 45 mm"),
        _plain("eggs.width", "How wide is one fresh egg?", "A length or a range.", "15 to 22 mm"),
        Question(
            "medium.mixes",
            "Which mixes of medium and water are used?",
            f"Parts of dry medium to parts of water, by volume or by mass, parted by ; {SOURCED}",
            "4 to 1 by volume [practice]; 1 to 1 by mass [practice]",
            lambda text: {"medium.mixes": [_mix(part) for part in answer_parts(text)]},
        ),
        Question(
            "medium.water",
            "How much water may the medium hold?",
            f"Grams of water to each gram of dry medium, driest to wettest. {SOURCED}",
            "0.6 to 3.8 g/g [judgement]",
            _water,
        ),
        _words("medium.top_up", "Does water have to be added during incubation?", "One of the words."),
        Question(
            "cool_period",
            "Do the eggs need a cold spell?",
            f"Write none when they need none. Else temperature, days and when. {SOURCED}",
            "none, or 16 to 20 °C for 45 to 60 days, after four weeks of warmth [practice]",
            _cool_period,
        ),
        Question(
            "laying",
            "How many days pass from the shed before laying to the laying?",
            SOURCED,
            "7 to 14 days [practice]",
            _laying,
        ),
        Question(
            "cautions",
            "What must a keeper be warned of?",
            f"Write none, or a word and a sentence, parted by ; Words: {', '.join(_caution_words())}.",
            "none, or protected: Trade in this species needs papers.",
            _cautions,
        ),
        Question(
            "notes",
            "What else is worth knowing?",
            "Short sentences in plain words: what is well known, what is thin, what contradicts what.",
            "The days are well known. Nobody has counted the sexes.",
            as_text("notes"),
        ),
    )


def profile_check(identifier: str, reviewed: datetime.date) -> Callable[[Answers], Document]:
    """Holds the profile that comes of the answers so far against schema and lints; raises `InputError`."""

    def check(answers: Answers) -> Document:
        document = parse_yaml(profile_text(identifier, answers, reviewed).encode(), f"{identifier}.yaml")
        problems = schema_problems(document, "species")
        if not problems:
            problems = list(lint(build_species(document), document, identifier, shipped_sources()))
        if problems:
            raise InputError(problems)
        return document

    return check


def profile_text(identifier: str, answers: Answers, reviewed: datetime.date) -> str:
    """The profile: every answer at its place, `unknown` where an answer is needed, the rest as comments."""
    filled: dict[str, Any] = {
        "format": 1,
        "id": identifier,
        "names.scientific": scientific_name(identifier),
        "names.common": [scientific_name(identifier)],
        "group": "other lizard",
        "reviewed": reviewed.isoformat(),
        **{entry: "unknown" for entry in UNKNOWN},
        "eggs.sources": ["practice"],
        "cautions": [],
        "notes": NO_NOTES,
        **answers,
    }
    if "sex.observed" in filled:
        filled.setdefault("sex.pattern", "unknown")
    examples = {
        "names.former": "[Elaphe guttata]",
        "sex.sensitive": "{from: 0.3, to: 0.5, sources: [practice]}",
        "hatched": "[{at: 28 °C, share: 0.9, eggs: 40, sources: [practice]}]",
        "sex.observed": "[{at: 28 °C, male_share: 0.5, eggs: 20, sources: [practice]}]",
    }
    head = (
        f"# A species profile, started with `advisor species new` (clutch-advisor {__version__}).\n"
        "# A line that starts with # is not read. To add an entry, take the # and the space behind it away, and write your\n"
        "# own value.\n"
        "# Every figure names its sources: `practice` for what keepers do, or a key of species/sources.yaml. Add a new\n"
        "# paper there first. Where nobody knows, `unknown` is the right answer. Two sources disagree: keep two entries.\n"
        f"# Then run: advisor species check {identifier}.yaml\n"
    )
    return head + "\n".join(commented(load_schema("species"), Layout(filled, examples))) + "\n"


def _plain(path: str, text: str, help: str, example: str) -> Question:
    return Question(path, text, help, example, as_text(path))


def _words(path: str, text: str, help: str, required: bool = False) -> Question:
    words = _enum(path)
    return Question(path, text, help, words[0], one_of(path, words), words, required)


def _enum(path: str) -> tuple[str, ...]:
    return tuple(word for word in entry_at("species", path_key(path))["enum"] if word != "unknown")


def _caution_words() -> tuple[str, ...]:
    return tuple(entry_at("species", path_key("cautions[0].word"))["enum"])


def _band(path: str, text: str, example: str) -> Question:
    def read(typed: str) -> dict[str, Any]:
        value, sources = _sourced(typed, example)
        low, high = _two(value)
        return {path: {"low": low, "high": high, "sources": sources}}

    return Question(path, text, SOURCED, example, read)


def _two(text: str) -> tuple[str, str]:
    """Both ends of "27 to 29 °C", each with its unit; the same twice for one value."""
    found = re.fullmatch(r"(-?[\d.]+) ?(\D*?) ?(?:to|-|–) ?(-?[\d.]+) ?(\D*)", text)
    if not found:
        return text, text
    return f"{found[1]} {found[2] or found[4]}".strip(), f"{found[3]} {found[4]}".strip()


def _sourced(text: str, example: str) -> tuple[str, list[str]]:
    """An answer without its source, and the keys of the source; raises `Refusal` when there is none or it is not known."""
    found = re.fullmatch(r"(.*?)\s*\[([^\[\]]*)\]\.?", text)
    keys = _listed(found[2]) if found else []
    if found is None or not keys:
        raise Refusal(
            "the source is missing",
            f"Write it like this: {example}. `practice` is what keepers do; other keys stand in species/sources.yaml.",
        )
    known = shipped_sources()
    for key in keys:
        if key not in known:
            near = nearest(key, list(known))
            hint = f"Did you mean {near}? " if near else ""
            raise Refusal(
                f"the source '{key}' is not in species/sources.yaml",
                f"{hint}Write [practice] for what keepers do, or add the paper there first.",
            )
    return found[1], keys


def _listed(text: str) -> list[str]:
    return [part.strip() for part in text.split(",") if part.strip()]


def _harmful(text: str) -> dict[str, Any]:
    example = "below 21 °C, above 33 °C [practice]"
    value, sources = _sourced(text, example)
    sides: dict[str, Any] = {}
    for part in _listed(value):
        side, _, limit = part.partition(" ")
        if side.lower() not in ("below", "above") or not limit:
            raise Refusal(f"'{part}' says neither below nor above", f"Write it like this: {example}.")
        sides[side.lower()] = limit
    return {"temperature.harmful": {**sides, "sources": sources}}


def _duration(text: str) -> dict[str, Any]:
    example = "28 °C: 57 to 65 days, 40 eggs [practice]"
    value, sources = _sourced(text, example)
    found = re.fullmatch(r"([^:]+): ?([^,]+?)(?: days?)?(?:, ?(\d+) eggs?)?", value)
    if not found:
        raise Refusal(f"'{value}' is not a temperature with its days", f"Write it like this: {example}.")
    eggs = {"eggs": int(found[3])} if found[3] else {}
    return {"at": found[1].strip(), "days": _number(found[2]), **eggs, "sources": sources}


def _number(text: str) -> Any:
    """A bare number as a number, all else (a range, a fault to be told) as text."""
    if not re.fullmatch(r"\d+(\.\d+)?", text):
        return text
    value = float(text)
    return int(value) if value == int(value) else value


def _pause(text: str) -> dict[str, Any]:
    if text.lower() in ("none", "no"):
        return {"pause": "none"}
    example = "50 to 80 days, ended by warming [practice]"
    value, sources = _sourced(text, example)
    found = re.fullmatch(r"(.+?)(?: days)?, ?ended by (.+)", value)
    if not found:
        raise Refusal(
            f"'{value}' does not say how long the rest is and what ends it", f"Write none, or {example}."
        )
    ended_by = chosen(found[2], tuple(entry_at("species", path_key("pause.ended_by"))["enum"]))
    return {"pause": {"days": _number(found[1]), "ended_by": ended_by, "sources": sources}}


def _set_by(text: str) -> dict[str, Any]:
    value, sources = _sourced(text, "temperature [practice]")
    return {"sex.set_by": chosen(value, _enum("sex.set_by")), "sex.sources": sources}


def _observed(text: str) -> dict[str, Any]:
    example = "26 °C: 3 of 40 [practice]"
    value, sources = _sourced(text, example)
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


def _shell(text: str) -> dict[str, Any]:
    value, sources = _sourced(text, "parchment [practice]")
    return {"eggs.shell": chosen(value, _enum("eggs.shell")), "eggs.sources": sources}


def _mix(text: str) -> dict[str, Any]:
    value, sources = _sourced(text, "4 to 1 by volume [practice]")
    return {**mix_of(value), "sources": sources}


def _water(text: str) -> dict[str, Any]:
    value, sources = _sourced(text, "0.6 to 3.8 g/g [judgement]")
    return {"medium.water": {"range": value, "sources": sources}}


def _cool_period(text: str) -> dict[str, Any]:
    if text.lower() in ("none", "no"):
        return {"cool_period": "none"}
    example = "16 to 20 °C for 45 to 60 days, after four weeks of warmth [practice]"
    value, sources = _sourced(text, example)
    found = re.fullmatch(r"(.+?) for (.+?)(?: days)?, ?(.+)", value)
    if not found:
        raise Refusal(f"'{value}' does not say how cold, how long and when", f"Write none, or {example}.")
    return {"cool_period": {"at": found[1], "days": _number(found[2]), "when": found[3], "sources": sources}}


def _laying(text: str) -> dict[str, Any]:
    value, sources = _sourced(text, "7 to 14 days [practice]")
    return {"laying": {"shed_to_laying": value, "sources": sources}}


def _cautions(text: str) -> dict[str, Any]:
    if text.lower() in ("none", "no"):
        return {"cautions": []}
    cautions = []
    for part in answer_parts(text):
        word, colon, because = part.partition(":")
        if not colon:
            raise Refusal(
                f"'{part}' has no sentence", "Write the word, a colon and one sentence that says why."
            )
        cautions.append({"word": chosen(word.strip(), _caution_words()), "because": because.strip()})
    return {"cautions": cautions}
