"""Species profiles: reading one or several, and saying which ids come near a word."""

from collections.abc import Iterable
from functools import cache
from pathlib import Path

from advisor.model.species import Species
from advisor.reading.names import profile_files
from advisor.reading.problems import InputError
from advisor.reading.schema_check import nearest
from advisor.reading.species_build import build_species
from advisor.reading.species_lints import check_profile
from advisor.reading.yaml_text import read_yaml


def load_species(identifier: str, own_folder: Path | None = None) -> Species:
    """The profile of one species; raises `KeyError` when there is none and `InputError` when an own file is faulty.

    Shipped profiles are validated by the tests; only the keeper's own files are held against schema and lints here.
    """
    path = profile_files(own_folder)[identifier]
    if own_folder is not None and path.parent == own_folder:
        return check_profile(path)
    return _shipped(path)


@cache
def _shipped(path: Path) -> Species:
    return build_species(read_yaml(path, shipped=True))


def load_all(identifiers: Iterable[str], own_folder: Path | None = None) -> dict[str, Species]:
    """The profiles of several species by id; each is read once."""
    return {identifier: load_species(identifier, own_folder) for identifier in dict.fromkeys(identifiers)}


def closest_ids(word: str, files: dict[str, Path]) -> list[str]:
    """Up to three ids that come near a word: by spelling, or by a common or former name in the profiles."""
    import difflib

    wanted = "-".join(word.lower().replace("_", " ").split())[:100]
    near = difflib.get_close_matches(wanted, list(files), n=3, cutoff=0.6)
    if near:
        return near
    names: dict[str, str] = {}
    for identifier, path in files.items():
        try:
            entry = read_yaml(path).data["names"]
            for name in (*entry["common"], *entry.get("former", ())):
                names[str(name).lower()] = identifier
        except (InputError, KeyError, TypeError):
            continue
    found = nearest(word.lower(), list(names))
    return [names[found]] if found else []
