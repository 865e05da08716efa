"""Names of the species for a quick list: ids from file names, common names from one line of each file."""

import os
import re
from collections.abc import Iterator
from pathlib import Path

from advisor.paths import species_folder

NO_PROFILES = ("sources.yaml", "TEMPLATE.yaml")
_COMMON = re.compile(r"common:\s*\[([^\]]*)\]")


def profile_files(own_folder: Path | None = None) -> dict[str, Path]:
    """Profile files by species id; the keeper's own folder (if given) goes before the shipped one."""
    from advisor.reading.problems import file_problem

    files: dict[str, Path] = {}
    for folder in (own_folder, species_folder()):
        if folder is None:
            continue
        if not folder.is_dir():
            raise file_problem(folder, "is not a folder", "Name the folder that holds your species profiles.")
        for name in os.listdir(folder):
            if name.endswith(".yaml") and name not in NO_PROFILES:
                files.setdefault(name.removesuffix(".yaml"), folder / name)
    return dict(sorted(files.items()))


def listed_names(own_folder: Path | None = None) -> Iterator[tuple[str, str]]:
    """Each species id with its common names (empty when the file does not hold them on one line)."""
    for identifier, path in profile_files(own_folder).items():
        found = _COMMON.search(path.read_text(encoding="utf-8", errors="replace"))
        yield identifier, " ".join(found[1].split()) if found else ""
