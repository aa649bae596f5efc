"""Layouts as files for the lumber yard and the saw: JSON, SVG and PDF."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from planbook.cutting.diagram import Diagram
from planbook.cutting.lots import Lot
from planbook.cutting.problem import Way
from planbook.units.editions import Edition

if TYPE_CHECKING:
    from planbook.drawing.picture import Picture

Cut = tuple[Lot, Sequence[Diagram], str]
"""A lot, its diagrams and what its stock is called."""

_SVG = re.compile(r'<svg xmlns="[^"]*" width="([\d.]+)pt" height="([\d.]+)pt"')
_PDF = """#set page(width: 215.9mm, height: 279.4mm, margin: (x: 18mm, y: 16mm))
#set text(font: "Libertinus Serif", size: 11.5pt)
#set document(title: sys.inputs.at("title"))
#let rows = json(bytes(sys.inputs.at("rows")))
#for (index, row) in rows.enumerate() {
  if index > 0 { pagebreak(weak: true) }
  heading(level: 1, row.title)
  v(2mm)
  image(bytes(row.svg), format: "svg", alt: row.alt, width: 100%)
  v(3mm)
  table(
    columns: (auto, auto, auto, 1fr), stroke: (x, y) => (bottom: 0.2mm), inset: 1.6mm,
    table.header([*cut*], [*saw*], [*setting*], [*gives*]), ..row.cuts.flatten(),
  )
  v(2mm)
  emph(row.reason)
}
"""


def layout_data(cuts: Sequence[Cut], edition: Edition, *, priced: bool) -> dict[str, Any]:
    """Return layouts as plain data; lengths are decimals of the edition's unit, prices in whole coins."""

    def unit(mm: Any) -> float:
        return round(float(mm / edition.unit_mm), 6)

    def place(at: Any) -> dict[str, float]:
        return {name: unit(getattr(at, name)) for name in ("x", "y", "length", "width")}

    def diagram_data(diagram: Diagram) -> dict[str, Any]:
        return {
            "stock": diagram.stock,
            "copies": diagram.repeats,
            "pieces": [
                {"name": lying.wanted.key, **place(lying.at), "turned": lying.turned} for lying in diagram.lying
            ],
            "offcuts": [{**place(rest.at), "keep": rest.keep} for rest in diagram.rests],
            "cuts": [
                {
                    "numbers": list(setting.numbers),
                    "way": "trim" if setting.trims else setting.way.value,
                    "setting": unit(setting.fence),
                    "gives": [wanted.key for wanted in setting.gives],
                    "finished": list(setting.done),
                }
                for setting in diagram.settings
            ],
        }

    return {
        "unit": "in" if edition.name == "imperial" else "mm",
        "lots": [
            {
                "title": title,
                "stock": dict(sorted(lot.solution.stock.items())),
                "cost": lot.solution.cost / 100 if priced else lot.solution.cost,
                "bound": lot.solution.bound / 100 if priced else lot.solution.bound,
                "proven": lot.solution.proven,
                "gap": lot.solution.gap / 100 if priced else lot.solution.gap,
                "model": lot.solution.model,
                "kerf": unit(lot.task.saw.kerf * edition.resolution),
                "layouts": [diagram_data(diagram) for diagram in diagrams],
            }
            for lot, diagrams, title in cuts
        ],
    }


def pictures_of_cuts(cuts: Sequence[Cut], edition: Edition) -> list[tuple[str, Diagram, Lot, Picture]]:
    """Return a drawing for each diagram, with its title."""
    from planbook.drawing.layout import layout_picture

    found = []
    for lot, diagrams, title in cuts:
        for diagram in diagrams:
            name = title if title and title != diagram.stock else diagram.stock
            picture = layout_picture(diagram, edition, of=len(diagrams), material=name)
            head = f"{name}: cut {diagram.repeats} like this"
            found.append((head, diagram, lot, picture))
    return found


def stacked_svg(pictures: Sequence[Picture]) -> str:
    """Return pictures in one SVG, one below the other."""
    from planbook.drawing.svg import to_svg

    parts, down, wide = [], 0.0, 0.0
    for number, picture in enumerate(pictures, start=1):
        text = to_svg(picture, ids=f"cut-{number}", medium="print")
        size = _SVG.match(text)
        assert size is not None
        wide = max(wide, float(size[1]))
        parts.append(text.replace("<svg ", f'<svg y="{down:g}pt" ', 1))
        down = round(down + float(size[2]) + 12, 2)
    head = f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide:g}pt" height="{down:g}pt">'
    return f"{head}\n{''.join(parts)}</svg>\n"


def page_rows(cuts: Sequence[Cut], edition: Edition) -> list[dict[str, Any]]:
    """Return what stands on each page of the PDF: see `pages_pdf`."""
    from planbook.drawing.svg import to_svg
    from planbook.units.write import plain_length

    return [
        {
            "title": head,
            "svg": to_svg(picture, ids=f"cut-{number}", medium="print"),
            "alt": picture.alt,
            "reason": _sentence(lot),
            "cuts": [
                [
                    ", ".join(map(str, setting.numbers)),
                    "trim" if setting.trims else "rip" if setting.way is Way.RIP else "crosscut",
                    plain_length(setting.fence, edition),
                    ", ".join(wanted.key for wanted in setting.gives) if not setting.trims else "",
                ]
                for setting in diagram.settings
            ],
        }
        for number, (head, diagram, lot, picture) in enumerate(pictures_of_cuts(cuts, edition), start=1)
    ]


def pages_pdf(rows: Sequence[Mapping[str, Any]], *, title: str) -> bytes:
    """Return a PDF with a page for each row: `title`, `svg`, `alt`, `cuts` in four columns, `reason`."""
    import datetime
    import json
    from pathlib import Path

    import matplotlib
    import typst

    fonts = typst.Fonts(
        include_system_fonts=False,
        include_embedded_fonts=True,
        font_paths=[str(Path(matplotlib.get_data_path()) / "fonts" / "ttf")],
    )
    made = typst.compile(
        _PDF.encode(),
        font_paths=fonts,
        format="pdf",
        sys_inputs={"rows": json.dumps(rows, ensure_ascii=False), "title": title},
        timestamp=datetime.datetime(2000, 1, 1, tzinfo=datetime.UTC),
    )
    assert isinstance(made, bytes)
    return made


def _sentence(lot: Lot) -> str:
    words = lot.solution
    count = sum(words.stock.values())
    pieces = f"{count} of stock"
    if words.proven:
        return f"{pieces}; cheaper is impossible with {words.model}."
    return f"{pieces}; whether it can be done cheaper with {words.model} is open."
