"""HTML of pages: the stock renderer with references, addresses and heading ids filled in.

What is filled in comes with the call, under `FILL` in the `env` of `render`; without it (as when the
parser is used bare) references print as typed and headings have no ids.
"""

# ruff: noqa: ARG002 -- the library calls every render rule with the same arguments.
from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any

from markdown_it.common.utils import escapeHtml
from markdown_it.renderer import RendererHTML
from markdown_it.token import Token

from planbook.source.prose.inlines import Link, Reference
from planbook.source.prose.slugs import UniqueSlugs
from planbook.source.text import Text

FILL = "fill"
"""Key of the `Fill` in the renderer's `env`."""


@dataclass(slots=True)
class Fill:
    """What a page is completed with while it is rendered."""

    reference: Callable[[Reference], str]
    """Returns safe HTML."""
    link: Callable[[Link], str | None]
    """Returns an address, or None to keep the words without a link."""
    image: Callable[[Text], str | None]
    """Returns the address of a picture, or None to print its alt text instead."""
    heading_offset: int = 0
    slugs: UniqueSlugs = field(default_factory=UniqueSlugs)
    open_links: list[bool] = field(default_factory=list)


class ProseRenderer(RendererHTML):
    """Render rules; each has the signature that the parser's library wants."""

    def text_special(self, tokens: Sequence[Token], idx: int, options: Any, env: Any) -> str:
        """Write an escaped character or an entity."""
        return escapeHtml(tokens[idx].content)

    html_text = brace_fault = text_special

    def reference(self, tokens: Sequence[Token], idx: int, options: Any, env: Any) -> str:
        """Write what a reference stands for."""
        fill = env.get(FILL)
        located = tokens[idx].meta.get("reference")
        if fill is None or located is None:
            return escapeHtml(tokens[idx].content)
        return str(fill.reference(located))

    def link_open(self, tokens: Sequence[Token], idx: int, options: Any, env: Any) -> str:
        """Begin a link to the resolved address, or only its words."""
        fill = env.get(FILL)
        token = tokens[idx]
        if fill is None or "link" not in token.meta:
            return self.renderToken(tokens, idx, options, env)
        href = fill.link(token.meta["link"])
        fill.open_links.append(href is not None)
        if href is None:
            return ""
        return f"<a{self.renderAttrs(_with_attribute(token, 'href', href))}>"

    def link_close(self, tokens: Sequence[Token], idx: int, options: Any, env: Any) -> str:
        """End a link, unless only its words were written."""
        fill = env.get(FILL)
        if fill is None or not fill.open_links or fill.open_links.pop():
            return "</a>"
        return ""

    def image(self, tokens: Sequence[Token], idx: int, options: Any, env: Any) -> str:
        """Write a picture with its alt text."""
        fill = env.get(FILL)
        token = tokens[idx]
        alt = self.renderInlineAsText(token.children, options, env)
        located = token.meta.get("source")
        source = fill.image(located) if fill and located is not None else str(token.attrs["src"])
        if source is None:
            return escapeHtml(alt)
        shown = _with_attribute(_with_attribute(token, "src", source), "alt", alt)
        return f"<img{self.renderAttrs(shown)}{' /' if options.xhtmlOut else ''}>"

    def renderInlineAsText(self, tokens: Sequence[Token] | None, options: Any, env: Any) -> str:  # noqa: N802 - the library's name
        """Return the characters of an alt text, escaped ones included."""
        parts = []
        for token in tokens or ():
            if token.type in ("softbreak", "hardbreak"):
                parts.append("\n")
            elif token.children:
                parts.append(self.renderInlineAsText(token.children, options, env))
            else:
                parts.append(token.content)
        return "".join(parts)

    def heading_open(self, tokens: Sequence[Token], idx: int, options: Any, env: Any) -> str:
        """Begin a heading, moved down and with an id."""
        fill = env.get(FILL)
        if fill is None:
            return self.renderToken(tokens, idx, options, env)
        slug = fill.slugs.make(self.renderInlineAsText(tokens[idx + 1].children, options, env))
        return f'<{_heading_tag(tokens[idx], fill)} id="{slug}">'

    def heading_close(self, tokens: Sequence[Token], idx: int, options: Any, env: Any) -> str:
        """End a heading."""
        fill = env.get(FILL)
        tag = tokens[idx].tag if fill is None else _heading_tag(tokens[idx], fill)
        return f"</{tag}>\n"


def _heading_tag(token: Token, fill: Fill) -> str:
    """Return the tag of a heading moved down by the offset, `h6` at the deepest."""
    return f"h{min(6, int(token.tag[1]) + fill.heading_offset)}"


def _with_attribute(token: Token, name: str, value: str) -> Token:
    """Return a copy of a token; the page keeps its own as it was read."""
    return Token(token.type, token.tag, token.nesting, attrs={**token.attrs, name: value})
