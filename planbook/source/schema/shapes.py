"""The words of parts that are no plain boards, each kind told apart by the word that names its shape."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import Discriminator, Field, Tag

from planbook.source.schema.parts import PartSource
from planbook.source.schema.words import Many, ManyValues, Value, Words
from planbook.source.text import Text


class DiscSource(Words):
    """A round part, sawn from a square that may be glued up from strips."""

    disc: Value = Field(description="Its diameter.")
    sides: Text | None = Field(
        None, description="Number of straight sides of a part that is no circle, `8` for an octagon; measured across."
    )
    of: Text = Field(description="Stock it is made of.")
    count: Text | None = Field(None, description="How many in one piece; 1 if not given.")
    runs: Text | None = Field(None, description="Which way its grain runs: `across` if not given, or `back`.")
    glue_up: Text | None = Field(None, alias="glue up", description="Made wide by edge-gluing, as `strips up to 5 in`.")
    square_until: Text | None = Field(
        None, alias="square until", description="Title of the step that saws it round; until then it is a square."
    )
    top: Value | None = Field(None, description="Where its upper face stands (`high above floor`).")
    underside: Value | None = Field(None, description="Where its underside stands.")
    on: Text | None = Field(None, description="What it lies on.")
    ease_top: Value | None = Field(
        None, alias="ease top", description="What is taken off round its upper face: `1/4 in round-over` or `chamfer`."
    )
    ease_underside: Value | None = Field(None, alias="ease underside", description="The same round its underside.")
    note: Text | None = Field(None, description="A remark for the cut list.")


class EndSpareSource(Words):
    """How much of a shaped part is left long at each end, and until when."""

    top: Value | None = Field(None, description="At its upper end: `1/4 in until Trim the tenons`.")
    foot: Value | None = Field(None, description="At its foot: `1/2 in until Level the feet`.")


class ShapedSource(Words):
    """A part turned or planed to a section that changes along its length, such as a leg."""

    shape: Text = Field(description="Its section: `round`, `octagon` or `square`.")
    of: Text = Field(description="Stock it is made of.")
    count: Text | None = Field(None, description="How many in one piece; 1 if not given.")
    square: Value = Field(
        Text("full"), description="Side of the square it is made from; `full` for the thickness of its stock."
    )
    length: Value = Field(description="Its length: a formula, or from where to where (`floor to top of seat`).")
    thick: ManyValues = Field(
        description="How thick it is where, straight from one to the next: `7/8 in at floor`, `full at 5 in below "
        "seat`, `1 in from top to 1/4 in below seat`. What enters a bore is round there."
    )
    around: Text | None = Field(None, description="What several copies stand around: `seat centre`.")
    on: Text | None = Field(
        None,
        description=(
            "With `around`, diameter of the circle that their middles stand on, or for four of them the length along "
            "the grain and the width between their middles, `20 in x 6 in`; else what it stands on."
        ),
    )
    of_face: Text | None = Field(
        None, alias="of face", description="The face on which that circle is drawn: `seat underside`."
    )
    first: Text | None = Field(None, description="Where on the circle the first one stands: `45 deg from grain`.")
    lean: Text | None = Field(
        None,
        description="How far off plumb in its own plane, and which way: `12 deg outward`; not with `rake` or `splay`.",
    )
    rake: Value | None = Field(None, description="Lean as seen from the side, outward to front and back.")
    splay: Value | None = Field(None, description="Lean as seen from the front, outward to left and right.")
    spare: EndSpareSource | None = Field(None, description="What is left long at its ends until a step trims it.")
    runs: Text | None = Field(None, description="Where it stands alone: `up`, `across` or `back`.")
    under: Text | None = Field(None, description="Where it stands alone: the part it stands under.")
    underside: Value | None = Field(None, description="Where it stands alone: where its underside stands.")
    left_face: Value | None = Field(None, alias="left face", description="Where it stands alone: its left side.")
    front_face: Value | None = Field(None, alias="front face", description="Where it stands alone: its front.")
    flush: Many = Field((), description="Where it stands alone: sides flush with the piece.")
    centred: Text | None = Field(None, description="Where it stands alone: in the middle of that direction.")
    note: Text | None = Field(None, description="A remark for the cut list.")


class SlabPartSource(Words):
    """A part sawn from a slab, with natural edges."""

    natural_edge: Many = Field(alias="natural edge", description="Its edges that stay as grown: `front`, `back`.")
    of: Text = Field(description="The slab, a stock with a `survey`.")
    start: Value = Field(description="Where it begins on the slab: `3 in from left end`.")
    length: Value = Field(description="Its length along the chalk line.")
    thick: Value | None = Field(None, description="Its finished thickness; that of the slab if not given.")
    ends: Text = Field(Text("square to chalk line"), description="How its ends are sawn.")
    keep: Many = Field((), description="Marks of the slab that must lie inside it (`pocket`).")
    on: Text | None = Field(None, description="What it stands on.")
    underside: Value | None = Field(None, description="Where its underside stands.")
    top: Value | None = Field(None, description="Where its upper face stands.")
    ease: Value | None = Field(None, description="What is taken off all its edges: `1/8 in`, or `1/8 in chamfer`.")
    note: Text | None = Field(None, description="A remark for the cut list.")


class BoughtHolesSource(Words):
    """Holes that a bought part comes with, along its bar."""

    middle: Text | None = Field(None, description="The one in the middle: `round 5/16 in`.")
    ends: Text | None = Field(None, description="Those near both ends: `slot 5/16 in x 3/4 in`, long along the bar.")
    inset: Value | None = Field(None, description="From each end of the bar to the centre of the hole there.")


class BoughtPartSource(Words):
    """A part that is bought ready made and stands in the piece: its own sizes drive, so buy it first."""

    bought: Text = Field(description="What to ask for at the counter.")
    count: Text | None = Field(None, description="How many in one piece; 1 if not given.")
    high: Value | None = Field(None, description="Its height, where it is a frame of bars.")
    bar: Text | None = Field(
        None, description="A frame of flat bar: length x width x thickness of its upper bar, `12 in x 2 in x 1/4 in`."
    )
    box: Text | None = Field(None, description="A box: its size from left to right x front to back x high.")
    cylinder: Text | None = Field(None, description="A cylinder standing up: diameter x height.")
    mass: Text | None = Field(None, description="Mass of one, as `5 lb` or `2.3 kg`.")
    holes: BoughtHolesSource | None = Field(None, description="Holes in its upper bar.")
    bar_runs: Text | None = Field(
        None, alias="bar runs", description="Which way its bar runs: `front to back` or `across`."
    )
    at: Value | None = Field(
        None, description="Where it stands along the other direction: `4 in from each end of top`, outer side measured."
    )
    centred: Text | None = Field(None, description="What its bar is centred on: `on chalk line`, or the piece.")
    on: Text | None = Field(None, description="What it stands on; the floor if not given.")
    underside: Value | None = Field(None, description="Where its underside stands.")
    left_face: Value | None = Field(None, alias="left face", description="Where its left side stands.")
    front_face: Value | None = Field(None, alias="front face", description="Where its front stands.")
    note: Text | None = Field(None, description="A remark for the list.")


class JigSource(Words):
    """A jig that is made for the work and is no part of the piece."""

    jig: Text = Field(description="What it is for (`drill press ramp`).")
    of: Text = Field(description="Stock it is made of, or `offcut`.")
    slope: Value | None = Field(None, description="Angle of a ramp.")
    length: Value | None = Field(None, description="Length along its slope.")
    width: Value | None = Field(None, description="Width of the jig.")
    keep: Text | None = Field(None, description="`yes`: kept for the next class.")
    note: Text | None = Field(None, description="A remark for the cut list.")


SHAPE_WORDS = {
    "disc": DiscSource,
    "shape": ShapedSource,
    "natural edge": SlabPartSource,
    "bought": BoughtPartSource,
    "jig": JigSource,
}
"""The word that names a shape, and the words that go with it."""


def _shape_word(value: Any) -> str:
    for word, model in SHAPE_WORDS.items():
        if isinstance(value, model) or (isinstance(value, dict) and word in value):
            return word
    return "board"


PartEntry = Annotated[
    Annotated[PartSource, Tag("board")]
    | Annotated[DiscSource, Tag("disc")]
    | Annotated[ShapedSource, Tag("shape")]
    | Annotated[SlabPartSource, Tag("natural edge")]
    | Annotated[BoughtPartSource, Tag("bought")]
    | Annotated[JigSource, Tag("jig")],
    Discriminator(_shape_word),
]
"""A part, whichever shape it has."""

FormSource = DiscSource | ShapedSource | SlabPartSource | BoughtPartSource | JigSource
"""A part that is no plain board."""
