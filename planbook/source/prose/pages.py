"""Reading a page of the book, and writing it as HTML."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from planbook.source.diagnostics import Findings, Span
from planbook.source.files import SourceFile
from planbook.source.prose.inlines import Inlines, Link, Reference, plain_text
from planbook.source.prose.locate import cell_passage, locate, passage_of, readable, report_depth
from planbook.source.prose.markdown import markdown
from planbook.source.text import Text
from planbook.source.yaml_nodes import Node, load

if TYPE_CHECKING:
    from markdown_it.token import Token


@dataclass(frozen=True, slots=True)
class PageSource:
    """One page as written."""

    name: str
    """Path of its file in the book."""
    title: Text
    """The words of its first-level heading, without marks."""
    facts: Node | None
    """The YAML between two lines `---` at the top, if there is any."""
    body: tuple[Token, ...]
    """What follows the title, parsed; not to be changed."""
    passages: tuple[Inlines, ...]
    """The running text of each paragraph, heading and cell of the body, for checks."""


def read_page(source: SourceFile, findings: Findings) -> PageSource | None:
    """Read a page, or record why it cannot be one and return None."""
    source = readable(source, findings)
    facts, first = _front_block(source, findings)
    text = "\n" * first + "\n".join(source.lines[first:])
    parser = markdown()
    env: dict[str, object] = {}
    tokens = parser.parse(text, env)
    report_depth(tokens, source, findings)
    passages = _locate_all(tokens, source, findings)
    if not tokens or tokens[0].type != "heading_open" or tokens[0].tag != "h1":
        findings.stop(
            "no-page-title",
            f"`{source.name}` does not begin with its title",
            _first_written(source, first),
            help="write a line such as `# Sharpening` at the top",
        )
        return None
    titles = passages.pop(0)
    title = Text(plain_text(titles).strip(), passage_of(tokens[1], source.name, source.lines).whole())
    if not title:
        findings.stop("no-title", "this page has no title", title.span, help="write `# Sharpening`")
        return None
    if any(isinstance(piece, Reference) for piece in titles):
        findings.stop(
            "marks-in-title",
            "a title is a plain name, without references",
            title.span,
            help="say it without the size",
        )
    return PageSource(source.name, title, facts, tuple(tokens[3:]), tuple(passages))


def to_html(
    page: PageSource,
    *,
    reference: Callable[[Reference], str],
    link: Callable[[Link], str | None],
    image: Callable[[Text], str | None],
    heading_offset: int = 0,
) -> str:
    """Write the body of a page; the title is left to the template.

    `reference` returns safe HTML. `link` and `image` return an address, which is escaped here, or None
    where there is none: the link's words or the picture's alt text then stand alone. Heading levels
    move down by `heading_offset`; each heading gets an id made of its words.
    """
    from planbook.source.prose.renderer import FILL, Fill

    parser = markdown()
    fill = Fill(reference, link, image, heading_offset)
    return str(parser.renderer.render(page.body, parser.options, {FILL: fill}))


def _front_block(source: SourceFile, findings: Findings) -> tuple[Node | None, int]:
    """Return the facts at the top of a page and the number of lines they take."""
    lines = source.lines
    if lines[0].rstrip() != "---":
        return None, 0
    end = next((place for place, line in enumerate(lines) if place and line.rstrip() == "---"), None)
    if end is None:
        findings.stop(
            "unclosed-facts",
            "the facts that begin here are never closed",
            Span(source.name, 1, 1, 1, 4),
            help="write a line `---` below the facts",
        )
        return None, 1
    excerpt = SourceFile(source.name, "\n".join(lines[1:end]))
    if not excerpt.text.strip():
        return None, end + 1
    return load(excerpt, findings, first_line=2), end + 1


def _first_written(source: SourceFile, first: int) -> Span:
    """Return the span of the first line with words in it, from line index `first` on."""
    number = next((place for place in range(first, len(source.lines)) if source.lines[place].strip()), first)
    number = min(number, len(source.lines) - 1)
    return Span(source.name, number + 1, 1, number + 1, max(len(source.lines[number]), 1) + 1)


def _locate_all(tokens: list[Token], source: SourceFile, findings: Findings) -> list[Inlines]:
    """Give every piece of running text its place, and report what is wrong in it."""
    found: list[Inlines] = []
    behind, row = 0, -1
    for index, token in enumerate(tokens):
        if token.type != "inline":
            continue
        if tokens[index - 1].type in ("td_open", "th_open"):
            line = (token.map or [0])[0]
            behind, row = (behind if line == row else 0), line
            passage, behind = cell_passage(token, source.name, source.lines, behind)
        else:
            passage = passage_of(token, source.name, source.lines)
        found.append(locate(token.children or [], passage, findings))
    return found
