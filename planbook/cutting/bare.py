"""A bare list of pieces and stock, from YAML or CSV, as a problem to be cut."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path
from typing import TypeVar

from planbook.cutting.bare_slabs import BareSlabs, of_slabs, read_slabs
from planbook.cutting.board_problem import Board
from planbook.cutting.board_stock import board_of_list
from planbook.cutting.demand import Wanted, down, up
from planbook.cutting.layout import Solution
from planbook.cutting.lots import Lot, Task
from planbook.cutting.practice import USUAL, Practice
from planbook.cutting.problem import CuttingError, First, Grain, Piece, Saw, Sheet, Stick, Trim, usable
from planbook.plan.model import Life, Role, Stock, StockKind
from planbook.source.diagnostics import Findings, Span
from planbook.source.files import Sources
from planbook.source.nearest import did_you_mean, one_of
from planbook.source.schema.bare import BareFacts, BarePiece, BareStock
from planbook.source.text import Text
from planbook.source.validate import validated
from planbook.source.yaml_nodes import load
from planbook.units.editions import EDITIONS, Edition
from planbook.units.factors import FOOT
from planbook.units.read import ReadError, read_quantity
from planbook.units.write import plain_length

Choice = TypeVar("Choice")
TITLES = ("what", "name", "length", "width", "count", "grain", "price")
"""Columns of a list as CSV; `what` is `piece` or `stock`."""
COIN = 100
"""Prices are counted in hundredths."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BareList:
    """A list that was read: everything in whole steps of the edition's resolution."""

    title: str
    edition: Edition
    practice: Practice
    pieces: tuple[Piece, ...]
    stock: tuple[Sheet, ...] | tuple[Stick, ...]
    saw: Saw
    spans: Mapping[str, Span]
    """Where each piece and each stock stands in the list."""
    boards: tuple[Board, ...] = ()
    """The stock that is on hand, each board by itself, where the list tells of defects."""

    @property
    def priced(self) -> bool:
        """Whether any stock has a price of its own."""
        return any(entry.price not in (0, COIN) for entry in self.stock)


def read_bare(path: Path, findings: Findings, sources: Sources) -> BareList | BareSlabs | None:
    """Return the problem of a list; None, with every fault recorded, where there is none."""
    source = sources.read(path.parent, path.name, findings)
    if source is None:
        return None
    if path.suffix.lower() == ".csv":
        facts = _from_csv(source.text, path.name, findings)
    else:
        node = load(source, findings)
        facts = validated(BareFacts, node, findings) if node is not None else None
    if facts is None or findings.stopped:
        return None
    reader = _Reader(facts, findings)
    found = (
        read_slabs(facts, findings, title=path.stem, edition=reader.edition)
        if of_slabs(facts)
        else reader.read(path.stem)
    )
    return None if findings.stopped else found


def solve_bare(bare: BareList) -> Lot:
    """Return the layouts of a list; raises CuttingError with sizes as the list has them."""
    _refuse_too_large(bare)
    try:
        solution = _solved(bare, bare.saw)
    except CuttingError as fault:
        if fault.slug == "stock-short" and bare.saw.kerf and _does_without_kerf(bare):
            kerf = plain_length(bare.saw.kerf * bare.edition.resolution, bare.edition)
            raise CuttingError(
                "kerf-forgotten",
                f"the stock at hand gives all pieces only where the saw takes nothing; each cut takes {kerf}",
                "take one more piece of stock, or make a piece shorter by what its cuts take",
            ) from None
        if fault.slug == "stock-short" and not bare.boards and all(entry.limit is not None for entry in bare.stock):
            raise _with_figures(bare, fault) from None
        raise
    sheets = [entry for entry in bare.stock if isinstance(entry, Sheet)]
    sticks = [entry for entry in bare.stock if isinstance(entry, Stick)]
    first = sheets[0] if sheets else Sheet(key=sticks[0].key, length=sticks[0].length, width=1)
    task = Task(
        stock=_stock(bare, first.key),
        edition=bare.edition,
        wanted=tuple(_wanted(piece, bare.edition) for piece in bare.pieces),
        pieces=bare.pieces,
        sheet=first,
        saw=bare.saw,
        sticks=tuple(sticks),
        sheets=tuple(sheets),
        boards=bare.boards,
    )
    return Lot(task=task, solution=solution)


