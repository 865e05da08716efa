"""Draws lines for every command from the commands themselves, so that a new option is tried from its first day."""

import json
import random
import unicodedata
from collections.abc import Iterator
from html.parser import HTMLParser
from typing import Any
from unittest.mock import patch

import click
from click.testing import CliRunner

from advisor.cli import main
from advisor.commands.common import NamedPath
from advisor.interview.new_plan import plan_questions
from advisor.interview.new_species import species_questions
from advisor.interview.questions import Question
from tests.fuzz.yard import ODD, files_of, yard

READ = {"plan": "plan.yaml", "log": "log.csv", "happened": "happened.yaml", "own": "profiles", "folder": "."}
WRITTEN = (
    "paper.html",
    "paper.md",
    "dates.ics",
    "whole.yaml",
    "lacerta-agilis.yaml",
    "night",
    "plan.yaml",
    "log.csv",
)
TEXTS: dict[str, tuple[str, ...]] = {
    "sensors": ("T1=egg box medium", "T2=room", "Heater=heater on", "T1=air above", "T2=heater"),
    "ratio": ("4:1", "1:1", "0.5:2", "1:0", "100:1"),
    "amount": ("3 litres", "250 g", "2 cups", "0 g"),
    "litre_mass": ("80 g", "1 g", "2 kg"),
    "box": ("eggs", "eggs 1", "box 0", "Kiste"),
    "day": ("2027-04-01", "1970-01-01", "2199-12-31", "20"),
    "keep": ("heat.source,outer_box", "egg_boxes[0].lid", "clutches", "nothing.here"),
    "named": ("leopard gecko", "testudo-hermanni", "corn snake"),
    "identifier": ("pantherophis-guttatus", "lacerta-agilis", "chrysemys-picta", "royal python"),
    "identifiers": ("pantherophis-guttatus", "pogona-vitticeps", "testudo-hermanni"),
    "rule_id": ("air-no-holes", "heat-from-below-wet-medium", "moisture-mix-too-short"),
    "why": ("air-no-holes", "moisture-mix-too-short"),
    "starts": ("2027-04-20 18:00",),
}  # fmt: skip
MASSES = ("640 g", "90 g", "0 g", "1 lb", "2.5 kg", "612 g")
SELDOM = {"lesson": 0.1, "new": 0.4, "suggest": 0.4}  # what takes long is tried less often
MOST_LINES = 60  # of what is wrong with a file: the reader tells 20 faults, each with its hint


def leaves(
    command: click.Command, way: tuple[str, ...] = ()
) -> Iterator[tuple[tuple[str, ...], click.Command]]:
    """Every command that runs, with the words that call it."""
    if isinstance(command, click.Group):
        for name, one in command.commands.items():
            yield from leaves(one, (*way, name))
    else:
        yield way, command


COMMANDS = dict(leaves(main))


def drawn_line(chance: random.Random) -> list[str]:
    """A command with arguments and options, mostly such as fit."""
    ways = list(COMMANDS)
    way = chance.choices(ways, [SELDOM.get(way[0], 1.0) for way in ways])[0]
    words = list(way)
    for one in COMMANDS[way].params:
        if isinstance(one, click.Argument):
            for _ in range(chance.choice((0, 1, 2, 3)) if one.nargs == -1 else chance.random() < 0.97):
                words.append(_value(one, chance))
        elif chance.random() < (0.95 if "[required]" in (getattr(one, "help", "") or "") else 0.3):
            words.append(chance.choice(one.opts))
            if not (isinstance(one, click.Option) and one.is_flag):
                words.append(_value(one, chance))
    if chance.random() < 0.05:
        words.insert(chance.randrange(len(words) + 1), chance.choice((*ODD, "--help", "--version")))
    return words


def _value(one: click.Parameter, chance: random.Random) -> str:
    if chance.random() < 0.06:
        return chance.choice(ODD)
    name, kind = str(one.name), one.type
    if isinstance(kind, click.Choice):
        return chance.choice([str(choice) for choice in kind.choices])
    if isinstance(kind, click.IntRange):
        low, high = int(kind.min or 0), int(kind.max or 0)
        return str(chance.choice((low, high, low - 1, high + 1, min(20, high), chance.randint(low, high))))
    if isinstance(kind, NamedPath):
        if name in READ and chance.random() < 0.85:
            return READ[name] if name != "plan" or chance.random() < 0.7 else "sound plan.yaml"
        return chance.choice((*WRITTEN, *READ.values(), "profiles/pantherophis-guttatus.yaml", "none/x.html"))
    return chance.choice(TEXTS.get(name, MASSES))


