"""Running text of a plan: runs of one kind each, with all references filled in."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class RunKind(StrEnum):
    """What a stretch of running text is, so that each output can set it in its own way."""

    TEXT = "text"
    STRONG = "strong"
    EMPHASIS = "emphasis"
    SIZE = "size"
    """A measured number: set in the face for sizes."""
    LETTER = "letter"
    """A part's letter, with its hand behind a space (`A L`)."""
    LINK = "link"
    """Text with a `target`: an address, or `step:slug`, `part:key`, `tool:key`, `term:key`, `page:key`."""
    CODE = "code"
    BREAK = "break"


@dataclass(frozen=True, slots=True)
class Run:
    """A stretch of text of one kind."""

    kind: RunKind
    text: str
    target: str | None = None


Line = tuple[Run, ...]
"""Running text: one action, one remark, one sentence."""
