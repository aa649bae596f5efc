"""What a name of a formula is worth: dims, stock, edgings, parts, joints and holes, with their properties."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from functools import partial

from planbook.plan import (
    bolts,
    bought_parts,
    driven,
    edgings,
    holes,
    jigs,
    joints,
    mixing,
    resin,
    slabs,
    sockets,
    splay,
    stand,
    stations,
    values,
)
from planbook.plan.draft import Draft
from planbook.plan.shapes import Lean
from planbook.source.formula.parser import Name
from planbook.source.nearest import did_you_mean
from planbook.source.schema.joints import BoltedSource, DrivenSource, SocketSource
from planbook.source.schema.shapes import BoughtPartSource, JigSource, ShapedSource, SlabPartSource
from planbook.source.text import Text
from planbook.units.quantity import ANGLE, LENGTH, NUMBER, VOLUME, Quantity

PART_SIDES = {
    "underside": ("z", 0),
    "foot": ("z", 0),
    "upper face": ("z", 1),
    "top": ("z", 1),
    "end": ("z", 1),
    "front": ("y", 0),
    "back": ("y", 1),
    "left": ("x", 0),
    "right": ("x", 1),
}
"""Sides of a part as properties: how far they stand above the floor, behind the front, right of the left."""


def named(draft: Draft, name: Name, text: Text) -> Quantity:
    """Return the value of a name; raises `Unresolved` where it has none, after recording why."""
    facts = draft.facts
    if name.name in facts.dims:
        if name.property:
            raise draft.fail("unknown-property", f"the dim `{name.name}` has no `{name.property}`", text.span)
        return values.dim_value(draft, name.name)
    for group, properties in (
        (facts.parts, _part),
        (facts.stock, _stock),
        (facts.joints, _joint),
        (facts.holes, _holes),
        (facts.edgings, _edging),
        (facts.resin, _pour),
        (slabs.marks(draft), _mark),
    ):
        if name.name in group:
            return _property(draft, name, text, properties(draft, name.name))
    raise LookupError(name.name)


Properties = dict[str, Callable[[], Fraction | int | Quantity | None]]


def _property(draft: Draft, name: Name, text: Text, known: Properties) -> Quantity:
    if not name.property:
        raise draft.fail(
            "which-size",
            f"`{name.name}` has several sizes",
            text.span,
            help="write for example " + " or ".join(f"`{name.name}.{word}`" for word in list(known)[:3]),
        )
    if name.property not in known:
        help = did_you_mean(name.property, list(known))
        raise draft.fail("unknown-property", f"`{name.name}` has no `{name.property}`", text.span, help=help)
    value = known[name.property]()
    if value is None:
        raise draft.fail("unknown-property", f"`{name.name}` does not say its `{name.property}`", text.span)
    if isinstance(value, Quantity):
        return value
    if isinstance(value, int):
        return Quantity(Fraction(value), NUMBER)
    return Quantity(value, LENGTH, draft.edition.name)


def part_size(draft: Draft, part: str, own: str) -> Fraction:
    """Return a part's length (`l`), width (`w`) or thickness (`t`), exact, in mm."""
    low, high = stand.interval(draft, part, getattr(stand.frame_of(draft, part), own))
    return high - low


def _part(draft: Draft, part: str) -> Properties:
    def side(axis: str, high: int) -> Callable[[], Fraction]:
        return lambda: stand.interval(draft, part, axis)[high]

    found: Properties = {
        "length": lambda: part_size(draft, part, "l"),
        "width": lambda: part_size(draft, part, "w"),
        "thick": lambda: stand.thick(draft, part),
        "thickness": lambda: stand.thick(draft, part),
        "count": lambda: stand.copies(draft, part),
        "play": lambda: values.length(draft, draft.parts[part].play, "joinery"),
    }
    found |= {word: side(axis, high) for word, (axis, high) in PART_SIDES.items()}
    form = draft.forms.get(part)
    if isinstance(form, ShapedSource):
        found |= _shaped(draft, part, form)
    elif isinstance(form, SlabPartSource):
        found |= {"chalk line": lambda: slabs.outline(draft, part, form)[2]}
    elif isinstance(form, BoughtPartSource):
        found |= {"high": lambda: bought_parts.sizes(draft, part, form)[2]}
    elif isinstance(form, JigSource):
        found |= {"rise": lambda: jigs.rise(draft, form), "run": lambda: jigs.RUN[draft.edition.name]}
        found |= {word: partial(_jig_size, draft, form, at) for at, word in enumerate(("length", "width", "thick"))}
    return found


def _jig_size(draft: Draft, form: JigSource, at: int) -> Fraction:
    return jigs.sizes(draft, form)[at]


