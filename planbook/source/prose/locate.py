"""Finding each piece of running text in the source file again.

The Markdown library knows lines only. Its tokens come in the order of the source and each one tells
how it was written, so a cursor that walks along the paragraph's own characters finds the column of
every token; the paragraph's lines are then laid against the lines of the file.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from planbook.source.diagnostics import Findings, Span
from planbook.source.files import SourceFile
from planbook.source.prose.inlines import (
    Break,
    Code,
    Emphasis,
    Inline,
    Inlines,
    Link,
    Plain,
    Reference,
    Strong,
    plain_text,
)
from planbook.source.prose.markdown import markdown
from planbook.source.text import Text

if TYPE_CHECKING:
    from markdown_it.token import Token


_BLANK_IN_ADDRESS = re.compile(
    r"(?<=\]\()((?:material|page|part|plan|step|term|tool|word):[^()<>\n`]* [^()<>\n`]*)(?=\))"
)

DEEPEST = 20
"""Most marks inside one another; nobody reads a text with more."""


_NONCHARACTERS = "".join(chr(plane * 0x10000 + last) for plane in range(17) for last in (0xFFFE, 0xFFFF))
_UNREADABLE = re.compile(f"[\x00-\x08\x0b-\x1f\x7f-\x9f\ud800-\udfff\ufdd0-\ufdef{re.escape(_NONCHARACTERS)}]")


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a paragraph, with the place of its first character."""

    text: str
    number: int
    column: int

    def behind(self, count: int) -> Line:
        """Return the line without its first `count` characters."""
        return Line(self.text[count:], self.number, self.column + count)

    def span(self, file: str, start: int, end: int) -> Span:
        """Return the span of characters `start` to `end` of the line."""
        return Span(file, self.number, self.column + start, self.number, self.column + end)


@dataclass(frozen=True, slots=True)
class Passage:
    """The characters of one paragraph, heading or cell, and where each of its lines stands."""

    file: str
    lines: tuple[Line, ...]
    folded: Span | None = None
    """Set where the places inside are not known: every piece then has this span."""
    content: str = field(init=False)
    starts: tuple[int, ...] = field(init=False)
    """Offset in `content` at which each line begins."""

    def __post_init__(self) -> None:
        starts, offset = [], 0
        for line in self.lines:
            starts.append(offset)
            offset += len(line.text) + 1
        object.__setattr__(self, "content", "\n".join(line.text for line in self.lines))
        object.__setattr__(self, "starts", tuple(starts))

    def place(self, offset: int) -> tuple[int, int]:
        """Return line and column (from 1) of a character of `content`."""
        index = max(bisect_right(self.starts, offset) - 1, 0)
        line = self.lines[index]
        return line.number, line.column + offset - self.starts[index]

    def span(self, start: int, end: int) -> Span:
        """Return the span of the characters `start` to `end` (exclusive) of `content`."""
        if self.folded is not None:
            return self.folded
        line, column = self.place(start)
        end_line, end_column = self.place(max(end - 1, start))
        return Span(self.file, line, column, end_line, end_column + 1)

    def text(self, start: int, end: int) -> Text:
        """Return those characters with their place; a line end in them becomes one space."""
        return Text(" ".join(self.content[start:end].split("\n")), self.span(start, end))

    def whole(self) -> Span:
        """Return the span from the first character to the last."""
        return self.span(0, max(len(self.content), 1))

    def rest(self, offset: int) -> Passage:
        """Return what follows from an offset of `content` on, without blanks at its two ends."""
        index = max(bisect_right(self.starts, offset) - 1, 0)
        lines = [self.lines[index].behind(offset - self.starts[index]), *self.lines[index + 1 :]]
        while len(lines) > 1 and not lines[0].text.strip():
            del lines[0]
        lines[0] = lines[0].behind(len(lines[0].text) - len(lines[0].text.lstrip()))
        last = lines[-1]
        lines[-1] = Line(last.text.rstrip(), last.number, last.column)
        return Passage(self.file, tuple(lines), self.folded)


