"""Plan and profile entries in plain words, so that a paper can be read without the plan file."""

import re
from collections.abc import Iterable

from msgspec import Struct

from advisor.reading.marks import path_key
from advisor.reading.schema import entry_at, load_schema
from advisor.rules.engine import Situation

_QUOTED = re.compile(r"`([a-z_]+(?:\[\d+\])?(?:\.[a-z_]+)*)`")


class Missing(Struct, frozen=True):
    """What is missing about one subject, both in words."""

    subject: str
    entries: tuple[str, ...]


def missing_entries(needs: Iterable[str], situation: Situation) -> tuple[Missing, ...]:
    """Entries that would allow a rule to judge, by subject, in the order of the plan format."""
    by_subject: dict[str, dict[str, None]] = {}
    for need in sorted(set(needs), key=_order):
        subject, entry = entry_words(need, situation)
        by_subject.setdefault(subject, {}).setdefault(entry)
    alike: dict[tuple[str, ...], list[str]] = {}
    for subject, entries in by_subject.items():
        alike.setdefault(tuple(entries), []).append(subject)
    return tuple(Missing(_together(subjects), entries) for entries, subjects in alike.items())


def _together(subjects: list[str]) -> str:
    """Subjects that lack the same: "Egg box 'eggs', egg box 'more'"."""
    return ", ".join([subjects[0], *(_small(subject) for subject in subjects[1:])])


def entry_words(path: str, situation: Situation) -> tuple[str, str]:
    """Subject and entry in words: "egg_boxes[0].lid.fit" is ("Egg box 'eggs'", "how the lid closes")."""
    file, colon, entry = path.partition(".yaml: ")
    if colon:
        name = file.removeprefix("species/")
        known = situation.species.get(name)
        return f"Profile of {known.name if known else name}", entry.replace("_", " ").replace(".", ", ")
    if " " in path:
        return "Other", path
    parts = path_key(path)
    meaning = entry_meaning(parts)
    if not meaning:
        return "Other", path
    plan = situation.plan
    if parts[0] == "egg_boxes" and len(parts) > 1 and isinstance(parts[1], int):
        return f"Egg box '{plan.egg_boxes[parts[1]].name}'", meaning
    if parts[0] == "clutches" and len(parts) > 1 and isinstance(parts[1], int):
        place = plan.first_of(parts[1])
        name = situation.species[plan.clutches[place].species].name
        return f"Clutch {place + 1} ({name})", meaning
    return str(load_schema("plan")["properties"][parts[0]]["title"]), meaning


def entry_title(parts: tuple[str | int, ...]) -> str:
    """The title of an entry in the plan format, small at the start; empty when there is no such entry."""
    return _small(str(entry_at("plan", parts).get("title", "")))


def entry_meaning(parts: tuple[str | int, ...]) -> str:
    """The first sentence that the plan format says about an entry; empty when there is no such entry."""
    meaning = str(entry_at("plan", parts).get("description", ""))
    return _small(meaning.split(". ")[0].rstrip(".").replace("`", "'"))


def _small(text: str) -> str:
    return text[:1].lower() + text[1:]


def with_plain_entries(text: str) -> str:
    """A text of a rule in which entries such as `room.temperature` are said in words."""

    def plain(found: re.Match[str]) -> str:
        return f"'{entry_title(path_key(found[1])) or found[1]}'"

    return _QUOTED.sub(plain, text).replace("`", "'")


def _order(path: str) -> tuple[int, str]:
    keys = list(load_schema("plan")["properties"])
    first = re.match(r"[a-z_]+", path)
    return (keys.index(first[0]) if first and first[0] in keys else len(keys), path)
