"""Bounds that hold for any way of cutting: areas, and dual feasible functions.

A function f with f(0) = 0 is dual feasible where f(x1) + f(x2) + ... <= 1 for any sizes whose sum is at most 1.
Products of two of them, one a direction, bound how much of a sheet the pieces take however they lie
(Fekete, Schepers: A general framework for bounds for higher-dimensional orthogonal packing problems, 2004).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction

Function = Callable[[int], Fraction]


@dataclass(frozen=True, slots=True)
class Sized:
    """A piece with its kerf: `turns` where it may lie either way."""

    length: int
    width: int
    count: int
    turns: bool


def area_share(pieces: Sequence[Sized], length: int, width: int) -> Fraction:
    """Return how many stocks of that size the pieces fill by area."""
    return Fraction(sum(piece.length * piece.width * piece.count for piece in pieces), length * width)


def stock_share(pieces: Sequence[Sized], length: int, width: int, *, thin: int = 60) -> Fraction:
    """Return the best lower bound on the number of stocks of one size, by areas and dual feasible functions.

    At most `thin` thresholds a direction are tried.
    """
    best = area_share(pieces, length, width)
    lengths = sorted({side for piece in pieces for side in _sides(piece, along=True)})
    widths = sorted({side for piece in pieces for side in _sides(piece, along=False)})
    along = _functions(lengths, length, thin)
    across = _functions(widths, width, thin) if width > 1 else [_share(1)]
    tables = [{side: f(side) for side in lengths} for f in along]
    others = [{side: f(side) for side in widths} for f in across]
    for f in tables:
        for g in others:
            best = max(best, sum((_least(piece, f, g) * piece.count for piece in pieces), Fraction(0)))
    return best


def cheapest(share_by_stock: Sequence[tuple[Fraction, int, int | None]]) -> Fraction:
    """Return the least cost of stock whose shares reach 1.

    Each entry is (how many of this stock alone would do, price, limit). Holds for mixed stock only where the
    shares are areas, which add up.
    """
    needed, cost = Fraction(1), Fraction(0)
    for share, price, limit in sorted(share_by_stock, key=lambda entry: entry[0] * entry[1]):
        if share <= 0:
            return cost
        part = needed if limit is None else min(needed, Fraction(limit) / share)
        cost += part * share * price
        needed -= part
        if needed <= 0:
            break
    return cost


def _sides(piece: Sized, *, along: bool) -> tuple[int, ...]:
    if piece.turns:
        return piece.length, piece.width
    return (piece.length,) if along else (piece.width,)


def _least(piece: Sized, f: dict[int, Fraction], g: dict[int, Fraction]) -> Fraction:
    straight = f[piece.length] * g[piece.width]
    return min(straight, f[piece.width] * g[piece.length]) if piece.turns else straight


def _functions(sides: Sequence[int], whole: int, thin: int) -> list[Function]:
    thresholds = sorted({min(side, whole - side) for side in sides if 0 < min(side, whole - side) <= whole // 2})
    step = max(1, -(-len(thresholds) // thin))
    functions: list[Function] = [_share(whole)]
    functions += [_large_or_small(whole, threshold) for threshold in thresholds[::step]]
    functions += [_rounded(whole, parts) for parts in (1, 2, 3, 4, 5)]
    return functions


def _share(whole: int) -> Function:
    return lambda size: Fraction(size, whole)


def _large_or_small(whole: int, threshold: int) -> Function:
    """Over `whole - threshold` a size counts as the whole, under `threshold` as nothing (Martello, Toth's L2)."""

    def value(size: int) -> Fraction:
        if size > whole - threshold:
            return Fraction(1)
        return Fraction(size, whole) if size >= threshold else Fraction(0)

    return value


def _rounded(whole: int, parts: int) -> Function:
    """Round `parts + 1` times the size down to whole parts, but for exact ones (Fekete, Schepers' u)."""

    def value(size: int) -> Fraction:
        scaled = (parts + 1) * size
        return Fraction(size, whole) if scaled % whole == 0 else Fraction(scaled // whole, parts)

    return value
