"""Answers as people write them: understood, or answered by a hint that leads to the right word and never to its opposite."""

import contextlib
import datetime
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.interview.new_plan import plan_check, plan_questions
from advisor.interview.new_species import profile_check, species_questions
from advisor.interview.questions import entries_of, question_about
from advisor.reading.as_written import in_file_form
from advisor.reading.dates import read_date_range
from advisor.reading.problems import InputError
from advisor.reading.quantities import Kind, Refusal
from advisor.reading.schema import load_schema
from advisor.reading.schema_check import also_of, schema_problems
from advisor.reading.sources import shipped_sources
from advisor.reading.words import meant
from advisor.reading.yaml_text import parse_yaml
from advisor.units import UNITS

QUESTIONS = {question.path: question for question in plan_questions()}
TABLE = yaml.load((Path(__file__).parent / "answers.yaml").read_text("utf-8"), Loader=yaml.BaseLoader)
ROWS = [(path, row) for path, rows in TABLE.items() for row in rows]
BEFORE = {"clutches[0].species": "corn snake"}


def answered(path: str, typed: str) -> dict[str, Any]:
    """The entries of an answer, as text."""
    before = {} if path.endswith("species") else BEFORE
    return json.loads(
        json.dumps(entries_of(QUESTIONS[path], typed, before, plan_check())), parse_int=str, parse_float=str
    )


@pytest.mark.parametrize(
    "row",
    [row for row in TABLE["clutches[0].laying"] if not re.search("shed|laid", row["typed"])],
    ids=lambda row: row["typed"],
)
def test_a_file_reads_the_dates_that_a_question_takes(row: dict[str, Any]) -> None:
    """One reader of dates for the questions, the file and the page: what one takes or refuses the others do."""
    try:
        found = " to ".join(dict.fromkeys(day.isoformat() for day in read_date_range(row["typed"])))
    except Refusal:
        assert "takes" not in row or not row["takes"]
    else:
        assert found == row["takes"]["expected"]


@pytest.mark.parametrize("number", ["7" * 400, "0", "-5", "1e400", "0." + "0" * 400 + "1", "٣"])
def test_no_number_in_an_answer_breaks_the_interview(number: str) -> None:
    """Each number of each example by another: taken, or refused with a reason."""
    today = datetime.date(2027, 5, 10)
    for questions, check, before in (
        (QUESTIONS.values(), plan_check(), BEFORE),
        (species_questions(), profile_check("novolacerta-minor", today, shipped_sources()), {}),
    ):
        for question in questions:
            told = {} if question.path.endswith("species") else before
            for found in re.finditer(r"\d+(?:\.\d+)?", question.example):
                typed = question.example[: found.start()] + number + question.example[found.end() :]
                with contextlib.suppress(Refusal):
                    entries_of(question, typed, told, check)


def test_the_table_is_long_and_asks_about_every_question() -> None:
    assert len(ROWS) >= 120
    assert set(TABLE) == set(QUESTIONS) - {"title"}


@pytest.mark.parametrize(("path", "row"), ROWS, ids=[f"{path}: {row['typed']}" for path, row in ROWS])
def test_an_answer_is_understood_or_answered_by_a_hint(path: str, row: dict[str, Any]) -> None:
    if "hints" in row:
        with pytest.raises(Refusal) as refused:
            answered(path, row["typed"])
        assert row["hints"] in refused.value.hint, refused.value.hint
        return
    found, wanted = answered(path, row["typed"]), row["takes"]
    if wanted == "":
        assert found == {}  # left out: not known
    elif len(found) == 1 and path in found:
        assert found[path] == wanted
    else:
        assert found == {entry_of(path, key): value for key, value in wanted.items()}


def entry_of(path: str, key: str) -> str:
    """The entry that a row means: beside or inside that of its question, or the whole path where the question is wide."""
    if path == "outer_box":
        return key
    if path == "egg_boxes[0].lid.holes" and key == "lid":
        return "egg_boxes[0].lid"
    beside = path.endswith(("inside", "wall.material")) or key == "programme"
    return f"{path.rsplit('.', 1)[0] if beside else path}.{key}"


