"""Names of the species for a quick list: ids from file names, common names from one line of each file."""

import os
import re
from collections.abc import Iterator
from pathlib import Path

from advisor.paths import species_folder

NAME_ONE = "Name the folder that holds your species profiles."
NO_PROFILES = ("sources.yaml", "TEMPLATE.yaml")
_COMMON = re.compile(r"common:\s*\[([^\]]*)\]")


def profile_files(own_folder: Path | None = None) -> dict[str, Path]:
    """Profile files by species id; the keeper's own folder (if given) goes before the shipped one."""
    from advisor.reading.problems import file_problem

    files: dict[str, Path] = {}
    for folder in (own_folder, species_folder()):
        if folder is None:
            continue
        try:
            found = os.listdir(folder)
        except NotADirectoryError as error:
            raise file_problem(folder, "is not a folder", NAME_ONE) from error
        except (OSError, ValueError) as error:
            reason = getattr(error, "strerror", None) or "the name cannot be used"
            raise file_problem(folder, f"cannot be read: {reason}", NAME_ONE) from error
        for name in found:
            if name.endswith(".yaml") and name not in NO_PROFILES:
                files.setdefault(name.removesuffix(".yaml"), folder / name)
    return dict(sorted(files.items()))


def listed_names(own_folder: Path | None = None) -> Iterator[tuple[str, str]]:
    """Each species id with its common names (empty when the file does not hold them on one line)."""
    from advisor.reading.file_bytes import read_bytes

    for identifier, path in profile_files(own_folder).items():
        found = _COMMON.search(read_bytes(path).decode("utf-8", errors="replace"))
        yield identifier, " ".join(found[1].split()) if found else ""
