"""The pages of tools, materials, words, and the author's own pages."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from planbook.publish.addresses import (
    MATERIALS,
    NOT_FOUND,
    TOOLS,
    WORDS,
    content_page,
    plan_page,
    relative,
    term_id,
)
from planbook.publish.known import grouped, material_facts, numbered, tool_facts, used_names
from planbook.publish.plan_pages import PlanView
from planbook.publish.web import Web, first_upper, sizes
from planbook.publish.writer import Result
from planbook.units.editions import EDITIONS, Edition, round_to_grid
from planbook.units.quantity import LENGTH, MASS, TEMPERATURE, Quantity, UnitError

if TYPE_CHECKING:
    from planbook.source.prose.inlines import Reference
    from planbook.source.prose.pages import PageSource
    from planbook.source.text import Text

_KINDS = ("machine", "power tool", "hand tool", "measuring", "supply")


def shop_pages(web: Web, views: Sequence[PlanView]) -> list[Result]:
    """Return the lists of tools, materials and words, a page for each tool and material, and the 404 page."""
    book = web.book
    results = [_tool(web, key, views) for key in book.tools]
    results += [_material(web, key, views) for key in book.materials]
    if book.tools:
        groups = [(kind, [tool for tool in book.tools.values() if tool.kind == kind]) for kind in _kinds(web)]
        paths = web.addresses.tools
        results.append(web.page("tools.html", TOOLS, title="Tools", section="tools", groups=groups, paths=paths))
    if book.materials:
        paths = web.addresses.materials
        groups_of = grouped(book)
        results.append(
            web.page("materials.html", MATERIALS, title="Materials", section="materials", paths=paths, groups=groups_of)
        )
    if book.terms:
        terms = sorted(book.terms.values(), key=lambda term: term.key.casefold())
        results.append(web.page("words.html", WORDS, title="Words", section="words", terms=terms, term_id=term_id))
    results.append(web.page("404.html", NOT_FOUND, title="No such page", section=""))
    return results


def content_pages(
    web: Web, pages: Sequence[tuple[str, PageSource]], image: Callable[[str, Text], str | None]
) -> list[Result]:
    """Return the author's pages, given with the stems of their files.

    `image` gives the path in the site of a picture that a page (by its stem) names.
    """
    from planbook.source.prose.pages import to_html

    results = []
    for stem, page in pages:
        path = content_page(stem)

        def resolved(target: str, path: str = path) -> str | None:
            href = web.addresses.resolve(target, page=path)
            if href is None:
                span = getattr(target, "span", None)
                web.findings.stop("dead-link", f"`{target}` leads nowhere in the book", span)
            return href

        def shown(name: Text, path: str = path, stem: str = stem) -> str | None:
            found = image(stem, name)
            return relative(path, found) if found else None

        body = to_html(
            page,
            reference=lambda reference: _both_editions(web, reference),
            link=lambda link: resolved(link.target),
            image=shown,
        )
        results.append(web.page("page.html", path, title=str(page.title), section=f"page:{stem}", body=body))
    return results


def _kinds(web: Web) -> list[str]:
    found = dict.fromkeys(tool.kind for tool in web.book.tools.values())
    return [kind for kind in _KINDS if kind in found] + [kind for kind in found if kind not in _KINDS]


def _tool(web: Web, key: str, views: Sequence[PlanView]) -> Result:
    used = _used(views, lambda sheet: [row["number"] for row in sheet["steps"] if _sets_up(row, f"tool:{key}")])
    path, tool = web.addresses.tools[key], web.book.tools[key]
    known = tool_facts(tool)
    rows, sources = numbered(known["rows"]) if known else ([], [])
    return web.page(
        "tool.html",
        path,
        title=first_upper(key),
        section="tools",
        tool=tool,
        used=used,
        known=known,
        facts=rows,
        sources=sources,
    )


def _material(web: Web, key: str, views: Sequence[PlanView]) -> Result:
    path = web.addresses.materials[key]
    rows, sources = numbered(material_facts(key, web.book))
    return web.page(
        "material.html",
        path,
        title=first_upper(key),
        section="materials",
        material=web.book.materials[key],
        used=_used([view for view in views if key in _names(view)], lambda sheet: _steps_with(sheet, key) or [0]),
        facts=rows,
        sources=sources,
    )


def _names(view: PlanView) -> set[str]:
    """Return the names of all materials of a plan, those of its list too."""
    listed = {row["to"] for group in view.sheet["materials"] for row in group["rows"] if row["to"]}
    return {*used_names(view.plan), *(target.removeprefix("material:") for target in listed)}


def _steps_with(sheet: dict[str, Any], key: str) -> list[int]:
    """Return the steps in which a material is worked: its parts, its fasteners, its pours, its coats."""
    own = {row["key"] for group in sheet["cutlist"] if group["material"] == key for row in group["rows"]}
    found = {row["number"] for row in sheet["steps"] if own & set(row["handles"])}
    found |= {row["step"] for row in sheet["fasteners"] if row["key"] == key and row["step"]}
    found |= {row["step"] for row in sheet["fills"] if row["product"] == key and row["step"]}
    found |= {number for row in sheet["finish"] if row["product"] == key for number in row["steps"]}
    return sorted(found)


def _sets_up(step: dict[str, Any], target: str) -> bool:
    return any(piece["to"] == target for line in step["set_up"] for piece in line)


def _used(views: Sequence[PlanView], steps: Callable[[dict[str, Any]], list[int]]) -> list[dict[str, Any]]:
    """Return the plans in which something is used: steps, and the page in each edition."""
    found: dict[str, dict[str, Any]] = {}
    for view in views:
        numbers = steps(view.sheet)
        if numbers:
            row = found.setdefault(view.slug, {"title": view.plan.title, "editions": [], "steps": []})
            row["editions"].append(
                {
                    "title": view.sheet["edition"]["title"],
                    "path": plan_page(view.slug, view.edition),
                }
            )
            row["steps"] = row["steps"] or [step for step in view.sheet["steps"] if step["number"] in numbers]
    return list(found.values())


def _both_editions(web: Web, reference: Reference) -> str:
    """Return a size on a page that belongs to no edition: as written, and in the other edition in brackets."""
    from html import escape

    from planbook.units.read import read_quantity

    try:
        quantity = read_quantity(str(reference.text))
    except UnitError as fault:
        web.findings.stop(
            "unknown-reference",
            f"`{reference.text}` is not a size, and a page belongs to no plan: {fault.message}",
            reference.text.span,
            help=fault.help or "write a size with its unit, for example `{3/4 in}`",
        )
        return escape(str(reference.text))
    first = "metric" if quantity.system == "metric" else "imperial"
    names = [first, *(name for name in web.edition_titles if name != first)]
    texts = list(dict.fromkeys(_written(quantity, EDITIONS[name], native=name == first) for name in names))
    if not all(texts):
        return f'<span class="size">{escape(str(reference.text))}</span>'
    inside = f" ({', '.join(texts[1:])})" if len(texts) > 1 else ""
    return f'<span class="size">{sizes(texts[0])}</span>{sizes(inside)}'


def _written(quantity: Quantity, edition: Edition, *, native: bool) -> str:
    from planbook.units.amounts import write_mass, write_temperature
    from planbook.units.write import write_length

    if quantity.dimension == LENGTH:
        return write_length(round_to_grid(quantity.value, "joinery", edition, native=native), edition)
    if quantity.dimension == MASS:
        return write_mass(quantity.value, edition)
    if quantity.dimension == TEMPERATURE:
        return write_temperature(quantity.value, edition)
    return ""
