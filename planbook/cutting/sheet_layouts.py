"""Layouts of sheets: drafts become blocks with places, each cut reaching from edge to edge."""

from __future__ import annotations

from collections.abc import Sequence

from planbook.cutting.drafts import Cell, Draft, Drafts, Lying, Sizes, Strip
from planbook.cutting.frames import SheetInstance
from planbook.cutting.layout import Block, Layout, Rect
from planbook.cutting.naming import name_layouts
from planbook.cutting.problem import Piece, Saw, Sheet, Way, usable


def build_panels(
    drafts: Drafts,
    pieces: Sequence[Piece],
    instance: SheetInstance,
    sheets: Sequence[Sheet],
    saw: Saw,
) -> tuple[Layout, ...]:
    """Return the layouts of drafts, most often used first."""
    builder = _Builder(instance, Sizes(instance))
    order = sorted(drafts.items(), key=lambda entry: (-entry[1], entry[0].stock, entry[0].direction, entry[0].strips))
    layouts = []
    for draft, times in order:
        sheet = sheets[draft.stock]
        length, width = usable(sheet, saw.trim)
        room = Rect(saw.trim.start, saw.trim.near, length, width)
        layouts.append(Layout(sheet.key, sheet.length, sheet.width, times, builder.sheet(draft, room)))
    return name_layouts(layouts, pieces, instance.kinds)


class _Builder:
    def __init__(self, instance: SheetInstance, sizes: Sizes) -> None:
        self._kerf, self._sizes = instance.kerf, sizes

    def sheet(self, draft: Draft, room: Rect) -> Block:
        way = Way.CROSSCUT if draft.direction else Way.RIP
        heights = [self._sizes.height(draft.direction, strip) for strip in draft.strips]
        places = self._divided(room, way, heights)
        blocks = [self._strip(draft.direction, strip, at) for strip, at in zip(draft.strips, places, strict=False)]
        return self._joined(room, way, places, blocks)

    def _strip(self, direction: int, strip: Strip, room: Rect) -> Block:
        way = Way.RIP if direction else Way.CROSSCUT
        places = self._divided(room, way, [self._sizes.width(direction, cell) for cell in strip])
        blocks = [self._cell(direction, cell, at) for cell, at in zip(strip, places, strict=False)]
        return self._joined(room, way, places, blocks)

    def _cell(self, direction: int, cell: Cell, room: Rect) -> Block:
        way = Way.CROSSCUT if direction else Way.RIP
        places = self._divided(room, way, [self._sizes.across(direction, lying) for lying in cell])
        blocks = [self._piece(direction, lying, at) for lying, at in zip(cell, places, strict=False)]
        return self._joined(room, way, places, blocks)

    def _piece(self, direction: int, lying: Lying, room: Rect) -> Block:
        way = Way.RIP if direction else Way.CROSSCUT
        places = self._divided(room, way, [self._sizes.along(direction, lying)])
        return self._joined(room, way, places, [Block(places[0], piece=str(lying[0]))])

    def _divided(self, room: Rect, way: Way, sizes: Sequence[int]) -> list[Rect]:
        """Return places of these sizes (kerf included) side by side, and what is left over the last kerf."""
        start = room.y if way is Way.RIP else room.x
        end = start + (room.width if way is Way.RIP else room.length)
        places = []
        for size in sizes:
            places.append(_slice(room, way, start, size - self._kerf))
            start += size
        if start < end:
            places.append(_slice(room, way, start, end - start))
        return places

    @staticmethod
    def _joined(room: Rect, way: Way, places: Sequence[Rect], blocks: Sequence[Block]) -> Block:
        if len(places) == 1 and places[0] == room:
            return blocks[0]
        offcuts = [Block(at) for at in places[len(blocks) :]]
        return Block(room, way, (*blocks, *offcuts))


def _slice(room: Rect, way: Way, start: int, size: int) -> Rect:
    if way is Way.RIP:
        return Rect(room.x, start, room.length, size)
    return Rect(start, room.y, size, room.width)
