"""The words of a part: its material, its sizes, and where it stands by its own faces.

A part is a board cut square on all sides. Other shapes get a model of their own in this folder,
chosen by the word that names the shape.
"""

from __future__ import annotations

from pydantic import Field

from planbook.source.schema.words import Many, Value, Words
from planbook.source.text import Text


class EdgingSource(Words):
    """A strip glued to an edge, inside the finished size of the part that wears it."""

    of: Text = Field(description="Stock it is ripped from.")
    thick: Value = Field(description="How much of the finished size it takes, or `full` for its stock's thickness.")
    tall: Value = Field(Text("flush"), description="Its other size, or `flush` with both faces of the part.")
    over: Value | None = Field(None, description="Left over at glue-up and trimmed off; 1/16 in (2 mm) if not given.")


class SpareSource(Words):
    """How much of a part is left long, and until when."""

    length: Value | None = Field(None, description="Extra length until it is trimmed.")
    width: Value | None = Field(None, description="Extra width until it is trimmed.")
    until: Text = Field(description="Title of the step that trims it.")


class PartSource(Words):
    """A part: material, sizes, place. `length` runs with the grain."""

    like: Text | None = Field(None, description="Another part whose words hold here too, except those given here.")
    of: Text | None = Field(None, description="Stock it is made of.")
    count: Text | None = Field(None, description="How many in one piece; 1 if not given, 2 for a pair.")
    pair: Text | None = Field(None, description="`left right`: two that are mirror images of each other.")
    length: Value | None = Field(None, description="Size along the grain: a formula; not with `between`.")
    width: Value | None = Field(
        None, description="Size across the grain: a formula, or from where to where (`front to rabbet less 1/8 in`)."
    )
    between: Many = Field(
        (),
        description="The pair, or the two parts, that it fits between: its length is the clear distance plus "
        "what enters each of them, less `room` and `play`.",
    )
    across_between: Many = Field(
        (), alias="wide between", description="As `between`, for the width of the part instead of its length."
    )
    play: Value | None = Field(None, description="Clearance at each end, so that it goes in and out freely.")
    covers: Many = Field((), description="Two parts that it spans from outside to outside, lying against them.")

    runs: Text | None = Field(
        None, description="Which way its length runs: `up`, `across` (left to right) or `back` (front to back)."
    )
    faces: Text | None = Field(
        None, description="Which way its show face looks: `up`, `front`, `inside`, `left`, `right`, `down` or `back`."
    )

    on: Text | None = Field(None, description="What it stands or lies on: `floor`, a part, or a row of holes.")
    under: Text | None = Field(None, description="The part it stands under.")
    underside: Value | None = Field(None, description="Where its underside stands (`kick above floor`).")
    upper_face: Value | None = Field(
        None, alias="upper face", description="Where its upper face stands (`1 in below end of side`)."
    )
    front_face: Value | None = Field(None, alias="front face", description="Where its front stands.")
    back_face: Value | None = Field(None, alias="back face", description="Where its back stands.")
    left_face: Value | None = Field(None, alias="left face", description="Where its left side stands.")
    right_face: Value | None = Field(None, alias="right face", description="Where its right side stands.")
    set_back: Value | None = Field(
        None, alias="set back", description="How far its front stands behind the front of what it belongs to."
    )
    flush: Many = Field((), description="Sides that stand flush with the piece: `front`, `back`, `top` ...")
    centred: Text | None = Field(
        None, description="`across`, `front to back` or `up and down`: stands in the middle of that direction."
    )
    spread: Text | None = Field(
        None, description="How several copies stand: `across`, `front to back` or `up and down`, with equal gaps."
    )
    inside: Text | None = Field(None, description="The part or group it lies in, loose.")
    apart: Text | None = Field(
        None, description="`yes`: made and used beside the piece (a key, a gauge); it has no place in it."
    )

    front: Text | None = Field(None, description="Edging on its front edge.")
    back: Text | None = Field(None, description="Edging on its back edge.")
    left_end: Text | None = Field(None, alias="left end", description="Edging on its left end.")
    right_end: Text | None = Field(None, alias="right end", description="Edging on its right end.")
    upper_edge: Text | None = Field(None, alias="upper edge", description="Edging on its upper edge.")
    lower_edge: Text | None = Field(None, alias="lower edge", description="Edging on its lower edge.")

    fit: Text | None = Field(
        None, description="What it is fitted to (`to the case`): it is never cut from the list alone."
    )
    spare: SpareSource | None = Field(None, description="Left long until a step trims it.")
    layers: Text | None = Field(
        None, description="Number of layers of its stock that are glued face to face to its thickness."
    )
    glue_up: Text | None = Field(
        None, alias="glue up", description="Made wide by edge-gluing strips, as `strips up to 5 in`."
    )
    start: Value | None = Field(
        None, description="Where it begins on its slab: `3 in from left end`; the layout finds a place if not given."
    )
    behind_line: Value | None = Field(
        None, alias="behind line", description="On its slab, from the chalk line back to its nearer side."
    )
    before_line: Value | None = Field(
        None, alias="before line", description="On its slab, from the chalk line forward to its nearer side."
    )
    keep: Many = Field((), description="Marks of its slab that must lie inside it (`figure`).")
    note: Text | None = Field(None, description="A remark for the cut list.")
