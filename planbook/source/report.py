"""Findings as text with the line they are about, and as plain data."""

from __future__ import annotations

import re
import unicodedata
from typing import TypedDict

from planbook.source.diagnostics import Diagnostic, Span
from planbook.source.files import Sources

WIDEST = 100
"""Most columns shown of a source line; a longer one is cut round the mark."""
TAB = 4
LONGEST_QUOTE = 100
"""Most characters of a stretch in backticks; only what is twice as long is cut."""

_LONG_QUOTE = re.compile(rf"`[^`]{{{2 * LONGEST_QUOTE},}}`")
# Characters that would move the cursor or turn the direction of the text.
_UNPRINTABLE = re.compile(r"[\x00-\x08\x0a-\x1f\x7f-\x9f\u200e\u200f\u2028-\u202e\u2066-\u2069\ud800-\udfff]")


class SpanFacts(TypedDict):
    """A span as plain data; lines and columns count from 1, the end column is exclusive."""

    file: str | None
    line: int | None
    column: int | None
    end_line: int | None
    end_column: int | None


class FurtherFacts(SpanFacts):
    """A further place with its remark."""

    remark: str


class DiagnosticFacts(SpanFacts):
    """A diagnostic as plain data, its keys fixed."""

    slug: str
    severity: str
    message: str
    help: str | None
    rule: str | None
    further: list[FurtherFacts]


def to_json(diagnostic: Diagnostic) -> DiagnosticFacts:
    """Return a diagnostic as data that JSON can hold."""
    return {
        "slug": diagnostic.slug,
        "severity": diagnostic.severity.value,
        "message": diagnostic.message,
        **_span_facts(diagnostic.span),
        "help": diagnostic.help,
        "rule": diagnostic.rule,
        "further": [{**_span_facts(span), "remark": remark} for span, remark in diagnostic.further],
    }


def render(diagnostic: Diagnostic, sources: Sources) -> str:
    """Return a diagnostic as lines of plain text, without a line end behind the last.

    The line it is about is shown if `sources` holds it, with a mark under the words at fault.
    """
    lines = [f"{diagnostic.severity.value}[{diagnostic.slug}]: {_told(diagnostic.message)}"]
    if diagnostic.span is not None:
        lines.append(f"  --> {_place(diagnostic.span)}")
        lines.extend(_marked_line(diagnostic.span, sources))
    for span, remark in diagnostic.further:
        lines.append(f"  see: {_place(span)}: {_told(remark)}")
        lines.extend(_marked_line(span, sources))
    if diagnostic.help is not None:
        lines.append(f"  help: {_told(diagnostic.help)}")
    if diagnostic.rule is not None:
        lines.append(f"  rule: {_clean(diagnostic.rule)}")
    return "\n".join(lines)


def _span_facts(span: Span | None) -> SpanFacts:
    if span is None:
        return {"file": None, "line": None, "column": None, "end_line": None, "end_column": None}
    return {
        "file": span.file,
        "line": span.line,
        "column": span.column,
        "end_line": span.end_line,
        "end_column": span.end_column,
    }


def _place(span: Span) -> str:
    return f"{_clean(span.file)}:{span.line}:{span.column}"


def _marked_line(span: Span, sources: Sources) -> list[str]:
    """Return the source line of a span with its number, and the mark under it."""
    line = sources.line(span.file, span.line)
    if line is None or not line.strip():
        return []
    line = _clean(line)
    start = min(span.column - 1, len(line))
    # Of a stretch of several lines the rest of the first one is marked.
    end = min(span.end_column - 1, len(line)) if span.end_line == span.line else len(line.rstrip())
    first, last = _window(line, start, end)
    end = min(end, last)
    before, marked, behind = line[first:start], line[start:end], line[end:last]
    lead = _cells(("…" if first else "") + before, 0)
    middle = _cells(marked, _wide(lead))
    rest = _cells(behind + ("…" if last < len(line) else ""), _wide(lead) + _wide(middle))
    number = str(span.line)
    gap = " " * len(number)
    carets = "^" * max(1, _wide(middle))
    return [
        f"{gap} |",
        f"{number} | {lead}{middle}{rest}".rstrip(),
        f"{gap} | {' ' * _wide(lead)}{carets}",
    ]


def _window(line: str, start: int, end: int) -> tuple[int, int]:
    """Return which characters of a line to show, so that the mark is among them."""
    if len(line) <= WIDEST:
        return 0, len(line)
    end = min(end, start + WIDEST)
    spare = max(WIDEST - (end - start), 0)
    first = max(0, min(start - spare // 2, len(line) - WIDEST))
    return first, min(len(line), first + WIDEST)


def _cells(text: str, column: int) -> str:
    """Return text as it is shown from a column on, tabs as blanks."""
    shown = []
    for char in text:
        cell = " " * (TAB - column % TAB) if char == "\t" else char
        shown.append(cell)
        column += _wide(cell)
    return "".join(shown)


def _wide(text: str) -> int:
    """Return how many columns of a terminal a text takes (Unicode Standard Annex 11, East Asian Width)."""
    if text.isascii():
        return len(text)
    return sum(_width(char) for char in text)


def _width(char: str) -> int:
    if unicodedata.category(char) in ("Mn", "Me", "Cf"):
        return 0
    return 2 if unicodedata.east_asian_width(char) in ("W", "F") else 1


def _told(text: str) -> str:
    """Return a sentence for the terminal; of what the author wrote without end only the beginning is quoted."""
    return _clean(_LONG_QUOTE.sub(lambda found: found[0][:LONGEST_QUOTE] + "…`", text))


def _clean(text: str) -> str:
    return _UNPRINTABLE.sub("\ufffd", text)
