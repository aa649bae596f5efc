"""Text that remembers where it was written.

Every scalar of a source is read as a `Text`: a string with the `Span` it came from. The field
that holds it decides what it means (a length, a count, a name); until then it stays as typed.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Self

from planbook.source.diagnostics import Span

if TYPE_CHECKING:
    from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
    from pydantic_core import CoreSchema

NOWHERE = Span("", 1, 1, 1, 2)
"""Span of text that no author typed (defaults, tests)."""


class Text(str):
    """A string with the place where it stands in the sources."""

    span: Span
    __slots__ = ("span",)

    def __new__(cls, value: str, span: Span = NOWHERE) -> Self:
        """Make a text; it compares and hashes as the plain string."""
        self = super().__new__(cls, value)
        self.span = span
        return self

    def part(self, start: int, end: int) -> Text:
        """Return the characters `start` to `end` with their own span."""
        return Text(self[start:end], self.span.part(start, end))

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        from pydantic_core import core_schema

        return core_schema.is_instance_schema(cls)

    @classmethod
    def __get_pydantic_json_schema__(cls, core: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        # Editors read YAML with their own guesses, so `24` or `no` reach the schema as a number
        # or a truth value although planbook keeps the characters.
        return {"type": ["string", "number", "boolean"]}
