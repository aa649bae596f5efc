"""What a book knows by itself: woods, products and loads of its own, and the room where its pieces stand."""

from __future__ import annotations

from pydantic import Field

from planbook.source.schema.words import Many, Words
from planbook.source.text import Text


class WoodSource(Words):
    """A wood that the tables do not have, or have otherwise. Every row names its source."""

    source: Text | None = Field(
        None, description="Where the figures come from: a document, `common practice` or `own measurement`."
    )
    density: Text | None = Field(None, description="Mass over volume at 12 % moisture, in kg/m³: `640`.")
    along_rings: Text | None = Field(
        None, alias="along rings", description="Shrinkage along the rings, green to ovendry: `7.8 %`."
    )
    across_rings: Text | None = Field(
        None, alias="across rings", description="Shrinkage across the rings; that along them if not given."
    )
    stiffness: Text | None = Field(None, description="Modulus of elasticity along the grain, in MPa: `12000`.")
    kind: Text = Field(Text("hardwood"), description="`hardwood` or `softwood`.")
    also: Many = Field((), description="Other names of it.")


class ProductSource(Words):
    """A glue, resin or finish whose own sheet says more than the tables. Every row names its source."""

    is_: Text = Field(alias="is", description="What it is: `glue`, `resin` or `finish`.")
    like: Text | None = Field(None, description="Product of the tables that it takes the rest from.")
    source: Text | None = Field(
        None, description="Where the figures come from: its sheet, `common practice` or `own measurement`."
    )
    open: Text | None = Field(None, description="Open time: from spreading to closing the joint.")
    clamp: Text | None = Field(None, description="Time in the clamps.")
    recoat: Text | None = Field(None, description="Time to the next coat.")
    cure: Text | None = Field(None, description="Time to full strength or hardness.")
    covers: Text | None = Field(None, description="Coverage of one coat, in m² with a litre: `14`.")
    deepest_pour: Text | None = Field(None, alias="deepest pour", description="Greatest depth of one pour of resin.")
    coldest: Text | None = Field(None, description="Lowest temperature at which it may be used.")
    also: Many = Field((), description="Other names of it.")


class LoadSource(Words):
    """A load by a name of the book's own. Every row names its source."""

    is_: Text = Field(alias="is", description="Its weight: `12 lb/ft` on each foot, `40 kg` in one place.")
    source: Text | None = Field(
        None, description="Where the figure comes from: a document, `common practice` or `own measurement`."
    )


class RoomSource(Words):
    """The room where the pieces will stand. Wood follows its air, so it decides how far a board moves."""

    driest: Text = Field(description="Its air when it is driest for weeks: `68 F at 28 %`.")
    dampest: Text = Field(description="Its air when it is dampest for weeks: `75 F at 60 %`.")
    built: Text | None = Field(None, description="Moisture of the wood when it is worked: `8 %`.")
    source: Text | None = Field(
        None, description="Where the figures come from: a document, `common practice` or `own measurement`."
    )
