"""The plan files of one folder: named, read, saved with the text before kept, and given back.

No name leads out of the folder. A save names the text that was seen: what someone else wrote since is never overwritten.
What a save replaces lies in the folder's `.advisor-undo`, so that an undo outlives the program.
"""

import hashlib
import re
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from advisor.papers.files import write_file
from advisor.reading.file_bytes import LARGEST_FILE, read_bytes
from advisor.reading.problems import file_problem

KEPT = ".advisor-undo"
MOST_KEPT = 200  # texts of one plan; judgement
_NAME = re.compile(r"[^\W_][^/\\:*?\"<>|\x00-\x1f\x7f]{0,99}\.ya?ml")
# names that Windows keeps for devices
_DEVICES = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)\.", re.IGNORECASE)


class NoSuchPlan(Exception):
    """A name that is no plan file of the folder."""


class ChangedSince(Exception):
    """The file is no longer the one that was seen: nothing was written."""


def plan_names(folder: Path) -> list[str]:
    """The names of the plan files, in order."""
    return sorted(entry.name for entry in folder.iterdir() if _is_plan(folder, entry.name))


def plan_path(folder: Path, name: str) -> Path:
    """The file of a name; raises `NoSuchPlan`."""
    if not _is_plan(folder, name):
        raise NoSuchPlan(name)
    return folder / name


def _is_plan(folder: Path, name: str) -> bool:
    if not sound_name(name):
        return False
    path = folder / name
    try:
        return path.is_file() and path.resolve().is_relative_to(folder.resolve())
    except (OSError, ValueError):
        return False


def sound_name(name: str) -> bool:
    """Whether a plan file may have this name."""
    return bool(_NAME.fullmatch(name)) and not _DEVICES.match(name)


def mark_of(content: bytes) -> str:
    """What tells one text from every other."""
    return hashlib.sha256(content).hexdigest()


def new_plan(folder: Path, name: str, content: bytes) -> None:
    """Writes a new file; raises `InputError` when there is one of that name, or none can be written."""
    if not sound_name(name):
        raise file_problem(
            Path(name),
            "is no name for a plan",
            "Letters, digits, spaces and hyphens, for example spare-room.yaml.",
        )
    write_file(folder / name, content)


def save(folder: Path, name: str, content: bytes, seen: str) -> None:
    """Replaces the text that was seen, and keeps it; raises `ChangedSince`, `NoSuchPlan`, `InputError`."""
    if len(content) > LARGEST_FILE:
        raise file_problem(Path(name), f"would be too large: at most {LARGEST_FILE} bytes are kept")
    path = plan_path(folder, name)
    with _alone(folder):
        now = _as_seen(path, seen)
        if now == content:
            return
        _keep(folder, name, "before", now)
        write_file(path, content, force=True)
        for undone in _kept(folder, name, "after"):
            undone.unlink()


def step_back(folder: Path, name: str, seen: str, again: bool = False) -> None:
    """Takes the last save back, or makes it again; raises what `save` does. Nothing happens when there is none."""
    taken, given = ("after", "before") if again else ("before", "after")
    path = plan_path(folder, name)
    with _alone(folder):
        now = _as_seen(path, seen)
        texts = _kept(folder, name, taken)
        if not texts:
            return
        _keep(folder, name, given, now)
        write_file(path, read_bytes(texts[-1]), force=True)
        texts[-1].unlink()


def text_before(folder: Path, name: str, again: bool = False) -> bytes | None:
    """The text that `step_back` would bring, if there is one."""
    texts = _kept(folder, name, "after" if again else "before")
    return read_bytes(texts[-1]) if texts else None


def _as_seen(path: Path, seen: str) -> bytes:
    now = read_bytes(path)
    if mark_of(now) != seen:
        raise ChangedSince(path.name)
    return now


def _store(folder: Path) -> Path:
    store = folder / KEPT
    if store.is_symlink() or (store.exists() and not store.is_dir()):
        raise file_problem(store, "is no folder of ours; nothing was written", "Move it away.")
    return store


def _kept(folder: Path, name: str, kind: str) -> list[Path]:
    """Texts of a plan that were kept, the last one last."""
    shelf = _store(folder) / name / kind
    return sorted(shelf.glob("*.yaml")) if shelf.is_dir() and not shelf.is_symlink() else []


def _keep(folder: Path, name: str, kind: str, content: bytes) -> None:
    texts = _kept(folder, name, kind)
    shelf = _store(folder) / name / kind
    try:
        shelf.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise file_problem(shelf, f"cannot be written: {error.strerror}", "Nothing was saved.") from error
    number = int(texts[-1].stem) + 1 if texts else 1
    write_file(shelf / f"{number:08d}.yaml", content)
    for old in texts[: max(len(texts) + 1 - MOST_KEPT, 0)]:
        old.unlink()


@contextmanager
def _alone(folder: Path) -> Iterator[None]:
    """Keeps every other save in this folder waiting, also those of another process; the system lets go when one dies."""
    store = _store(folder)
    try:
        store.mkdir(exist_ok=True)
        lock = (store / "lock").open("a+b")
    except OSError as error:
        raise file_problem(store, f"cannot be written: {error.strerror}", "Nothing was saved.") from error
    with lock:
        if sys.platform == "win32":
            import msvcrt

            lock.seek(0)
            msvcrt.locking(lock.fileno(), msvcrt.LK_LOCK, 1)
        else:
            import fcntl

            fcntl.flock(lock, fcntl.LOCK_EX)
        yield
