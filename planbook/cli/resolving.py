"""One plan in one edition, for the commands that need its numbers and no site."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from planbook.cli.books import book_root
from planbook.source.diagnostics import Findings
from planbook.source.files import Sources
from planbook.source.nearest import did_you_mean

if TYPE_CHECKING:
    from planbook.plan.model import Plan
    from planbook.source.book import Book, WrittenPlan

edition_choice = click.Choice(["imperial", "metric"])


@dataclass(frozen=True, slots=True)
class Resolved:
    """A plan as far as it could be worked out, with its book and what was found."""

    book: Book | None
    plan: Plan | None
    findings: Findings
    sources: Sources


def resolved(slug: str, edition: str | None, book: Path | None) -> Resolved:
    """Read a book, work out one of its plans and check it; without an edition, in the book's first one.

    Raises a usage error for a plan that is not there. Faults of other plans do not count.
    """
    from planbook.publish.reading import checked_plan
    from planbook.source.book import read_book
    from planbook.units.editions import EDITIONS

    root = book_root(book)
    whole, sources = Findings(), Sources()
    found = read_book(root, whole, sources)
    findings = Findings()
    findings.extend(item for item in whole if _concerns(item.span.file if item.span else "", slug))
    if found is None:
        return Resolved(None, None, whole, sources)
    written = next((plan for plan in found.plans if plan.slug == slug), None)
    if written is None:
        if not findings.stopped:
            raise _no_plan(root, slug, found.plans)
        return Resolved(found, None, findings, sources)
    first = str(found.facts.editions[0]) if found.facts.editions else "imperial"
    plan = checked_plan(written, found.shop, EDITIONS.get(edition or first, EDITIONS["imperial"]), findings)
    return Resolved(found, plan, findings, sources)


def _concerns(file: str, slug: str) -> bool:
    """Whether a finding in a file concerns a plan: those in other plans do not."""
    return not file.startswith("plans/") or file.startswith(f"plans/{slug}/")


def _no_plan(root: Path, slug: str, plans: tuple[WrittenPlan, ...]) -> click.UsageError:
    names = sorted(plan.slug for plan in plans)
    hint = did_you_mean(slug, names) or (f"the plans are {', '.join(names)}" if names else "it has none")
    return click.UsageError(f"there is no plan `{slug}` in `{root}`; {hint}")
