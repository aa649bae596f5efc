"""What the prose of a step says, in small letters, for checks that look for a word."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from planbook.plan.model import Line, Step


def said(step: Step) -> str:
    """Return everything that the maker reads in a step."""
    return " ".join(_lines(step)).casefold()


def plain(line: Line) -> str:
    """Return a line of running text without its marks."""
    return "".join(run.text for run in line)


def _lines(step: Step) -> Iterator[str]:
    yield step.title
    lines: Iterable[Line] = (
        step.for_whom,
        *step.actions,
        step.good_enough,
        step.went_wrong,
        step.meanwhile,
        *step.tips,
    )
    for line in lines:
        yield plain(line)
    for hazard in step.hazards:
        yield f"{plain(hazard.title)} {plain(hazard.text)}"
