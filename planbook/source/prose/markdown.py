"""The Markdown that authors write: CommonMark and tables, HTML shown as text, `{...}` as references.

One parser serves steps and pages. It differs from the stock one in four rules:

- `{...}` is a reference (`reference` token); a brace that does not fit is a `brace_fault` token.
- HTML is an ordinary text, but its tags are marked (`html_text` token) so that they can be reported.
- Links and images note the stretch they came from in their `meta`.
- Escaped characters stay tokens of their own, so that every token can be found in the source again.
"""

from __future__ import annotations

import functools
import re
from collections.abc import Callable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from markdown_it import MarkdownIt
    from markdown_it.rules_inline import StateInline

    Rule = Callable[[StateInline, bool], bool]

_BRACE = re.compile(r"\\.|[{}]", re.DOTALL)


@functools.cache
def markdown() -> MarkdownIt:
    """Return the parser; it is shared and must not be changed."""
    from markdown_it import MarkdownIt
    from markdown_it.rules_inline import image, link

    from planbook.source.prose.renderer import ProseRenderer

    parser = MarkdownIt("commonmark", {"html": False}, renderer_cls=ProseRenderer)
    parser.enable("table")
    parser.core.ruler.disable("text_join")
    parser.inline.ruler.before("newline", "brace", brace_rule)
    parser.inline.ruler.before("entity", "html_text", _html_rule())
    parser.inline.ruler.at("link", _noting_extent(link))
    parser.inline.ruler.at("image", _noting_extent(image))
    return parser


def brace_rule(state: StateInline, silent: bool) -> bool:
    """Read a reference, or mark a brace that opens or closes nothing."""
    start = state.pos
    if state.src[start] not in "{}":
        return False
    last = _partners(state.src).get(start, state.posMax)
    inside = state.src[start + 1 : last]
    end = last + 1
    if last >= state.posMax:
        fault, end = ("unclosed" if state.src[start] == "{" else "stray"), start + 1
    elif "{" in inside:
        fault = "nested"
    else:
        fault = "" if inside.strip() else "empty"
    if not silent:
        token = state.push("brace_fault" if fault else "reference", "", 0)
        token.content = state.src[start:end]
        token.info = fault
    state.pos = end
    return True


@functools.lru_cache(maxsize=8)
def _partners(source: str) -> dict[int, int]:
    """Return where each opening brace is closed, found in one pass so that no input is slow."""
    open_braces: list[int] = []
    partners: dict[int, int] = {}
    for found in _BRACE.finditer(source):
        if found[0] == "{":
            open_braces.append(found.start())
        elif found[0] == "}" and open_braces:
            partners[open_braces.pop()] = found.start()
    return partners


def _html_rule() -> Rule:
    """Return the rule that marks an HTML tag or comment, which is then printed as it stands."""
    from markdown_it.common.html_re import HTML_TAG_RE

    def html_rule(state: StateInline, silent: bool) -> bool:
        start = state.pos
        if state.src[start] != "<":
            return False
        tag = HTML_TAG_RE.match(state.src, start, state.posMax)
        if tag is not None:
            end = tag.end()
        elif state.src.startswith("<!--", start):
            end = start + 4
        else:
            return False
        if not silent:
            state.push("html_text", "", 0).content = state.src[start:end]
        state.pos = end
        return True

    return html_rule


def _noting_extent(rule: Rule) -> Rule:
    """Return the rule, with the stretch it consumed noted on the last token it pushed."""

    def noting(state: StateInline, silent: bool) -> bool:
        start = state.pos
        if not rule(state, silent):
            return False
        if not silent:
            state.tokens[-1].meta["extent"] = (start, state.pos)
        return True

    return noting
