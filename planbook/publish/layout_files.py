"""Layouts as files for the lumber yard and the saw: JSON, SVG and PDF."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from planbook.cutting.diagram import Diagram
from planbook.cutting.lots import Lot
from planbook.cutting.problem import Piece, Way
from planbook.units.editions import Edition

if TYPE_CHECKING:
    from planbook.drawing.picture import Picture

Cut = tuple[Lot, Sequence[Diagram], str]
"""A lot, its diagrams and what its stock is called."""

_SVG = re.compile(r'<svg xmlns="[^"]*" width="([\d.]+)pt" height="([\d.]+)pt"')
_PAPERS = {"imperial": ("215.9mm", "279.4mm"), "metric": ("210mm", "297mm")}
# Letter (ANSI Y14.1 size A) and A4 (ISO 216).
_PDF = """#let width = eval(sys.inputs.at("width"))
#set page(width: width, height: eval(sys.inputs.at("height")), margin: (x: 18mm, y: 16mm), numbering: "1 of 1")
#set text(font: "Libertinus Serif", size: 11.5pt)
#set document(title: sys.inputs.at("title"))
#show heading.where(level: 1): set text(size: 24pt, weight: "regular")
#show heading.where(level: 2): set text(size: 12.5pt)
#let lists = json(bytes(sys.inputs.at("lists")))
#let rows = json(bytes(sys.inputs.at("rows")))
#let box-to-tick = pdf.artifact(box(width: 4.2mm, height: 4.2mm, baseline: 0.7mm, stroke: 0.35mm))
#let ruled(columns, head, cells, align) = table(
  columns: columns, align: align, inset: 1.6mm, stroke: none,
  table.header(table.hline(stroke: 0.5mm), ..head.map(emph), table.hline(stroke: 0.25mm)),
  ..cells.map(row => (..row, table.hline(stroke: 0.2mm))).flatten(), table.hline(stroke: 0.5mm),
)
#heading(level: 1, sys.inputs.at("title"))
#v(3mm)
#for list in lists {
  heading(level: 2, list.title)
  v(1mm)
  let columns = (8mm, ..range(list.head.len() - 1).map(_ => auto), 1fr)
  ruled(columns, ("", ..list.head), list.rows.map(row => (box-to-tick, ..row)), left)
  v(3mm)
}
#for row in rows {
  block(breakable: false, width: 100%, {
    heading(level: 2, row.title)
    v(1mm)
    // A drawing keeps its size; one that is wider than the page is made smaller.
    layout(room => {
      let drawn = image(bytes(row.svg), format: "svg", alt: row.alt)
      if measure(drawn).width <= room.width { drawn } else {
        image(bytes(row.svg), format: "svg", alt: row.alt, width: room.width)
      }
    })
    v(2mm)
    ruled((auto, auto, auto, 1fr), ("cut", "saw", "setting", "gives"), row.cuts, left)
    if row.reason != "" { emph(row.reason) }
    v(6mm)
  })
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
                **_costs(lot, priced=priced),
                "proven": lot.solution.proven,
                "model": lot.solution.model,
                "kerf": unit(lot.task.saw.kerf * edition.resolution),
                "layouts": [diagram_data(diagram) for diagram in diagrams],
            }
            for lot, diagrams, title in cuts
        ],
    }


def _costs(lot: Lot, *, priced: bool) -> dict[str, float]:
    """Return cost, bound and gap; nothing where boards are on hand, whose wood has no price."""
    if lot.task.boards:
        return {}
    scale = 100 if priced else 1
    costs = {"cost": lot.solution.cost, "bound": lot.solution.bound, "gap": lot.solution.gap}
    return {name: value / scale for name, value in costs.items()}


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
            "reason": _sentence(lot) if diagram.number == len(lot.solution.layouts) else "",
            "cuts": [
                [
                    ", ".join(map(str, setting.numbers)),
                    "trim" if setting.trims else "rip" if setting.way is Way.RIP else "crosscut",
                    plain_length(diagram.trim if setting.trims else setting.fence, edition),
                    ", ".join(wanted.key for wanted in setting.gives) if not setting.trims else "",
                ]
                for setting in diagram.settings
            ],
        }
        for number, (head, diagram, lot, picture) in enumerate(pictures_of_cuts(cuts, edition), start=1)
    ]


def head_lists(cuts: Sequence[Cut], edition: Edition, *, priced: bool) -> list[dict[str, Any]]:
    """Return what stands before the drawings: what to buy, and every piece to tick when it is sawn."""
    from planbook.units.write import plain_length

    def size(piece: Piece, *, stick: bool) -> str:
        sides = (piece.length,) if stick else (piece.length, piece.width)
        return " x ".join(plain_length(side * edition.resolution, edition) for side in sides)

    buy, pieces = [], []
    for lot, _, title in cuts:
        name = f"{title}: " if title else ""
        prices = {entry.key: entry.price for entry in lot.task.stock_entries}
        for key, count in sorted(lot.solution.stock.items()):
            cost = f"{count * prices[key] / 100:.2f}" if priced and key in prices else ""
            buy.append([str(count), f"{name}{key}", cost])
        pieces += [[str(p.count), p.key, size(p, stick=bool(lot.task.sticks))] for p in lot.task.pieces]
    found = [{"title": "To buy", "head": ["how many", "what", "price" if priced else ""], "rows": buy}] if buy else []
    return [*found, {"title": "Pieces", "head": ["how many", "piece", "size"], "rows": pieces}] if pieces else found


def pages_pdf(
    rows: Sequence[Mapping[str, Any]], *, title: str, edition: Edition, lists: Sequence[Mapping[str, Any]] = ()
) -> bytes:
    """Return a PDF on the edition's paper: `lists` with `title`, `head` and `rows`, then each drawing with its cuts.

    A row has `title`, `svg`, `alt`, `cuts` in four columns and `reason`.
    """
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
        sys_inputs={
            "rows": json.dumps(rows, ensure_ascii=False),
            "lists": json.dumps(lists, ensure_ascii=False),
            "title": title,
            "width": _PAPERS[edition.name][0],
            "height": _PAPERS[edition.name][1],
        },
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
