"""A first species profile: its questions, and the commented file that comes of the answers."""

import datetime
from collections.abc import Callable
from typing import Any

from msgspec.structs import replace

from advisor import __version__
from advisor.interview.answered_sources import answer_parts, source_offered, with_source
from advisor.interview.commented_yaml import Layout, commented
from advisor.interview.profile_answers import (
    both_ends,
    caution_words,
    cautions,
    climate,
    cool_period,
    duration,
    harmful,
    laying,
    listed,
    mix,
    next_clutch,
    observed,
    pause,
    set_by,
    shell,
    sourced,
    water,
    words_of,
)
from advisor.interview.questions import Answers, Question, as_text, one_of
from advisor.reading.problems import InputError, Problem
from advisor.reading.schema import load_schema
from advisor.reading.schema_check import schema_problems
from advisor.reading.sources import Source
from advisor.reading.species_build import build_species
from advisor.reading.species_lints import lint
from advisor.reading.yaml_text import Document, parse_yaml

NO_NOTES = (
    "Nothing is noted yet. Say in plain words what is well known, what is thin, and what contradicts what."
)
SOURCED = "End with the source in square brackets: [practice] for what keepers do, or a key of species/sources.yaml."

ID = r"[a-z]+(-[a-z]+)+"  # what identifies a profile: the scientific name in small letters with hyphens

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
            lambda text: {"names.common": listed(text)},
            required=True,
        ),
        Question(
            "names.former",
            "Which older scientific names stand in books?",
            "Several are parted by commas.",
            "Elaphe guttata",
            lambda text: {"names.former": listed(text)},
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
            harmful,
        ),
        Question(
            "duration",
            "How many days pass from laying to hatching, at which temperature?",
            f"One entry for each temperature and source, parted by semicolons. {SOURCED}",
            "26 to 28 °C: 60 to 70 days [practice]; 28 °C: 62 days, 40 eggs [practice]",
            lambda text: {"duration": [duration(part) for part in answer_parts(text)]},
        ),
        Question(
            "pause",
            "Does the embryo rest before it starts to grow?",
            f"Write none when it starts at once. Else the days and what ends the rest. {SOURCED}",
            "none, or 50 to 80 days, ended by warming [practice]",
            pause,
        ),
        Question(
            "sex.set_by",
            "What sets the sex?",
            f"One of the words. {SOURCED}",
            "temperature [practice]",
            set_by,
            words=words_of("sex.set_by"),
        ),
        _words(
            "sex.pattern",
            "How does the sex follow the temperature?",
            "Cool males: males when cool, females when warm.",
        ),
        Question(
            "sex.observed",
            "How many males were counted, at which temperature?",
            f"Males of all young that were sexed. One entry for each temperature and source, parted by semicolons. {SOURCED}",
            "26 °C: 3 of 40 [practice]; 32 °C: 38 of 40 [practice]",
            lambda text: {"sex.observed": [observed(part) for part in answer_parts(text)]},
        ),
        Question(
            "eggs.shell",
            "What is the shell like?",
            f"Parchment gives under a finger, rigid is hard like a hen's egg. {SOURCED}",
            "parchment [practice]",
            shell,
            words=words_of("eggs.shell"),
        ),
        _plain("eggs.clutch", "How many eggs has a clutch?", "A number or a range.", "8 to 20"),
        _plain(
            "eggs.clutches_per_year",
            "How many clutches does a female lay in a year?",
            "A number or a range.",
            "1 to 2",
        ),
        _plain("eggs.mass", "What does one fresh egg weigh?", "A mass or a range.", "8 to 14 g"),
        _plain("eggs.length", "How long is one fresh egg?", "A length or a range.", "30 to 45 mm"),
        _plain("eggs.width", "How wide is one fresh egg?", "A length or a range.", "15 to 22 mm"),
        Question(
            "medium.mixes",
            "Which mixes of medium and water are used?",
            f"Parts of dry medium to parts of water, by volume or by mass, parted by semicolons. {SOURCED}",
            "4 to 1 by volume [practice]; 1 to 1 by mass [practice]",
            lambda text: {"medium.mixes": [mix(part) for part in answer_parts(text)]},
        ),
        Question(
            "medium.water",
            "How much water may the medium hold?",
            f"Grams of water to each gram of dry medium, driest to wettest. {SOURCED}",
            "0.6 to 3.8 g/g [judgement]",
            water,
        ),
        _words("medium.top_up", "Does water have to be added during incubation?", "One of the words."),
        Question(
            "cool_period",
            "Do the eggs need a cold spell?",
            f"Write none when they need none. Else temperature, days and when. {SOURCED}",
            "none, or 16 to 20 °C for 45 to 60 days, after four weeks of warmth [practice]",
            cool_period,
        ),
        Question(
            "climate",
            "Does the species nest where nights get cold?",
            f"Temperate where they do, tropical where they do not: it decides how much cold its eggs bear. {SOURCED}",
            "temperate [judgement]",
            climate,
            words=words_of("climate.kind"),
        ),
        Question(
            "laying",
            "How many days pass from the shed before laying to the laying?",
            SOURCED,
            "7 to 14 days [practice]",
            laying,
        ),
        Question(
            "laying.next_clutch",
            "How many days pass from one laying to the next in the same season?",
            SOURCED,
            "45 to 70 days [practice]",
            next_clutch,
        ),
        Question(
            "cautions",
            "What must a keeper be warned of?",
            f"Write none, or a word and a sentence, parted by semicolons. Words: {', '.join(caution_words())}.",
            "none, or protected: Trade in this species needs papers.",
            cautions,
        ),
        Question(
            "notes",
            "What else is worth knowing?",
            "Short sentences in plain words: what is well known, what is thin, what contradicts what.",
            "The days are well known. Nobody has counted the sexes.",
            as_text("notes"),
        ),
    )


def profile_check(
    identifier: str, reviewed: datetime.date, sources: dict[str, Source]
) -> Callable[[Answers], Document]:
    """Holds the profile that comes of the answers so far against schema and lints; raises `InputError`."""

    def check(answers: Answers) -> Document:
        document = parse_yaml(profile_text(identifier, answers, reviewed).encode(), f"{identifier}.yaml")
        problems = profile_problems(document, identifier, sources)
        if problems:
            raise InputError(problems)
        return document

    return check


def profile_problems(document: Document, identifier: str, sources: dict[str, Source]) -> list[Problem]:
    """What schema and lints say against a profile that cites these sources."""
    problems = schema_problems(document, "species")
    return problems or list(lint(build_species(document, sources=sources), document, identifier, sources))


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
    if any(entry.startswith("laying.") for entry in filled):
        del filled["laying"]  # parts of it are known
    if "sex.observed" in filled:
        filled.setdefault("sex.pattern", "unknown")
    examples = {
        "names.former": "[Elaphe guttata]",
        "climate": "{kind: temperate, sources: [judgement]}",
        "laying.next_clutch": "{days: 15 to 22, sources: [practice]}",
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
    words = words_of(path)
    return Question(path, text, help, words[0], one_of(path, words), words, required)


def _band(path: str, text: str, example: str) -> Question:
    def read(typed: str) -> dict[str, Any]:
        value, sources = sourced(typed, example)
        low, high = both_ends(value)
        return {path: {"low": low, "high": high, "sources": sources}}

    return Question(path, text, SOURCED, example, read)
