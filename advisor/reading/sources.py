"""The bibliography species/sources.yaml: what every key stands for and how it is known."""

from functools import cache
from pathlib import Path

from msgspec import Struct

from advisor.paths import species_folder
from advisor.reading.problems import InputError
from advisor.reading.yaml_text import read_yaml


class Source(Struct, frozen=True):
    """One bibliography entry: citation, how known (published, from memory, common practice), through which compilation."""

    key: str
    cite: str
    known: str
    via: str | None = None
    note: str = ""


def read_sources(path: Path, check: bool = True) -> dict[str, Source]:
    """The bibliography by key; without `check`, the file is trusted as the shipped one is. Raises `InputError`."""
    document = read_yaml(path, shipped=not check)
    if check:
        from advisor.reading.schema_check import schema_problems

        problems = schema_problems(document, "sources")
        if problems:
            raise InputError(problems)
    return {key: Source(key, **entry) for key, entry in document.data["sources"].items()}


@cache
def shipped_sources() -> dict[str, Source]:
    """The shipped bibliography."""
    return read_sources(species_folder() / "sources.yaml", check=False)


def sources_for(folder: Path | None) -> dict[str, Source]:
    """The shipped bibliography with what a keeper's own folder adds in its own sources.yaml; raises `InputError`."""
    own = folder / "sources.yaml" if folder is not None else None
    if own is None or not own.is_file() or own.resolve() == (species_folder() / "sources.yaml").resolve():
        return shipped_sources()
    return shipped_sources() | read_sources(own)
