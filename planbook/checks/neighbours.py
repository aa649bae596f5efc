"""Which boxes overlap: a sweep along one axis in floats, so that only near pairs are looked at exactly."""

from __future__ import annotations

from collections.abc import Sequence

from planbook.plan.boxes import Space

WIDER = 1e-6
"""How much wider than it is a box is taken, in mm: floats may be off, and no pair may be missed."""

Floated = tuple[tuple[float, float], tuple[float, float], tuple[float, float]]


def floated(space: Space) -> Floated:
    """Return a box in floats, in mm."""
    x, y, z = ((float(low), float(high)) for low, high in space)
    return (x, y, z)


def near_pairs(spaces: Sequence[Space]) -> list[tuple[int, int]]:
    """Return the numbers of all pairs of boxes that overlap or all but touch, the lower number first, sorted."""
    return pairs_of([floated(space) for space in spaces])


def pairs_of(boxes: Sequence[Floated]) -> list[tuple[int, int]]:
    """Return the same for boxes in floats.

    Along the axis on which the boxes lie farthest apart; each box meets only those that have not ended yet.
    """
    if len(boxes) < 2:
        return []
    axis = max(range(3), key=lambda at: _spread(boxes, at))
    one, two = (at for at in range(3) if at != axis)
    found: list[tuple[int, int]] = []
    open_ones: list[int] = []
    for number in sorted(range(len(boxes)), key=lambda at: (boxes[at][axis][0], at)):
        mine = boxes[number]
        begins = mine[axis][0] - WIDER
        open_ones = [other for other in open_ones if boxes[other][axis][1] > begins]
        (low_one, high_one), (low_two, high_two) = mine[one], mine[two]
        for other in open_ones:
            theirs = boxes[other]
            if (
                theirs[one][0] < high_one + WIDER
                and theirs[one][1] > low_one - WIDER
                and theirs[two][0] < high_two + WIDER
                and theirs[two][1] > low_two - WIDER
            ):
                found.append((min(number, other), max(number, other)))
        open_ones.append(number)
    return sorted(found)


def _spread(boxes: Sequence[Floated], axis: int) -> float:
    """Return how far the boxes lie apart along an axis, in sizes of the boxes."""
    whole = max(box[axis][1] for box in boxes) - min(box[axis][0] for box in boxes)
    each = sum(box[axis][1] - box[axis][0] for box in boxes)
    return whole / each if each > 0 else 0.0