def readable(source: SourceFile, findings: Findings) -> SourceFile:
    """Return a source without characters that no page may hold, each replaced by U+FFFD.

    Source of the set: HTML Living Standard, 13.2.3.5, control and noncharacter code points.
    """
    found = _UNREADABLE.search(source.text)
    if found is None:
        return source
    line = source.text.count("\n", 0, found.start())
    column = found.start() - (source.text.rfind("\n", 0, found.start()) + 1)
    findings.stop(
        "not-text",
        f"the character U+{ord(found.group()):04X} cannot stand in a source",
        Line("", line + 1, column + 1).span(source.name, 0, 1),
        help="delete it",
    )
    return SourceFile(source.name, _UNREADABLE.sub("\ufffd", source.text))


def passage_of(token: Token, file: str, raw: tuple[str, ...]) -> Passage:
    """Lay the content of an `inline` token of a paragraph or heading against the lines of the file.

    The library removes list marks, quote marks and indentation at the left only, so the two agree
    from the right. A heading may also have lost hashes at its right, and is searched for.
    """
    first = token.map[0] if token.map else 0
    lines = []
    for number, text in enumerate(token.content.split("\n"), first):
        written = raw[number] if number < len(raw) else ""
        core = text.strip()
        column = max(written.rfind(core), 0)
        if written.rstrip().endswith(core):
            column = len(written.rstrip()) - len(core)
        indent = len(text) - len(text.lstrip()) if core else 0
        lines.append(Line(text, number + 1, max(column - indent, 0) + 1))
    return Passage(file, tuple(lines))


def cell_passage(token: Token, file: str, raw: tuple[str, ...], after: int) -> tuple[Passage, int]:
    """Find the content of a table cell in its row, behind column offset `after`.

    A cell with an escaped bar in it reads otherwise than it is written; its columns are then near,
    not exact.
    """
    number = token.map[0] if token.map else 0
    written = raw[number] if number < len(raw) else ""
    found = written.find(token.content, after)
    column = found if found >= 0 else min(after, len(written))
    passage = Passage(file, (Line(token.content, number + 1, column + 1),))
    return passage, column + len(token.content)


def report_depth(tokens: list[Token], source: SourceFile, findings: Findings) -> None:
    """Stop at the first block that lies so deep that the library would drop what is inside it."""
    deep = next((token for token in tokens if token.level >= DEEPEST - 2 and token.nesting > 0), None)
    if deep is not None:
        number = deep.map[0] if deep.map else 0
        findings.stop(
            "nested-too-deep",
            "lists and quotations stand too deep inside one another to be read",
            Line(source.lines[number], number + 1, 1).span(source.name, 0, len(source.lines[number]) or 1),
            help="begin the line further to the left",
        )


def read_text(text: Text, findings: Findings) -> Inlines:
    """Parse running text that stands in YAML; in a folded text each piece has the span of the whole."""
    span = text.span
    folded = span if span.line != span.end_line else None
    lines = tuple(Line(line, span.line, span.column) for line in text.split("\n"))
    return read_inlines(Passage(span.file, lines, folded), findings)


def read_inlines(passage: Passage, findings: Findings, *, env: dict[str, object] | None = None) -> Inlines:
    """Parse the running text of a passage; `env` holds the link addresses defined in its file."""
    parser = markdown()
    tokens: list[Token] = []
    parser.inline.parse(passage.content, parser, env if env is not None else {}, tokens)
    return locate(tokens, passage, findings)


def locate(tokens: list[Token], passage: Passage, findings: Findings) -> Inlines:
    """Turn the tokens of a passage into the tree of running text, and report what is wrong in it.

    References, links and pictures are noted in the tokens' `meta`, too, for the renderer of pages.
    """
    depth = deepest = 0
    for token in tokens:
        depth += token.nesting
        deepest = max(deepest, depth)
    if deepest > DEEPEST:
        findings.stop(
            "nested-too-deep",
            f"bold, italic and link marks stand {deepest} deep inside one another, {DEEPEST} is the most",
            passage.whole(),
        )
        return (Plain(passage.text(0, len(passage.content))),)
    _report_blanks(tokens, passage, findings)
    return _Walk(tokens, passage, findings).pieces("")


