"""Markdown of rules and profiles to HTML: raw HTML is shown as text, pictures and links lead nowhere."""

from functools import cache
from typing import TYPE_CHECKING, Any, Literal

from advisor.reading.problems import printable

if TYPE_CHECKING:
    from markdown_it.token import Token

LONGEST = 200_000  # characters; far more than any note


@cache
def _parser() -> Any:
    from markdown_it import MarkdownIt

    # Ids of headings and the like would clash with those of the page, so none are made; html off shows tags as text.
    return MarkdownIt("commonmark", {"html": False}).enable("table")


def render_markdown(text: str) -> str:
    """The text as HTML: headings as bold lines, a picture as its words, a link as its words with the address behind."""
    lines = [printable(line, LONGEST) for line in text.replace("\t", "    ").splitlines()]
    tokens = _parser().parse("\n".join(lines))
    in_heading = False
    for token in tokens:
        if token.type in ("heading_open", "heading_close"):
            # Any heading would break the order of headings of the page it goes into.
            token.tag, in_heading = "p", token.type == "heading_open"
        if token.type == "inline" and token.children is not None:
            token.children = _without_links(token.children)
            if in_heading:
                token.children = [_bold(1), *token.children, _bold(-1)]
    return str(_parser().renderer.render(tokens, _parser().options, {}))


def _bold(nesting: Literal[1, -1]) -> "Token":
    from markdown_it.token import Token

    return Token(f"strong_{'open' if nesting == 1 else 'close'}", "strong", nesting)


def _without_links(tokens: "list[Token]") -> "list[Token]":
    from markdown_it.token import Token

    kept: list[Token] = []
    addresses: list[tuple[str, int]] = []
    for token in tokens:
        if token.type == "image":
            kept.append(Token("text", "", 0, content=token.content or str(token.attrs.get("src", ""))))
        elif token.type == "link_open":
            addresses.append((str(token.attrs.get("href", "")), len(kept)))
        elif token.type == "link_close":
            address, start = addresses.pop()
            words = "".join(part.content for part in kept[start:])
            if address not in (words, f"mailto:{words}"):
                kept.append(Token("text", "", 0, content=f" ({address})"))
        else:
            kept.append(token)
    return kept
