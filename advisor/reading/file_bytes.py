"""The bytes of one input file, of an ordinary kind and size only."""

from pathlib import Path

from advisor.reading.problems import file_problem

LARGEST_FILE = 256_000  # bytes; the longest shipped profile is under 30 000


def read_bytes(path: Path) -> bytes:
    """The bytes of an ordinary file of usual size; raises `InputError` for all else: a pipe would hang, a film fill the memory."""
    try:
        if path.is_dir():
            raise file_problem(path, "is a folder, a file is needed", "Name the YAML file inside it.")
        if not path.is_file() and path.exists():
            raise file_problem(path, "is not an ordinary file", "Name a YAML file.")
        size = path.stat().st_size
        if size > LARGEST_FILE:
            raise file_problem(
                path,
                f"is too large: {size} bytes, at most {LARGEST_FILE} are read",
                "A plan has a few kilobytes. Is this the right file?",
            )
        return path.read_bytes()
    except FileNotFoundError as error:
        told = "is a link that leads nowhere" if path.is_symlink() else "there is no such file"
        raise file_problem(path, told, "Check the name and the folder you are in.") from error
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "the name cannot be used"
        raise file_problem(path, f"cannot be read: {reason}") from error