WORDS = sorted({word for _, row in ROWS for word in re.findall(r"[^\s,;]+|[,;]", row["typed"])})


@settings(deadline=None, max_examples=300)
@given(st.sampled_from(sorted(QUESTIONS)), st.lists(st.sampled_from(WORDS), min_size=1, max_size=9))
def test_any_words_in_any_order_are_understood_or_answered_by_a_hint(path: str, words: list[str]) -> None:
    """No answer ends in a mistake of the program's own, and what is taken makes a plan."""
    try:
        found = QUESTIONS[path].read(" ".join(words))
    except Refusal as refusal:
        assert refusal.hint
    else:
        assert all(value not in (None, "", {}) for value in found.values())


@pytest.mark.parametrize(
    ("before", "path", "typed"),
    [
        ({"egg_boxes[0].lid": "none"}, "egg_boxes[0].lid.holes", "5 of 2 mm"),
        ({"egg_boxes[0].lid.holes": "none"}, "egg_boxes[0].inside", "1 open tray of 30 x 20 x 5 cm"),
    ],
)
def test_an_answer_that_goes_against_an_earlier_one_is_not_lost(
    before: dict[str, Any], path: str, typed: str
) -> None:
    (told,) = before
    with pytest.raises(Refusal, match=re.escape(f"against what you told of `{told}`")):
        entries_of(QUESTIONS[path], typed, {**BEFORE, **before}, plan_check())


# --- words


def enums(schema: dict[str, Any], path: str = "") -> Iterator[tuple[str, dict[str, Any]]]:
    """Every entry of a schema that takes words."""
    if isinstance(schema.get("enum"), list):
        yield path, schema
    for key, value in schema.items():
        if isinstance(value, dict) and key != "x-also":
            yield from enums(value, f"{path}/{key}")


ENUMS = [
    (f"{name}{path}", tuple(str(word) for word in entry["enum"] if isinstance(word, str)), also_of(entry))
    for name in ("plan", "species")
    for path, entry in enums(load_schema(name))
]
# Pairs of opposites, kept apart from the program's own: what is said with the one must not be answered with the other.
PAIRS = [
    ("in", "outside"), ("inside", "outside"), ("in", "out"), ("within", "outside"),
    ("top", "floor"), ("top", "bottom"), ("lid", "floor"), ("above", "floor"), ("upper", "lower"), ("over", "under"),
    ("bottom", "lid"), ("under", "lid"), ("bottom", "upper"), ("top", "lower"),
    ("yes", "no"), ("yes", "none"), ("with", "none"), ("no", "yes"),
    ("male", "females"), ("female", "males"), ("coarse", "fine"), ("coarse", "superfine"),
    ("buried", "on the surface"), ("expanded", "extruded"), ("tight", "poorly"), ("well", "poorly"),
    ("loose", "gasket"), ("early", "later"), ("insulated", "bare"), ("volume", "mass"), ("weight", "volume"),
]  # fmt: skip
FILLED = ("{}", "{} the box", "it is {} the box", "{} side", "at the {}", "{} of it", "the {} one", "{} {}")


def says(text: str, word: str) -> bool:
    return re.search(rf"(?<![a-z]){word}(?![a-z])", text.lower()) is not None


def wrongly(typed: str, offered: str) -> list[tuple[str, str]]:
    """The pairs whose one side alone is typed and whose other side alone is offered."""
    both = [*PAIRS, *((other, one) for one, other in PAIRS)]
    return [
        (one, other)
        for one, other in both
        if says(typed, one) and not says(typed, other) and says(offered, other) and not says(offered, one)
    ]


