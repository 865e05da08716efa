"""The key of a picture: each mark that is drawn, small, with its words behind it."""

from collections.abc import Callable, Iterable

from advisor.drawings.canvas import SIZE, WIDTH, Box, Label, dotted, line, rectangle, text_width

ROW = 13.0  # units, height of a row of the key
SWATCH, APART = 20.0, 14.0  # units, width of a mark with the gap to its words; gap to the next mark

Mark = Callable[[float, float], str]  # drawn round a middle (x, y)
Entry = tuple[Mark, str]  # a mark and what it means


def swatch(fill: str, width: float = 1.0) -> Mark:
    """A small rectangle in the fill of an area."""
    return lambda x, y: rectangle(Box(x - 8.0, y - 4.0, x + 8.0, y + 4.0), fill, width)


def line_and_range(name: str) -> tuple[Entry, Entry]:
    """What every curve has: the line that is expected and its likely range, with the dots of the picture `name`."""
    return (
        (lambda x, y: line(x - 8.0, y, x + 8.0, y, 2.0), "expected"),
        (swatch(dotted(name), 0.5), "likely range (95 %)"),
    )


def key(entries: Iterable[Entry], top: float, width: float = WIDTH) -> tuple[str, tuple[Label, ...], float]:
    """The marks as one group of shapes, their words, and where the key ends; marks stand beside each other while there is room."""
    marks: list[str] = []
    labels: list[Label] = []
    x, y = 0.0, top + ROW / 2
    for mark, words in entries:
        wide = SWATCH + text_width(words)
        if labels and x + wide > width:
            x, y = 0.0, y + ROW
        marks.append(mark(x + 8.0, y))
        labels.append(Label(x + SWATCH, y + 0.35 * SIZE, words))
        x += wide + APART
    return f'<g class="key">{"".join(marks)}</g>', tuple(labels), y + ROW / 2
