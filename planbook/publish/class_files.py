"""The files of a class: its sheets one by one and in one PDF to print in order, the students' handout, the calendar."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from planbook.publish.book_info import BookInfo
from planbook.publish.class_cutting import ClassCutting
from planbook.publish.class_facts import Class
from planbook.publish.class_print import SHEETS, charts, class_data, class_pages
from planbook.publish.class_solved import Solved
from planbook.publish.class_student import Student
from planbook.publish.theme import Theme

if TYPE_CHECKING:
    from planbook.publish.handout import Paper


def class_pdfs(
    solved: Solved,
    book: BookInfo,
    theme: Theme,
    paper: Paper,
    *,
    student: Student,
    cutting: ClassCutting,
    large: bool = False,
) -> Iterator[tuple[str, bytes]]:
    """Give the sheets of a class by file name: all in printing order, then each alone. Raises `HandoutError`."""
    data = {**class_data(solved, book), "cutting": cutting.facts}
    drawn = {**charts(solved, paper, large=large), **cutting.drawn()}
    stem = f"{solved.one.slug}-large" if large else solved.one.slug
    empty = {"wall": not data["walls"], "cutting": not cutting.facts}
    made = [section for section in SHEETS if not empty.get(section, False)]

    def pages(sections: list[str]) -> bytes:
        return class_pages(
            data, drawn, paper=paper, theme_dir=theme.folders, student=student, sections=sections, large=large
        )

    yield f"{stem}.pdf", pages(made)
    for number, (section, name) in enumerate(SHEETS.items(), start=1):
        if section in made:
            yield f"{stem}-{number}-{name}.pdf", pages([section])


def class_calendar(one: Class, book: BookInfo) -> bytes:
    """Return the sessions of a class as an iCalendar file (RFC 5545)."""
    from planbook.publish.handout import UNDATED
    from planbook.timing.calendar_file import calendar_file, session_events

    place = f"{book.shop}, {one.place}" if one.place else book.shop
    events = session_events(one.title, one.sessions, text=place)
    return calendar_file(events, stem=f"class {one.slug}", revised=one.plan.revised or UNDATED)


def usual_paper(one: Class) -> Paper:
    """Return the paper of the edition that a class works by."""
    return "letter" if one.plan.edition.paper == "letter" else "a4"
