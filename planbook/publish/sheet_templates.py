"""The templates of a sheet: which pages of each paper belong to which, and what they are for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from planbook.plan.model import Part, Plan
from planbook.plan.templates import Template, TemplateKind

if TYPE_CHECKING:
    from planbook.drawing.picture import Picture

TEMPLATE = "template-"
"""How the key of a page of a template begins: it is made for paper alone."""
PAPERS = ("letter", "a4")
_KINDS = {TemplateKind.SHEET: "template", TemplateKind.STICK: "story stick"}


def key_of(number: int, paper: str, page: int) -> str:
    """Return the key of a page; templates and pages count from 1."""
    return f"{TEMPLATE}{number}-{paper}-{page}"


def template_pictures(plan: Plan) -> Iterator[tuple[str, Picture]]:
    """Give the pages of all templates on both papers, each with its key."""
    from planbook.drawing.story_stick import story_stick
    from planbook.drawing.template import template_pages

    for number, template in enumerate(plan.templates, 1):
        draw = story_stick if template.kind is TemplateKind.STICK else template_pages
        for paper in PAPERS:
            for page, picture in enumerate(draw(plan, template, paper=paper), 1):
                yield key_of(number, paper, page), picture


def templates(plan: Plan, alts: Mapping[str, str]) -> list[dict[str, Any]]:
    """Return the templates of a plan, each with the keys of its `pages` by paper; `alts` says which exist."""
    return [_row(plan, number, template, alts) for number, template in enumerate(plan.templates, 1)]


def _row(plan: Plan, number: int, template: Template, alts: Mapping[str, str]) -> dict[str, Any]:
    part = plan.part(template.part)
    pages = {paper: list(_pages(number, paper, alts)) for paper in PAPERS}
    steps = _steps(part, template)
    return {
        "name": template.name,
        "kind": _KINDS[template.kind],
        "letter": part.letter,
        "part": part.key,
        "hand": "L" if part.pair else "",
        "pair": part.pair,
        "face": _face(part, template),
        "steps": [{"number": step.number, "slug": step.slug} for step in plan.steps if step.number in steps],
        "note": template.note,
        "pages": pages,
    }


def _pages(number: int, paper: str, alts: Mapping[str, str]) -> Iterator[str]:
    page = 1
    while key_of(number, paper, page) in alts:
        yield key_of(number, paper, page)
        page += 1


def _face(part: Part, template: Template) -> str:
    if template.kind is TemplateKind.STICK:
        return f"from the {part.faces.datum_end} up"
    return part.faces.show if template.show else part.faces.reverse


def _steps(part: Part, template: Template) -> set[int]:
    """Return the numbers of the steps that make what a template shows."""
    made = [cut.step for cut in part.cuts if cut.name in template.cuts]
    made += [hole.step for hole in part.holes if hole.group in template.holes]
    if template.whole:
        made.append(part.shaped_in)
    return {step for step in made if step is not None}
