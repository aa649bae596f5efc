"""The words of joints and rows of holes. A joint is told apart by the word that names it."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import Discriminator, Field, Tag

from planbook.source.schema.words import Many, ManyValues, Value, Words
from planbook.source.text import Text


class InsertSource(Words):
    """A threaded insert in the part that holds the screw."""

    of: Text = Field(description="What it is (`threaded brass`).")
    long: Value = Field(description="Its length.")
    drill: Value | None = Field(None, description="Hole that its maker asks for.")


class BracketSource(Words):
    """An angle bracket whose own holes say where its screws go: one hole in each leg, equally far from its bend."""

    hole: Value = Field(description="From the bend to the middle of its holes.")
    by: Value = Field(description="The screw that goes into each hole: `No. 8 x 5/8 in wood screw`.")
    thick: Value | None = Field(None, description="Thickness of its metal.")


class DrivenSource(Words):
    """Words of every joint that screws, bolts, dowels, biscuits or loose tenons can hold."""

    by: ManyValues = Field((), description="What holds it: `glue`, `nails`, `No. 8 x 2 in wood screw` ...")
    through: Many = Field((), description="Part that the screws pass, where either could be meant.")
    into: Many = Field((), description="Part that holds their thread.")
    every: Value | None = Field(None, description="Spacing of nails, screws or dowels.")
    each: Text | None = Field(None, description="Number of screws, nails or dowels at each meeting of two parts.")
    at: ManyValues = Field((), description="Where each stands along the joint: `[2 in from front, 2 in from back]`.")
    inset: Value | None = Field(None, description="How far the first and the last stand from the ends of the joint.")
    tilt: Text | None = Field(None, description="How a screw slants: `15 deg up`, `down`, `left`, `back` ...")
    head: Text | None = Field(None, description="`countersunk`, or `on the face` for a round or washer head.")
    counterbore: Value | None = Field(None, description="How deep the head is sunk in a wider hole.")
    plug: Text | None = Field(None, description="`yes` where a plug of the same wood closes that hole.")
    pilot: Value | None = Field(None, description="Diameter of the pilot hole, in place of that of the tables.")
    clearance: Value | None = Field(None, description="Diameter of the clearance hole, in place of that of the tables.")
    free: Many = Field((), description="Parts along which the wood may move, as screws in slots let it.")
    slot: Value | None = Field(None, description="Length of those slots, across the grain.")
    insert: InsertSource | None = Field(None, description="Threaded insert that holds a bolt, in place of a nut.")
    bracket: BracketSource | None = Field(None, description="Own holes of the brackets that hold it, and their screws.")


class JointSource(DrivenSource):
    """Two parts held together: exactly one of `dado`, `groove`, `rabbet`, `butt`."""

    dado: Value | None = Field(None, description="A channel that takes the whole end or edge: `1/4 in deep`.")
    groove: Value | None = Field(None, description="As a dado, along the grain: `1/4 in deep`.")
    rabbet: Value | None = Field(None, description="A step along an edge: `3/8 in deep`, square to the face in `on`.")
    butt: Many = Field((), description="Parts set against others without a cut.")
    to: Many = Field((), description="What a butted part is set against.")
    in_: Many = Field((), alias="in", description="Parts that are cut.")
    on: Text | None = Field(
        None, description="Face that is cut, or `inside` for the face towards what enters; found if not given."
    )
    along: Text | None = Field(None, description="Edge a rabbet runs along (`back edge`).")
    wide: Value | None = Field(None, description="Width of a rabbet along its face; a dado takes what enters.")
    for_: Many = Field((), alias="for", description="Parts that enter.")
    room: Value | None = Field(None, description="Clearance at each end of what enters, for glue and fitting.")
    blocks: Text | None = Field(None, description="Number of glue blocks behind it.")
    shank: Value | None = Field(None, description="Thickness of the screws in those slots.")
    note: Text | None = Field(None, description="A remark.")


class _NoChannel(Words):
    """A joint of its own kind: whoever asks for the words of a dado or a butt joint finds them not given."""

    @property
    def butt(self) -> tuple[Text, ...]:
        """Nothing is set against anything."""
        return ()

    @property
    def to(self) -> tuple[Text, ...]:
        """Nothing is set against anything."""
        return ()

    @property
    def rabbet(self) -> None:
        """There is no step along an edge."""

    @property
    def along(self) -> None:
        """There is no edge."""

    @property
    def wide(self) -> None:
        """There is no channel."""

    @property
    def on(self) -> None:
        """There is no channel."""

    @property
    def blocks(self) -> None:
        """There are no glue blocks."""


class _NotDriven(_NoChannel):
    """A joint of its own kind that no screws or dowels hold, or whose places are not for it to tell."""

    @property
    def every(self) -> None:
        """Nothing is spaced."""

    @property
    def each(self) -> None:
        """The places are counted, not told."""


class SocketSource(_NotDriven):
    """A round end glued or wedged into a bored socket."""

    bore: Value = Field(description="Diameter of the socket, and of what enters it.")
    through: Many = Field((), description="Part that is bored right through.")
    into: Many = Field((), description="Part that is bored to a depth; then give `deep`.")
    deep: Value | None = Field(None, description="Depth of a socket that is not bored through.")
    for_: Many = Field(alias="for", description="Parts that enter; the bore follows their lean.")
    from_: Text | None = Field(None, alias="from", description="Face that the bit enters (`underside`).")
    backed: Text | None = Field(None, description="What lies behind, so that the bit does not splinter it: `scrap`.")
    by: Many = Field((), description="What holds it: `glue` ...")
    wedge: Text | None = Field(None, description="Which way a wedge is driven: `across seat grain`.")
    room: Value | None = Field(None, description="Clearance in the diameter, for glue.")
    note: Text | None = Field(None, description="A remark.")

    @property
    def in_(self) -> tuple[Text, ...]:
        """Parts that are bored."""
        return self.through or self.into


class MortiseSource(_NotDriven):
    """A tenon at the end of one part in a mortise of another; both are cut by it."""

    mortise: Value = Field(description="Thickness of the tenon, and width of the mortise.")
    deep: Value = Field(description="Depth of the mortise, square to the face that the tenon enters.")
    in_: Many = Field(alias="in", description="Parts with the mortise.")
    for_: Many = Field(alias="for", description="Parts with the tenon; they become longer by it.")
    shoulder: Value | None = Field(
        None, description="How much of the width the tenon lacks at both edges; it is as wide as its part if not given."
    )
    room: Value | None = Field(None, description="How much shorter than its mortise the tenon is, for glue.")
    by: Many = Field((), description="What holds it: `glue`, `pegs` ...")
    note: Text | None = Field(None, description="A remark.")


class HalfLapSource(DrivenSource, _NoChannel):
    """Two parts that cross in one plane: each loses half of its thickness."""

    half_lap: Many = Field(alias="half lap", description="The two parts; the first one lies on top.")
    note: Text | None = Field(None, description="A remark.")

    @property
    def in_(self) -> tuple[Text, ...]:
        """The part below."""
        return self.half_lap[1:]

    @property
    def for_(self) -> tuple[Text, ...]:
        """The part on top."""
        return self.half_lap[:1]

    @property
    def room(self) -> None:
        """It fits closely."""


class _Through(Words):
    """Joints in which something passes through one part and into another; both touch."""

    through: Many
    into: Many

    @property
    def in_(self) -> tuple[Text, ...]:
        """Parts that are bored, and hold the thread."""
        return self.into

    @property
    def for_(self) -> tuple[Text, ...]:
        """Parts that are held."""
        return self.through

    @property
    def room(self) -> None:
        """They touch; what is free to move says so in `free`."""


class BoltedSource(_NotDriven, _Through):
    """Parts held together by screws or bolts through the holes that one of them has."""

    through: Many = Field(description="Part with the holes that the fasteners pass.")
    into: Many = Field(description="Part that holds the thread.")
    by: ManyValues = Field(description="The fastener: `1/4 in machine screw with washer`.")
    insert: InsertSource | None = Field(None, description="Threaded insert in the part that holds the thread.")
    at: Text = Field(description="Where: `frame holes` for the holes of the bought part `frame`.")
    fixed: Many = Field((), description="Holes at which the parts cannot move (`middle`).")
    free: Many = Field((), description="Holes at which the wood may move (`ends`).")
    note: Text | None = Field(None, description="A remark.")


class FastenedSource(DrivenSource, _NoChannel, _Through):
    """Parts held by what is driven through one of them into the other, without a cut."""

    through: Many = Field(description="Part that the screws or bolts pass; with dowels, the first of the two.")
    into: Many = Field(description="Part that holds the thread, or the far half.")
    by: ManyValues = Field(description="The fastener (`No. 8 x 2 in wood screw`), and glue.")
    note: Text | None = Field(None, description="A remark.")


AnyDriven = JointSource | HalfLapSource | FastenedSource
"""Joints that what is driven may hold."""

CHANNEL_WORDS = ("dado", "groove", "rabbet", "butt")
JOINT_WORDS: dict[str, type[Words]] = {
    "bore": SocketSource,
    "through": BoltedSource,
    "mortise": MortiseSource,
    "half lap": HalfLapSource,
    "into": FastenedSource,
}
"""The word that names a joint of its own kind, and the words that go with it."""


def _joint_word(value: Any) -> str:
    for word, model in JOINT_WORDS.items():
        if type(value) is model:
            return word
    if not isinstance(value, dict) or any(word in value for word in CHANNEL_WORDS):
        return "joint"
    if "through" in value and "bore" not in value:
        # `at: frame holes` hands the places over to a bought part.
        at = value.get("at")
        if isinstance(at, Text) and "hole" in at:
            return "through"
        return "half lap" if "half lap" in value else "into"
    return next((word for word in JOINT_WORDS if word in value), "joint")


JointEntry = Annotated[
    Annotated[JointSource, Tag("joint")]
    | Annotated[SocketSource, Tag("bore")]
    | Annotated[BoltedSource, Tag("through")]
    | Annotated[MortiseSource, Tag("mortise")]
    | Annotated[HalfLapSource, Tag("half lap")]
    | Annotated[FastenedSource, Tag("into")],
    Discriminator(_joint_word),
]
"""A joint, told apart by the word that names it."""

AnyJoint = JointSource | SocketSource | BoltedSource | MortiseSource | HalfLapSource | FastenedSource


class HolesSource(Words):
    """Rows of equal holes in a face, counted from one named end on both hands."""

    in_: Many = Field(alias="in", description="Parts that are bored.")
    on: Text | None = Field(None, description="Face that is bored (`inside`, `upper face` ...).")
    rows: ManyValues = Field(description="Where each row runs: `2 in from front`, `1 1/2 in from rabbet`.")
    start: Value = Field(description="Where the first hole of a row stands (`8 in above bottom`).")
    stop: Value | None = Field(None, description="Beyond where no hole stands (`8 in below top`).")
    every: Value | None = Field(None, description="Spacing of the holes.")
    count: Text | None = Field(None, description="Number of holes in a row, spread evenly from `start` to `stop`.")
    drill: Value = Field(description="Diameter of the holes.")
    deep: Value | None = Field(None, description="Depth to the full diameter, or `through`.")
    counterbore: Value | None = Field(None, description="Diameter of a wider hole round its mouth, for a head or plug.")
    counterbore_deep: Value | None = Field(
        None, alias="counterbore deep", description="Depth of that wider hole; it is bored first."
    )
    for_: Text | None = Field(None, alias="for", description="What goes into them.")
    role: Text | None = Field(None, description="`pin`, `clearance`, `pilot`, `handle`, `wire`, `drain` or `peg`.")
