"""The words of `plan.yaml`: facts of one plan."""

from __future__ import annotations

from typing import Annotated

from pydantic import Discriminator, Field, Tag

from planbook.source.schema.joints import HolesSource, JointEntry
from planbook.source.schema.options import OptionSource
from planbook.source.schema.parts import EdgingSource
from planbook.source.schema.shapes import PartEntry
from planbook.source.schema.shaping import ShapingSource
from planbook.source.schema.slabs import MarkSource, ResinSource, SlabSource
from planbook.source.schema.templates import TemplateSource
from planbook.source.schema.words import Many, Value, Words, _text_or_mapping
from planbook.source.text import Text


class TitleSource(Words):
    """What stands on the title page."""

    title: Text = Field(description="Name of the piece.")
    level: Text = Field(Text("beginner"), description="For whom: `beginner`, `second project`, `intermediate` ...")
    summary: Text | None = Field(None, description="One sentence under the title.")
    revision: Text = Field(Text("A"), description="Letter or number of this revision.")
    revised: Text | None = Field(
        None, description="Date of this revision, as 2026-03-14.", json_schema_extra={"format": "date"}
    )
    changed: Text | None = Field(None, description="What this revision changed, for holders of older copies.")
    learn: Text | None = Field(None, description="What the maker learns, as the end of `You will learn ...`.")
    ask_first: Text | None = Field(None, alias="ask first", description="What to ask or settle before starting.")


class DimSource(Words):
    """A driving dimension with more than its value."""

    is_: Value | None = Field(None, alias="is", description="The value, or a pair for the two editions.")
    imperial: Text | None = Field(None, description="The value in the imperial edition (then give `metric` too).")
    metric: Text | None = Field(None, description="The value in the metric edition.")
    may: Text | None = Field(
        None, description="Range in which it may be changed, as `18 in .. 32 in`; the plan is resolved at both ends."
    )
    exact: Text | None = Field(None, description="`yes`: never rounded to the edition's grid.")
    about: Text | None = Field(None, description="A remark for the reader who wants to change it.")


class StockSource(Words):
    """A material by its trade name."""

    panel: Text | None = Field(None, description="Trade name of a panel (`birch plywood`).")
    lumber: Text | None = Field(None, description="Trade name of a wood (`hard maple`), sold as sawn boards.")
    nominal: Text | None = Field(None, description="Nominal size as sold (`3/4 in`, `4/4`, `1 x 6`).")
    to: Value | None = Field(None, description="Thickness a rough board is planed to.")
    measure: Text | None = Field(None, description="`yes`: must be measured on the day; gives the look-up table.")
    measured: Value | None = Field(None, description="Thickness as measured on the stock in hand; wins over the table.")
    pick: Many = Field((), description="How to choose it at the yard.")
    sawn: Text | None = Field(
        None, description="How its boards were sawn: `flat`, `quarter` or `between`; reckoned as flat if not given."
    )
    slab: SlabSource | None = Field(None, description="A slab with natural edges, as it lies in the shop.")
    survey: Text | None = Field(
        None,
        description="A slab's edges from a chalk line: in each line the distance from its left end, to its front edge, "
        "to its back edge.",
    )
    outline: Text | None = Field(
        None,
        description="A slab's edges as points instead of a survey, going round it: in each line the distance from its "
        "left end and that from the chalk line, forward of it below 0.",
    )
    marks: dict[Text, MarkSource] = Field(
        default_factory=dict, description="Knots, cracks and bark pockets of a slab, by a name of your own."
    )
    clear: Value | None = Field(
        None,
        description="How far parts stay from marks of a slab that they do not `keep`; 1/2 in (12 mm) if not given.",
    )


class BoughtSource(Words):
    """A bought thing with more than its number."""

    count: Text | None = Field(None, description="How many for one piece, or `4 for each loose shelf`.")
    amount: Value | None = Field(None, description="How much, where it is not counted (`4 fl oz`).")
    size: Value | None = Field(None, description="Its size.")
    says: Value | None = Field(None, description="Words for the list, when the name alone is too short.")
    note: Text | None = Field(None, description="A remark for the list.")
    kind: Text = Field(Text("hardware"), description="`hardware`, `glue`, `abrasive` or `other`.")


