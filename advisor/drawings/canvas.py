"""What every picture is made of: shapes and labels on a sheet, and the sheet as inline SVG.

One unit is one point in print: a label of size 10 is 10 pt high on paper. Black on white, hatched in place of colours.
"""

from collections.abc import Iterable
from html import escape

from msgspec import Struct

from advisor.reading.problems import printable
from advisor.wording import glued

WIDTH = 500.0  # units of a picture as wide as the text: 176 mm on paper
COLUMN = 250.0  # units of a chart in one of two columns
# units of a picture on a page, drawn so that a phone of 360 pixels shows a unit as about a pixel
NARROW = 310.0
SIZE = 9.5  # points; 9 or more can be read at arm's length, judgement
LINE = 1.3  # of a label's size from one line of it to the next

# Widths in 1/1000 of the size; DejaVu Sans 2.37, table hmtx (read). Verdana is as wide within 1 % (from memory).
_WIDTHS = {
    278: "ijl'",
    318: " ,.I",
    340: "/:;\\|",
    412: "()[]!-ftrJ",
    526: '*_`°"sz',
    592: "vxyck?L",
    616: "aoeFPTY",
    640: "bdghnpqu0123456789${}ES",
    700: "ABCKRVXZ",
    788: "DGHNOQU&",
    870: "#+<=>^~×±wM",
    1000: "%mW@…",
}
_WIDTH_OF = {sign: width / 1000 for width, signs in _WIDTHS.items() for sign in signs}
_WIDEST = 1.1  # any other sign, such as an emoji or a Chinese one; judgement
BOLD = 1.13  # how much wider bold letters are; DejaVu Sans Bold 2.37 (read)


class Label(Struct, frozen=True):
    """One line of text: x of its anchor, y of its baseline, size, anchor word (start, middle, end)."""

    x: float
    y: float
    text: str
    size: float = SIZE
    anchor: str = "start"
    bold: bool = False


class Box(Struct, frozen=True):
    """A rectangle on the sheet, y downwards."""

    left: float
    top: float
    right: float
    bottom: float


class Drawing(Struct, frozen=True):
    """A picture: its name (for ids), title, description, height, shapes as SVG, labels, and what is not drawn, in words."""

    name: str
    title: str
    description: str
    height: float
    shapes: tuple[str, ...]
    labels: tuple[Label, ...]
    notes: tuple[str, ...] = ()
    width: float = WIDTH


def text_width(text: str, size: float = SIZE) -> float:
    """Width of a text, rather too wide than too narrow."""
    return sum(_WIDTH_OF.get(sign, _WIDEST) for sign in text) * size


def fitted(text: str, width: float, size: float = SIZE) -> str:
    """The text, cut with "…" where it is wider than `width`."""
    text = printable(" ".join(text.split()), 400)
    if text_width(text, size) <= width:
        return text
    while text and text_width(text + "…", size) > width:
        text = text[:-1]
    return text.rstrip() + "…"


def wrapped(text: str, width: float, most: int = 4) -> list[str]:
    """The text in lines no wider than `width`, at most `most` of them; words that are too wide are cut."""
    lines: list[str] = []
    for glue in glued(printable(" ".join(text.split()), 400)).split(" "):
        word = fitted(glue, width)
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(longer) <= width:
            lines[-1] = longer
        else:
            lines.append(word)
    if len(lines) > most:
        lines = [*lines[: most - 1], fitted(f"{lines[most - 1]} …", width)]
    return lines


def label_lines(lines: Iterable[str], x: float, y: float) -> tuple[Label, ...]:
    """Lines of text under each other, the first with its baseline at y."""
    return tuple(Label(x, y + number * LINE * SIZE, line) for number, line in enumerate(lines))


def shown(number: float) -> str:
    """A coordinate to a tenth of a unit."""
    text = f"{number:.1f}".removesuffix(".0")
    return "0" if text == "-0" else text