def _with_figures(bare: BareList, fault: CuttingError) -> CuttingError:
    """Return a fault of too little stock with how much is wanted, and how much is there."""
    flat = any(isinstance(entry, Sheet) for entry in bare.stock)
    foot = bare.edition.name == "imperial"
    side = float(bare.edition.resolution) / (float(FOOT) if foot else 1000)
    unit = ("sq ft" if foot else "m²") if flat else ("ft" if foot else "m")

    def amount(entry: Piece | Sheet | Stick, count: int) -> float:
        return entry.length * side * (entry.width * side if flat and not isinstance(entry, Stick) else 1) * count

    wanted = sum(amount(piece, piece.count) for piece in bare.pieces)
    there = sum(amount(entry, entry.limit or 0) for entry in bare.stock)
    listed = f"`{bare.stock[0].key}`" + (" and the rest" if len(bare.stock) > 1 else "")
    told = f"{fault.message}: they take {wanted:.4g} {unit} and what the saw takes, {listed} has {there:.4g} {unit}"
    return CuttingError(fault.slug, told, fault.help)


def _solved(bare: BareList, saw: Saw) -> Solution:
    from planbook.cutting.on_hand import solve_boards
    from planbook.cutting.sheets import solve_sheets
    from planbook.cutting.sticks import solve_sticks

    sheets = [entry for entry in bare.stock if isinstance(entry, Sheet)]
    sticks = [entry for entry in bare.stock if isinstance(entry, Stick)]
    if bare.boards:
        bought = [sheet for sheet in sheets if sheet.limit is None]
        return solve_boards(bare.pieces, bare.boards, saw.kerf, bought=bought)
    return solve_sheets(bare.pieces, sheets, saw) if sheets else solve_sticks(bare.pieces, sticks, saw)


def _does_without_kerf(bare: BareList) -> bool:
    """Tell whether the stock at hand would do if the saw took nothing."""
    try:
        _solved(bare, replace(bare.saw, kerf=0))
    except CuttingError:
        return False
    return True


def _stock(bare: BareList, name: str) -> Stock:
    return Stock(
        name=name, kind=StockKind.PANEL, material=name, nominal="", thickness=Fraction(0), thickness_from="",
        measure=False, rough_thickness=None, sheet=None, density=None, pick=(), span=Span(bare.title, 1, 1, 1, 1),
    )  # fmt: skip


def _wanted(piece: Piece, edition: Edition) -> Wanted:
    step = edition.resolution
    return Wanted(
        key=piece.key, letter=piece.key, hand="", name=piece.key, part=piece.key, role=Role.PART,
        length=piece.length * step, width=piece.width * step, count=piece.count, turns=piece.grain is Grain.FREE,
        life=Life.NOW, until=None,
    )  # fmt: skip


def _refuse_too_large(bare: BareList) -> None:
    """Refuse a piece that no stock holds, or that the blade makes dust of, in the writing of the list."""
    if not bare.pieces:
        raise CuttingError("no-pieces", "there is nothing to cut", "list at least one piece")
    if all(entry.limit == 0 for entry in bare.stock):
        raise CuttingError(
            "no-stock", "there is no stock to cut from", "list at least one stick or sheet, and how many"
        )
    for piece in bare.pieces:
        if bare.saw.kerf > piece.length:
            kerf = _size(bare, (bare.saw.kerf, 1), flat=False)
            raise CuttingError(
                "kerf-over-piece",
                f"the kerf is {kerf}, `{piece.key}` only {_size(bare, (piece.length, 1), flat=False)} long",
                "take a thinner blade, or cut the piece another way",
            )
    rooms = [
        usable(entry, bare.saw.trim) if isinstance(entry, Sheet) else (entry.length, 1)
        for entry in bare.stock
        if entry.limit != 0
    ]
    flat = any(isinstance(entry, Sheet) for entry in bare.stock)
    for piece in bare.pieces:
        size = (piece.length, piece.width if flat else 1)
        if any(size[0] <= room[0] and size[1] <= room[1] for room in rooms):
            continue
        turned = any(size[1] <= room[0] and size[0] <= room[1] for room in rooms)
        if turned and piece.grain is Grain.FREE:
            continue
        largest = max(rooms, default=(0, 0))
        raise CuttingError(
            "larger-than-stock" if flat else "longer-than-stock",
            f"`{piece.key}` is {_size(bare, size, flat=flat)}, the largest stock gives "
            f"{_size(bare, largest, flat=flat)}",
            "write `grain: free`: turned, it fits" if turned else "list larger stock, or make it of two pieces",
        )


def _size(bare: BareList, size: tuple[int, int], *, flat: bool) -> str:
    step = bare.edition.resolution
    written = [plain_length(side * step, bare.edition) for side in (size if flat else size[:1])]
    return " x ".join(written)


