"""Running text as a tree: what stands inside a paragraph, each piece with its place in the file."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from planbook.source.diagnostics import Span
from planbook.source.text import Text


@dataclass(frozen=True, slots=True)
class Plain:
    """Characters that stand for themselves; a line end inside a paragraph is one space."""

    text: Text


@dataclass(frozen=True, slots=True)
class Strong:
    """A stretch between double asterisks."""

    children: tuple[Inline, ...]


@dataclass(frozen=True, slots=True)
class Emphasis:
    """A stretch between single asterisks."""

    children: tuple[Inline, ...]


@dataclass(frozen=True, slots=True)
class Link:
    """A link; `target` is the address as typed, not yet resolved."""

    children: tuple[Inline, ...]
    target: Text


@dataclass(frozen=True, slots=True)
class Reference:
    """What stands between `{` and `}`, blanks trimmed, a line end folded to one space."""

    text: Text


@dataclass(frozen=True, slots=True)
class Code:
    """Characters between backticks."""

    text: Text


@dataclass(frozen=True, slots=True)
class Break:
    """A forced new line."""


Inline = Plain | Strong | Emphasis | Link | Reference | Code | Break
Inlines = tuple[Inline, ...]


@dataclass(frozen=True, slots=True)
class Block:
    """One paragraph or list item."""

    inlines: Inlines
    span: Span


def leaves(inlines: Inlines) -> Iterator[Plain | Reference | Code | Break]:
    """Give the pieces without children, in reading order."""
    for inline in inlines:
        if isinstance(inline, Strong | Emphasis | Link):
            yield from leaves(inline.children)
        else:
            yield inline


def references(inlines: Inlines) -> Iterator[Reference]:
    """Give the references, in reading order, also those inside bold text and links."""
    for leaf in leaves(inlines):
        if isinstance(leaf, Reference):
            yield leaf


def plain_text(inlines: Inlines) -> str:
    """Return the characters without any markup; references keep their braces."""
    parts: list[str] = []
    for leaf in leaves(inlines):
        if isinstance(leaf, Break):
            parts.append(" ")
        else:
            parts.append(f"{{{leaf.text}}}" if isinstance(leaf, Reference) else str(leaf.text))
    return "".join(parts)