class FinishSource(Words):
    """What goes on the wood."""

    product: Text = Field(description="Kind of product, in trade terms (`water-borne varnish`).")
    coats: Text = Field(Text("1"), description="Number of coats.")
    over: Many = Field((), description="What goes on the wood before it, first coat first: `gel stain`.")
    before_assembly: Many = Field((), alias="before assembly", description="Faces finished before they are joined.")
    mask: Many = Field((), description="Joints or faces to keep bare.")
    after: Text | None = Field(None, description="Step after which finishing begins.")
    on: Text | None = Field(None, description="Which faces.")
    floods: Many = Field((), description="Of a resin: parts over whose upper face it is poured.")
    thick: Value | None = Field(None, description="Of a resin: thickness of one such coat, `1/16 in`.")
    note: Text | None = Field(None, description="A remark for the list.")


class OverallSource(Words):
    """A claim about the finished piece, which is checked, never used."""

    wide: Value | None = Field(None, description="Width of the finished piece, left to right.")
    deep: Value | None = Field(None, description="Depth of the finished piece, front to back.")
    high: Value | None = Field(None, description="Height of the finished piece.")


DimEntry = Annotated[
    Annotated[Text, Tag("text")] | Annotated[DimSource, Tag("mapping")], Discriminator(_text_or_mapping)
]
BoughtEntry = Annotated[
    Annotated[Text, Tag("text")] | Annotated[BoughtSource, Tag("mapping")], Discriminator(_text_or_mapping)
]


class PlanSource(Words):
    """`plan.yaml`: the facts of one plan, each number once."""

    plan: TitleSource = Field(description="What stands on the title page.")
    units: Text | None = Field(None, description="`in` or `mm`: makes bare numbers of this file lengths.")
    resolution: Value | None = Field(None, description="Finest size shown, when not 1/32 in and 1 mm.")
    dims: dict[Text, DimEntry] = Field(
        default_factory=dict,
        description="Driving dimensions: what a teacher would change. `wide`, `deep`, `high` are the piece's own.",
    )
    stock: dict[Text, StockSource] = Field(default_factory=dict, description="Materials, by a short name of your own.")
    edgings: dict[Text, EdgingSource] = Field(
        default_factory=dict, description="Strips glued to edges, inside the finished size."
    )
    parts: dict[Text, PartEntry] = Field(
        description="The parts; letters A, B, C follow their order. A part stands by its own faces."
    )
    joints: dict[Text, JointEntry] = Field(
        default_factory=dict, description="Joints; they make the cuts in both parts and lengthen what enters."
    )
    holes: dict[Text, HolesSource] = Field(default_factory=dict, description="Rows of holes.")
    cuts: dict[Text, ShapingSource] = Field(
        default_factory=dict, description="Cuts that shape one part: tapers, mitres, notches, curves, eased edges."
    )
    resin: dict[Text, ResinSource] = Field(
        default_factory=dict, description="Pours of resin, by a name of your own; each is a part with a volume."
    )
    bought: dict[Text, BoughtEntry] = Field(default_factory=dict, description="Hardware and other bought things.")
    options: dict[Text, OptionSource] = Field(
        default_factory=dict, description="What the piece is made with or without (`drawer`), by a name of your own."
    )
    tools: dict[Text, Text] = Field(
        default_factory=dict, description="Tools of this plan alone (a jig, a story stick): name and what it is for."
    )
    templates: dict[Text, TemplateSource] = Field(
        default_factory=dict, description="Parts, joints or rows of holes to print at full size, by a name of your own."
    )
    loads: dict[Text, Text] = Field(default_factory=dict, description="What each part carries (`books`).")
    finish: FinishSource | None = Field(None, description="What goes on the wood.")
    overall: OverallSource | None = Field(None, description="Claimed outside size, checked against the parts.")
    accept: dict[Text, Text] = Field(
        default_factory=dict, description="Findings that you have thought about: slug and the reason; printed with it."
    )
