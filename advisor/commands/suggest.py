"""`advisor suggest`: the fewest and cheapest changes that make a plan work."""

import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from advisor.commands.common import (
    NamedPath,
    force_option,
    guarded,
    own_species,
    plan_argument,
    print_json,
    print_lines,
    printed_on,
    screen_width,
    today_option,
)
from advisor.reading.problems import printable

PATIENCE = 1.0  # s without a word


@click.command()
@plan_argument()
@click.option("--fill", is_flag=True, help="Propose a value for every entry that the plan leaves out.")
@click.option(
    "--keep",
    metavar="ENTRY,...",
    default="",
    help="Entries that stay as they are, for example heat.source,outer_box.",
)
@click.option("--allow", type=click.Choice(["room"]), help="Let the room change too.")
@click.option(
    "-o", "--output", type=NamedPath(), metavar="FILE.yaml", help="Write the changed plan to FILE.yaml."
)
@click.option("--write", "in_place", is_flag=True, help="Write the changes into PLAN itself.")
@click.option("--json", "as_json", is_flag=True, help="Print the suggestion as JSON.")
@force_option
@today_option
@own_species
@guarded
def suggest(
    plan: Path,
    fill: bool,
    keep: str,
    allow: str | None,
    output: Path | None,
    in_place: bool,
    as_json: bool,
    force: bool,
    day: str | None,
    own: Path | None,
) -> None:
    """Find the changes that make a plan work.

    \b
    Example:  advisor suggest examples/floor-heat.yaml
              advisor suggest my-box.yaml --fill -o whole-box.yaml

    Every change was tried: the changed plan is forecast and judged again. The room stays as it is unless you allow it.
    Clutches that need different temperatures at one time are parted into the fewest outer boxes, a plan each: -o FILE.yaml
    then writes FILE-1.yaml, FILE-2.yaml and so on.

    Status 0: nothing at STOP or FIX is left. 1: something is left, and the reason is told. 2: the input is wrong.
    """
    if in_place and output is not None:
        raise click.UsageError("choose one of -o and --write.")
    kept = _entries(keep)
    from advisor.advice.season_boxes import suggestions_for
    from advisor.advice.suggest import Bounds, suggestion_for
    from advisor.assess import assess
    from advisor.report.suggestion import suggestion_data, suggestion_lines, suggestion_text

    limits, base = Bounds(kept, allow == "room", printed_on(day)), assess(plan, own)
    boxes = suggestions_for(base, limits, fill, own, _progress())
    if boxes:
        if in_place:
            raise click.UsageError("this season takes several plans: write them with -o, not into PLAN.")
        _tell_boxes(plan, base, boxes, output, as_json, force)
        return
    suggestion = suggestion_for(base, limits, fill, own, _progress())
    target = output or (plan if in_place and suggestion.rows else None)
    if target is not None:
        from advisor.papers.files import write_file

        write_file(target, suggestion_text(plan, suggestion), force or in_place)
    if as_json:
        print_json(suggestion_data(suggestion))
    else:
        print_lines(suggestion_lines(suggestion, screen_width()))
        if target is not None:
            click.echo(f"Wrote {printable(str(target))}.")
    if suggestion.obstacle:
        sys.exit(1)


def _tell_boxes(
    plan: Path, base: Any, boxes: tuple[Any, ...], output: Path | None, as_json: bool, force: bool
) -> None:
    """What is suggested for a season that takes several plans; ends with status 1 where something is left in one."""
    from advisor.report.season_boxes import boxes_data, boxes_lines
    from advisor.report.suggestion import suggestion_text

    files: dict[str, str] = {}
    if output is not None:
        from advisor.papers.folder import write_folder

        files = {
            f"{output.stem}-{number}{output.suffix}": suggestion_text(plan, one.suggestion, one.parting)
            for number, one in enumerate(boxes, start=1)
        }
        write_folder(output.parent, files, force)
    if as_json:
        print_json(boxes_data(base, boxes))
    else:
        print_lines(boxes_lines(base, boxes, screen_width()))
        for name in files:
            click.echo(f"Wrote {printable(str(output.with_name(name) if output else name))}.")
    if any(one.suggestion.obstacle for one in boxes):
        sys.exit(1)


def _entries(keep: str) -> tuple[str, ...]:
    """The entries of a list "heat.source,outer_box"; raises click.UsageError where the format of plans has no such entry."""
    from advisor.reading.marks import path_key
    from advisor.reading.schema import entry_at

    entries = tuple(entry.strip() for entry in keep.split(",") if entry.strip())
    for entry in entries:
        key = path_key(entry)
        if not key or not entry_at("plan", key):
            raise click.UsageError(
                f"--keep names {printable(entry)}, and a plan has no such entry. "
                "Write it as reports do, for example heat.source or egg_boxes[0].lid."
            )
    return entries


def _progress() -> Callable[[int], None]:
    """Tells on the terminal how many plans were tried once it takes longer than a second."""
    begun = time.monotonic()

    def tell(tries: int) -> None:
        if sys.stderr.isatty() and time.monotonic() - begun > PATIENCE:
            click.echo(f"\rTried {tries} plans ...", nl=False, err=True)

    return tell
