"""Names of the species: ids from file names, the others from each profile's `names`, which YAML is loaded for only in need."""

import os
import re
from collections.abc import Iterator
from pathlib import Path

from msgspec import Struct

from advisor.paths import species_folder

NAME_ONE = "Name the folder that holds your species profiles."
NO_PROFILES = ("sources.yaml", "TEMPLATE.yaml")
# A name that any YAML reads as it stands: letters, spaces and a few signs that mean nothing there.
_NAME = r"[^\W\d_](?:[^\W_]|[ '.()-])*"
_LIST = rf"\[(?:{_NAME}(?:, {_NAME})*)?\]"
# The shipped profiles' two forms, in braces or on lines of their own, in front of any entry that could hold more text.
_PLAIN_HEAD = re.compile(
    r"(?:#[^\n]*\n|\n|(?:format|id|group|reviewed): [\w-]+\n)*"
    rf"names:(?: (?P<braces>\{{)|\n  )scientific: (?P<scientific>{_NAME})"
    rf"(?(braces), |\n  )common: (?P<common>{_LIST})"
    rf"(?:(?(braces), |\n  )former: (?P<former>{_LIST}))?(?(braces)\}})\n(?=\S|\Z)"
)
_WORDS_OF_YAML = {"true", "false", "null"}


class Names(Struct, frozen=True):
    """What a profile calls its species."""

    scientific: str = ""
    common: tuple[str, ...] = ()
    former: tuple[str, ...] = ()


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


def names_in(path: Path) -> Names:
    """The names in a profile, as its YAML says; none where that cannot be read or holds none.

    Raises `InputError` for what is no ordinary, readable file of a sound size.
    """
    from advisor.reading.file_bytes import read_bytes

    # What is no UTF-8 only makes the plain form fail.
    found = _PLAIN_HEAD.match(read_bytes(path).decode("utf-8", errors="replace"))
    if found:
        names = Names(found["scientific"], _listed(found["common"]), _listed(found["former"] or "[]"))
        if not _WORDS_OF_YAML & {names.scientific, *names.common, *names.former}:
            return names
    return _read_in_full(path)


def _listed(text: str) -> tuple[str, ...]:
    return tuple(name.strip() for name in text[1:-1].split(",") if name)


def _read_in_full(path: Path) -> Names:
    from advisor.reading.problems import InputError
    from advisor.reading.yaml_text import read_yaml

    try:
        data = read_yaml(path).data
    except InputError:
        return Names()
    block = data.get("names") if isinstance(data, dict) else None
    if not isinstance(block, dict):
        return Names()
    common, former = (block.get(key) for key in ("common", "former"))
    return Names(
        str(block.get("scientific") or ""),
        tuple(map(str, common)) if isinstance(common, list) else (),
        tuple(map(str, former)) if isinstance(former, list) else (),
    )


def listed_names(own_folder: Path | None = None) -> Iterator[tuple[str, str]]:
    """Each species id with its common names, joined by commas."""
    for identifier, path in profile_files(own_folder).items():
        yield identifier, ", ".join(names_in(path).common)