class _Reader:
    def __init__(self, facts: BareFacts, findings: Findings) -> None:
        self._facts, self._findings = facts, findings
        self._unit = str(facts.units or "")
        if facts.units is not None and self._unit not in ("in", "mm"):
            findings.stop("unknown-word", f"`{facts.units}` are no units", facts.units.span, help="write `in` or `mm`")
        self.edition = EDITIONS["metric" if self._metric() else "imperial"]

    def _metric(self) -> bool:
        first = next(iter(self._facts.stock.values()), None)
        if self._unit or first is None:
            return self._unit == "mm"
        return "m" in (first.length or first.survey or first.outline or "")

    def read(self, title: str) -> BareList:
        facts, edition = self._facts, self.edition
        usual = USUAL[edition.name]
        flat = any(stock.width is not None for stock in facts.stock.values())
        kerf = self._length(facts.kerf, usual.kerf, least=0)
        trim = self._length(facts.trim, Fraction(0), least=0)
        return BareList(
            title=title,
            edition=edition,
            practice=usual,
            pieces=tuple(self._piece(key, piece, flat=flat) for key, piece in facts.pieces.items()),
            stock=tuple(self._sheet(key, entry) for key, entry in facts.stock.items())
            if flat
            else tuple(self._stick(key, entry) for key, entry in facts.stock.items()),
            saw=Saw(
                kerf=up(kerf, edition),
                trim=Trim(near=up(trim, edition)) if flat else Trim(start=up(trim, edition)),
                stages=self._one_of(facts.stages, {"2": 2, "3": 3}, 2, "stages"),
                first=self._one_of(facts.first, {first.value: first for first in First}, First.EITHER, "first"),
            ),
            spans={str(key): key.span for key in (*facts.stock, *facts.pieces)},
            boards=self._boards() if flat and any(stock.defects for stock in facts.stock.values()) else (),
        )

    def _boards(self) -> tuple[Board, ...]:
        """Return what is on hand: stock with a number, or with defects."""
        found = []
        for key, entry in self._facts.stock.items():
            if entry.count is None and not entry.defects:
                continue
            size = self._long(key, entry.length), self._length(entry.width, Fraction(1), least=1)
            board = board_of_list(key, size, entry.defects, self.edition, self._findings)
            count = self._count(entry.count, 0)
            found += [replace(board, key=f"{key} no. {n}" if count > 1 else str(key)) for n in range(1, count + 1)]
        return tuple(found)

    def _piece(self, key: Text, piece: BarePiece, *, flat: bool) -> Piece:
        if flat and piece.width is None:
            self._findings.stop("missing-word", f"`{key}` has no width", key.span, help="add `width:`")
        words = {"natural edge": piece.natural_edge, "outline": piece.outline, "start": piece.start, "keep": piece.keep}
        for word, given in words.items():
            if given:
                help = "leave it out, or give the stock a `survey`"
                self._findings.stop("wrong-word", f"only a piece from a slab takes `{word}`", key.span, help=help)
        return Piece(
            key=str(key),
            length=up(self._long(key, piece.length), self.edition),
            width=up(self._length(piece.width, self.edition.resolution, least=1), self.edition) if flat else 1,
            count=self._count(piece.count, 1),
            grain=self._one_of(piece.grain, {grain.value: grain for grain in Grain}, Grain.FIXED, "grain"),
        )

    def _sheet(self, key: Text, entry: BareStock) -> Sheet:
        if entry.width is None:
            self._findings.stop(
                "missing-word",
                f"`{key}` has no width, other stock has one",
                key.span,
                help="lay sticks out in a list of their own",
            )
        return Sheet(
            key=str(key),
            length=down(self._long(key, entry.length), self.edition),
            width=down(self._length(entry.width, self.edition.resolution, least=1), self.edition),
            price=self._price(entry.price),
            limit=self._count(entry.count, 0) if entry.count is not None else 1 if entry.defects else None,
        )

    def _stick(self, key: Text, entry: BareStock) -> Stick:
        return Stick(
            key=str(key),
            length=down(self._long(key, entry.length), self.edition),
            price=self._price(entry.price),
            limit=self._count(entry.count, 0) if entry.count is not None else None,
        )

    def _long(self, key: Text, text: Text | None) -> Fraction:
        if text is None:
            self._findings.stop("missing-word", f"`{key}` has no length", key.span, help="add `length:`")
        return self._length(text, Fraction(1), least=1)

    def _length(self, text: Text | None, usual: Fraction, *, least: int) -> Fraction:
        """Return a length in mm; a fault is recorded. `least` 1 asks for more than nothing."""
        if text is None:
            return usual
        try:
            quantity = read_quantity(text, default_unit=self._unit or None)
        except ReadError as fault:
            self._findings.stop(fault.slug, fault.message, text.part(fault.start, fault.end).span, help=fault.help)
            return usual
        if quantity.dimension.length != 1:
            self._findings.stop("wrong-unit", f"`{text}` is no length", text.span, help="write `24 in` or `600 mm`")
        elif quantity.value < 0 or (least and quantity.value == 0):
            self._findings.stop(
                "size-not-positive", f"`{text}` is not more than nothing", text.span, help="write its size"
            )
        else:
            return quantity.value
        return usual

    def _count(self, text: Text | None, least: int) -> int:
        if text is None:
            return 1
        if text.isascii() and text.isdigit() and len(text) < 8 and int(text) >= least:
            return int(text)
        self._findings.stop(
            "wrong-number", f"`{text}` is no number of pieces", text.span, help=f"write {least} or more"
        )
        return 1

    def _price(self, text: Text | None) -> int:
        from planbook.cutting.prices import read_price

        if text is None:
            return COIN
        price = read_price(text, self._findings)
        return COIN if price is None else int(price * COIN)

    def _one_of(self, text: Text | None, choices: Mapping[str, Choice], usual: Choice, word: str) -> Choice:
        if text is None:
            return usual
        if text in choices:
            return choices[text]
        help = did_you_mean(text, list(choices)) or f"write {one_of(choices)}"
        self._findings.stop("unknown-word", f"`{word}` is no `{text}`", text.span, help=help)
        return usual