@pytest.mark.parametrize("path, words, also", ENUMS, ids=[path for path, *_ in ENUMS])
def test_no_hint_names_the_opposite(path: str, words: tuple[str, ...], also: dict[str, list[str]]) -> None:
    """Said alone, in a phrase, and with a slip of the pen; what the schema itself calls so is no guess."""
    called = {name for names in also.values() for name in names}
    for said in sorted({one for pair in PAIRS for one in pair}):
        for form in FILLED:
            typed = form.format(*[said] * form.count("{}"))
            if typed in called or typed in words:
                continue
            found = meant(typed, words, also)
            for offered in found.words if not found.sure else ():
                assert not wrongly(typed, offered), (typed, offered)


@pytest.mark.parametrize("path, words, also", ENUMS, ids=[path for path, *_ in ENUMS])
def test_no_hint_names_what_is_on_the_other_side(
    path: str, words: tuple[str, ...], also: dict[str, list[str]]
) -> None:
    """Outside the probe box is no place in it; and with a slip of the pen."""
    for word, names in also.items():
        for said in ("outside", "inside", "above", "under"):
            for name in names:
                # "above the below" is nonsense, and inside the room is outside the box.
                if any(says(name, one) for one in ("underneath", "below", "base", "room")) or any(
                    says(name, one) for pair in PAIRS for one in pair
                ):
                    continue
                typed = f"{said} the {name}"
                found = meant(typed, words, also)
                for offered in found.words if not found.sure else ():
                    assert not wrongly(typed, "; ".join([offered, *also.get(offered, ())])), (
                        typed,
                        word,
                        offered,
                    )
    for said in ("inside", "outside", "bottom", "females", "coarse"):
        for place in range(1, len(said) - 1):
            slip = said[:place] + said[place + 1 :]
            for offered in meant(f"{slip} the box", words, also).words:
                assert not wrongly(said, offered), (slip, offered)


@pytest.mark.parametrize("path, words, also", ENUMS, ids=[path for path, *_ in ENUMS])
def test_every_word_and_every_name_is_found(
    path: str, words: tuple[str, ...], also: dict[str, list[str]]
) -> None:
    for word in words:
        assert word in meant(word.upper(), words, also).words or also
        for name in also.get(word, ()):
            found = meant(f"the {name}", words, also)
            assert found.sure and word in found.words, (name, found)
            assert name.lower() not in words
            denies = any(says(name, no) for no in ("no", "not", "never", "nothing", "without"))
            # "in the room" is outside the box: the schema's word for it, no guess.
            assert denies or "room" in name or not wrongly(name, word), (name, word)


@pytest.mark.parametrize("path, words, also", ENUMS, ids=[path for path, *_ in ENUMS])
def test_what_is_denied_is_not_offered(path: str, words: tuple[str, ...], also: dict[str, list[str]]) -> None:
    for word in words:
        for no in ("not {}", "no {}", "without {}", "it isn't {}", "never {}"):
            typed = no.format(word)
            if any(says(word, one) for one in ("no", "none", "nothing", "not")):
                continue
            found = meant(typed, words, also)
            assert found.sure or word not in found.words, (typed, found)


@settings(deadline=None, max_examples=200)
@given(st.sampled_from(ENUMS), st.text(max_size=40), st.data())
def test_any_text_gets_an_answer(
    entry: tuple[str, tuple[str, ...], Any], text: str, data: st.DataObject
) -> None:
    """Noise around a word too; only known words are ever offered."""
    _, words, also = entry
    for typed in (text, f"{text} {data.draw(st.sampled_from(words))}"):
        found = meant(typed, words, also)
        assert set(found.words) <= set(words)
        assert bool(found.words) or not found.sure


# --- numbers and dates


