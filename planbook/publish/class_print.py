"""The sheets of a class as PDF: run sheet, preparation, kit, wall sheets, tools, sign-off, by Typst."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from planbook.publish.class_sheet import SECTIONS, class_sheet, numbers_of
from planbook.publish.class_solved import Solved
from planbook.publish.handout import HandoutError, set_pages

if TYPE_CHECKING:
    from planbook.publish.book_info import BookInfo
    from planbook.publish.handout import Paper

CLASS_MAIN = "class.typ"

__all__ = ["CLASS_MAIN", "SECTIONS", "HandoutError", "charts", "class_data", "class_pages"]

_WIDTHS = {"letter": 180.0, "a4": 174.0}


def class_data(solved: Solved, book: BookInfo) -> dict[str, Any]:
    """Return what the sheets say, with the bottleneck and what one more station would save."""
    from planbook.timing.class_table import Outcome, bottlenecks

    outcome = Outcome(table=solved.table, proven=solved.proven, model=solved.model)
    return class_sheet(solved, book, loads=bottlenecks(solved.work.lesson, outcome))


def charts(solved: Solved, paper: Paper) -> dict[str, dict[str, str]]:
    """Return the charts of all sessions by the keys that the run sheet names, with what each shows in words."""
    from planbook.drawing.svg import to_svgs
    from planbook.drawing.timetable import group_chart, station_chart
    from planbook.publish.class_run import unit_of

    numbers, width = numbers_of(solved), _WIDTHS[paper]
    named = {key: f"step {number}" for key, number in numbers.items()}
    found = {}
    for session in range(len(solved.one.sessions)):
        pictures = {
            f"chart-stations-{session}": station_chart(solved.table, session, width=width, numbers=named),
            f"chart-groups-{session}": group_chart(
                solved.table, session, width=width, numbers=numbers, unit=unit_of(solved.one)
            ),
        }
        for key, picture in pictures.items():
            svg = to_svgs(picture, ids=key, media=("print",))["print"]
            found[key] = {"svg": svg, "alt": picture.alt}
    return found


def class_pages(
    data: Mapping[str, Any],
    drawn: Mapping[str, Mapping[str, str]],
    *,
    paper: Paper,
    theme_dir: tuple[Path, ...],
    sections: Sequence[str] = SECTIONS,
) -> bytes:
    """Return some sheets of a class, in their order, as one PDF. Raises `HandoutError`."""
    inputs = {
        "paper": paper,
        "sheet": json.dumps({**data, "sections": list(sections)}, ensure_ascii=False),
        "pictures": json.dumps({key: {**picture, "least": 0} for key, picture in drawn.items()}, ensure_ascii=False),
    }
    return set_pages(
        inputs, revised=str(data["revised"]), title=str(data["title"]), theme_dirs=theme_dir, main=CLASS_MAIN
    )
