"""Pieces of the resolved plan: stock, parts with their cuts and holes, where they stand, joints.

All lengths are exact millimetres (`Fraction`). Each *size* of a part and each *place* of a feature,
measured from the part's datum, has been rounded once to the edition's resolution; where a part
*stands* in the assembly is exact.

Axes of the assembly, as seen by a person in front of the piece: x to the right, y away to the back,
z up; the origin is the lower left front corner of the piece.

Axes of a part: l along the grain from its datum end, w from its datum edge, t from its reverse face
to its show (working) face. A pair is described once, as its left hand; the right hand is the mirror image.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from planbook.plan.shapes import Ease, Lean, Shape, Trim, Turn, Vector
from planbook.plan.surveys import Mark, SawnAt, Survey
from planbook.source.diagnostics import Span

Range = tuple[Fraction, Fraction]
"""From and to, in millimetres."""


class StockKind(StrEnum):
    """How a stock is sold and cut."""

    PANEL = "panel"
    LUMBER = "lumber"
    SLAB = "slab"


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """A material that parts are made of."""

    name: str
    """The author's own name for it (`ply`)."""
    kind: StockKind
    material: str
    """Trade name (`birch plywood`, `white ash`)."""
    nominal: str
    """As sold, in the edition's own series (`3/4 in`, `18 mm`, `4/4`, `26 mm rough`)."""
    thickness: Fraction
    """The thickness that cuts and parts follow, in mm, on the edition's resolution."""
    thickness_from: str
    """Where the thickness comes from: `measured`, or the source of the table."""
    measure: bool
    """Whether the maker measures it on the day."""
    rough_thickness: Fraction | None
    """For lumber, the rough thickness as sold, in mm."""
    sheet: tuple[Fraction, Fraction] | None
    """For panels, width and length of the usual sheet, in mm."""
    density: Fraction | None
    """kg/m3 at about 12 % moisture content, or None where no table has it."""
    pick: tuple[str, ...]
    """How to choose it at the yard, in the author's words."""
    span: Span
    dressed: Fraction | None = None
    """For dressed softwood that is only cut to length, the width of the stick as sold, in mm."""
    moisture: Fraction | None = None
    """Of a slab as a meter shows it, in %, or None."""
    heart: str = ""
    """Which way the heart side of a slab lies: `up`, `down` or empty."""
    survey: Survey | None = None
    """Of a slab, as measured."""
    marks: tuple[Mark, ...] = ()
    clear: Fraction | None = None
    """How far parts stay from marks that they do not keep, in mm, where the author says it."""
    like: str = ""
    """Of a panel of the book's own: the panel of the tables that it is like."""

    @property
    def known_as(self) -> str:
        """The name under which the tables know it."""
        return self.like or self.material


class Life(StrEnum):
    """When a size becomes final."""

    NOW = "now"
    """Cut to the final size from the list."""
    LONG = "long"
    """Left long until a named step trims it."""
    FITTED = "fitted"
    """Cut to the opening, never from the list."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """One size of a part, in mm."""

    final: Fraction
    rough: Fraction
    """What to cut first: with the allowance of its stock, or left long."""
    life: Life = Life.NOW
    until: int | None = None
    """Number of the step that makes it final, for `LONG` and `FITTED`."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Faces:
    """The names of a part's six sides, in the words of a person in front of the piece."""

    show: str
    """The face at t = thick (`inside`, `upper face`, `front`)."""
    reverse: str
    """The face at t = 0 (`outside`, `underside`, `back`)."""
    datum_edge: str
    """The edge at w = 0 (`front edge`, `lower edge`)."""
    far_edge: str
    datum_end: str
    """The end at l = 0 (`foot`, `left end`, `front end`)."""
    far_end: str


@dataclass(frozen=True, slots=True)
class Box:
    """A box in a part's own axes, in mm."""

    l: Range
    w: Range
    t: Range