@settings(deadline=None, max_examples=200)
@given(st.dates(datetime.date(1990, 1, 1), datetime.date(2200, 12, 31)))
def test_a_date_in_any_clear_order_is_that_day(day: datetime.date) -> None:
    """Never another day: what can be two days is asked."""
    kind, iso = Kind("date"), day.isoformat()
    for form in ("%d %B %Y", "%B %d, %Y", "%d %b %Y", "%dth of %B %Y", "%Y/%m/%d", "about %d.%B %Y"):
        assert in_file_form(day.strftime(form), kind) == iso
    for form in ("%d/%m/%Y", "%m/%d/%Y", "%d.%m.%Y"):
        typed = day.strftime(form)
        if day.day <= 12 and day.day != day.month:
            with pytest.raises(Refusal) as refused:
                in_file_form(typed, kind)
            assert iso in refused.value.hint
        else:
            assert in_file_form(typed, kind) == iso
    for form in ("%d/%m/%y", "%d %B"):
        with pytest.raises(Refusal):
            in_file_form(day.strftime(form), kind)


@settings(deadline=None, max_examples=200)
@given(st.integers(0, 9999), st.text("0123456789", min_size=1, max_size=4))
def test_a_comma_is_a_point_or_it_is_asked(whole: int, rest: str) -> None:
    kind = Kind("mass")
    if len(rest) == 3 and 0 < whole <= 999:
        with pytest.raises(Refusal) as refused:
            in_file_form(f"{whole},{rest} g", kind)
        assert f"{whole}{rest}" in refused.value.hint
    else:
        assert in_file_form(f"{whole},{rest} g", kind) == f"{whole}.{rest} g"


@pytest.mark.parametrize(
    "kind",
    sorted({"temperature", "temperature-step", "length", "mass", "volume", "power", "duration"} & set(UNITS)),
)
@pytest.mark.parametrize("typed", ["about 25", "25", "25,5", "roughly 25 or so", "twenty"])
def test_a_unit_is_never_guessed(kind: str, typed: str) -> None:
    with pytest.raises(Refusal) as refused:
        in_file_form(typed, Kind(kind))
    assert "has no unit" in refused.value.message


# --- files


@pytest.mark.parametrize(
    ("entry", "hint"),
    [
        ("heat: {source: heat mat}", "Write `mat`."),
        ("heat: {place: top}", "Write `lid`."),
        ("control: {probe: {sits_in: in the box}}", "can mean probe box medium or egg box medium or air"),
        ("control: {set_to: about 28 °C}", "Write `28 °C`."),
        ("control: {set_to: about 28}", "Write 28 °C or 82 °F."),
        ('outer_box: {inside: "50 x 30,5 x 35 cm"}', "Write `50 x 30.5 x 35 cm`."),
        ("outer_box: {wall: {thickness: 3 to 4 cm}}", "Write one number. Thickness of one wall."),
        ("egg_boxes: [{name: a, holds: eggs, lid: {holes: no holes}}]", "Write `none`."),
        ("control: {probe: {fixed: yep}}", "Write `yes`."),
        ("trial_run: {from: 10/5/2027}", "2027-05-10 (10 May) or 2027-10-05 (5 October)"),
    ],
)
def test_a_file_stays_strict_and_its_message_names_what_to_write(entry: str, hint: str) -> None:
    document = parse_yaml(
        f"format: 1\nclutches: [{{species: pantherophis-guttatus}}]\n{entry}\n".encode(), "x.yaml"
    )
    (problem,) = schema_problems(document, "plan")
    assert hint in problem.hint
    with pytest.raises(InputError):
        from advisor.reading.plan import read_document

        read_document(document)


@pytest.mark.parametrize(
    "path", ["control.cut_out", "egg_boxes[0].top_up", "clutches[0].cool_period", "clutches[0].lay_box"]
)
def test_what_a_hint_says_is_what_the_question_shows_and_is_taken(path: str) -> None:
    question = question_about(path, "", us=False)
    with pytest.raises(Refusal) as refused:
        question.read("hmm and so on")
    assert refused.value.hint.startswith(f"Write it like this: {question.example}")
    for way in refused.value.hint.removeprefix("Write it like this: ").removesuffix(".").split(", or "):
        assert question.read(way)[path]