def drawn_answers(questions: tuple[Question, ...], chance: random.Random) -> str:
    """Answers for a pipe: examples, words to choose from, and odd ones."""
    lines = []
    for one in questions:
        way = chance.random()
        example = chance.choice(one.words) if one.words and way < 0.5 else one.example
        lines.append("" if way > 0.7 else chance.choice((*ODD, *MASSES, "rest")) if way > 0.69 else example)
    return "\n".join(lines[: chance.choice((len(lines), len(lines), chance.randrange(len(lines) + 1)))])


def try_command(content: bytes) -> None:
    """Runs a drawn line beside a plan; raises RuntimeError for any end but those that are documented."""
    chance = random.Random(content)
    line = drawn_line(chance)
    answers = drawn_answers(species_questions() if line[0] == "species" else plan_questions(), chance)
    if chance.random() < 0.3:
        answers = answers.replace(" ", "\t", 1) + chance.choice(("\n", "\nmore", "\r\n"))
    with yard(content, chance) as home:
        before = files_of(home)
        with patch("waitress.create_server"), patch("webbrowser.open"):
            result = CliRunner().invoke(main, line, input=answers.encode("utf-8", "surrogateescape"))
        after = files_of(home)
    told = f"{line}: {result.stderr[-400:]}"
    if result.exit_code not in (0, 1, 2):
        raise RuntimeError(f"status {result.exit_code} for {told}")
    _check_files(before, after, line, result.exit_code, told)
    _check_words(result, line, told)


def _check_files(
    before: dict[str, bytes], after: dict[str, bytes], line: list[str], status: int, told: str
) -> None:
    replaced = [name for name in before if before[name] != after.get(name)]
    if replaced and (status == 2 or not {"--force", "--write"} & set(line)):
        raise RuntimeError(f"status {status}, and {replaced} changed: {told}")
    if status == 2 and len(after) > len(before):
        raise RuntimeError(f"status 2, and {sorted(set(after) - set(before))} written: {told}")
    for name in set(after) - set(before):
        if name.endswith(".html"):
            page = after[name].decode()
            if found := live_in(page):
                raise RuntimeError(f"{name} has live {found}: {told}")


def _check_words(result: Any, line: list[str], told: str) -> None:
    files = {row.partition(":")[0] for row in result.stderr.splitlines() if not row.startswith(" ")}
    if result.exit_code == 2 and not 0 < result.stderr.count("\n") <= MOST_LINES * len(files):
        raise RuntimeError(f"{result.stderr.count(chr(10))} lines of what is wrong: {told}")
    steering = [
        one for one in result.output if one not in "\n\t" and unicodedata.category(one) in ("Cc", "Cf")
    ]
    if steering and "--html" not in line:
        raise RuntimeError(f"steers the terminal with {steering[:5]}: {told}")
    if "--json" in line and result.exit_code != 2 and "--help" not in line:
        json.loads(result.stdout)


class Seen(HTMLParser):
    """What a page holds: fields with what stands in them, buttons, and markup that came alive."""

    def __init__(self) -> None:
        super().__init__()
        self.fields: dict[str, str] = {}
        self.buttons: list[tuple[str, str]] = []
        self.live: list[str] = []
        self._text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        name = given.get("name", "")
        if tag.startswith("zz-") or any(one.startswith("onzz") for one in given):
            self.live.append(tag)
        if any(
            given.get(one, "").strip().lower().startswith("javascript:") for one in ("href", "src", "action")
        ):
            self.live.append(f"{tag} with a script for an address")
        self._text = name if tag == "textarea" else tag if tag == "script" else ""
        if tag == "button" and name:
            self.buttons.append((name, given.get("value", "")))
        elif tag in ("input", "select", "textarea") and name:
            if given.get("type") not in ("radio", "checkbox") or "checked" in given:
                self.fields[name] = given.get("value", "")
            else:
                self.fields.setdefault(name, "")

    def handle_data(self, data: str) -> None:
        if self._text == "script" and "zz()" in data:
            self.live.append("script")
        elif self._text in self.fields:
            self.fields[self._text] = data
        self._text = ""


def seen_in(page: str) -> Seen:
    """A page, read."""
    seen = Seen()
    seen.feed(page)
    seen.close()
    return seen


def live_in(page: str) -> list[str]:
    """Markup of an input that came alive in a page."""
    return seen_in(page).live
