"""A layout as it is drawn and followed: places in mm, numbered cuts on their lines, set-ups in order, offcuts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from planbook.cutting.demand import Wanted
from planbook.cutting.layout import Block, Layout, Rect
from planbook.cutting.lots import Lot
from planbook.cutting.order import CutOrder, SawCut, SetUp, cut_order
from planbook.cutting.practice import Practice
from planbook.cutting.problem import Way


@dataclass(frozen=True, slots=True)
class Place:
    """A rectangle on the stock in mm: `x`, `length` along the grain, `y`, `width` from the trimmed edge."""

    x: Fraction
    y: Fraction
    length: Fraction
    width: Fraction


@dataclass(frozen=True, slots=True)
class Lying:
    """A piece where it lies."""

    at: Place
    wanted: Wanted
    turned: bool


@dataclass(frozen=True, slots=True)
class Rest:
    """What is left over."""

    at: Place
    keep: bool
    """Whether it is large enough to be put by."""


@dataclass(frozen=True, slots=True)
class Mark:
    """A numbered cut: what the blade takes away."""

    number: int
    """In the order of work, counted through all diagrams of the lot."""
    way: Way
    at: Place
    edge: bool
    """Whether it trims an edge of the stock as bought."""


@dataclass(frozen=True, slots=True)
class Setting:
    """One set-up of the saw, as far as one diagram needs it."""

    numbers: tuple[int, ...]
    way: Way
    fence: Fraction
    """mm from fence or stop to the near side of the blade."""
    trims: bool
    gives: tuple[Wanted, ...]
    """What comes out of the cuts, also where further cuts follow; each entry once."""
    done: tuple[str, ...]
    """Letters of which a piece comes off whole, with no further cut."""
    elsewhere: bool
    """Whether other diagrams of the lot are cut on the same setting."""
    shortest: Fraction
    """mm: of what comes off, the shortest length, which a rip leads along the fence and a crosscut lays before the
    blade."""


@dataclass(frozen=True, slots=True)
class Spoiled:
    """Wood of a board that no piece may have."""

    at: Place
    kind: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Diagram:
    """One way to cut a sheet, and how many are cut like it."""

    number: int
    """From 1, in its lot."""
    stock: str
    length: Fraction
    width: Fraction
    kerf: Fraction
    repeats: int
    lying: tuple[Lying, ...]
    rests: tuple[Rest, ...]
    trimmed: tuple[Place, ...]
    """Edges that are taken off first."""
    marks: tuple[Mark, ...]
    settings: tuple[Setting, ...]

    stick: bool = False
    """Whether the stock is only cut to length; its width here is that of a drawing, not of wood."""
    board: bool = False
    """Whether it is a board, on hand under the name of `stock` or to be bought."""
    faces: int = 2
    """How many faces of a board on hand are fit to be seen."""
    spoiled: tuple[Spoiled, ...] = ()

    def count(self, key: str) -> int:
        """Return how often a letter lies on one copy."""
        return sum(1 for lying in self.lying if lying.wanted.key == key)

    @property
    def trim(self) -> Fraction:
        """What the first trimming cut takes off, the blade included; mm."""
        taken = [place.length if self.stick else place.width for place in self.trimmed[:1]]
        return max([*taken, self.kerf])

    def trimmed_by(self, way: Way) -> Fraction:
        """Return what a trimming cut takes off: of a board an end or an edge, else the first of all; mm."""
        if not self.board:
            return self.trim
        taken = [place.length if way is Way.CROSSCUT else place.width for place in self.trimmed]
        return max(self.kerf, min(taken, default=self.kerf))

    def letters(self) -> tuple[str, ...]:
        """Return the letters, each once, as they lie."""
        return tuple(dict.fromkeys(lying.wanted.key for lying in self.lying))


STICK_SHARE = Fraction(1, 16)
"""Width of a stick on its drawing, by its length."""


def as_stick(diagram: Diagram) -> Diagram:
    """Return the diagram of a stick as a bar wide enough to write on."""
    wide = diagram.length * STICK_SHARE

    def bar(place: Place) -> Place:
        return replace(place, y=Fraction(0), width=wide)

    return replace(
        diagram,
        width=wide,
        stick=True,
        lying=tuple(replace(lying, at=bar(lying.at)) for lying in diagram.lying),
        rests=tuple(replace(rest, at=bar(rest.at)) for rest in diagram.rests),
        trimmed=tuple(bar(place) for place in diagram.trimmed),
        marks=tuple(replace(mark, at=bar(mark.at)) for mark in diagram.marks),
    )


def diagrams_of(lot: Lot, practice: Practice) -> tuple[Diagram, ...]:
    """Return the diagrams of a lot, with the order of cuts over all of them."""
    layouts = lot.solution.layouts
    order = cut_order(layouts, lot.task.saw)
    found = tuple(_Drafter(lot, practice, order, number).diagram() for number in range(len(layouts)))
    return tuple(as_stick(diagram) for diagram in found) if lot.task.sticks else found


class _Drafter:
    """Makes one diagram; sizes of the solution are whole steps, those of the diagram mm."""

    def __init__(self, lot: Lot, practice: Practice, order: CutOrder, number: int) -> None:
        self._lot, self._practice, self._order, self._number = lot, practice, order, number
        self._layout: Layout = lot.solution.layouts[number]
        self._step = lot.task.edition.resolution
        self._kerf = lot.task.saw.kerf
        self._parents = {inner.at: (outer, index) for outer, index, inner in _inner(self._layout.root)}
        self._blocks = {inner.at: inner for _, _, inner in _inner(self._layout.root)}
        self._blocks[self._layout.root.at] = self._layout.root
        self._sawn = {
            self._at(cut.yields)
            for setup in order.setups
            if not setup.trimming
            for cut in setup.cuts
            if cut.layout == number
        }

    def diagram(self) -> Diagram:
        layout = self._layout
        marks, settings = self._cuts()
        board = next((board for board in self._lot.task.boards if board.key == layout.stock), None)
        return Diagram(
            number=self._number + 1,
            stock=layout.stock,
            length=layout.length * self._step,
            width=layout.width * self._step,
            kerf=self._kerf * self._step,
            repeats=layout.repeats,
            lying=tuple(
                Lying(self._mm(block.at), self._lot.task.entry(block.piece), block.turned) for block in layout.pieces()
            ),
            rests=tuple(Rest(self._mm(block.at), self._kept(block.at)) for block in layout.offcuts()),
            trimmed=tuple(self._mm(edge) for edge in _edges(layout)),
            marks=marks,
            settings=settings,
            board=bool(self._lot.task.boards),
            faces=board.faces if board is not None else 2,
            spoiled=tuple(Spoiled(self._mm(defect.at), defect.kind) for defect in board.defects) if board else (),
        )

    def _mm(self, at: Rect) -> Place:
        return Place(at.x * self._step, at.y * self._step, at.length * self._step, at.width * self._step)

    def _kept(self, at: Rect) -> bool:
        long, wide = sorted((at.length * self._step, at.width * self._step), reverse=True)
        return long >= self._practice.keep_long and (bool(self._lot.task.sticks) or wide >= self._practice.keep_wide)

    def _cuts(self) -> tuple[tuple[Mark, ...], tuple[Setting, ...]]:
        marks: list[Mark] = []
        settings: list[Setting] = []
        count = 0
        for setup in self._order.setups:
            numbers = []
            mine = []
            for cut in setup.cuts:
                count += 1
                if cut.layout == self._number:
                    numbers.append(count)
                    mine.append(cut)
                    marks.append(self._mark(count, setup, cut))
            if mine:
                settings.append(self._setting(setup, tuple(numbers), mine))
        return tuple(marks), tuple(settings)

    def _setting(self, setup: SetUp, numbers: tuple[int, ...], cuts: list[SawCut]) -> Setting:
        blocks = [self._blocks[self._at(cut.yields)] for cut in cuts if self._at(cut.yields) in self._blocks]
        keys = dict.fromkeys(leaf.piece for block in blocks for leaf in block.leaves() if leaf.piece)
        return Setting(
            numbers=numbers,
            way=setup.way,
            fence=setup.fence * self._step,
            trims=setup.trimming,
            gives=tuple(self._lot.task.entry(key) for key in keys),
            done=() if setup.trimming else tuple(dict.fromkeys(block.piece for block in blocks if block.piece)),
            elsewhere=any(cut.layout != self._number for cut in setup.cuts),
            shortest=min(self._at(cut.yields).length for cut in cuts) * self._step,
        )

    def _at(self, blank: int) -> Rect:
        return self._order.blanks[self._number][blank].at

    def _mark(self, number: int, setup: SetUp, cut: SawCut) -> Mark:
        if setup.trimming:
            return Mark(number, setup.way, self._mm(self._trimmed(setup, cut)), edge=True)
        at = self._at(cut.yields)
        outer, index = self._parents[at]
        return Mark(number, setup.way, self._mm(self._kerf_of(outer, index)), edge=False)

    def _trimmed(self, setup: SetUp, cut: SawCut) -> Rect:
        """Return the kerf beside what a trimming cut keeps."""
        before, kept = self._at(cut.blank), self._at(cut.yields)
        kerf = self._kerf
        if setup.way is Way.RIP:
            y = kept.y - kerf if kept.y > before.y else kept.y + kept.width
            return Rect(kept.x, y, kept.length, kerf)
        x = kept.x - kerf if kept.x > before.x else kept.x + kept.length
        return Rect(x, kept.y, kerf, kept.width)

    def _kerf_of(self, outer: Block, index: int) -> Rect:
        """Return where the blade runs that takes off a block: behind it, or before it where a later one is last."""
        stays = self._stays(outer)
        at = outer.blocks[index if stays is None or index < stays else index - 1].at
        if outer.cut is Way.RIP:
            return Rect(at.x, at.y + at.width, at.length, self._kerf)
        return Rect(at.x + at.length, at.y, self._kerf, at.width)

    def _stays(self, outer: Block) -> int | None:
        """Return which of the blocks is left when all others are cut off, if one is."""
        return next((index for index, inner in enumerate(outer.blocks) if inner.at not in self._sawn), None)


def _inner(block: Block) -> Iterator[tuple[Block, int, Block]]:
    """Yield each block with the one it is cut from and its number there."""
    for index, inner in enumerate(block.blocks):
        yield block, index, inner
        yield from _inner(inner)


def _edges(layout: Layout) -> list[Rect]:
    """Return the edges that are taken off, their kerf included."""
    room = layout.root.at
    edges = []
    if room.y:
        edges.append(Rect(0, 0, layout.length, room.y))
    if room.y + room.width < layout.width:
        edges.append(Rect(0, room.y + room.width, layout.length, layout.width - room.y - room.width))
    if room.x:
        edges.append(Rect(0, room.y, room.x, room.width))
    if room.x + room.length < layout.length:
        edges.append(Rect(room.x + room.length, room.y, layout.length - room.x - room.length, room.width))
    return edges
