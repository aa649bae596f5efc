"""The words of boards on hand: sizes, what spoils them, and which faces are good."""

from __future__ import annotations

from pydantic import Field

from planbook.source.schema.words import Value, Words
from planbook.source.text import Text


class DefectSource(Words):
    """A stretch of a board that no part may have."""

    is_: Text = Field(Text("defect"), alias="is", description="What it is: `knot`, `split`, `sapwood` ...")
    from_: Value = Field(alias="from", description="Where it begins, from the end that is called left.")
    to: Value = Field(description="Where it ends, from the same end.")
    wide: Value | None = Field(None, description="How wide it is; across the whole board if not given.")
    edge: Text | None = Field(None, description="The edge that it lies at: `near` or `far`.")
    from_near: Value | None = Field(
        None, alias="from near edge", description="From the near edge to it, where it lies at none."
    )


class BoardSource(Words):
    """A board on hand, or several alike."""

    of: Text = Field(description="Trade name of the wood (`white ash`).")
    thick: Value = Field(description="Its thickness as it lies there.")
    length: Value = Field(description="Its length.")
    width: Value = Field(description="Its width; where it tapers, at the narrow end.")
    count: Text | None = Field(None, description="How many are alike; 1 if not given.")
    faces: Text | None = Field(None, description="How many of its faces are fit to be seen: 1 or 2.")
    edges: Text | None = Field(
        None, description="`straight` where both edges are planed already; else a little of each is sawn off first."
    )
    defects: dict[Text, DefectSource] = Field(
        default_factory=dict, description="Knots, splits and sapwood, by a name of your own."
    )
