"""The resolved plan of one edition, as frozen data: the whole, made of pieces, steps and running text.

Lengths are exact millimetres, rounded once; see `planbook.plan.pieces` for the axes. All types of the
plan can be imported from here.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from fractions import Fraction

from planbook.plan.fastened import Fastened
from planbook.plan.pieces import (
    Box,
    Cut,
    CutKind,
    Edging,
    Faces,
    Hole,
    Joint,
    Life,
    Part,
    Placement,
    Range,
    Role,
    Size,
    Stock,
    StockKind,
)
from planbook.plan.pours import Mixing
from planbook.plan.running_text import Line, Run, RunKind
from planbook.plan.steps import Hazard, Photo, Signal, Step, StepTime, ToolUse
from planbook.plan.templates import Template
from planbook.source.diagnostics import Span
from planbook.units.editions import Edition

__all__ = [
    "Bought",
    "Box",
    "Cut",
    "CutKind",
    "Dim",
    "Edging",
    "Faces",
    "Finish",
    "Hazard",
    "Hole",
    "Joint",
    "Life",
    "Line",
    "Material",
    "Measured",
    "Part",
    "Photo",
    "Placement",
    "Plan",
    "Range",
    "Role",
    "Run",
    "RunKind",
    "Signal",
    "Size",
    "Step",
    "StepTime",
    "Stock",
    "StockKind",
    "StockTotal",
    "ToolUse",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Dim:
    """A driving dimension: what a teacher would change."""

    name: str
    value: Fraction
    """Millimetres, or degrees where `angle`."""
    angle: bool
    kind: str
    """`overall`, `part` or `joinery`: the grid it was rounded to."""
    may: Range | None
    about: str = ""
    """The author's remark for the reader who wants to change it."""
    span: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class Bought:
    """Hardware or another bought thing, for one piece."""

    key: str
    text: str
    count: int
    counted: bool = True
    """Whether the author says how many; what is not counted is reckoned where it can be."""
    amount: str = ""
    """How much in the edition's writing, where it is not counted (`6 fl oz`)."""
    note: str
    span: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """A line of the material list: what to have, for one piece."""

    group: str
    """`wood`, `hardware`, `glue` or `finish`."""
    key: str
    quantity: str
    """In the edition's writing (`8.4 sq ft`, `12`, `3 coats`)."""
    text: str
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Finish:
    """What goes on the wood, and when."""

    product: str
    coats: int
    before_assembly: tuple[str, ...]
    mask: tuple[str, ...]
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """One line of the table *measure on the day*: a stock, and what follows from it."""

    stock: str
    title: str
    columns: tuple[Fraction, ...]
    """Thicknesses tried, in mm."""
    worked: Fraction
    """The thickness this plan was worked with, in mm."""
    rows: tuple[tuple[str, tuple[Fraction, ...]], ...]
    """What changes (`bottom, length`), with its value at each thickness, in mm."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StockTotal:
    """What the parts of one stock add up to, rough sizes, without waste."""

    stock: str
    pieces: int
    board_feet: Fraction | None
    """Lumber only: rough thickness x rough width x rough length / 144 cubic inches."""
    area: Fraction
    """mm2, rough sizes."""
    length: Fraction
    """mm, rough sizes end to end."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """Everything about one plan in one edition."""

    slug: str
    title: str
    summary: str
    level: str
    revision: str
    revised: datetime.date | None
    changed: Line
    """What this revision changed; may be empty."""
    learn: Line
    ask_first: Line
    edition: Edition
    dims: tuple[Dim, ...]
    overall: tuple[Fraction, Fraction, Fraction]
    """Wide, deep, high of the finished piece, from its placed parts, in mm."""
    mass: Fraction | None
    """kg of all placed parts, or None where a density is missing."""
    stock: tuple[Stock, ...]
    parts: tuple[Part, ...]
    """In the order of their letters: parts, then edgings, test pieces, spares."""
    placements: tuple[Placement, ...]
    """Also of what is bought or poured, which stands in `fittings`."""
    joints: tuple[Joint, ...]
    bought: tuple[Bought, ...]
    materials: tuple[Material, ...]
    finish: tuple[Finish, ...]
    steps: tuple[Step, ...]
    introduction: tuple[Line, ...]
    measured: tuple[Measured, ...]
    totals: tuple[StockTotal, ...]
    loads: tuple[tuple[str, str], ...]
    accepted: tuple[tuple[str, str], ...]
    """Slugs of findings the author has thought about, with the reason."""
    pours: tuple[Mixing, ...] = ()
    """What is mixed for each pour of resin."""
    fittings: tuple[Part, ...] = ()
    """Parts that nobody saws from stock: bought ones, pours of resin, jigs made of an offcut."""
    fastened: tuple[Fastened, ...] = ()
    """Every screw, bolt, dowel or tenon that is bored for, by joint."""
    options: tuple[tuple[str, bool, str], ...] = ()
    """What it may be made with or without: name, whether this plan has it, the author's remark."""
    templates: tuple[Template, ...] = ()

    @property
    def hands_on(self) -> Fraction:
        """Minutes at the bench, all steps."""
        return sum((step.time.hands_on for step in self.steps), Fraction(0))

    @property
    def waiting(self) -> Fraction:
        """Minutes of waiting, all steps."""
        return sum((step.time.wait for step in self.steps), Fraction(0))

    def part(self, key: str) -> Part:
        """Return the part of that name, sawn, bought or poured; raises KeyError."""
        for part in (*self.parts, *self.fittings):
            if part.key == key:
                return part
        raise KeyError(key)

    def stock_named(self, name: str) -> Stock:
        """Return the stock of that name; raises KeyError."""
        for stock in self.stock:
            if stock.name == name:
                return stock
        raise KeyError(name)
