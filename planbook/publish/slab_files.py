"""Layouts of slabs as plain data and as files for the shop: JSON, SVG, PDF."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from planbook.cutting.problem import Way
from planbook.cutting.slabs import SlabLayout
from planbook.drawing.picture import Picture
from planbook.drawing.slab_layout import slab_picture
from planbook.publish.sheet_runs import plain
from planbook.publish.slab_words import slab_rows
from planbook.units.editions import Edition


def slab_data(layouts: Sequence[SlabLayout], edition: Edition) -> dict[str, Any]:
    """Return layouts as plain data: decimals of the edition's unit, along from the left end, across from the line."""

    def unit(mm: float) -> float:
        return round(mm / float(edition.unit_mm), 6)

    def spots(points: Sequence[tuple[float, float]]) -> list[list[float]]:
        return [[unit(x), unit(y)] for x, y in points]

    return {
        "unit": "in" if edition.name == "imperial" else "mm",
        "slabs": [
            {
                "slab": layout.slab.key,
                "outline": spots(layout.slab.outline),
                "marks": [
                    {"name": mark.name, "is": mark.kind, "outline": spots(mark.outline)} for mark in layout.slab.marks
                ],
                "kerf": unit(layout.slab.kerf),
                "clear": unit(layout.slab.clear),
                "used": round(layout.used, 4),
                "pieces": [
                    {
                        "name": part.laid.piece.key,
                        "outline": spots(part.laid.shape),
                        "natural edge": part.laid.natural.value,
                        "turned": part.laid.turned,
                        "holds": [{"mark": name, "whole": whole} for name, whole in part.holds],
                        "nearest": None
                        if part.near is None
                        else {"mark": part.near.mark, "distance": unit(part.near.distance)},
                    }
                    for part in layout.parts
                ],
                "cuts": [
                    {
                        "number": cut.number,
                        "way": cut.way.value,
                        "at": unit(cut.at),
                        "blade": _blade(cut.way, after=cut.kerf_after),
                        "gives": list(cut.gives),
                        "finished": list(cut.done),
                    }
                    for cut in layout.cuts
                ],
                "offcuts": [
                    {"box": [unit(side) for side in rest.box], "marks": list(rest.marks)} for rest in layout.rests
                ],
            }
            for layout in layouts
        ],
    }


def _blade(way: Way, *, after: bool) -> str:
    if way is Way.CROSSCUT:
        return "right" if after else "left"
    return "behind" if after else "before"


Laid = tuple[SlabLayout, str, Mapping[str, str]]
"""A slab, cut, what it is called, and what is written on its parts."""


def slab_pictures(slabs: Sequence[Laid], edition: Edition) -> list[Picture]:
    """Return a drawing for each slab."""
    return [slab_picture(layout, edition, material=title, letters=letters) for layout, title, letters in slabs]


def slab_page_rows(slabs: Sequence[Laid], edition: Edition) -> list[dict[str, Any]]:
    """Return what stands on the page of each slab: see `pages_pdf` of `planbook.publish.layout_files`."""
    from planbook.drawing.svg import to_svg

    rows = []
    pictures = slab_pictures(slabs, edition)
    for number, ((layout, title, letters), picture) in enumerate(zip(slabs, pictures, strict=True), start=1):
        words = slab_rows(layout, edition, letters, plain=True)
        rows.append(
            {
                "title": title,
                "svg": to_svg(picture, ids=f"slab-{number}", medium="print"),
                "alt": picture.alt,
                "cuts": [_cells(cut) for cut in words["cuts"]],
                "reason": told(words),
            }
        )
    return rows


def _cells(cut: Mapping[str, Any]) -> list[str]:
    way, _, rest = plain(cut["setting"]).partition(" ")
    return [cut["n"], way, rest, ", ".join(cut["for"])]


def told(words: Mapping[str, Any]) -> str:
    """Return in sentences what the parts hold, how much of the slab they take, and what to keep."""
    parts = [
        f"{part['name']} holds {part['holds']}." if part["holds"] else f"{part['name']} is {part['near']}."
        for part in words["parts"]
        if part["holds"] or part["near"]
    ]
    kept = f" Keep: {'; '.join(words['kept'])}." if words["kept"] else ""
    return f"{words['used']} of the slab become parts. {' '.join(parts)}{kept}"
