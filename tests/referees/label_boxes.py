"""The rectangle that a label of a drawing takes, y downwards."""

from typing import NamedTuple

from advisor.drawings.canvas import BOLD, Label, text_width

ASCENT, DESCENT = 0.93, 0.24  # of the size; DejaVu Sans 2.37 (read)


class LabelBox(NamedTuple):
    left: float
    top: float
    right: float
    bottom: float


def label_box(label: Label) -> LabelBox:
    width = text_width(label.text, label.size) * (BOLD if label.bold else 1.0)
    left = label.x - {"start": 0.0, "middle": width / 2, "end": width}[label.anchor]
    return LabelBox(left, label.y - ASCENT * label.size, left + width, label.y + DESCENT * label.size)