def _report_blanks(tokens: list[Token], passage: Passage, findings: Findings) -> None:
    """Report addresses of the book with a blank in them: CommonMark then sees no link at all."""
    plain = "".join(token.content for token in tokens if token.type == "text")
    for match in _BLANK_IN_ADDRESS.finditer(passage.content):
        if match[0] not in plain:  # An example between backticks.
            continue
        findings.stop(
            "blank-in-address",
            f"the address `{match[1]}` holds a blank, so this is no link",
            passage.span(match.start(1), match.end(1)),
            help=f"write `(<{match[1]}>)`",
            rule="CommonMark 0.31.2, section 6.3",
        )


@dataclass(slots=True)
class _Walk:
    """A walk along the tokens with a cursor in the passage."""

    tokens: list[Token]
    passage: Passage
    findings: Findings
    index: int = 0
    cursor: int = 0

    def pieces(self, closing: str) -> Inlines:
        """Read on to the token of type `closing`, or to the end."""
        found: list[Inline] = []
        while self.index < len(self.tokens):
            token = self.tokens[self.index]
            self.index += 1
            if token.type == closing:
                break
            inline = self._piece(token)
            if inline is not None:
                found.append(inline)
        return tuple(found)

    def _piece(self, token: Token) -> Inline | None:
        """Read one token with all that stands inside it."""
        match token.type:
            case "text" | "html_text" | "brace_fault" | "text_special":
                return self._characters(token)
            case "reference":
                return self._reference(token)
            case "strong_open" | "em_open":
                return self._stretch(token)
            case "link_open":
                return self._autolink(token) if token.markup == "autolink" else self._link(token)
            case "code_inline":
                return self._code(token)
            case "softbreak" | "hardbreak":
                return self._line_end(token)
            case "image":
                return self._image(token)
        return None

    def _take(self, written: str) -> tuple[int, int]:
        """Move the cursor behind the next place where `written` stands, and return that stretch."""
        start = self.passage.content.find(written, self.cursor)
        if start < 0:
            start = self.cursor
        end = min(start + len(written), len(self.passage.content))
        self.cursor = end
        return start, end

    def _characters(self, token: Token) -> Plain | None:
        if not token.content:
            return None
        start, end = self._take(token.markup if token.type == "text_special" else token.content)
        span = self.passage.span(start, end)
        if token.type == "html_text":
            _report_html(token.content, span, self.findings)
        elif token.type == "brace_fault":
            _report_brace(token, span, self.findings)
        return Plain(Text(" ".join(token.content.split("\n")), span))

    def _reference(self, token: Token) -> Reference:
        start, end = self._take(token.content)
        inside = self.passage.content[start + 1 : end - 1]
        first = start + 1 + len(inside) - len(inside.lstrip())
        text = " ".join(inside.split()) if "\n" in inside else inside.strip()
        last = first + len(inside.strip())
        reference = Reference(Text(text, self.passage.span(first, last)))
        token.meta["reference"] = reference
        return reference

    def _stretch(self, token: Token) -> Strong | Emphasis:
        self._take(token.markup)
        closing = token.type.replace("open", "close")
        children = self.pieces(closing)
        self._take(token.markup)
        return Strong(children) if token.type == "strong_open" else Emphasis(children)

    def _autolink(self, token: Token) -> Link:
        content = self.passage.content
        start = content.find("<", self.cursor)
        self.cursor = content.find(">", start) + 1
        self.index += 2
        address = self.passage.text(start + 1, self.cursor - 1)
        href = Text(str(token.attrs["href"]), address.span)
        link = Link((Plain(address),), href)
        token.meta["link"] = link
        return link

    def _link(self, token: Token) -> Link:
        self._take("[")
        children = self.pieces("link_close")
        end = self.tokens[self.index - 1].meta.get("extent", (0, self.cursor))[1]
        target = self._target(self.cursor, end, str(token.attrs["href"]))
        self.cursor = end
        link = Link(children, target)
        token.meta["link"] = link
        return link

    def _target(self, start: int, end: int, href: str) -> Text:
        """Return the address that stands between `start` and `end`, behind `](`.

        An address given elsewhere in the file is placed at the whole tail of the link.
        """
        content = self.passage.content
        opened = content.find("](", start, end)
        first = opened + 2
        while opened >= 0 and first < end and content[first] in " \t\n":
            first += 1
        found = markdown().helpers.parseLinkDestination(content, first, end) if opened >= 0 else None
        if found is None or not found.ok or markdown().normalizeLink(found.str) != href:
            return Text(href, self.passage.span(start, max(end, start + 1)))
        last = found.pos
        if content[first : first + 1] == "<":
            first, last = first + 1, last - 1
        return Text(found.str, self.passage.span(first, max(last, first + 1)))

    def _code(self, token: Token) -> Code:
        _, start = self._take(token.markup)
        content, ticks = self.passage.content, len(token.markup)
        end = content.find(token.markup, start)
        while end >= 0 and (content[end - 1] == "`" or content[end + ticks : end + ticks + 1] == "`"):
            end = content.find(token.markup, end + 1)
        end = end if end >= 0 else len(content)
        self.cursor = min(end + ticks, len(content))
        padded = content[start:end].replace("\n", " ") != token.content
        inner = (start + 1, end - 1) if padded else (start, end)
        return Code(Text(token.content, self.passage.span(*inner)))

    def _line_end(self, token: Token) -> Plain | Break:
        if token.type == "hardbreak" and self.passage.content.startswith("\\", self.cursor):
            self.cursor += 1
        start, end = self._take("\n")
        return Plain(Text(" ", self.passage.span(start, end))) if token.type == "softbreak" else Break()

    def _image(self, token: Token) -> Plain:
        start, end = token.meta.get("extent", (self.cursor, self.cursor))
        here = Line(token.content, *self.passage.place(start + 2))
        inner = Passage(self.passage.file, (here,), self.passage.folded)
        alt = plain_text(locate(token.children or [], inner, self.findings))
        tail = start + 2 + len(token.content)
        token.meta["source"] = self._target(tail, end, str(token.attrs["src"]))
        span = self.passage.span(start, end)
        self.cursor = end
        if not alt.strip():
            self.findings.stop(
                "no-alt-text",
                "this picture has no words that say what it shows",
                span,
                help=f"write `![what the picture shows]({token.attrs['src']})`",
                rule="WCAG 2.2, success criterion 1.1.1",
            )
        elif any(child.type == "reference" for child in token.children or ()):
            self.findings.stop(
                "reference-in-alt-text",
                "the words for a picture are read out as typed, a reference in them is not filled in",
                span,
                help="say what the picture shows without the size",
            )
        return Plain(Text(alt, span))