class CutKind(StrEnum):
    """What a cut is, in the trade's terms."""

    DADO = "dado"
    """A channel across the grain."""
    GROOVE = "groove"
    """A channel along the grain."""
    RABBET = "rabbet"
    """A step along an edge or end."""
    NOTCH = "notch"
    """A piece out of a corner or edge, right through."""
    CUT_OUT = "cut-out"
    """An opening right through, away from the edges."""
    MORTISE = "mortise"
    """A pocket for a tenon."""
    TENON = "tenon"
    """What is taken away beside a tongue at the end of a part."""
    HALF_LAP = "half lap"
    """Half of the thickness, where two parts cross."""
    VOID = "void"
    """What the wood itself lacks and a pour fills."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """Wood taken out of a part, on every copy of it (mirrored on the right hand) unless a hand is named."""

    name: str
    """Name by which steps claim it: that of its joint or feature."""
    kind: CutKind
    part: str
    hand: str = ""
    """`L` or `R` where only that hand of a pair has the cut."""
    face: str
    """The face it is cut into, by the part's own name for it."""
    box: Box
    """The space that becomes empty."""
    deep: Fraction
    wide: Fraction
    for_part: str | None
    """The part that enters it."""
    step: int | None
    """Number of the step that makes it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole:
    """One hole, square to a face, in a part's own axes."""

    group: str
    """Name of the row or joint it belongs to."""
    part: str
    face: str
    l: Fraction
    w: Fraction
    """Centre, from the datum end and from the datum edge (for a hole in a wide face)."""
    diameter: Fraction
    deep: Fraction | None
    """Depth to the full diameter; None is right through."""
    from_show: bool
    """Whether it enters at the show face (t = thick)."""
    role: str
    """`pin`, `clearance`, `pilot`, `wire` ..."""
    row: int
    """Which row of the group, from 1."""
    step: int | None
    axis: Vector | None = None
    """Which way the bit goes into the wood, in the part's own axes; None is square to the face."""
    slot: Fraction = Fraction(0)
    """Whole length of a slot along l; 0 for a round hole."""
    counterbore: tuple[Fraction, Fraction] | None = None
    """Diameter and depth of a wider hole round its mouth."""
    t: Fraction | None = None
    """Centre above the reverse face, for a hole in an edge or end; None for one in a wide face."""
    hand: str = ""
    """`L` or `R` where only that hand of a pair has it."""
    mate: str = ""
    """The part at the other end of what goes into it."""
    fastener: str = ""
    """What goes into it, by its name in the edition's own series."""
    countersink: tuple[Fraction, int] | None = None
    """Diameter at the face and angle in degrees of the cone for a flat head."""
    plugged: bool = False
    """Whether a plug of the wood closes its counterbore."""
    slot_way: Vector | None = None
    """Which way a slot runs in the part's own axes; None is along l."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Edging:
    """A strip glued to an edge of a part; it lies inside the part's finished size."""

    name: str
    part: str
    key: str
    """Key of the strip in `Plan.parts`."""
    edge: str
    """`datum_edge`, `far_edge`, `datum_end` or `far_end`."""
    box: Box
    """Where the strip lies in the part's axes."""
    glued_in: int | None
    trimmed_in: int | None


class Role(StrEnum):
    """Why a piece is on the cut list."""

    PART = "part"
    EDGING = "edging"
    TEST = "test piece"
    SPARE = "spare"
    JIG = "jig"
    BOUGHT = "bought part"
    FILL = "fill"


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A piece of wood to be cut, with all its copies."""

    key: str
    """The author's name for it (`loose shelf`)."""
    letter: str
    role: Role
    count: int
    """Copies for one piece, both hands together."""
    pair: bool
    """Whether the copies are mirror images, half left and half right."""
    stock: str
    """Name of its stock; empty for what is bought or poured, and for a jig made of an offcut."""
    length: Size
    width: Size
    thick: Fraction
    """Real thickness in mm."""
    body_width: Fraction
    """Finished width without edgings on the long edges: what is sawn from the stock, in mm."""
    body_length: Fraction
    """Finished length without edgings on the ends, in mm."""
    faces: Faces
    cuts: tuple[Cut, ...]
    holes: tuple[Hole, ...]
    edgings: tuple[Edging, ...]
    made_in: int | None
    """Number of the step that saws it out."""
    joined_in: int | None
    """Number of the first step that joins it or sets it in place."""
    for_part: str | None
    """For an edging, test piece or spare: the part it belongs to."""
    note: str
    """A remark for the cut list (`fit to the case`, `test piece for shelf dados`), may be empty."""
    span: Span
    shape: Shape | None = None
    """What it becomes in step `shaped_in`; None for a board, which is its own blank."""
    shaped_in: int | None = None
    shaped_by: str = ""
    """Name of the cut that gives a board its curved outline."""
    trims: tuple[Trim, ...] = ()
    eased: tuple[Ease, ...] = ()
    lean: Lean | None = None
    layers: int = 1
    """Pieces of its stock that are glued face to face to its thickness."""
    density: Fraction | None = None
    """kg/m3 of what has no stock, or None; a bought part's is its mass over its volume."""
    strips: Fraction | None = None
    """Widest strip that its author lets it be glued up from, in mm."""
    sawn_at: SawnAt | None = None
    """Of a part from a slab, the author's wishes for its place there."""

    @property
    def pieces(self) -> int:
        """How many pieces are sawn for all copies."""
        return self.count * self.layers

    @property
    def shape_name(self) -> str:
        """Name by which a step claims the shaping."""
        return self.shaped_by or f"shape of {self.key}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Placement:
    """One copy of a part where it stands in the finished piece."""

    part: str
    copy: int
    """From 1, in the order of `Plan.placements`."""
    hand: str
    """`L`, `R` or empty."""
    origin: tuple[Fraction, Fraction, Fraction]
    """Where the corner l = w = t = 0 stands, in mm, exact."""
    axes: tuple[str, str, str]
    """Directions of l, w and t in the assembly: `+x`, `-x`, `+y` ...; where it leans, the nearest ones."""
    turn: Turn | None = None
    """The true directions of a part that leans."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint:
    """Two or more parts held together."""

    name: str
    kind: str
    """`dado`, `groove`, `rabbet`, `butt`, `socket` or `bolts`."""
    receiving: tuple[str, ...]
    """Parts that are cut, or that the end is set against."""
    entering: tuple[str, ...]
    by: tuple[str, ...]
    """What holds it (`glue`, `1 1/4 in No. 8 wood screw`), in the author's words."""
    every: Fraction | None
    """Spacing of nails or screws, in mm."""
    count: int | None
    """Number of fasteners for each joint, where the author states it."""
    room: Fraction
    """Play of the entering part at each end, in mm."""
    deep: Fraction
    wide: Fraction | None
    note: str
    cut_in: int | None
    joined_in: int | None
    span: Span
    fixed: tuple[str, ...] = ()
    """Holes at which the parts cannot move against one another."""
    free: tuple[str, ...] = ()
    """Holes at which they may."""
