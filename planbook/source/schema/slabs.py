"""The words of slabs: how one was surveyed, what is marked on it, and what is poured into it."""

from __future__ import annotations

from pydantic import Field

from planbook.source.schema.words import Many, Value, Words
from planbook.source.text import Text


class SlabSource(Words):
    """A slab as it lies in the shop; each builder measures an own one."""

    wood: Text = Field(description="Trade name of the wood (`black walnut`).")
    thick: Value = Field(description="Its thickness as measured, before it is flattened.")
    moisture: Text | None = Field(None, description="Its moisture as a meter shows it: `9 %`.")
    heart_side: Text | None = Field(
        None, alias="heart side", description="Which way its heart side lies: `up` or `down`."
    )
    measure: Text | None = Field(None, description="`yes`: must be measured on the day.")


class MarkSource(Words):
    """Something on a slab that the work must know of, placed from its left end and its chalk line."""

    is_: Text = Field(alias="is", description="What it is: `bark pocket`, `sound knot`, `crack` ...")
    from_: Value | None = Field(None, alias="from", description="Where it begins, from the left end of the slab.")
    to: Value | None = Field(None, description="Where it ends, from the left end of the slab.")
    wide: Value | None = Field(None, description="Its width, or that `on average`.")
    points: Text | None = Field(
        None,
        description="Its outline instead of `from`, `to` and `wide`: in each line the distance from the left end and "
        "that from the chalk line, forward of it below 0.",
    )
    behind_line: Value | None = Field(
        None, alias="behind line", description="From the chalk line back to its nearer side."
    )
    before_line: Value | None = Field(
        None, alias="before line", description="From the chalk line forward to its nearer side."
    )
    deep: Value | None = Field(None, description="Its depth, or `through`.")


class ResinSource(Words):
    """Resin that is poured into a void and becomes part of the piece."""

    product: Text = Field(description="Kind of resin (`clear deep-pour`); the product's own sheet comes first.")
    into: Text = Field(description="The mark of a slab that it fills (`pocket`).")
    embeds: Many = Field(
        (), description="What lies in it for good and is taken off: parts by name, or an amount, `1 1/2 cu in`."
    )
    proud: Value | None = Field(None, description="How far it stands over the slab, to be planed off.")
    seal: Text | None = Field(None, description="How often the void is sealed first: `once`, `twice`.")
    dam: Text | None = Field(None, description="Which side is dammed (`underside`).")
    spare: Text | None = Field(None, description="What is mixed over the volume, for cup and soak: `15 %`.")
    note: Text | None = Field(None, description="A remark.")
