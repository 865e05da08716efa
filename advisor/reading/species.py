"""Species profiles: reading one or several, and saying which ids come near a word."""

from functools import cache, lru_cache
from pathlib import Path

from advisor.model.species import Species
from advisor.reading.names import Names, names_in, profile_files
from advisor.reading.problems import InputError
from advisor.reading.species_build import build_species
from advisor.reading.species_lints import check_profile
from advisor.reading.words import nearest
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


def closest_ids(word: str, files: dict[str, Path]) -> list[str]:
    """Up to three ids that come near a word: by spelling, or by a common or former name in the profiles."""
    import difflib

    wanted = "-".join(word.lower().replace("_", " ").split())[:100]
    near = difflib.get_close_matches(wanted, list(files), n=3, cutoff=0.6)
    if near:
        return near
    names = {
        name.lower(): identifier
        for identifier, path in files.items()
        for name in (*known_names(path).common, *known_names(path).former)
    }
    found = nearest(word.lower(), list(names))
    return [names[found]] if found else []


def known_names(path: Path) -> Names:
    """The names in a profile; none when it cannot be read."""
    return _names_in(path, path.stat().st_mtime_ns if path.is_file() else 0)


@lru_cache(maxsize=500)
def _names_in(path: Path, _changed: int) -> Names:
    """As `known_names`, of a file that was last changed at a time."""
    try:
        return names_in(path)
    except InputError:
        return Names()
