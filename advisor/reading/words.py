"""The word that is meant: one matcher for answers and for the hints about files.

The schema's `x-also` lists what people call each word. What is no such name is compared by its parts and its spelling,
and a word of the opposite meaning is never offered.
"""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence

from msgspec import Struct

Also = Mapping[str, Sequence[str]]

# Both sides of a meaning: what says the one is never taken for the other.
OPPOSITES = tuple(
    (frozenset(one.split()), frozenset(other.split()))
    for one, other in (
        ("in inside within internal inner", "out outside external outer"),
        ("top lid above over upper up ceiling roof", "bottom floor under below beneath underneath lower down base"),
        ("yes true", "no not none nothing without never false zero neither nor"),
        ("male males", "female females"),
        ("coarse", "fine superfine"),
        ("buried", "surface"),
        ("expanded", "extruded"),
        ("on", "off"),
        ("one single", "two double both all every"),
        ("well tight tightly sealed", "poorly badly loose loosely"),
        ("insulated", "bare uninsulated"),
        ("fresh early before", "later late after"),
        ("volume", "mass weight"),
        ("metric", "us imperial"),
        ("low least cold cool", "high most warm hot"),
        ("dry", "wet damp"),
    )
)  # fmt: skip
_NEGATION = next(number for number, pair in enumerate(OPPOSITES) if "not" in pair[1])
_POLES = frozenset[str]().union(*(side for pair in OPPOSITES for side in pair))
_ARTICLES = frozenset({"a", "an", "the", "my", "its", "one's"})
LONGEST = 100  # characters that are compared
CLOSE = 0.75  # likeness of spelling [0-1] from which a word may be meant; judgement


class Meant(Struct, frozen=True):
    """The words that may be meant; `sure` when they are called just so."""

    words: tuple[str, ...] = ()
    sure: bool = False

    def hint(self) -> str:
        """What to write, or what to choose from; empty when nothing comes near."""
        either = " or ".join(self.words)
        if not self.words:
            return ""
        if not self.sure:
            return f"Did you mean {either}?"
        return f"Write `{either}`." if len(self.words) == 1 else f"That can mean {either}: write one of them."


def meant(text: str, known: Iterable[str], also: Also | None = None) -> Meant:
    """The word of `known` that a text means, by the words themselves and by what else they are called."""
    names = [(_parts(name), word) for word in known for name in (word, *(also or {}).get(word, ()))]
    parts = _parts(text[:LONGEST])
    for wanted, sure in ((parts, True), (_spelled(parts, names), False)):
        same = _distinct(word for name, word in names if name == wanted)
        if same:
            return Meant(same, sure)
    parts = _spelled(parts, names)
    return Meant(_held(parts, names) or _alike(parts, names))


def nearest(text: str, known: Iterable[str]) -> str | None:
    """The one known word that comes near; None when none does, or several do."""
    found = meant(text, known).words
    return found[0] if len(found) == 1 else None


_Names = Sequence[tuple[tuple[str, ...], str]]


def _parts(text: str) -> tuple[str, ...]:
    """The words of a text in small letters, without articles and signs: "Not in the box" is not, in, box."""
    plain = re.sub(r"n['’]t\b", " not", text.lower())
    return tuple(part for part in re.findall(r"[^\W_]+", plain) if part not in _ARTICLES)


def _spelled(parts: tuple[str, ...], names: _Names) -> tuple[str, ...]:
    """The parts with their slips of the pen put right, where a word that is known or has an opposite is meant."""
    import difflib

    listed = sorted(_POLES.union(*(name for name, _ in names)))
    return tuple(
        part
        if part in listed or len(part) < 3
        else (difflib.get_close_matches(part, listed, 1, 0.8) or [part])[0]
        for part in parts
    )


def _distinct(words: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(words))


def _sides(parts: Iterable[str]) -> Iterator[tuple[int, int]]:
    for number, pair in enumerate(OPPOSITES):
        for side in (0, 1):
            if pair[side] & set(parts):
                yield number, side


def _against(parts: tuple[str, ...], name: Iterable[str]) -> bool:
    """Whether a name says the opposite of a text, or leaves away its "not"."""
    text, other = set(_sides(parts)), set(_sides(name))
    if (_NEGATION, 1) in text and (_NEGATION, 1) not in other:
        return True
    return any((number, 1 - side) in other - text for number, side in text - other)


def _held(parts: tuple[str, ...], names: _Names) -> tuple[str, ...]:
    """The words whose name stands in the text; of several those with the longest name. A bare "no" names nothing."""
    said: dict[
        str, set[str]
    ] = {}  # all that the names of a word say: who says "outside the probe box" means no box
    for name, word in names:
        said.setdefault(word, set()).update(name)
    found = [
        (len(name), word)
        for name, word in names
        if set(name) - OPPOSITES[_NEGATION][1]
        and set(name) <= set(parts)
        and not _against(parts, name)
        and not _against(parts, said[word])
    ]
    longest = max((length for length, _ in found), default=0)
    return _distinct(word for length, word in found if length == longest)


def _alike(parts: tuple[str, ...], names: _Names) -> tuple[str, ...]:
    """The words whose name is spelled most like the text, among those that say all that the text says of a side."""
    import difflib

    sides = set(_sides(parts))
    open_ = [
        (" ".join(name), word)
        for name, word in names
        if sides <= set(_sides(name)) and not _against(parts, name)
    ]
    best = difflib.get_close_matches(" ".join(parts), dict(open_), 1, CLOSE)
    return _distinct(word for name, word in open_ if name in best)
