"""What the tests of commands share."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True)
class Told:
    """What a command said and how it ended."""

    code: int
    out: str
    err: str


Command = Callable[..., Told]


def changed(file: Path, old: str, new: str) -> None:
    """Replace one piece of a file, which must be there."""
    text = file.read_text("utf-8")
    assert text.count(old) == 1, f"{old!r} is {text.count(old)} times in {file.name}"
    file.write_text(text.replace(old, new), "utf-8")
