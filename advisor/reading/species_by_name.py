"""The species a keeper means: by id, scientific, common or former name, with near names when there is none such."""

import re
from collections.abc import Iterable
from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from advisor.model.plan import Clutch
from advisor.model.species import Species
from advisor.reading.names import profile_files
from advisor.reading.problems import printable
from advisor.reading.quantities import Refusal
from advisor.reading.species import closest_ids, known_names, load_species

MOST_OFFERED = 6
LEAST_PART = 5  # letters of a name from which a part of it says which species may be meant


class Named(Struct, frozen=True):
    """A species by the id of its profile, and by the name it was called; None where that was the id."""

    id: str
    called: str | None = None


def species_named(word: str, own_folder: Path | None = None) -> str:
    """The id of the species that is named; raises `Refusal` that offers the ids closest to the word."""
    return named(word, profile_files(own_folder)).id


def named(word: str, files: dict[str, Path], offering: bool = True) -> Named:
    """The species that is named, with the profile's spelling of that name; raises `Refusal`, with near names if `offering`."""
    identifier = "-".join(word.lower().replace("_", " ").split())
    if identifier in files:
        return Named(
            identifier, known_names(files[identifier]).scientific or None if " " in word.strip() else None
        )
    names = _names(files)
    wanted = _letters(word)
    # The last one stands: the name as it is typed, else the profile's first that reads the same.
    alike = [(name, found) for name, found in reversed(names) if wanted and _letters(name) == wanted]
    same = {
        found: name for name, found in sorted(alike, key=lambda one: one[0].lower() == word.strip().lower())
    }
    if len(same) == 1:
        return Named(*next(iter(same.items())))
    shown = printable(word, 60)
    if same:
        raise Refusal(
            f"'{shown}' is the name of more than one species",
            f"Write one of these: {', '.join(sorted(same))}.",
        )
    raise Refusal(f"there is no profile of '{shown}'", _hint(word, names, files) if offering else "")


def profile_called(word: str, own_folder: Path | None = None) -> Species:
    """The profile of the species that is named, called by that name; raises `Refusal`."""
    found = named(word, profile_files(own_folder))
    return _called(load_species(found.id, own_folder), found.called)


def profiles_of(clutches: Iterable[Clutch], own_folder: Path | None = None) -> dict[str, Species]:
    """The profiles of a plan's clutches by id, each read once and called as the plan calls it first."""
    called: dict[str, str | None] = {}
    for clutch in clutches:
        called[clutch.species] = called.get(clutch.species) or clutch.called
    return {
        identifier: _called(load_species(identifier, own_folder), name) for identifier, name in called.items()
    }


def _called(species: Species, name: str | None) -> Species:
    """The profile with a name before its others."""
    if name is None:
        return species
    return replace(species, common=(name, *(other for other in species.common if other != name)))


def _hint(word: str, names: list[tuple[str, str]], files: dict[str, Path]) -> str:
    offers = _offers(word, names) or {found: "" for found in closest_ids(word, files)}
    shown = ", ".join(
        f"{found} ({name})" if name and name.replace(" ", "-") != found else found
        for found, name in offers.items()
    )
    hint = f"Did you mean {shown}? " if shown else ""
    return f"{hint}`advisor species list` shows all; `advisor species new` starts a profile of your own; --species FOLDER reads it."


def _names(files: dict[str, Path]) -> list[tuple[str, str]]:
    """Common and former names with their ids."""
    known = [(known_names(path), identifier) for identifier, path in files.items()]
    return [(name, identifier) for names, identifier in known for name in (*names.common, *names.former)]


def _letters(name: str) -> str:
    """A name without article, spaces, hyphens, and the ending of an owner or a plural: "Horsfield's" is "horsfield"."""
    plain = re.sub(r"^(?:a|an|the)\s+|['’]?s\b", "", name.lower())
    return re.sub(r"[^a-z]", "", plain)


def _offers(word: str, names: list[tuple[str, str]]) -> dict[str, str]:
    """Ids with the name that comes near: those that hold the word; else by spelling, by a shared word, by a part of the id."""
    import difflib

    listed = [
        *names,
        *(
            (identifier.replace("-", " "), identifier)
            for identifier in dict.fromkeys(found for _, found in names)
        ),
    ]
    spelled = difflib.get_close_matches(
        word.lower()[:60], [name.lower() for name, _ in listed], n=3, cutoff=0.75
    )
    shared = [name.lower() for name, _ in listed if _words(word) & _words(name)]
    offers: dict[str, str] = {}
    part = re.sub("ies?$", "", _letters(word))  # a pet name: beardie, crestie
    if len(part) >= LEAST_PART:
        for name, identifier in listed:
            if part in _letters(name) and len(offers) < MOST_OFFERED:
                offers.setdefault(identifier, name)
    if offers:
        return offers
    for near in (*spelled, *shared):
        for name, identifier in listed:
            if name.lower() == near and len(offers) < MOST_OFFERED:
                offers.setdefault(identifier, name)
    return offers


def _words(name: str) -> set[str]:
    return {part.removesuffix("s") for part in re.findall(r"[a-z]{4,}", name.lower())}
