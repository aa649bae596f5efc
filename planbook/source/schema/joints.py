"""The words of joints and rows of holes. A joint is told apart by the word that names it."""

from __future__ import annotations

from pydantic import Field

from planbook.source.schema.words import Many, ManyValues, Value, Words
from planbook.source.text import Text


class JointSource(Words):
    """Two parts held together: exactly one of `dado`, `groove`, `rabbet`, `butt`."""

    dado: Value | None = Field(None, description="A channel that takes the whole end or edge: `1/4 in deep`.")
    groove: Value | None = Field(None, description="As a dado, along the grain: `1/4 in deep`.")
    rabbet: Value | None = Field(None, description="A step along an edge: `3/8 in deep`, square to the face in `on`.")
    butt: Many = Field((), description="Parts set against others without a cut.")
    to: Many = Field((), description="What a butted part is set against.")
    in_: Many = Field((), alias="in", description="Parts that are cut.")
    on: Text | None = Field(
        None, description="Face that is cut, or `inside` for the face towards what enters; found if not given."
    )
    along: Text | None = Field(None, description="Edge a rabbet runs along (`back edge`).")
    wide: Value | None = Field(None, description="Width of a rabbet along its face; a dado takes what enters.")
    for_: Many = Field((), alias="for", description="Parts that enter.")
    room: Value | None = Field(None, description="Clearance at each end of what enters, for glue and fitting.")
    by: Many = Field((), description="What holds it: `glue`, `nails`, `1 1/4 in No. 8 wood screws` ...")
    every: Value | None = Field(None, description="Spacing of nails or screws.")
    each: Text | None = Field(None, description="Number of screws or nails at each meeting of two parts.")
    blocks: Text | None = Field(None, description="Number of glue blocks behind it.")
    note: Text | None = Field(None, description="A remark.")


class HolesSource(Words):
    """Rows of equal holes in a face, counted from one named end on both hands."""

    in_: Many = Field(alias="in", description="Parts that are bored.")
    on: Text | None = Field(None, description="Face that is bored (`inside`, `upper face` ...).")
    rows: ManyValues = Field(description="Where each row runs: `2 in from front`, `1 1/2 in from rabbet`.")
    start: Value = Field(description="Where the first hole of a row stands (`8 in above bottom`).")
    stop: Value | None = Field(None, description="Beyond where no hole stands (`8 in below top`).")
    every: Value | None = Field(None, description="Spacing of the holes.")
    count: Text | None = Field(None, description="Number of holes in a row, spread evenly from `start` to `stop`.")
    drill: Value = Field(description="Diameter of the holes.")
    deep: Value | None = Field(None, description="Depth to the full diameter, or `through`.")
    for_: Text | None = Field(None, alias="for", description="What goes into them.")
    role: Text | None = Field(None, description="`pin`, `clearance`, `pilot`, `handle`, `wire`, `drain` or `peg`.")
