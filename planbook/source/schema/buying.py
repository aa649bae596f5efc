"""The words for sawing and buying in `shop.yaml`: the blade, the sheets, packs and prices."""

from __future__ import annotations

from typing import Annotated

from pydantic import BeforeValidator, Field

from planbook.source.schema.words import Value, Words
from planbook.source.text import Text


class SawingSource(Words):
    """How the shop saws sheets."""

    kerf: Value | None = Field(None, description="Width of the blade's cut; 1/8 in (3 mm) if not given.")
    trim: Value | None = Field(
        None, description="Taken off one long factory edge of a sheet, the blade included; 1/4 in (6 mm) if not given."
    )
    first: Text | None = Field(
        None, description="`rip`, `crosscut` or `either`: which way the first cuts through a sheet go."
    )
    stages: Text | None = Field(
        None, description="`2` (strips, then pieces) or `3` (strips, sections, then pieces); 2 if not given."
    )


class SoldSource(Words):
    """One way in which something is sold."""

    nominal: Value | None = Field(None, description="Thickness as sold, where the price holds for one only.")
    pack: Value | None = Field(
        None, description="What is in a pack: a number (`100`), an amount (`16 fl oz`), or nothing for single pieces."
    )
    length: Value | None = Field(
        None, description="Length of a stick as sold (`8 ft`), for stock that is cut to length."
    )
    per: Text | None = Field(
        None, description="`sheet`, `stick`, `board foot`, `cubic metre`, `slab` or `pack`: what the price is for."
    )
    price: Text | None = Field(None, description="Price of one, as a plain number.")


def _as_several(value: object) -> object:
    return tuple(value) if isinstance(value, list) else (value,)


Sold = Annotated[tuple[SoldSource, ...], BeforeValidator(_as_several), Field(json_schema_extra={"x-one-or-many": True})]
"""One way of selling, or several."""
