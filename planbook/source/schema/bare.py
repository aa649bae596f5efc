"""The words of a bare list of pieces and stock, for `planbook layout`."""

from __future__ import annotations

from pydantic import Field

from planbook.source.schema.words import Words
from planbook.source.text import Text


class BarePiece(Words):
    """Something to cut."""

    length: Text = Field(description="Size along the grain.")
    width: Text | None = Field(None, description="Size across the grain; left out where sticks are cut to length.")
    count: Text | None = Field(None, description="How many; 1 if not given.")
    grain: Text | None = Field(None, description="`fixed` along the stock, or `free` to lie across it.")


class BareStock(Words):
    """A sheet, or a stick where it has no width."""

    length: Text = Field(description="Size along the grain of the face.")
    width: Text | None = Field(None, description="Size across the grain; none for a stick.")
    count: Text | None = Field(None, description="How many there are; as many as are needed if not given.")
    price: Text | None = Field(None, description="Price of one, a plain number; 0 for what is on hand.")


class BareFacts(Words):
    """A list of pieces and stock without a plan."""

    units: Text | None = Field(None, description="`in` or `mm`: what bare numbers are, and the writing of the answer.")
    kerf: Text | None = Field(None, description="Width of the blade's cut; 1/8 in (3 mm) if not given.")
    trim: Text | None = Field(None, description="Taken off one long edge of each sheet; nothing if not given.")
    first: Text | None = Field(None, description="`rip`, `crosscut` or `either`: which way the first cuts go.")
    stages: Text | None = Field(None, description="`2` or `3` stages of cuts; 2 if not given.")
    pieces: dict[Text, BarePiece] = Field(description="What to cut, by name.")
    stock: dict[Text, BareStock] = Field(description="What to cut it from, by name.")
