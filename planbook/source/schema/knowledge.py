"""What a book knows by itself: woods, products and loads of its own, and the room where its pieces stand."""

from __future__ import annotations

from pydantic import Field

from planbook.source.schema.words import Many, Value, Words
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


class PanelSource(Words):
    """A sheet good that the tables do not have, or have otherwise. Every row names its source."""

    source: Text | None = Field(
        None, description="Where the figures come from: a document, `common practice` or `own measurement`."
    )
    sold: dict[Text, Text] = Field(
        default_factory=dict,
        description="Thickness as sold and as measured: `{12 mm: 11.8 mm, 1/2 in: 15/32 in}`, each in its own system.",
    )
    sheet: Value | None = Field(None, description="Size of a sheet, the shorter side first: `49 in x 97 in`.")
    density: Text | None = Field(None, description="Mass over volume, in kg/m³: `520`.")
    like: Text | None = Field(None, description="Panel of the tables that is as stiff and moves as much.")
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
    use: Text | None = Field(None, description="Time to light use.")
    cure: Text | None = Field(None, description="Time to full strength or hardness.")
    covers: Text | None = Field(None, description="Coverage of one coat, in m² with a litre: `14`.")
    loss: Text | None = Field(None, description="Share of a finish that misses the wood: `30 %` where it is sprayed.")
    ratio_by_volume: Text | None = Field(
        None, alias="ratio by volume", description="Of a resin: part A to part B in cups, as `2 to 1`."
    )
    ratio_by_weight: Text | None = Field(
        None, alias="ratio by weight", description="Of a resin: part A to part B on scales, as `100 to 43`."
    )
    density_a: Text | None = Field(None, alias="density of A", description="Of part A, in kg/l: `1.15`.")
    density_b: Text | None = Field(None, alias="density of B", description="Of part B, in kg/l: `0.99`.")
    pot_life: Text | None = Field(None, alias="pot life", description="Time in the cup until it sets.")
    largest_batch: Text | None = Field(
        None, alias="largest batch", description="Most of a resin that is mixed and poured within its pot life: `1 qt`."
    )
    deepest_pour: Text | None = Field(None, alias="deepest pour", description="Greatest depth of one pour of resin.")
    next_pour: Text | None = Field(None, alias="next pour", description="Time until the next pour of resin.")
    sanding: Text | None = Field(None, description="Time until it may be sanded.")
    coldest: Text | None = Field(None, description="Lowest temperature at which it may be used.")
    warmest: Text | None = Field(None, description="Highest temperature at which it may be used.")
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
    driest_in: Text | None = Field(None, alias="driest in", description="Its driest month: `February`.")
    dampest_in: Text | None = Field(None, alias="dampest in", description="Its dampest month: `August`.")
    built: Text | None = Field(None, description="Moisture of the wood when it is worked: `8 %`.")
    source: Text | None = Field(
        None, description="Where the figures come from: a document, `common practice` or `own measurement`."
    )
