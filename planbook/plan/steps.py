"""Steps of the resolved plan: what each one does, with what, how long, and what can hurt."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from planbook.plan.running_text import Line
from planbook.source.diagnostics import Span


class Signal(StrEnum):
    """Signal words by the definitions of ANSI Z535; the author never picks one."""

    DANGER = "DANGER"
    WARNING = "WARNING"
    CAUTION = "CAUTION"
    NOTICE = "NOTICE"


@dataclass(frozen=True, slots=True, kw_only=True)
class Hazard:
    """Something that can hurt, where it waits."""

    signal: Signal
    harm: str
    likelihood: str
    title: Line
    """Short name of the hazard, may be empty."""
    text: Line
    step: int
    span: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class ToolUse:
    """A tool as one step uses it."""

    key: str
    """Key of the tool in the book's tools, or the words themselves for a bit or a consumable."""
    text: str
    """In words, with its number and sizes in the edition's writing (`2 clamps, 48" open`)."""
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class StepTime:
    """Minutes of one step, for one maker and one piece."""

    set_up: Fraction
    each: Fraction
    """Hands-on minutes for each piece of the work named in `each_of`."""
    each_of: str
    pieces: int
    wait: Fraction
    """Minutes of waiting afterwards."""
    wait_for: str

    @property
    def hands_on(self) -> Fraction:
        """Minutes at the bench: set-up and every piece."""
        return self.set_up + self.each * self.pieces


@dataclass(frozen=True, slots=True, kw_only=True)
class Photo:
    """A picture file of the author's, relative to the plan's folder."""

    path: str
    alt: str
    span: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step of the work."""

    number: int
    slug: str
    title: str
    for_whom: Line
    """How many, for whom, how many persons; may be empty."""
    makes: tuple[str, ...]
    """Parts sawn out in this step."""
    cuts: tuple[str, ...]
    """Names of cuts and hole groups made in this step."""
    joins: tuple[str, ...]
    """Names of joints and edgings closed in this step."""
    sets: tuple[str, ...]
    """Parts put in place without a joint."""
    trims: tuple[str, ...]
    """Parts and edgings brought to their final size."""
    finishes: tuple[str, ...]
    marks: tuple[str, ...]
    handles: tuple[str, ...]
    """Every part this step works on, in the order of the cut list."""
    tools: tuple[ToolUse, ...]
    holds: tuple[tuple[str, int], ...]
    """What is occupied while the step waits, with how many."""
    teachers_eye: str
    """What the teacher looks at, or empty."""
    hands: int
    """Persons needed at once."""
    time: StepTime
    actions: tuple[Line, ...]
    hazards: tuple[Hazard, ...]
    """In order of severity."""
    good_enough: Line
    went_wrong: Line
    meanwhile: Line
    teacher: tuple[Line, ...]
    tips: tuple[Line, ...]
    photos: tuple[Photo, ...]
    span: Span
