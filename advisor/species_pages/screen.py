"""The page of a species as lines for the screen."""

import textwrap
from collections.abc import Iterator

from advisor.drawings.text_plot import plot_lines
from advisor.model.curves import Curve
from advisor.model.figures import Unknown
from advisor.report.screen import WIDTH, Line
from advisor.show import Show
from advisor.species_pages.page import Fact, Section, SpeciesPage, Table

INDENT = "  "


def species_lines(page: SpeciesPage, show: Show, width: int = WIDTH) -> Iterator[Line]:
    """The whole page for a terminal of `width` columns."""
    yield Line(f"{page.name}: {page.scientific}", "head")
    for text in page.about:
        yield from rows(text, width, "quiet")
    for caution in page.cautions:
        yield from rows(f"Caution, {caution}", width, "stop")
    for section in page.sections:
        yield Line("")
        yield Line(section.heading, "head")
        yield from _section(section, show, width)
    yield Line("")
    yield Line("Notes", "head")
    for paragraph in page.notes.splitlines():
        yield from rows(INDENT + paragraph, width)
    yield Line("")
    yield Line("Sources", "head")
    for key, cite, known in page.sources:
        yield from rows(f"{INDENT}{key}: {cite} [{known}]", width, "quiet")


def _section(section: Section, show: Show, width: int) -> Iterator[Line]:
    for fact in section.facts:
        yield from rows(INDENT + _told(fact), width)
    if isinstance(section.curve, Curve):
        yield from (Line(INDENT + text) for text in plot_lines(section.curve, section.what, show))
    elif isinstance(section.curve, Unknown):
        yield from rows(f"{INDENT}No curve: {section.curve.reason}", width, "quiet")
    for table in section.tables:
        yield from table_lines(table, width)


def _told(fact: Fact) -> str:
    known = f" [{fact.known}]" if fact.known else ""
    note = f"{'' if known else '.'} {fact.note}" if fact.note else ""
    return f"{fact.what}: {fact.says}{known}{note}"


def table_lines(table: Table, width: int = WIDTH) -> Iterator[Line]:
    """A table: its caption, its heads, one row a line; how a figure is known and its note flow behind the columns."""
    if not table.rows:
        yield Line(f"{INDENT}{table.caption}: nothing")
        return
    yield from rows(f"{INDENT}{table.caption}", width)
    flowing = table.heads[-2:] == ("How known", "Note")
    whole = [(row[:-2], f"[{row[-2]}] {row[-1]}".rstrip()) if flowing else (row, "") for row in table.rows]
    heads = table.heads[:-2] if flowing else table.heads
    columns = [column for column in table.filled if column < len(heads)]
    most = {index: max(len(cells[index]) for cells, _ in [*whole, (heads, "")]) for index in columns}
    for cells, behind in [(heads, ""), *whole]:
        lead = INDENT * 2 + "  ".join(f"{cells[index]:<{most[index]}}" for index in columns)
        style = "quiet" if cells is heads else ""
        text = f"{lead}  {behind}".rstrip()
        if len(text) <= width:
            yield Line(text, style)
            continue
        hanging = " " * (len(lead) + 2 if len(lead) <= width // 2 else 8)
        start = lead + INDENT if behind else ""
        found = textwrap.wrap(
            behind or text, width, initial_indent=start, subsequent_indent=hanging, break_on_hyphens=False
        )
        yield from (Line(row, style) for row in found)


def rows(text: str, width: int, style: str = "") -> Iterator[Line]:
    """A text in rows, with the indent of its start and a little more from the second row on."""
    indent = text[: len(text) - len(text.lstrip())]
    wrapped = textwrap.wrap(
        text.strip(), width, initial_indent=indent, subsequent_indent=indent + INDENT, break_on_hyphens=False
    )
    yield from (Line(row, style) for row in wrapped)
