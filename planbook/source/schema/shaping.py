"""The words of cuts that shape one part alone: tapers, mitres, notches, curves, eased edges."""

from __future__ import annotations

from pydantic import Field

from planbook.source.schema.words import Many, ManyValues, Value, Words
from planbook.source.text import Text


class ShapingSource(Words):
    """A cut that shapes a part: exactly one of the first words, `in`, and where."""

    taper: Value | None = Field(None, description="Size that is left at the end in `at`, full again at `from`.")
    mitre: Value | None = Field(None, description="Angle of an end off square, along the face: `45 deg`.")
    tilt: Value | None = Field(
        None, description="How far the blade leans in a mitre, off square to the face: a compound mitre."
    )
    bevel: Value | None = Field(None, description="Angle of an end or edge off square, through the thickness.")
    notch: Value | None = Field(None, description="Length of a piece taken out of a corner, from the end in `at`.")
    slot: Value | None = Field(None, description="Length of a slot with round ends, along the grain.")
    cut_out: Value | None = Field(
        None, alias="cut out", description="Length of an opening right through; with `wide`, else it is round."
    )
    arc: Value | None = Field(None, description="Rise of an arc cut out of an edge, at its middle.")
    curve: ManyValues = Field(
        (), description="How far a curve stands in from an edge, and where: `1 in at 3 in from left end`."
    )
    chamfer: Value | None = Field(None, description="What a chamfer takes off all edges round a face.")
    round_over: Value | None = Field(None, alias="round over", description="Radius on all edges round a face.")
    in_: Many = Field(alias="in", description="Parts that are cut.")
    at: ManyValues = Field(
        (), description="End that is cut (`foot`, `each end`), or for a slot or cut-out its middle: along, across."
    )
    from_: Value | None = Field(None, alias="from", description="Where a taper or an arc begins.")
    to: Value | None = Field(None, description="Where an arc ends.")
    on: Many = Field((), description="Sides that a taper takes from, the face that is cut, or whose edges are eased.")
    along: Text | None = Field(None, description="Edge: the long one of a mitre, that of a bevel, notch, arc or curve.")
    wide: Value | None = Field(None, description="Width of a notch, slot or cut-out, across the grain.")
    deep: Value | None = Field(None, description="Depth of a slot or notch; right through if not given.")
    note: Text | None = Field(None, description="A remark.")
