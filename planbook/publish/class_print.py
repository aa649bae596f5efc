"""The sheets of a class as PDF: run sheet, preparation, kit, wall sheets, tools, sign-off, by Typst."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from planbook.publish.class_sheet import SECTIONS, SHEETS, TEACHERS, class_sheet, numbers_of
from planbook.publish.class_solved import Solved
from planbook.publish.class_student import Student
from planbook.publish.handout import HandoutError, drawn_pictures, set_pages

if TYPE_CHECKING:
    from planbook.publish.book_info import BookInfo
    from planbook.publish.handout import Paper

CLASS_MAIN = "class.typ"

__all__ = ["CLASS_MAIN", "SECTIONS", "SHEETS", "HandoutError", "charts", "class_data", "class_pages"]

_WIDTHS = {"letter": 180.0, "a4": 174.0}
_LARGE = 2 / 3


def class_data(solved: Solved, book: BookInfo) -> dict[str, Any]:
    """Return what the sheets say, with the bottleneck and what one more station would save."""
    from planbook.timing.class_table import Outcome, bottlenecks

    outcome = Outcome(table=solved.table, proven=solved.proven, model=solved.model)
    return class_sheet(solved, book, loads=bottlenecks(solved.work.lesson, outcome))


def charts(solved: Solved, paper: Paper, *, large: bool = False) -> dict[str, dict[str, Any]]:
    """Return the charts of all sessions by the keys that the run sheet names, with what each shows in words.

    For large print they are made narrower than the page and grow with their letters.
    """
    from planbook.drawing.svg import to_svgs
    from planbook.drawing.timetable import group_chart, station_chart
    from planbook.publish.class_run import unit_of

    numbers, width = numbers_of(solved), _WIDTHS[paper] * (_LARGE if large else 1)
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
            found[key] = {"svg": svg, "alt": picture.alt, "least": 0, "grows": large}
    return found


def class_pages(
    data: Mapping[str, Any],
    drawn: Mapping[str, Mapping[str, Any]],
    *,
    paper: Paper,
    theme_dir: tuple[Path, ...],
    student: Student | None = None,
    sections: Sequence[str] = SECTIONS,
    large: bool = False,
) -> bytes:
    """Return some sheets of a class, in their order, as one PDF. Raises `HandoutError`.

    The students' handout and the sawing are left out where there are none.
    """
    missing = {"student": student is None, "cutting": not data.get("cutting")}
    chosen = [section for section in sections if not missing.get(section, False)]
    teachers = {} if chosen == ["student"] else data
    facts = {**(student.facts if student is not None else {}), **teachers}
    sheet = {
        **{key: value for key, value in data.items() if key not in TEACHERS},
        **(student.sheet if student is not None and "student" in chosen else {}),
        **{key: data[key] for key in ("address", "qr")},
        "foot": data["title"],
        "class": {**{key: value for key, value in data.items() if key not in TEACHERS}, **facts, "sections": chosen},
    }
    pictures: dict[str, Any] = dict(drawn)
    if student is not None and "student" in chosen:
        pictures |= drawn_pictures(student.sheet, student.pictures, theme_dirs=theme_dir, large=large)
    inputs = {
        "paper": paper,
        "print": "large" if large else "normal",
        "sheet": json.dumps(sheet, ensure_ascii=False),
        "pictures": json.dumps(pictures, ensure_ascii=False),
    }
    return set_pages(
        inputs, revised=str(data["revised"]), title=str(data["title"]), theme_dirs=theme_dir, main=CLASS_MAIN
    )
