"""What the commands share: faults and exit status, common options, printing, the date on a paper."""

import datetime
import io
import os
import shutil
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import wraps
from pathlib import Path
from typing import Any

import click

from advisor import __version__
from advisor.reading.problems import InputError, printable, problem_lines

COLOURS = {"stop": "red", "fix": "yellow", "watch": "cyan", "note": "blue", "head": None, "quiet": None}

NARROWEST = 40  # columns; a report is not folded below it; judgement


class NamedPath(click.Path):
    """A path that is not empty: an empty one would silently mean the folder that one is in."""

    def __init__(self) -> None:
        """Gives a `pathlib.Path`."""
        super().__init__(path_type=Path)

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """The path; refuses an empty name."""
        if value == "":
            self.fail("the name is empty. Name a file or a folder.", param, ctx)
        return super().convert(value, param, ctx)


own_species = click.option(
    "--species",
    "own",
    type=NamedPath(),
    metavar="FOLDER",
    help="A folder with your own species profiles; they go before the shipped ones.",
)
date_option = click.option(
    "--date",
    "day",
    metavar="DATE",
    help="Date to write on the paper or into the file, for example 2027-04-01. Today if left out.",
)
today_option = click.option(
    "--date",
    "day",
    metavar="DATE",
    help="Day before which nothing can be done, for example 2027-04-01. Today if left out.",
)
paper_option = click.option(
    "--paper",
    type=click.Choice(["a4", "letter"], case_sensitive=False),
    help="Size of the printed page. Left out, letter for US units, else a4.",
)


def asked_for(told: str) -> Callable[[click.Context, click.Parameter, Any], Any]:
    """A check that something was given; what was left out is asked for with an example."""

    def check(context: click.Context, _parameter: click.Parameter, value: Any) -> Any:
        if value in (None, ()) and not context.resilient_parsing:
            raise click.UsageError(
                told.format(command=context.command_path.replace("python -m ", "")), context
            )
        return value

    return check


def plan_argument(name: str = "plan", count: int = 1) -> Callable[..., Any]:
    """The plan file of a command, or several (count -1)."""
    return click.argument(
        name,
        nargs=count,
        type=NamedPath(),
        metavar="PLAN" if count == 1 else "PLAN...",
        required=False,
        callback=asked_for("name the plan file, for example: {command} my-box.yaml"),
    )


def output_option(what: str, required: bool = True) -> Callable[..., Any]:
    """The option -o for a command that writes; `what` is FILE, FILE.ics or FOLDER."""
    endings = " FILE.html or FILE.md" if what == "FILE" else f" {what}"
    example = {"FILE": "cards.html", "FILE.ics": "dates.ics", "FOLDER": "club-night"}.get(what, what)
    return click.option(
        "-o",
        "--output",
        type=NamedPath(),
        metavar=what,
        callback=asked_for(f"say where to write, for example: -o {example}") if required else None,
        help=f"Write to{endings}." + ("  [required]" if required else ""),
    )


def check_ending(path: Path | None, *endings: str) -> None:
    """Refuses a file name that ends otherwise; raises `UsageError`."""
    if path is not None and path.suffix.lower() not in endings:
        example = f"{path.stem or 'my-box'}{endings[0]}"
        raise click.UsageError(
            f"'{printable(str(path), 100)}' does not end in {' or '.join(endings)}. Write for example {printable(example, 60)}."
        )


force_option = click.option("--force", is_flag=True, help="Replace FILE when it exists.")


@contextmanager
def inert() -> Iterator[None]:
    """What a message of click repeats of the command line can't steer the terminal."""
    try:
        yield
    except click.ClickException as error:
        words = "\n".join(printable(line, 600) for line in error.message.split("\n"))
        error.message = words  # type: ignore[misc]  # final by its annotation, and the only way to reword every kind
        raise


