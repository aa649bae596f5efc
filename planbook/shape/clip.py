"""Clipping of lines against triangles, all pairs at once, and the stretches that are left."""

from __future__ import annotations

import numpy as np

from planbook.shape.mesh import Flags, Floats, Ints


def sides_of(corners: Floats, grow: float) -> Floats:
    """Return (3, m, 3) for each side of triangles: how far a point lies within it is a x + b y + c.

    `corners` (m, 3, 2 or 3) run anticlockwise on the picture; the triangles are grown by `grow`.
    """
    found = []
    for a, b in ((0, 1), (1, 2), (2, 0)):
        side_x, side_y = corners[:, b, 0] - corners[:, a, 0], corners[:, b, 1] - corners[:, a, 1]
        long = np.hypot(side_x, side_y)
        # A side without length says nothing.
        way_x, way_y = (side / np.where(long > 0.0, long, 1.0) for side in (side_x, side_y))
        level = way_y * corners[:, a, 0] - way_x * corners[:, a, 1] + grow
        found.append(np.column_stack([-way_y, way_x, level]))
    return np.stack(found)


def inside(start: Floats, run: Floats, sides: Floats, triangle: Ints) -> tuple[Floats, Floats]:
    """Return the stretch (low, high in 0 to 1, empty where high <= low) of each line within its triangle.

    `start` and `run` (n, 2 or 3) hold right and up; what one side excludes is not tried on the others.
    """
    low, high = np.zeros(len(start)), np.ones(len(start))
    left = np.arange(len(start))
    for side in sides:
        a, b, level = (side[triangle[left], k] for k in range(3))
        at = a * start[left, 0] + b * start[left, 1] + level
        slope = a * run[left, 0] + b * run[left, 1]
        with np.errstate(divide="ignore", invalid="ignore"):
            crossing = -at / slope
        low[left] = np.where(slope > 0.0, np.maximum(low[left], crossing), low[left])
        high[left] = np.where(slope < 0.0, np.minimum(high[left], crossing), high[left])
        high[left] = np.where((slope == 0.0) & (at < 0.0), -1.0, high[left])
        left = left[high[left] > low[left]]
    return low, high


def where_positive(at_start: Floats, at_end: Floats, low: Floats, high: Floats) -> tuple[Floats, Floats]:
    """Narrow stretches to where a linear function, given at both ends of the line, is positive."""
    slope = at_end - at_start
    with np.errstate(divide="ignore", invalid="ignore"):
        crossing = -at_start / slope
    low = np.where(slope > 0.0, np.maximum(low, crossing), low)
    high = np.where(slope < 0.0, np.minimum(high, crossing), high)
    return low, np.where((slope == 0.0) & (at_start <= 0.0), -1.0, high)


def planes(corners: Floats) -> Floats:
    """Return (n, 3): nearness of each triangle's plane at the origin, and its slope to the right and up.

    Meaningless for triangles seen edge-on.
    """
    one, two = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    with np.errstate(divide="ignore", invalid="ignore"):
        area = one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0]
        per_x = (one[:, 2] * two[:, 1] - two[:, 2] * one[:, 1]) / area
        per_y = (two[:, 2] * one[:, 0] - one[:, 2] * two[:, 0]) / area
        level = corners[:, 0, 2] - per_x * corners[:, 0, 0] - per_y * corners[:, 0, 1]
    return np.column_stack([level, per_x, per_y])


def gaps(edges: Ints, edge: Ints, low: Floats, high: Floats) -> tuple[Ints, Floats, Floats]:
    """Return what the stretches (sorted by edge and start) leave uncovered of `edges` (sorted)."""
    # The running maximum of the ends, for all edges in one sweep: each edge has its own range of numbers.
    lift = 4.0 * edge
    reach = np.maximum.accumulate(high + lift) - lift if len(edge) else high
    fresh = np.ones(len(edge), dtype=np.bool_)
    fresh[1:] = edge[1:] != edge[:-1]
    last = np.ones(len(edge), dtype=np.bool_)
    last[:-1] = fresh[1:]
    before = np.where(fresh, 0.0, np.concatenate([[0.0], reach[:-1]]) if len(edge) else reach)
    bare = np.setdiff1d(edges, edge, assume_unique=False)
    owner = np.concatenate([edge, edge[last], bare])
    begin = np.concatenate([before, reach[last], np.zeros(len(bare))])
    finish = np.concatenate([low, np.ones(int(last.sum())), np.ones(len(bare))])
    some = finish > begin + 1e-12
    owner, begin, finish = owner[some], begin[some], finish[some]
    order = np.lexsort((begin, owner))
    return owner[order], begin[order], finish[order]


def split(contour: Flags, inner: tuple[Ints, Floats, Floats], count: int) -> tuple[Ints, Floats, Floats, Flags]:
    """Cut contour edges where they stop being outline.

    Returns for each new edge, sorted, the edge that it is part of, where it begins and ends on it, and
    whether it is outline.
    """
    edge, low, high = inner
    order = np.lexsort((low, edge))
    everything = np.arange(count)
    out, out_low, out_high = gaps(np.flatnonzero(contour), edge[order], low[order], high[order])
    rest, rest_low, rest_high = gaps(everything, out, out_low, out_high)
    base = np.concatenate([out, rest])
    begin, finish = np.concatenate([out_low, rest_low]), np.concatenate([out_high, rest_high])
    outline = np.concatenate([np.ones(len(out), dtype=np.bool_), np.zeros(len(rest), dtype=np.bool_)])
    order = np.lexsort((begin, base))
    return base[order], begin[order], finish[order], outline[order]


def spread(base: Ints, edge: Ints, triangle: Ints, count: int) -> tuple[Ints, Ints]:
    """Carry pairs of edge and triangle over to the parts of the edges."""
    parts = np.bincount(base, minlength=count)
    first = np.concatenate([[0], np.cumsum(parts)[:-1]]) if count else parts
    times = parts[edge]
    begin = np.cumsum(times) - times
    step = np.arange(int(times.sum())) - np.repeat(begin, times)
    return np.repeat(first[edge], times) + step, np.repeat(triangle, times)
