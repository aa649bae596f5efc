"""What goes wrong in a formula or a place, with the stretch of the text at fault."""

from __future__ import annotations

from collections.abc import Sequence

from planbook.source.diagnostics import Diagnostic, Severity, Span
from planbook.source.text import Text


class FormulaError(Exception):
    """A fault in one text; `start` and `end` count its characters from 0, the end is exclusive."""

    def __init__(
        self, message: str, start: int, end: int, *, help: str | None = None, slug: str = "broken-formula"
    ) -> None:
        super().__init__(message)
        self.message = message
        self.start = start
        self.end = max(end, start + 1)
        self.help = help
        self.slug = slug

    def diagnostic(self, text: Text) -> Diagnostic:
        """Return the fault placed in the text that it was found in."""
        span = text.span.part(self.start, self.end)
        return Diagnostic(self.slug, Severity.STOP, self.message, span, help=self.help)


class CycleError(Exception):
    """A value that needs itself: the keys in order of need, each with the place where it is needed."""

    def __init__(self, keys: Sequence[str], spans: Sequence[Span]) -> None:
        super().__init__(" -> ".join([*keys, keys[0]]))
        self.keys = tuple(keys)
        self.spans = tuple(spans)

    def diagnostic(self) -> Diagnostic:
        """Return one diagnostic for the cycle, the same wherever it was entered."""
        first = min(range(len(self.keys)), key=lambda place: (self.spans[place], self.keys[place]))
        keys = self.keys[first:] + self.keys[:first]
        spans = self.spans[first:] + self.spans[:first]
        chain = " -> ".join([*keys, keys[0]])
        return Diagnostic(
            "cycle",
            Severity.STOP,
            f"`{keys[0]}` needs itself: `{chain}`",
            spans[0],
            tuple((span, f"`{key}` is needed here") for key, span in zip(keys[1:], spans[1:], strict=True)),
            "give one of them a value of its own",
        )


class Chain:
    """The values that are being worked out right now, so that a cycle is seen at its first turn.

    Use it round the work for one value::

        with chain.enter("side.length", text.span):
            ...
    """

    def __init__(self) -> None:
        self._open: dict[str, Span] = {}

    def enter(self, key: str, span: Span) -> _Link:
        """Return the context of working out `key`, needed at `span`; entering raises `CycleError`."""
        return _Link(self._open, key, span)


class _Link:
    """One value being worked out."""

    __slots__ = ("_key", "_open", "_span")

    def __init__(self, open: dict[str, Span], key: str, span: Span) -> None:
        self._open = open
        self._key = key
        self._span = span

    def __enter__(self) -> None:
        if self._key in self._open:
            keys = list(self._open)
            turn = keys.index(self._key)
            # The place that closes the circle is where the first key is needed again.
            spans = [self._span, *list(self._open.values())[turn + 1 :]]
            raise CycleError(keys[turn:], spans)
        self._open[self._key] = self._span

    def __exit__(self, *_: object) -> None:
        del self._open[self._key]
