"""The words of `planbook.yaml`, `shop.yaml` and `words.yaml`: what all plans of a book share."""

from __future__ import annotations

from typing import Annotated

from pydantic import Discriminator, Field, Tag

from planbook.source.schema.boards import BoardSource
from planbook.source.schema.buying import SawingSource, Sold
from planbook.source.schema.knowledge import LoadSource, PanelSource, ProductSource, RoomSource, WoodSource
from planbook.source.schema.words import Many, Value, Words, _text_or_mapping
from planbook.source.text import Text


class BookFacts(Words):
    """`planbook.yaml`: the book as a whole."""

    shop: Text = Field(description="Name of the shop or school, at the head of every page.")
    title: Text = Field(description="Title of the book, on its first page.")
    summary: Text | None = Field(None, description="One or two sentences under the title.")
    notice: Text | None = Field(None, description="A sentence at the foot of every web page.")
    language: Text = Field(Text("en"), description="Language of the prose, as a BCP 47 tag.")
    address: Text | None = Field(None, description="Where the site will stand (https://...), if known.")
    editions: Many = Field((Text("imperial"), Text("metric")), description="Editions to publish, the first one first.")
    theme: Text = Field(Text("workshop"), description="Folder below `themes` with the pages and handouts.")
    plans: Many = Field((), description="Order of the plans on the first page; all others follow by name.")
    pages: Many = Field((), description="Order of the pages in the navigation; all others follow by name.")


class ToolSource(Words):
    """A tool or machine of the shop."""

    does: Text = Field(description="What it does, in a sentence for a beginner.")
    also: Many = Field((), description="Other names under which steps ask for it.")
    kind: Text = Field(Text("hand tool"), description="`machine`, `power tool`, `hand tool`, `measuring` or `supply`.")
    wear: Many = Field((), description="Protective equipment: `eyes`, `ears`, `mask`, `gloves`.")
    care: Text | None = Field(None, description="The usual caution; the maker's instructions come first.")
    widest: Value | None = Field(None, description="Widest piece that it takes, as a planer or a bandsaw does.")
    thickest: Value | None = Field(None, description="Thickest piece that it takes.")
    stroke: Value | None = Field(None, description="How deep a drill press bores in one go.")
    opens: Value | None = Field(None, description="How far a clamp opens.")
    room: Value | None = Field(None, description="Room that a drill or driver needs before a screw, its bit in it.")


class MaterialSource(Words):
    """A material described for the reader."""

    is_: Text = Field(alias="is", description="What it is, in a sentence for a beginner.")
    pick: Text | None = Field(None, description="How to choose it.")
    care: Text | None = Field(None, description="The usual caution; the product's own sheet comes first.")


class StationSource(Words):
    """A place in the shop that a class shares: a machine, a kind of tool, clamps, room to cure."""

    count: Text = Field(description="How many there are: that many can be used, or held, at once.")
    of: Many = Field((), description="Tools whose work is done there; those of the station's own name if not given.")
    set_up: Text | None = Field(
        None, alias="set up", description="Time to change it over, once in each step; that of the step if not given."
    )
    minimum_age: Text | None = Field(None, alias="minimum age", description="Youngest age at it, in years.")
    teachers_eye: Text | None = Field(
        None, alias="teacher's eye", description="`yes` where nobody works at it unless the teacher stands by."
    )


class ShopFacts(Words):
    """`shop.yaml`: tools, materials and stations."""

    tools: dict[Text, ToolSource] = Field(default_factory=dict, description="Tools by the name that steps use.")
    materials: dict[Text, MaterialSource] = Field(
        default_factory=dict, description="Materials by the name that plans use (panel, wood, product)."
    )
    woods: dict[Text, WoodSource] = Field(default_factory=dict, description="Woods of the book's own, by trade name.")
    panels: dict[Text, PanelSource] = Field(
        default_factory=dict, description="Sheet goods of the book's own, by trade name."
    )
    products: dict[Text, ProductSource] = Field(
        default_factory=dict, description="Glues, resins and finishes of the book's own, by name."
    )
    loads: dict[Text, LoadSource] = Field(default_factory=dict, description="Loads of the book's own, by name.")
    room: RoomSource | None = Field(None, description="The air of the room where the pieces will stand.")
    sawing: SawingSource | None = Field(None, description="How sheets are sawn: blade, factory edge, directions.")
    sold: dict[Text, Sold] = Field(
        default_factory=dict, description="Packs and prices, by the name of the material or bought thing."
    )
    boards: dict[Text, BoardSource] = Field(
        default_factory=dict, description="Boards on hand, by what is chalked on them; parts are cut from them first."
    )
    currency: Text | None = Field(None, description="What prices are counted in, as printed behind them.")
    stations: dict[Text, StationSource] = Field(
        default_factory=dict, description="What a class shares, by name: machines, clamps, room to cure."
    )


class WordSource(Words):
    """A term of the trade."""

    means: Text = Field(description="What it means, in a sentence or two.")
    see: Many = Field((), description="Related terms.")


WordEntry = Annotated[
    Annotated[Text, Tag("text")] | Annotated[WordSource, Tag("mapping")], Discriminator(_text_or_mapping)
]


class GlossaryFacts(Words):
    """`words.yaml`: the glossary."""

    words: dict[Text, WordEntry] = Field(default_factory=dict, description="Terms and what they mean.")
