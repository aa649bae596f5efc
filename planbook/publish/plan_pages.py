"""The pages of the plans, and the first page that leads to them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from planbook.plan.model import Plan
from planbook.publish.addresses import checked_page, home_page, part_id, plan_choice, plan_folder, plan_page, step_id
from planbook.publish.web import Web
from planbook.publish.writer import Result


@dataclass(frozen=True, slots=True, kw_only=True)
class Download:
    """A file to take along."""

    kind: str
    """`handout`, `parts` or `buying`."""
    text: str
    path: str
    pages: int = 0
    """Number of pages, or 0 where it has none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanView:
    """One plan in one edition, with all that its page shows."""

    plan: Plan
    sheet: dict[str, Any]
    pictures: Mapping[str, str]
    """Pictures for the screen by key, each an `<svg>` element."""
    downloads: tuple[Download, ...] = ()
    photos: Mapping[str, str] = field(default_factory=dict)
    """Where each photo of the author's stands in the site, by the path as written."""
    checked: bool = False
    """Whether there is a page that tells what was checked."""

    @property
    def slug(self) -> str:
        """Folder name of the plan."""
        return self.plan.slug

    @property
    def edition(self) -> str:
        """Name of the edition."""
        return self.plan.edition.name


def plan_pages(web: Web, views: Sequence[PlanView]) -> list[Result]:
    """Return the page of each plan in each edition, and for each plan the page to choose an edition."""
    results = []
    for view in views:
        editions = [other for other in views if other.slug == view.slug]
        results.append(_plan(web, view, editions))
        if view is editions[0]:
            results.append(_choice(web, view, editions))
    return results


def home_pages(web: Web, views: Sequence[PlanView]) -> list[Result]:
    """Return the first page, in each edition."""
    names = tuple(web.edition_titles)
    switch = {name: home_page(name, names) for name in names} if len(names) > 1 else {}
    return [
        web.page(
            "home.html",
            home_page(name, names),
            title=web.book.title,
            section="plans",
            edition=name,
            switch=switch,
            views=[view for view in views if view.edition == name],
            plan_page=plan_page,
        )
        for name in names
    ]


def _plan(web: Web, view: PlanView, editions: Sequence[PlanView]) -> Result:
    sheet = view.sheet
    switch = {other.edition: plan_page(other.slug, other.edition) for other in editions}
    return web.page(
        "plan.html",
        plan_page(view.slug, view.edition),
        title=view.plan.title,
        section="plans",
        edition=view.edition,
        switch=switch if len(editions) > 1 else {},
        piece=f"{view.slug} {view.plan.revision}",
        sheet=sheet,
        svg=view.pictures,
        downloads=view.downloads,
        photos=view.photos,
        cut_rows=[(group, _cut_rows(group)) for group in sheet["cutlist"]],
        step_id=step_id,
        part_id=part_id,
        checked=checked_page(view.slug, view.edition) if view.checked else "",
    )


def _choice(web: Web, view: PlanView, editions: Sequence[PlanView]) -> Result:
    return web.page(
        "choice.html",
        plan_choice(view.slug),
        title=view.plan.title,
        section="plans",
        sheet=view.sheet,
        svg=view.pictures,
        choices=[
            {"title": each.sheet["edition"]["title"], "sheet": each.sheet, "path": plan_page(each.slug, each.edition)}
            for each in editions
        ],
    )


def _cut_rows(group: Mapping[str, Any]) -> list[dict[str, Any]]:
    """Return one row for each letter and hand; the first row of a part carries the id that links lead to."""
    rows = []
    for row in group["rows"]:
        for place, letter in enumerate(row["letters"]):
            hand = {"L": "left", "R": "right"}.get(letter["hand"], "")
            rows.append(
                {
                    **row,
                    **letter,
                    "count": row["count"] // len(row["letters"]),
                    "name": f"{row['name']}, {hand}" if hand else row["name"],
                    "id": part_id(row["key"]) if not place else "",
                    "tick": f"cut-{letter['letter']}{letter['hand']}".lower(),
                }
            )
    return rows


def file_stem(slug: str, edition: str) -> str:
    """Return the beginning of the names of a plan's files, with their folder."""
    return f"{plan_folder(slug, edition)}{slug}-{edition}"
