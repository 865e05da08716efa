"""Writes output files: beside the target first, then moved into place; an existing file is replaced only when asked."""

import os
import tempfile
from pathlib import Path

from advisor.reading.problems import file_problem

MOST_OLD = 2_000_000  # bytes of a calendar that is replaced
ANOTHER = "Add --force to replace it, or name another file."


def write_file(path: Path, content: str | bytes, force: bool = False) -> None:
    """Writes a whole file or nothing; raises `InputError` with one clear line when that is not possible."""
    data = content.encode("utf-8") if isinstance(content, str) else content
    temporary: str | None = None
    try:
        check_target(path, force)
        handle, temporary = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name[:40]}.", suffix=".part")
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            # A full disk may show only now; then the old file still stands.
            os.fsync(file.fileno())
        os.chmod(temporary, _mode_of(path))
        _put(Path(temporary), path, force)
    except OSError as error:
        if temporary is not None:
            Path(temporary).unlink(missing_ok=True)
        if isinstance(error, FileExistsError):
            raise file_problem(path, "exists since a moment ago; nothing was written", ANOTHER) from error
        raise file_problem(
            path,
            f"cannot be written: {error.strerror or error}",
            "Nothing was written. Check the folder and the space on the disk.",
        ) from error


def check_target(path: Path, force: bool) -> None:
    """Refuses a folder, and without `force` a file that exists; raises `InputError`."""
    if path.is_dir():
        raise file_problem(path, "is a folder", "Name a file in it.")
    if os.path.lexists(path) and not force:
        raise file_problem(path, "exists already; nothing was written", ANOTHER)


def read_old(path: Path) -> bytes | None:
    """The bytes of the file that is about to be replaced; None when there is none, or none of a usual size."""
    try:
        return path.read_bytes() if path.is_file() and path.stat().st_size <= MOST_OLD else None
    except OSError:
        return None


def _put(written: Path, path: Path, force: bool) -> None:
    """Moves a written file into place; without `force`, raises FileExistsError when another was quicker."""
    if force:
        os.replace(written, path)
        return
    try:
        os.link(written, path)
        written.unlink()
    except FileExistsError:
        raise
    except OSError:  # no hard links here: the name is taken first, then the file is moved onto it
        os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY))
        try:
            os.replace(written, path)
        except OSError:
            path.unlink()
            raise


def _mode_of(path: Path) -> int:
    """The mode of the file that is replaced, or that of a new file."""
    return path.stat().st_mode & 0o777 if path.exists() else 0o666 & ~_umask()


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