def _shaped(draft: Draft, part: str, form: ShapedSource) -> Properties:
    """Return what a turned or leaning part knows of itself."""
    found: Properties = {
        "length": lambda: stations.exact_length(draft, part),
        "width": lambda: splay.full(draft, part, form),
        "blank": lambda: stations.blank(draft, part),
    }
    if form.around is None:
        return found

    def lean() -> Lean:
        known = splay.lean_of(draft, part)
        assert known is not None
        return known

    return found | {
        "lean": lambda: Quantity(lean().angle, ANGLE),
        "front lean": lambda: Quantity(jigs.near(lean().front), ANGLE),
        "side lean": lambda: Quantity(jigs.near(lean().side), ANGLE),
        "sight line": lambda: Quantity(jigs.near(_acute(lean().sight)), ANGLE),
        "circle": lambda: lean().circle,
        "circle beyond": lambda: lean().circle_beyond,
        "feet apart": lambda: lean().feet,
    }


def _acute(degrees: float) -> float:
    """Return the lesser of the two angles between lines, in degrees."""
    turned = abs(degrees) % 180
    return min(turned, 180 - turned)


def _pour(draft: Draft, name: str) -> Properties:
    return {
        "length": lambda: resin.pour(draft, name).long,
        "wide": lambda: resin.pour(draft, name).wide,
        "deep": lambda: resin.pour(draft, name).deep,
        "proud": lambda: resin.proud(draft, name),
        "pours": lambda: mixing.mixing(draft, name).pours,
        "batches": lambda: mixing.mixing(draft, name).batches,
        "each pour": lambda: mixing.mixing(draft, name).each_deep,
        "volume": lambda: Quantity(resin.pour(draft, name).volume, VOLUME),
        "mixed": lambda: Quantity(resin.pour(draft, name).mixed, VOLUME),
    }


def _mark(draft: Draft, name: str) -> Properties:
    return {
        "length": lambda: slabs.mark(draft, name).long,
        "wide": lambda: slabs.mark(draft, name).wide,
        "start": lambda: slabs.mark(draft, name).along[0],
        "stop": lambda: slabs.mark(draft, name).along[1],
        "deep": lambda: slabs.depth(draft, name),
    }


def _stock(draft: Draft, name: str) -> Properties:
    from planbook.plan.stock import named_stock

    key = next(key for key in draft.facts.stock if key == name)
    return dict.fromkeys(("thick", "thickness"), lambda: named_stock(draft, key).thickness)


def _joint(draft: Draft, name: str) -> Properties:
    source = joints.source_of(draft, name)
    found: Properties = {}
    if isinstance(source, SocketSource):
        found = {
            "drill": lambda: sockets.diameter(draft, name),
            "count": lambda: sockets.count(draft, name),
            "stroke": lambda: sockets.stroke(draft, name),
            "wood outside": lambda: sockets.wood_outside(draft, name),
        }
    elif isinstance(source, BoltedSource):
        found = {
            "drill": lambda: bolts.drill(draft, name),
            "count": lambda: bolts.count(draft, name),
            "screw": lambda: bolts.shank(draft, name),
            "travel": lambda: bolts.travel(draft, name),
            "from fixed": lambda: bolts.from_fixed(draft, name),
        }
    elif isinstance(source, DrivenSource) and driven.driven(draft, name) is not None:
        found = {"count": lambda: driven.count(draft, name)}
        found |= {word: partial(_bored_for, draft, name, word) for word in ("pilot", "clearance", "bite")}
    return found | {
        "deep": lambda: joints.deep(draft, name),
        "wide": lambda: joints.wide(draft, name),
        "room": lambda: joints.room(draft, name),
        "every": lambda: values.length(draft, source.every, "part") if source.every else None,
        "each": lambda: values.count(draft, source.each, 1) if source.each else None,
    }


def _bored_for(draft: Draft, name: str, word: str) -> Fraction | None:
    """Return the diameter of the pilot or clearance holes of a joint, or how far its screws bite, in mm."""
    one = next(iter(driven.in_place(draft, name)), None)
    if one is None:
        return None
    if word == "bite":
        return one.bite
    layer = one.passes[0] if word == "clearance" else one.into
    return layer.diameter if layer is not None else None


def _holes(draft: Draft, name: str) -> Properties:
    source = holes.source_of(draft, name)
    return {
        "drill": lambda: holes.diameter(draft, name),
        "deep": lambda: holes.deep(draft, name),
        "every": lambda: values.length(draft, source.every, "joinery") if source.every else None,
        "count": lambda: len(holes.places(draft, name)),
        "start": lambda: holes.places(draft, name)[0],
        "stop": lambda: holes.places(draft, name)[-1],
        "holes": lambda: len(holes.places(draft, name)) * len(source.rows),
    }


def _edging(draft: Draft, name: str) -> Properties:
    return {"thick": lambda: edgings.thick(draft, name), "tall": lambda: edgings.tall(draft, name)}
