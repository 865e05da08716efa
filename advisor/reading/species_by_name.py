"""The species a keeper means: by id, scientific, common or former name, with near names when there is none such."""

import difflib
import re
from pathlib import Path

from advisor.reading.names import names_in, profile_files
from advisor.reading.problems import printable
from advisor.reading.quantities import Refusal
from advisor.reading.species import closest_ids

MOST_OFFERED = 6
LEAST_PART = 5  # letters of a name from which a part of it says which species may be meant


def species_named(word: str, own_folder: Path | None = None) -> str:
    """The id of the species that is named; raises `Refusal` that offers the ids closest to the word."""
    files = profile_files(own_folder)
    identifier = "-".join(word.lower().replace("_", " ").split())
    if identifier in files:
        return identifier
    names = _names(files)
    wanted = _letters(word)
    same = sorted({found for name, found in names if wanted and _letters(name) == wanted})
    if len(same) == 1:
        return same[0]
    if same:
        raise Refusal(
            f"'{printable(word, 60)}' is the name of more than one species",
            f"Write one of these: {', '.join(same)}.",
        )
    offers = _offers(word, names) or {found: "" for found in closest_ids(word, files)}
    shown = ", ".join(f"{found} ({name})" if name else found for found, name in offers.items())
    hint = f"Did you mean {shown}? " if shown else ""
    raise Refusal(
        f"there is no profile of '{printable(word, 60)}'",
        f"{hint}`advisor species list` shows all; `advisor species new` starts a profile of your own.",
    )


def _names(files: dict[str, Path]) -> list[tuple[str, str]]:
    """Common and former names with their ids."""
    return [
        (name, identifier)
        for identifier, path in files.items()
        for names in (names_in(path),)
        for name in (*names.common, *names.former)
    ]


def _letters(name: str) -> str:
    """A name without spaces, hyphens, apostrophes and the ending of a plural."""
    return re.sub(r"[^a-z]", "", name.lower()).removesuffix("s")


def _offers(word: str, names: list[tuple[str, str]]) -> dict[str, str]:
    """Ids with the name that comes near: those that hold the word; else by spelling, by a shared word, by a part of the id."""
    named = [
        *names,
        *(
            (identifier.replace("-", " "), identifier)
            for identifier in dict.fromkeys(found for _, found in names)
        ),
    ]
    spelled = difflib.get_close_matches(
        word.lower()[:60], [name.lower() for name, _ in named], n=3, cutoff=0.75
    )
    shared = [name.lower() for name, _ in named if _words(word) & _words(name)]
    offers: dict[str, str] = {}
    part = _letters(word)
    if len(part) >= LEAST_PART:
        for name, identifier in named:
            if part in _letters(name) and len(offers) < MOST_OFFERED:
                offers.setdefault(identifier, name)
    if offers:
        return offers
    for near in (*spelled, *shared):
        for name, identifier in named:
            if name.lower() == near and len(offers) < MOST_OFFERED:
                offers.setdefault(identifier, name)
    return offers


def _words(name: str) -> set[str]:
    return {part.removesuffix("s") for part in re.findall(r"[a-z]{4,}", name.lower())}