def _strange(titles: list[Text], findings: Findings) -> bool:
    """Whether a list has columns that are not known; each is recorded."""
    strange = [title for title in titles if title not in TITLES]
    for title in strange:
        help = did_you_mean(title, TITLES) or f"the columns are {', '.join(TITLES)}"
        findings.stop("unknown-word", f"there is no column `{title}`", title.span, help=help)
    return bool(strange)


def _from_csv(text: str, name: str, findings: Findings) -> BareFacts | None:
    """Return the facts of a list as CSV (RFC 4180) whose first line names the columns."""
    rows = csv.reader(io.StringIO(text))
    lines = text.splitlines()

    def placed(value: str, line: int) -> Text:
        at = lines[line - 1].find(value) + 1 if line <= len(lines) else 1
        return Text(value, Span(name, line, max(at, 1), line, max(at, 1) + len(value)))

    titles: list[str] = []
    pieces: dict[Text, BarePiece] = {}
    stock: dict[Text, BareStock] = {}
    for row in rows:
        line = rows.line_num
        cells = [cell.strip() for cell in row]
        if not any(cells):
            continue
        if not titles:
            titles = [cell.lower() for cell in cells]
            if _strange([placed(title, line) for title in titles], findings):
                return None
            continue
        if len(cells) > len(titles) and any(cells[len(titles) :]):
            more = f"line {line} has {len(cells)} columns, the first line names {len(titles)}"
            help = "write a decimal comma as a point, or name the column"
            findings.stop("unknown-word", more, placed(cells[-1], line).span, help=help)
            continue
        given = {title: placed(cell, line) for title, cell in zip(titles, cells, strict=False) if cell}
        what, key = given.pop("what", Text("piece")), given.pop("name", None)
        if key is None or "length" not in given:
            word = "name" if key is None else "length"
            findings.stop(
                "missing-word", f"line {line} has no {word}", placed(cells[0], line).span, help=f"add a {word}"
            )
        elif key in pieces or key in stock:
            findings.stop("name-twice", f"`{key}` stands in the list twice", key.span, help="give each its own name")
        elif what == "piece":
            pieces[key] = BarePiece.model_validate({word: text for word, text in given.items() if word != "price"})
        elif what == "stock":
            stock[key] = BareStock.model_validate({word: text for word, text in given.items() if word != "grain"})
        else:
            help = did_you_mean(what, ("piece", "stock")) or "write `piece` or `stock`"
            findings.stop("unknown-word", f"`{what}` is neither piece nor stock", what.span, help=help)
    if not findings.stopped and not (pieces and stock):
        findings.stop("missing-word", f"`{name}` lists no {'stock' if pieces else 'pieces'}", help="add a line for it")
    return None if findings.stopped else BareFacts.model_validate({"pieces": pieces, "stock": stock})