def _report_html(written: str, span: Span, findings: Findings) -> None:
    """Warn of a tag or comment that is printed as it stands."""
    if written.startswith("<!--"):
        message = "this comment is printed as it stands, HTML is not read"
        cure = "delete it, or keep such remarks in `plan.yaml` behind a `#`"
    else:
        message = f"`{' '.join(written.split())}` is printed as it stands, HTML is not read"
        cure = "write `**bold**`, `*italic*`, `[words](address)`, or `\\<` for the character itself"
    findings.warn("html-in-prose", message, span, help=cure)


def _report_brace(token: Token, span: Span, findings: Findings) -> None:
    """Stop at braces that hold no reference."""
    messages = {
        "unclosed": ("unclosed-reference", "this `{` is never closed in its paragraph"),
        "stray": ("unclosed-reference", "this `}` has no `{` before it in its paragraph"),
        "empty": ("empty-reference", "there is nothing between `{` and `}`"),
        "nested": ("nested-reference", "a reference stands inside another one"),
    }
    helps = {
        "unclosed": "write `}` behind the name, or `\\{` for the brace itself",
        "stray": "write `{` before the name, or `\\}` for the brace itself",
        "empty": "write a name or a size in it, for example `{3/8 in}`",
        "nested": "write one reference behind the other, each in braces of its own",
    }
    slug, message = messages[token.info]
    findings.stop(slug, message, span, help=helps[token.info])
