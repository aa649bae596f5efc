"""What the commands that write handouts share: making one, and writing a file."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from planbook.plan.model import Plan
    from planbook.publish.handout import Paper
    from planbook.publish.theme import Theme
    from planbook.source.book import Book
    from planbook.source.diagnostics import Findings


def plan_handout(book: Book, plan: Plan, theme: Theme, paper: Paper, findings: Findings) -> bytes | None:
    """Return the students' handout of a plan, or record why there is none."""
    from planbook.cutting.shop import practice_of
    from planbook.publish.accepted import read_accepted
    from planbook.publish.book_info import book_info
    from planbook.publish.cache import Store
    from planbook.publish.handout import HandoutError, handout
    from planbook.publish.layouts import cutting_of
    from planbook.publish.pictures import pictures_of
    from planbook.publish.sheet import sheet

    store = Store(book.root)
    practice = practice_of(book.shop, plan.edition, findings)
    cutting = cutting_of(plan, practice, store, accepted=read_accepted(book.root / "plans" / plan.slug))
    findings.extend(cutting.faults)
    pictures = pictures_of(plan, store).with_more(cutting.screen, cutting.paper, cutting.alts)
    data = sheet(plan, book_info(book), pictures=pictures.alts, cutting=cutting.rows)
    try:
        return handout(data, pictures.paper, paper=paper, theme_dir=theme.folders)
    except HandoutError as fault:
        findings.add(fault.diagnostic)
        return None


def write_file(into: Path, data: bytes) -> None:
    """Write a file so that a full disk leaves no half of it in place of an older one."""
    into.parent.mkdir(parents=True, exist_ok=True)
    beside = into.with_name(f".{into.name}.part")
    try:
        beside.write_bytes(data)
        beside.replace(into)
    finally:
        beside.unlink(missing_ok=True)
