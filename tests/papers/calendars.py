"""The calendar file read back by a strict parser by RFC 5545, written here."""

import datetime
import re
from dataclasses import dataclass, field
from pathlib import Path

from click.testing import CliRunner, Result

from advisor.cli import main
from tests.support import ROOT

FIRST = ROOT / "examples" / "first-season.yaml"


@dataclass
class Component:
    """A block between BEGIN and END: properties as name to (parameters, unescaped text), and blocks inside it."""

    name: str
    properties: dict[str, tuple[dict[str, str], str]] = field(default_factory=dict)
    inside: list["Component"] = field(default_factory=list)

    def text(self, name: str) -> str:
        return self.properties[name][1]


def content_lines(data: bytes) -> list[str]:
    """Unfolded lines by RFC 5545 section 3.1; every rule of that section is asserted."""
    assert data.endswith(b"\r\n")
    raw = data[:-2].split(b"\r\n")
    assert not any(b"\r" in line or b"\n" in line for line in raw), "a line ends in CRLF and nothing else"
    assert max(len(line) for line in raw) <= 75, "a line has at most 75 octets without its break"
    lines: list[bytes] = []
    for line in raw:
        line.decode("utf-8")  # folded between characters, as the section's note asks
        if line.startswith((b" ", b"\t")):
            lines[-1] += line[1:]
        else:
            lines.append(line)
    return [line.decode("utf-8") for line in lines]


def unescaped(text: str) -> str:
    """The TEXT value type, section 3.3.11; a backslash before anything else, or a bare comma, is a fault."""
    parts = re.findall(r"\\(?:[\\;,nN])|[^\\;,\r\n]", text)
    assert "".join(parts) == text, f"wrongly escaped: {text!r}"
    signs = {"\\\\": "\\", "\\;": ";", "\\,": ",", "\\n": "\n", "\\N": "\n"}
    return "".join(signs.get(part, part) for part in parts)


TEXTS = ("SUMMARY", "DESCRIPTION", "UID", "PRODID", "X-WR-CALNAME", "ACTION")


def parsed(data: bytes) -> Component:
    """The calendar as a tree; begin and end must match (section 3.4, 3.6)."""
    root = Component("")
    open_blocks = [root]
    for line in content_lines(data):
        found = re.fullmatch(r'([A-Z0-9-]+)((?:;[A-Z0-9-]+=(?:"[^"]*"|[^";:,]*))*):(.*)', line, re.DOTALL)
        assert found, line
        name, parameters, value = found.groups()
        if name == "BEGIN":
            block = Component(value)
            open_blocks[-1].inside.append(block)
            open_blocks.append(block)
        elif name == "END":
            assert open_blocks.pop().name == value
        else:
            assert name not in open_blocks[-1].properties, f"{name} stands twice"
            pairs = dict(part.split("=", 1) for part in parameters.split(";")[1:])
            open_blocks[-1].properties[name] = (pairs, unescaped(value) if name in TEXTS else value)
    assert open_blocks == [root]
    (calendar,) = root.inside
    return calendar


def written(plan: Path, folder: Path, *options: str) -> bytes:
    target = folder / "season.ics"
    result = run("calendar", plan, "-o", target, "--date", "2027-04-01", "--force", *options)
    assert result.exit_code == 0, result.output
    return target.read_bytes()


def run(*arguments: str | Path) -> Result:
    return CliRunner().invoke(main, [str(argument) for argument in arguments])


def day(value: str) -> datetime.date:
    return datetime.datetime.strptime(value, "%Y%m%d").date()


def changed(folder: Path, old: str, new: str, base: Path = FIRST) -> Path:
    text = base.read_text("utf-8")
    assert old in text
    plan = folder / base.name
    plan.write_text(text.replace(old, new), "utf-8")
    return plan
