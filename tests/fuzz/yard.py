"""A keeper's folder to try one input in: the plan and what lies beside it, and a watch on all that is written."""

import os
import random
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from tests.fuzz.damage import PLANS, damaged
from tests.support import ROOT

SECRET = "SECRET-BESIDE-THE-FOLDER"
LIVE = "'\"><zz-live onzz=1><script>zz()</script>"  # markup that no page may let live
LOGS = [path.read_bytes() for path in sorted((ROOT / "examples" / "logs").glob("*.csv"))]
HAPPENED = (ROOT / "examples" / "logs" / "season-happened.yaml").read_bytes()
OWN = (ROOT / "species" / "pantherophis-guttatus.yaml").read_bytes()
ODD = (
    "",
    "-",
    "\u202e",
    "\x1b[31m",
    LIVE,
    "9" * 400,
    "-1",
    "nan",
    "1e999",
    "é" * 200,
    "[" * 50,
    "..",
    "\udc80",
)
WRITES = os.O_WRONLY | os.O_RDWR | os.O_CREAT | os.O_TRUNC
MOVES = frozenset(
    {"os.mkdir", "os.rename", "os.remove", "os.rmdir", "os.link", "os.symlink", "os.truncate", "os.chmod"}
)
OUTWARD = frozenset({"subprocess.Popen", "os.system", "socket.connect", "socket.getaddrinfo"})

_watched: list[Path] = []  # the folder that may be written to, while one input is tried
_outside: list[str] = []


def _watch(event: str, arguments: tuple[Any, ...]) -> None:
    if not _watched:
        return
    if event in OUTWARD:
        _outside.append(f"{event} {arguments[:2]}")
    if event == "open":
        places = arguments[:1] if isinstance(arguments[2], int) and arguments[2] & WRITES else ()
    else:
        places = arguments[: 2 if event in ("os.rename", "os.link") else 1] if event in MOVES else ()
    for place in places:
        if isinstance(place, str | bytes | os.PathLike):
            whole = os.path.abspath(os.fsdecode(place))
            if not Path(whole).is_relative_to(_watched[0]) and whole != os.devnull:
                _outside.append(f"{event} {whole}")


sys.addaudithook(_watch)


@contextmanager
def yard(plan: bytes, chance: random.Random) -> Iterator[Path]:
    """The folder, with the plan, a sound one, a log, notes and a profile in it; raises RuntimeError on writing outside of it."""
    before, spool, compiled = Path.cwd(), tempfile.tempdir, sys.dont_write_bytecode
    with tempfile.TemporaryDirectory() as around:
        (Path(around) / "secret.yaml").write_text(f"format: 1\ntitle: {SECRET}\n", "utf-8")
        home = Path(around).resolve() / "home"
        for folder in ("profiles", "spool"):
            (home / folder).mkdir(parents=True)
        happened, profile = (
            one if chance.random() < 0.5 else damaged(one, chance) for one in (HAPPENED, OWN)
        )
        for name, content in (
            ("plan.yaml", plan),
            ("sound plan.yaml", chance.choice(PLANS)),
            ("log.csv", drawn_log(chance)),
            ("happened.yaml", happened),
            ("profiles/pantherophis-guttatus.yaml", profile),
        ):
            (home / name).write_bytes(content)
        (home / "outside.yaml").symlink_to("../secret.yaml")
        _outside.clear()
        os.chdir(home)
        tempfile.tempdir = str(home / "spool")
        sys.dont_write_bytecode = True  # the interpreter's own writing is none of the program's
        _watched.append(home)
        try:
            yield home
        finally:
            _watched.clear()
            sys.dont_write_bytecode, tempfile.tempdir = compiled, spool
            os.chdir(before)
    if _outside:
        raise RuntimeError(f"reached outside of the folder: {_outside[:3]}")


def files_of(home: Path) -> dict[str, bytes]:
    """What lies in the folder now; what is kept for an undo is not part of it."""
    return {
        str(path.relative_to(home)): path.read_bytes()
        for path in home.rglob("*")
        if path.is_file() and not path.is_symlink() and not {".advisor-undo", "spool"} & set(path.parts)
    }


def drawn_log(chance: random.Random) -> bytes:
    """A piece of a good log, at times as another logger would write it, at times damaged."""
    head, *rows = chance.choice(LOGS).split(b"\n")
    first = chance.randrange(len(rows) // 2)
    content = b"\n".join([head, *rows[first : first + chance.choice((3, 60, 300, len(rows)))]])
    for old, new in ((b",", b";"), (b".", b","), (b",", b"\t"), (b" (\xc2\xb0C)", b""), (b"\xc2\xb0C", b"\xc2\xb0F"), (b"\n", b"\r\n"), (b"2027-05-", b"05/"), (b"-", b"/")):  # fmt: skip
        if chance.random() < 0.1:
            content = content.replace(old, new)
    if chance.random() < 0.1:
        content = content.decode("utf-8", "replace").encode("utf-16")
    return damaged(content, chance) if chance.random() < 0.5 else content
