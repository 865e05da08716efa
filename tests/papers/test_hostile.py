"""Text that wishes harm prints inert: in HTML, in Markdown, in the page header, in pictures."""

import re
from pathlib import Path

import html5lib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from markdown_it import MarkdownIt

from advisor.papers.page import css_text, markdown_text
from tests.papers.pages import (
    HOSTILE,
    HOSTILE_NAME,
    Papers,
    hostile_plan,
    html_of,
    markdown_of,
    papers_of,
    without_ticks,
)

KINDS = ("checklist", "cards")


@pytest.fixture(scope="module")
def papers(tmp_path_factory: pytest.TempPathFactory) -> Papers:
    return papers_of(hostile_plan(tmp_path_factory.mktemp("hostile") / "plan.yaml"))


def visible(html: str) -> str:
    document = html5lib.parse(html, namespaceHTMLElements=False)
    return "".join(next(document.iter("body")).itertext())


@pytest.mark.parametrize("kind", KINDS)
def test_html_shows_the_words_and_does_nothing(kind: str, papers: Papers) -> None:
    html = html_of(papers, kind)
    lowered = without_ticks(html).lower()
    assert "<script" not in lowered and "<img" not in lowered
    assert "{display:none}" not in html.split("<style>")[1].split("</style>")[0]
    assert lowered.count("<style>") == lowered.count("</style>") == 1
    shown = visible(html)
    assert (
        "<script>alert(1)</script>" in shown
        and "{{ 7*7 }}" in shown
        and "![p](http://a.invalid/x.png)" in shown
    )
    assert "n" * 50 in shown and "\\u202egnp.exe" in shown and "&amp;" in shown
    assert not any(character in html for character in "\u202e\x1b\u2066")


@pytest.mark.parametrize("kind", KINDS)
def test_every_character_can_be_printed(kind: str, papers: Papers) -> None:
    for text in (html_of(papers, kind), markdown_of(papers, kind)):
        assert all(character.isprintable() or character in "\n\u00a0" for character in text)


@pytest.mark.parametrize("kind", KINDS)
def test_markdown_shows_the_words_and_does_nothing(kind: str, papers: Papers) -> None:
    """Read back with markdown-it-py, raw HTML on, as the most trusting reader would."""
    parser = MarkdownIt("commonmark", {"html": True}).enable("table").enable("strikethrough")
    tokens = parser.parse(markdown_of(papers, kind))
    children = [child for token in tokens for child in token.children or []]
    kinds = {token.type for token in (*tokens, *children)}
    assert not kinds & {
        "html_block",
        "html_inline",
        "image",
        "link_open",
        "code_inline",
        "code_block",
        "fence",
        "s_open",
    }
    shown = "".join(child.content for child in children)
    assert "<script>alert(1)</script>" in shown and "{{ 7*7 }}" in shown and "&amp;" in shown
    assert "**b**" in shown and "`code`" in shown


@settings(max_examples=100, deadline=None)
@given(
    st.text(st.characters(exclude_categories=("Cc", "Cs", "Cf", "Cn", "Zs", "Zl", "Zp", "Co")), min_size=1)
)
def test_any_text_comes_out_of_markdown_as_it_went_in(text: str) -> None:
    parser = MarkdownIt("commonmark", {"html": True}).enable("strikethrough")
    (_, inline, _) = parser.parse(f"x {markdown_text(text)} x")
    assert {child.type for child in inline.children or []} <= {"text"}
    assert "".join(child.content for child in inline.children or []) == f"x {text} x"


@settings(max_examples=100, deadline=None)
@given(st.text(max_size=300))
def test_any_text_is_one_css_string(text: str) -> None:
    literal = css_text(text)
    assert literal.startswith('"') and literal.endswith('"')
    inner = literal[1:-1]
    assert re.fullmatch(r"(?:[A-Za-z0-9 ,.]|\\[0-9a-f]{1,6} )*", inner)


def test_long_names_are_cut_in_pictures_and_kept_in_words(papers: Papers, tmp_path: Path) -> None:
    html = html_of(papers, "checklist")
    texts = re.findall(r"<text[^>]*>([^<]*)</text>", html)
    assert texts and max(len(text) for text in texts) < 120
    assert any("…" in text for text in texts)
    assert HOSTILE_NAME.split("w" * 10)[1].strip("w") == "" and "w" * 40 in visible(html)
    assert len(HOSTILE) == 300
