"""Writes several files into one folder: all of them or none."""

import contextlib
import os
import shutil
import tempfile
from collections.abc import Mapping
from pathlib import Path

from advisor.reading.problems import file_problem


def write_folder(folder: Path, files: Mapping[str, str], force: bool = False) -> None:
    """Writes all files or none; an existing file is replaced only when asked. Raises `InputError` with one clear line."""
    if folder.exists() and not folder.is_dir():
        raise file_problem(folder, "is a file, a folder is needed", "Name another folder.")
    there = [name for name in files if os.path.lexists(folder / name)]
    for name in there:
        if (folder / name).is_dir():
            raise file_problem(
                folder / name,
                "is a folder, and a file goes here; nothing was written",
                "Name another folder.",
            )
    if there and not force:
        raise file_problem(
            folder / there[0],
            "exists already; nothing was written",
            "Add --force to replace it, or name another folder.",
        )
    try:
        with tempfile.TemporaryDirectory(dir=folder.parent, prefix=f".{folder.name[:40]}.") as temporary:
            _write_beside(Path(temporary), folder, files)
    except OSError as error:
        raise file_problem(
            folder,
            f"cannot be written: {error.strerror or error}",
            "Nothing was written. Check the folder and the space on the disk.",
        ) from error


def _write_beside(beside: Path, folder: Path, files: Mapping[str, str]) -> None:
    """Writes everything to a folder beside, then moves it into place; when a move fails, all moves are taken back."""
    new, old = beside / "new", beside / "old"
    new.mkdir()
    old.mkdir()
    for name, content in files.items():
        (new / name).write_text(content, encoding="utf-8", newline="\n")
    made = not folder.exists()
    folder.mkdir(exist_ok=True)
    moved: list[str] = []
    try:
        for name in files:
            if (folder / name).exists():
                shutil.move(folder / name, old / name)
            moved.append(name)
            os.replace(new / name, folder / name)
    except OSError:
        for name in moved:
            with contextlib.suppress(OSError):
                (folder / name).unlink(missing_ok=True)
                if (old / name).exists():
                    shutil.move(old / name, folder / name)
        if made:
            with contextlib.suppress(OSError):
                folder.rmdir()
        raise
