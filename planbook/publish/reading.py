"""From the files of a book to the plans of all its editions."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from planbook.plan.model import Plan
from planbook.plan.shop_rows import shop_rows
from planbook.plan.tools import check_limits
from planbook.publish.book_info import BookInfo, book_info
from planbook.publish.class_facts import Class, read_classes
from planbook.source.diagnostics import Findings
from planbook.source.files import Sources
from planbook.source.nearest import one_of
from planbook.units.editions import EDITIONS, Edition

if TYPE_CHECKING:
    from planbook.cutting.practice import Practice
    from planbook.publish.accepted import Accepted
    from planbook.source.book import Book, WrittenPlan
    from planbook.source.prose.pages import PageSource
    from planbook.source.schema.book import ShopFacts


@dataclass(frozen=True, slots=True)
class Material:
    """Everything a site is made from."""

    root: Path
    info: BookInfo
    theme: str
    editions: tuple[Edition, ...]
    plans: tuple[Plan, ...]
    """Plan by plan, each in all editions."""
    pages: tuple[tuple[str, PageSource], ...]
    """The author's pages with the stems of their files."""
    book: Book | None = None
    """What was written, where it is known: for what was checked and the shop's own rows."""
    practices: Mapping[str, Practice] = field(default_factory=dict)
    """How the shop saws, by edition."""
    accepted: Mapping[str, Accepted] = field(default_factory=dict)
    """Layouts that the author keeps, by plan."""
    classes: tuple[Class, ...] = ()


def read_material(root: Path, findings: Findings, sources: Sources) -> Material | None:
    """Read a book and resolve its plans; None where there is nothing to publish. All faults are recorded."""
    from planbook.cutting.shop import practice_of
    from planbook.publish.accepted import read_accepted
    from planbook.publish.known import with_used
    from planbook.source.book import read_book

    book = read_book(root, findings, sources)
    if book is None:
        return None
    editions = _editions(book, findings)
    shop_rows(book.shop, findings)
    check_limits(book.shop, findings)
    plans = []
    for written in book.plans:
        for edition in editions:
            plan = checked_plan(written, book.shop, edition, findings)
            if plan is not None:
                plans.append(plan)
    pages = tuple((Path(page.name).stem, page) for page in book.pages)
    return Material(
        root,
        with_used(book_info(book), plans),
        str(book.facts.theme),
        editions,
        tuple(plans),
        pages,
        book=book,
        practices={edition.name: practice_of(book.shop, edition, findings) for edition in editions},
        accepted={written.slug: read_accepted(written.folder) for written in book.plans},
        classes=read_classes(book, plans, findings),
    )


def checked_plan(written: WrittenPlan, shop: ShopFacts, edition: Edition, findings: Findings) -> Plan | None:
    """Resolve a plan in one edition and run every check on it; None where a fault keeps it from being resolved."""
    from planbook.checks.subject import subject_of
    from planbook.checks.table import run
    from planbook.cutting.faults import cutting_faults
    from planbook.cutting.shop import practice_of
    from planbook.plan.resolve import resolve

    plan = resolve(written, shop, edition, findings)
    if plan is not None:
        findings.extend(run(subject_of(plan, written, shop)))
        findings.extend(cutting_faults(plan, practice_of(shop, edition, findings)))
    return plan


def _editions(book: Book, findings: Findings) -> tuple[Edition, ...]:
    found = []
    for name in book.facts.editions:
        if str(name) in EDITIONS:
            found.append(EDITIONS[str(name)])
        else:
            findings.stop(
                "unknown-edition", f"there is no edition `{name}`", name.span, help=f"write {one_of(EDITIONS)}"
            )
    return tuple(dict.fromkeys(found))
