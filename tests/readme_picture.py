"""The picture in README.md: the demo piece with the letters of its parts, drawn by planbook.

`python tests/readme_picture.py` draws it anew.
"""

from __future__ import annotations

from pathlib import Path

from planbook.drawing.assembly import letters_picture
from planbook.drawing.picture import Picture
from planbook.drawing.svg import to_svg
from planbook.plan.resolve import resolve
from planbook.source.book import read_book
from planbook.source.diagnostics import Findings
from planbook.source.files import Sources
from planbook.units.editions import IMPERIAL

ROOT = Path(__file__).parent.parent
PICTURE = ROOT / "content" / "plans" / "boot-bench" / "boot-bench.svg"


def demo_picture() -> Picture:
    """Return the picture, worked out from the demo book as it is now."""
    findings = Findings()
    book = read_book(ROOT / "content", findings, Sources())
    assert book is not None, list(findings)
    written = next(plan for plan in book.plans if plan.slug == "boot-bench")
    plan = resolve(written, book.shop, IMPERIAL, findings)
    assert plan is not None, list(findings)
    return letters_picture(plan)


def on_paper(svg: str) -> str:
    """Return a drawing on a white sheet: a reader of the README may have a dark page behind it."""
    head, mark, rest = svg.partition(">")
    return f'{head}{mark}<rect width="100%" height="100%" fill="#ffffff"/>{rest}'


if __name__ == "__main__":
    PICTURE.write_text(on_paper(to_svg(demo_picture(), ids="boot-bench", medium="print")), "utf-8")
