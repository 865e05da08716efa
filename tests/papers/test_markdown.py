"""Rule texts and profile notes: Markdown without raw HTML, with pictures and links that lead nowhere."""

import html5lib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.papers.markdown import render_markdown
from advisor.rules import rule_modules

CASES = [
    ("plain *words* and `code`", "<p>plain <em>words</em> and <code>code</code></p>\n"),
    ("<b>bold</b>", "<p>&lt;b&gt;bold&lt;/b&gt;</p>\n"),
    ("![alt](http://a.invalid/x.png)", "<p>alt</p>\n"),
    ("![](http://a.invalid/x.png)", "<p>http://a.invalid/x.png</p>\n"),
    ("[click](http://a.invalid)", "<p>click (http://a.invalid)</p>\n"),
    ("<http://a.invalid>", "<p>http://a.invalid</p>\n"),
    ("[click](javascript:alert(1))", "<p>[click](javascript:alert(1))</p>\n"),
    ("# Head", "<p><strong>Head</strong></p>\n"),
    ("- one\n- two", "<ul>\n<li>one</li>\n<li>two</li>\n</ul>\n"),
    ("[a][b]\n\n[b]: http://a.invalid", "<p>a (http://a.invalid)</p>\n"),
    ("a\u202eb\x1bc", "<p>a\\u202eb\\x1bc</p>\n"),
]


@pytest.mark.parametrize(("text", "html"), CASES, ids=[text for text, _ in CASES])
def test_markdown_becomes_inert_html(text: str, html: str) -> None:
    assert render_markdown(text) == html


def test_tables_are_known() -> None:
    assert "<td>1</td>" in render_markdown("| a |\n|---|\n| 1 |")


@settings(max_examples=100, deadline=None)
@given(st.text(st.sampled_from("<>[]()!#*`_\\\n :/&;ab\"'=|-~"), max_size=60))
def test_nothing_in_it_can_load_or_run(text: str) -> None:
    fragment = html5lib.parseFragment(render_markdown(text), namespaceHTMLElements=False)
    for element in fragment.iter():
        assert element.tag not in (
            "a",
            "img",
            "script",
            "style",
            "iframe",
            "h1",
            "h2",
            "h3",
            "h4",
            "h5",
            "h6",
        )
        assert not {"href", "src", "id", "style"} & set(element.attrib)


@pytest.mark.parametrize("module", rule_modules(), ids=lambda module: module.RULE.id)
def test_rule_texts_are_sound_markdown(module: object) -> None:
    explanation = module.RULE.explanation  # type: ignore[attr-defined]
    html = render_markdown(explanation)
    html5lib.HTMLParser(strict=True).parseFragment(html)
    assert html.startswith("<p>")
