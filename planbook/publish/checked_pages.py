"""The page *What was checked* of each plan in each edition."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from planbook.publish.addresses import checked_page, plan_page
from planbook.publish.plan_pages import PlanView
from planbook.publish.web import Web
from planbook.publish.writer import Result
from planbook.units.editions import Edition
from planbook.units.factors import INCH

if TYPE_CHECKING:
    from planbook.checks.report import Checked
    from planbook.source.book import Book

_GROUPS = (
    ("noticed", "Look at these", ("stops", "doubtful", "noted", "accepted")),
    ("within", "Within the limit", ("within the limit",)),
    ("missing", "Not computed", ("not computed",)),
    ("nothing", "Nothing of the kind in this plan", ("nothing of the kind",)),
)


def checked_pages(web: Web, views: Sequence[PlanView], book: Book | None) -> list[Result]:
    """Return the pages of the plans whose sources are known."""
    from planbook.checks.about import NOT_CHECKED
    from planbook.checks.report import report
    from planbook.checks.subject import subject_of

    if book is None:
        return []
    written = {plan.slug: plan for plan in book.plans}
    results = []
    for view in views:
        if view.slug not in written:
            continue
        checks = report(subject_of(view.plan, written[view.slug], book.shop))
        editions = [other for other in views if other.slug == view.slug]
        switch = {other.edition: checked_page(other.slug, other.edition) for other in editions}
        results.append(
            web.page(
                "checked.html",
                checked_page(view.slug, view.edition),
                title=f"What was checked, {view.plan.title}",
                section="plans",
                edition=view.edition,
                switch=switch if len(editions) > 1 else {},
                sheet=view.sheet,
                plan_path=plan_page(view.slug, view.edition),
                groups=groups(checks, view.plan.edition),
                sources=_sources(checks),
                count=len(checks),
                not_checked=NOT_CHECKED,
            )
        )
    return results


def groups(checks: Sequence[Checked], edition: Edition) -> list[dict[str, Any]]:
    """Return the rows of all checks by how they ended; each names its sources by their numbers."""
    numbers = _sources(checks)
    found = []
    for key, title, ends in _GROUPS:
        rows = []
        for check in sorted(checks, key=lambda check: not check.figured):
            looked = [item for item in check.looked if item.ended in ends]
            if looked:
                rows.append(
                    {
                        "slug": check.slug,
                        "name": check.slug.replace("-", " "),
                        "finds": check.finds.replace("`", ""),
                        "reason": check.reason,
                        "looked": [
                            {
                                "of": item.of.replace("`", ""),
                                "figure": shown(item.figure, edition),
                                "limit": shown(item.limit, edition),
                                "ended": item.ended.value,
                                "sources": [numbers[source] for source in _split(item.source)],
                            }
                            for item in looked
                        ],
                    }
                )
        if rows:
            found.append({"key": key, "title": title, "rows": rows})
    return found


def shown(text: str, edition: Edition) -> str:
    """Return a message for a page: without its backticks, fractions of an inch drawn as such."""
    import re

    from planbook.units.write import built_fraction

    plain = text.replace("`", "")
    if edition.unit_mm != INCH:
        return plain
    return re.sub(
        r"(?:(\d+) )?(\d+)/(\d+)(?= in\b)",
        lambda match: f"{match[1] or ''}{built_fraction(int(match[2]), int(match[3]))}",
        plain,
    )


def _sources(checks: Sequence[Checked]) -> Mapping[str, int]:
    """Return a number for each source, in the order in which they are met."""
    found: dict[str, int] = {}
    for check in checks:
        for item in check.looked:
            for source in _split(item.source):
                found.setdefault(source, len(found) + 1)
    return found


def _split(source: str) -> list[str]:
    return [part.strip() for part in source.split("; ") if part.strip()]
