"""What cuts leave of a part: one piece of wood, as long as it says, or a finding."""

from __future__ import annotations

from bisect import bisect_left
from fractions import Fraction
from itertools import product

from planbook.plan import values
from planbook.plan.convex import trimmed_faces
from planbook.plan.draft import Draft
from planbook.plan.jigs import near
from planbook.plan.model import Part
from planbook.plan.shapes import Outline

MOST = 30
"""Parts with more cuts than this are not looked at: the grid of their planes would grow too large."""

Cell = tuple[int, int, int]


def check(draft: Draft, part: Part) -> None:
    """Record a part of which cuts leave nothing, or several pieces, or one that is shorter than it says."""
    if part.trims:
        _check_ends(draft, part)
    if not part.cuts or len(part.cuts) > MOST or (part.shape is not None and not isinstance(part.shape, Outline)):
        return
    for hand in ("L", "R") if part.pair else ("",):
        number = pieces(part, hand)
        if number == 1:
            continue
        names = ", ".join(dict.fromkeys(f"`{cut.name}`" for cut in part.cuts if cut.hand in ("", hand)))
        left = "nothing" if number == 0 else f"{number} separate pieces"
        draft.findings.stop(
            "no-wood-left" if number == 0 else "falls-apart",
            f"the cuts {names} together leave {left} of `{part.key}`",
            part.span,
            help="make one of them smaller, or look from where it is measured",
        )
        return


def pieces(part: Part, hand: str = "") -> int:
    """Return into how many pieces the box of a part falls when its cuts are made; 0 where nothing is left."""
    boxes = [cut.box for cut in part.cuts if cut.hand in ("", hand)]
    whole = (part.length.final, part.width.final, part.thick)
    planes = []
    for axis, size in zip(("l", "w", "t"), whole, strict=True):
        found = {Fraction(0), size}
        found.update(edge for box in boxes for edge in getattr(box, axis) if 0 < edge < size)
        planes.append(sorted(found))
    first, second, third = (range(len(levels) - 1) for levels in planes)
    left: set[Cell] = set(product(first, second, third))
    for box in boxes:
        spans = []
        for levels, (low, high) in zip(planes, (box.l, box.w, box.t), strict=True):
            start, stop = bisect_left(levels, max(low, levels[0])), bisect_left(levels, min(high, levels[-1]))
            spans.append(range(start, stop))
        left.difference_update(product(*spans))
    number = 0
    while left:
        number += 1
        _take_piece(left)
    return number


def _take_piece(left: set[Cell]) -> None:
    """Take away one cell and all that hang together with it by their faces."""
    edge = [left.pop()]
    while edge:
        l, w, t = edge.pop()
        for cell in ((l - 1, w, t), (l + 1, w, t), (l, w - 1, t), (l, w + 1, t), (l, w, t - 1), (l, w, t + 1)):
            if cell in left:
                left.remove(cell)
                edge.append(cell)


def _check_ends(draft: Draft, part: Part) -> None:
    """Record tapers, mitres and bevels that cross before they reach an end."""
    size = (float(part.body_length), float(part.body_width), float(part.thick))
    faces = trimmed_faces(size, part.trims)
    names = ", ".join(dict.fromkeys(f"`{trim.name}`" for trim in part.trims))
    if not faces:
        draft.findings.stop("no-wood-left", f"the cuts {names} together leave nothing of `{part.key}`", part.span)
        return
    places = [corner[0] for face in faces for corner in face]
    step = float(draft.edition.resolution)
    for lacking, end in ((min(places), part.faces.datum_end), (size[0] - max(places), part.faces.far_end)):
        if lacking > step:
            draft.findings.stop(
                "taper-crosses",
                f"the cuts {names} cross {values.shown(draft, near(lacking))} before the {end} of `{part.key}`",
                part.span,
                help="leave more wood at that end, or make the part shorter",
            )
