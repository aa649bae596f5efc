"""The one type for everything that is wrong, doubtful or worth knowing about a book.

A diagnostic is a value: it is made where the fault is found, collected in a `Findings`, sorted,
and printed in one other place. Nothing in the package prints while it works.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from enum import StrEnum


class Severity(StrEnum):
    """How much a finding holds up: `STOP` keeps anything from being written."""

    STOP = "stop"
    WARN = "warn"
    NOTE = "note"


@dataclass(frozen=True, slots=True, order=True)
class Span:
    """A stretch of a source file; lines and columns count from 1, the end column is exclusive."""

    file: str
    """Path as the author would type it, relative to the book's folder, with forward slashes."""
    line: int
    column: int
    end_line: int
    end_column: int

    def part(self, start: int, end: int) -> Span:
        """Return the span of characters `start` to `end` of a one-line stretch.

        On a stretch of several lines the whole span comes back, because the characters of a
        folded text no longer stand at known columns.
        """
        if self.line != self.end_line:
            return self
        width = self.end_column - self.column
        first = min(max(start, 0), width)
        last = min(max(end, first + 1), max(width, first + 1))
        return Span(self.file, self.line, self.column + first, self.line, self.column + last)


@dataclass(frozen=True, slots=True)
class Diagnostic:
    """One finding, complete enough to stand alone in a terminal, a page or a report."""

    slug: str
    """Name of the fault, words joined by hyphens; `planbook why SLUG` explains it."""
    severity: Severity
    message: str
    """One sentence, lower case, no full stop, with the value, the unit and the limit in it."""
    span: Span | None = None
    further: tuple[tuple[Span, str], ...] = ()
    """Other places that have to do with it, each with a short remark."""
    help: str | None = None
    """What to write instead, ready to type."""
    rule: str | None = None
    """Source of the rule: a publication, or `common practice, no source`."""

    def key(self) -> tuple[str, int, int, str, str]:
        """Return the sorting key: place first, so that a report reads down the file."""
        if self.span is None:
            return ("", 0, 0, self.slug, self.message)
        return (self.span.file, self.span.line, self.span.column, self.slug, self.message)


@dataclass(slots=True)
class Findings:
    """A growing collection of diagnostics; equal ones are kept once."""

    _items: dict[Diagnostic, None] = field(default_factory=dict)

    def add(self, diagnostic: Diagnostic) -> None:
        """Keep a diagnostic unless the very same one is there already."""
        self._items[diagnostic] = None

    def extend(self, diagnostics: Iterable[Diagnostic]) -> None:
        """Keep several diagnostics."""
        for diagnostic in diagnostics:
            self.add(diagnostic)

    def stop(
        self,
        slug: str,
        message: str,
        span: Span | None = None,
        *,
        further: tuple[tuple[Span, str], ...] = (),
        help: str | None = None,
        rule: str | None = None,
    ) -> None:
        """Record a fault that must be mended before anything is written."""
        self.add(Diagnostic(slug, Severity.STOP, message, span, further, help, rule))

    def warn(
        self,
        slug: str,
        message: str,
        span: Span | None = None,
        *,
        further: tuple[tuple[Span, str], ...] = (),
        help: str | None = None,
        rule: str | None = None,
    ) -> None:
        """Record a probable fault that does not keep the book from being written."""
        self.add(Diagnostic(slug, Severity.WARN, message, span, further, help, rule))

    def note(
        self,
        slug: str,
        message: str,
        span: Span | None = None,
        *,
        further: tuple[tuple[Span, str], ...] = (),
        help: str | None = None,
        rule: str | None = None,
    ) -> None:
        """Record something worth knowing."""
        self.add(Diagnostic(slug, Severity.NOTE, message, span, further, help, rule))

    @property
    def stopped(self) -> bool:
        """Whether any finding is a `STOP`."""
        return any(item.severity is Severity.STOP for item in self._items)

    def sorted(self) -> tuple[Diagnostic, ...]:
        """Return all findings, down each file in turn."""
        return tuple(sorted(self._items, key=Diagnostic.key))

    def __iter__(self) -> Iterator[Diagnostic]:
        return iter(self.sorted())

    def __len__(self) -> int:
        return len(self._items)