def line(x1: float, y1: float, x2: float, y2: float, width: float = 1.0, dashes: str = "") -> str:
    """A straight line."""
    dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
    return (
        f'<line x1="{shown(x1)}" y1="{shown(y1)}" x2="{shown(x2)}" y2="{shown(y2)}" stroke="#000" '
        f'stroke-width="{shown(width)}"{dashed}/>'
    )


def lines(points: Iterable[tuple[float, float]], width: float = 1.0, dashes: str = "") -> str:
    """A line through points."""
    dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
    path = " ".join(f"{shown(x)},{shown(y)}" for x, y in points)
    return f'<polyline points="{path}" fill="none" stroke="#000" stroke-width="{shown(width)}"{dashed}/>'


def rectangle(box: Box, fill: str = "none", width: float = 1.0) -> str:
    """A rectangle; `fill` is a colour or the url of a pattern, width 0 leaves the edge out."""
    edge = f'stroke="#000" stroke-width="{shown(width)}"' if width else 'stroke="none"'
    return (
        f'<rect x="{shown(box.left)}" y="{shown(box.top)}" width="{shown(max(box.right - box.left, 0.1))}" '
        f'height="{shown(max(box.bottom - box.top, 0.1))}" fill="{fill}" {edge}/>'
    )


def ellipse(
    x: float, y: float, across: float, down: float, fill: str = "#fff", width: float = 1.0, edge: str = "#000"
) -> str:
    """An ellipse round a middle, with its half axes."""
    return (
        f'<ellipse cx="{shown(x)}" cy="{shown(y)}" rx="{shown(max(across, 0.1))}" ry="{shown(max(down, 0.1))}" '
        f'fill="{fill}" stroke="{edge}" stroke-width="{shown(width)}"/>'
    )


def shape(points: Iterable[tuple[float, float]], fill: str = "#000", width: float = 0.0) -> str:
    """A filled shape with corners at the points."""
    path = " ".join(f"{shown(x)},{shown(y)}" for x, y in points)
    return f'<polygon points="{path}" fill="{fill}" stroke="#000" stroke-width="{shown(width)}"/>'


def drop(x: float, y: float, size: float, fill: str = "#000") -> str:
    """A drop that hangs from (x, y)."""
    a, b = shown(size * 0.6), shown(size)
    path = f"M{shown(x)} {shown(y)} q{a} {b} 0 {b} q-{a} 0 0 -{b} z"
    return f'<path d="{path}" fill="{fill}" stroke="#000" stroke-width="0.6"/>'


def hatched(name: str) -> str:
    """The fill with slanting lines of a picture."""
    return f"url(#{name}-hatched)"


def dotted(name: str) -> str:
    """The fill with dots of a picture."""
    return f"url(#{name}-dotted)"


def svg_of(drawing: Drawing) -> str:
    """The picture as one inline SVG element, with title and description."""
    name = drawing.name
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-labelledby="{name}-title {name}-desc" '
        f'viewBox="0 0 {shown(drawing.width)} {shown(drawing.height)}">',
        f'<title id="{name}-title">{escape(printable(drawing.title))}</title>',
        f'<desc id="{name}-desc">{escape(printable(drawing.description, 3000))}</desc>',
        "<defs>",
        f'<pattern id="{name}-hatched" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
        '<line x1="0" y1="0" x2="0" y2="5" stroke="#000" stroke-width="0.8"/></pattern>',
        f'<pattern id="{name}-dotted" width="4" height="4" patternUnits="userSpaceOnUse">'
        '<circle cx="1" cy="1" r="0.6" fill="#000"/><circle cx="3" cy="3" r="0.6" fill="#000"/></pattern>',
        "</defs>",
        *drawing.shapes,
        *(_text(label) for label in drawing.labels),
        "</svg>",
    ]
    return "\n".join(parts)


def _text(label: Label) -> str:
    anchor = f' text-anchor="{label.anchor}"' if label.anchor != "start" else ""
    bold = ' font-weight="bold"' if label.bold else ""
    return (
        f'<text x="{shown(label.x)}" y="{shown(label.y)}" font-size="{shown(label.size)}"{anchor}{bold}>'
        f"{escape(printable(label.text, 400))}</text>"
    )
