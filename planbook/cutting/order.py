"""The order of cuts: set-ups of the saw one after the other, equal ones done for all sheets together.

A set-up is a way of cutting and a distance from fence or stop to blade. All cuts of one depth come before
the next depth, wide settings before narrow ones, so that every blank exists when it is needed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from planbook.cutting.layout import Block, Layout, Rect
from planbook.cutting.problem import Saw, Way


@dataclass(frozen=True, slots=True)
class Blank:
    """Something that lies on the bench at some time: a sheet, a strip, a rest, a piece, an offcut."""

    number: int
    """Within its layout; 0 is the stock as bought."""
    at: Rect
    """Where it was on the stock; a piece ripped last may have been cut from another place of its blank."""
    piece: str = ""
    """The piece it is, once it is finished."""
    offcut: bool = False


@dataclass(frozen=True, slots=True)
class SawCut:
    """One pass of a blank: what lies against the fence comes off at the setting, the rest beyond the blade."""

    layout: int
    """Number of the layout, from 0; done for each of its copies."""
    blank: int
    yields: int
    rest: int | None
    """None where the blade leaves nothing worth the name."""


@dataclass(frozen=True, slots=True)
class SetUp:
    """One setting of the saw and all cuts made on it."""

    way: Way
    fence: int
    """Distance from fence or stop to the near side of the blade."""
    trimming: bool
    """Whether it takes off the edges of the stock as bought."""
    cuts: tuple[SawCut, ...]


@dataclass(frozen=True, slots=True)
class CutOrder:
    """The whole order, with what is on the bench."""

    setups: tuple[SetUp, ...]
    blanks: tuple[tuple[Blank, ...], ...]
    """By layout, by number."""

    def passes(self, layouts: Sequence[Layout]) -> int:
        """Return how often a blank goes over the saw, all copies counted."""
        return sum(layouts[cut.layout].repeats for setup in self.setups for cut in setup.cuts)


Placed = tuple[int, Way, int, SawCut]
"""Depth, way, fence, cut."""


def cut_order(layouts: Sequence[Layout], saw: Saw) -> CutOrder:
    """Return the order of cuts for all layouts of one material together."""
    cuts: list[Placed] = []
    blanks = []
    for number, layout in enumerate(layouts):
        bench = _Bench(number, saw.kerf)
        bench.lay_out(layout)
        cuts += bench.cuts
        blanks.append(tuple(bench.blanks))
    grouped: dict[tuple[int, Way, int], list[SawCut]] = {}
    for depth, way, fence, cut in cuts:
        grouped.setdefault((depth, way, fence), []).append(cut)
    order = sorted(grouped, key=lambda key: (key[0], key[1] is Way.CROSSCUT, -key[2]))
    setups = tuple(SetUp(way, fence, depth < 0, tuple(grouped[depth, way, fence])) for depth, way, fence in order)
    return CutOrder(setups, tuple(blanks))


class _Bench:
    """What becomes of one layout."""

    def __init__(self, layout: int, kerf: int) -> None:
        self._layout, self._kerf = layout, kerf
        self.cuts: list[Placed] = []
        self.blanks: list[Blank] = []

    def lay_out(self, layout: Layout) -> None:
        whole = Rect(0, 0, layout.length, layout.width)
        number = self._blank(whole)
        for depth, way, room in _trims(whole, layout.root.at):
            kept = self._blank(room)
            waste = self._rest_size(whole, room, way) - self._kerf
            rest = self._blank(_waste(whole, room, way, waste), offcut=True) if waste > 0 else None
            fence = room.width if way is Way.RIP else room.length
            self.cuts.append((depth, way, fence, SawCut(self._layout, number, kept, rest)))
            number, whole = kept, room
        self._divide(layout.root, number, 0)

    @staticmethod
    def _rest_size(whole: Rect, room: Rect, way: Way) -> int:
        return whole.width - room.width if way is Way.RIP else whole.length - room.length

    def _blank(self, at: Rect, *, piece: str = "", offcut: bool = False) -> int:
        self.blanks.append(Blank(len(self.blanks), at, piece, offcut))
        return len(self.blanks) - 1

    def _divide(self, block: Block, number: int, depth: int) -> None:
        """Cut a block that lies on the bench as blank `number`."""
        if block.cut is None:
            self.blanks[number] = Blank(number, block.at, block.piece, not block.piece)
            return
        rip = block.cut is Way.RIP
        left = block.at.width if rip else block.at.length
        todo = sorted(block.blocks, key=lambda inner: (not _worked(inner), -(_size(inner, rip=rip))))
        for inner in todo:
            size = _size(inner, rip=rip)
            if size == left:
                self._divide(inner, number, depth + 1)
                return
            yields = self._blank(inner.at)
            left -= size + self._kerf
            rest = self._blank(_end(block.at, left, rip=rip)) if left > 0 else None
            self.cuts.append((depth, block.cut, size, SawCut(self._layout, number, yields, rest)))
            self._divide(inner, yields, depth + 1)
            if rest is None:
                return
            number = rest
        self.blanks[number] = Blank(number, self.blanks[number].at, "", offcut=True)


def _worked(block: Block) -> bool:
    return bool(block.piece) or block.cut is not None


def _size(block: Block, *, rip: bool) -> int:
    return block.at.width if rip else block.at.length


def _end(at: Rect, size: int, *, rip: bool) -> Rect:
    if rip:
        return Rect(at.x, at.y + at.width - size, at.length, size)
    return Rect(at.x + at.length - size, at.y, size, at.width)


def _trims(whole: Rect, room: Rect) -> list[tuple[int, Way, Rect]]:
    """Return the trimming cuts one after the other: depth (below 0), way, and what is left."""
    steps: list[tuple[int, Way, Rect]] = []
    x, y, length, width = whole.x, whole.y, whole.length, whole.width
    if room.x > x:
        x, length = room.x, length - room.x
        steps.append((-4, Way.CROSSCUT, Rect(x, y, length, width)))
    if room.length < length:
        length = room.length
        steps.append((-3, Way.CROSSCUT, Rect(x, y, length, width)))
    if room.y > y:
        y, width = room.y, width - room.y
        steps.append((-2, Way.RIP, Rect(x, y, length, width)))
    if room.width < width:
        steps.append((-1, Way.RIP, Rect(x, y, length, room.width)))
    return steps


def _waste(whole: Rect, room: Rect, way: Way, size: int) -> Rect:
    if way is Way.RIP:
        return Rect(whole.x, whole.y if room.y > whole.y else whole.y + whole.width - size, whole.length, size)
    return Rect(whole.x if room.x > whole.x else whole.x + whole.length - size, whole.y, size, whole.width)