def guarded(command: Callable[..., Any]) -> Callable[..., Any]:
    """Faults of the input and refusals of the system end with status 2 and one line each; our own faults with status 3 and a request to report."""

    @wraps(command)
    def run(*args: Any, **kwargs: Any) -> Any:
        try:
            return command(*args, **kwargs)
        except InputError as error:
            for line in problem_lines(error.problems):
                click.echo(line, err=True)
            sys.exit(2)
        except (click.exceptions.ClickException, click.exceptions.Exit, click.Abort, BrokenPipeError):
            raise
        except OSError as error:
            click.echo(printable(_os_words(error)), err=True)
            _give_up_stdout()
            sys.exit(2)
        except Exception as error:
            last = error.__traceback__
            while last is not None and last.tb_next is not None:
                last = last.tb_next
            where = (
                f"{Path(last.tb_frame.f_code.co_filename).name}:{last.tb_lineno}" if last else "unknown place"
            )
            click.echo(
                f"advisor {__version__} made a mistake of its own ({type(error).__name__} at {where}). Nothing was written. "
                "Please report it together with your input file.",
                err=True,
            )
            sys.exit(3)

    return run


def ready_for_any_text(context: click.Context) -> None:
    """Lets the screen replace what its encoding lacks, and take no colour where none is wanted (https://no-color.org)."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")
    if os.environ.get("NO_COLOR") or os.environ.get("TERM") == "dumb":
        context.color = False


def screen_width() -> int:
    """Columns to fill: those of the terminal between 40 and our usual width; our usual width in a file or pipe."""
    from advisor.report.screen import WIDTH

    if not sys.stdout.isatty():
        return WIDTH
    return min(max(shutil.get_terminal_size((WIDTH, 24)).columns, NARROWEST), WIDTH)


def print_json(data: object) -> None:
    """Prints data as JSON, in UTF-8 whatever the terminal's encoding (RFC 8259, section 8.1)."""
    import json

    click.echo(f"{json.dumps(data, ensure_ascii=False, indent=2)}\n".encode(), nl=False)


def _os_words(error: OSError) -> str:
    """What the system refused, in one line: a name too long, a folder that may not be read, a full disk."""
    name = f"{printable(str(error.filename), 100)}: " if error.filename else ""
    return f"{name}{error.strerror or error}. Check the name, the folder and the space on the disk."


def _give_up_stdout() -> None:
    """What still waits to be printed on a full disk would fail a second time when the program ends."""
    try:
        sys.stdout.flush()
    except OSError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def print_lines(lines: Any) -> None:
    """Prints styled lines; every character that could steer a terminal is shown as an escape."""
    for line in lines:
        text = printable(line.text, 10_000)
        bold = line.style in ("head", "stop", "fix")
        click.echo(
            click.style(text, fg=COLOURS.get(line.style), bold=bold, dim=line.style == "quiet")
            if line.style
            else text
        )


def write_told(path: Path, text: str, force: bool, err: bool = False) -> None:
    """Writes a file whole or not at all, and says so."""
    from advisor.papers.files import write_file

    write_file(path, text, force)
    click.echo(f"Wrote {printable(str(path))}.", err=err)


def printed_on(day: str | None) -> datetime.date:
    """The date of --date, or today."""
    from advisor.reading.dates import read_date
    from advisor.reading.quantities import Refusal

    if day is None:
        return datetime.date.today()
    try:
        return read_date(day)
    except Refusal as refusal:
        raise click.UsageError(f"--date: {printable(refusal.message)}. {printable(refusal.hint)}") from None


def known_rule(rule_id: str) -> Any:
    """The rule of an id; a misspelt one is asked back."""
    from advisor.rules import ALL_RULE_IDS, rule_by_id

    try:
        return rule_by_id(rule_id)
    except KeyError:
        import difflib

        near = difflib.get_close_matches(rule_id, ALL_RULE_IDS, n=2)
        hint = f" Did you mean {' or '.join(near)}?" if near else " `advisor rules list` shows all."
        raise click.UsageError(f"there is no rule '{printable(rule_id, 60)}'.{hint}") from None
