"""What the commands that write handouts share: making one, and writing a file."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from planbook.plan.model import Plan
    from planbook.publish.handout import Paper
    from planbook.publish.pictures import Pictures
    from planbook.publish.theme import Theme
    from planbook.source.book import Book
    from planbook.source.diagnostics import Findings


def plan_handout(
    book: Book, plan: Plan, theme: Theme, paper: Paper, findings: Findings, *, large: bool = False
) -> bytes | None:
    """Return the students' handout of a plan, or record why there is none."""
    from planbook.publish.handout import HandoutError, handout

    data, pictures = plan_sheet(book, plan, findings)
    try:
        return handout(data, pictures.paper, paper=paper, theme_dir=theme.folders, large=large)
    except HandoutError as fault:
        findings.add(fault.diagnostic)
        return None


def plan_sheet(book: Book, plan: Plan, findings: Findings) -> tuple[dict[str, Any], Pictures]:
    """Return what a handout says of a plan, and its pictures with those of the cutting."""
    from planbook.cutting.shop import practice_of
    from planbook.publish.accepted import read_accepted
    from planbook.publish.book_info import book_info
    from planbook.publish.cache import Store
    from planbook.publish.layouts import cutting_of
    from planbook.publish.pictures import pictures_of
    from planbook.publish.season import season_of
    from planbook.publish.sheet import sheet
    from planbook.publish.sheet_buying import buying

    store = Store(book.root)
    practice = practice_of(book.shop, plan.edition, findings)
    cutting = cutting_of(plan, practice, store, accepted=read_accepted(book.root / "plans" / plan.slug))
    findings.extend(cutting.faults)
    pictures = pictures_of(plan, store).with_more(cutting.screen, cutting.paper, cutting.alts)
    info = book_info(book)
    season = season_of(plan, info.rows, store)
    pictures = pictures.with_more(season.screen, season.paper, season.alts)
    to_buy = buying(plan, cutting.lots, practice, book.shop, info)
    return sheet(plan, info, pictures=pictures.alts, cutting=cutting.rows, buying=to_buy), pictures


def write_file(into: Path, data: bytes) -> None:
    """Write a file so that a full disk leaves no half of it in place of an older one."""
    into.parent.mkdir(parents=True, exist_ok=True)
    beside = into.with_name(f".{into.name}.part")
    try:
        beside.write_bytes(data)
        beside.replace(into)
    finally:
        beside.unlink(missing_ok=True)
