"""The words of a bare list of pieces and stock, for `planbook layout`."""

from __future__ import annotations

from pydantic import Field

from planbook.source.schema.boards import DefectSource
from planbook.source.schema.words import Many, Words
from planbook.source.text import Text


class BarePiece(Words):
    """Something to cut."""

    length: Text | None = Field(None, description="Size along the grain; none where a slab gives it an outline.")
    width: Text | None = Field(None, description="Size across the grain; left out where sticks are cut to length.")
    count: Text | None = Field(None, description="How many; 1 if not given.")
    grain: Text | None = Field(None, description="`fixed` along the stock, or `free` to lie across it.")
    natural_edge: Many = Field(
        (), alias="natural edge", description="From a slab: its edges that stay as grown, `front`, `back`, or `either`."
    )
    outline: Text | None = Field(
        None, description="From a slab: its shape as points, going round it, in each line a size along and one across."
    )
    start: Text | None = Field(None, description="From a slab: where it begins, `3 in from left end`.")
    behind_line: Text | None = Field(
        None, alias="behind line", description="From a slab: from the chalk line back to its nearer side."
    )
    before_line: Text | None = Field(
        None, alias="before line", description="From a slab: from the chalk line forward to its nearer side."
    )
    keep: Many = Field((), description="From a slab: marks that must lie inside it.")


class BareMark(Words):
    """Something on a slab that parts keep clear of, or hold."""

    is_: Text = Field(alias="is", description="What it is: `sound knot`, `crack`, `keep out`; `figure` spoils nothing.")
    from_: Text | None = Field(None, alias="from", description="Where it begins, from the left end of the slab.")
    to: Text | None = Field(None, description="Where it ends, from the left end of the slab.")
    wide: Text | None = Field(None, description="Its width.")
    behind_line: Text | None = Field(
        None, alias="behind line", description="From the chalk line back to its nearer side."
    )
    before_line: Text | None = Field(
        None, alias="before line", description="From the chalk line forward to its nearer side."
    )
    points: Text | None = Field(
        None,
        description="Its outline instead of sizes: in each line the distance from the left end and that from the chalk "
        "line, forward of it below 0.",
    )


class BareStock(Words):
    """A sheet, a stick where it has no width, or a slab where it has a survey or an outline."""

    length: Text | None = Field(None, description="Size along the grain of the face; none for a slab.")
    width: Text | None = Field(None, description="Size across the grain; none for a stick.")
    count: Text | None = Field(None, description="How many there are; as many as are needed if not given.")
    price: Text | None = Field(None, description="Price of one, a plain number; 0 for what is on hand.")
    defects: dict[Text, DefectSource] = Field(
        default_factory=dict, description="Of a board on hand, what no piece may have, by a name of your own."
    )
    survey: Text | None = Field(
        None,
        description="Of a slab, its edges from a chalk line: in each line the distance from its left end, to its front "
        "edge, to its back edge.",
    )
    outline: Text | None = Field(
        None,
        description="Of a slab, its edges as points, going round it: in each line the distance from its left end and "
        "that from the chalk line, forward of it below 0.",
    )
    marks: dict[Text, BareMark] = Field(
        default_factory=dict, description="Knots, cracks and bark pockets of a slab, zones to keep out of, fine figure."
    )
    clear: Text | None = Field(
        None,
        description="How far parts stay from marks of a slab that they do not `keep`; 1/2 in (12 mm) if not given.",
    )


class BareFacts(Words):
    """A list of pieces and stock without a plan."""

    units: Text | None = Field(None, description="`in` or `mm`: what bare numbers are, and the writing of the answer.")
    kerf: Text | None = Field(None, description="Width of the blade's cut; 1/8 in (3 mm) if not given.")
    trim: Text | None = Field(None, description="Taken off one long edge of each sheet; nothing if not given.")
    first: Text | None = Field(None, description="`rip`, `crosscut` or `either`: which way the first cuts go.")
    stages: Text | None = Field(None, description="`2` or `3` stages of cuts; 2 if not given.")
    pieces: dict[Text, BarePiece] = Field(description="What to cut, by name.")
    stock: dict[Text, BareStock] = Field(description="What to cut it from, by name.")
