"""What a name of a formula is worth: dims, stock, edgings, parts, joints and holes, with their properties."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from planbook.plan import edgings, holes, joints, stand, values
from planbook.plan.draft import Draft
from planbook.source.formula.parser import Name
from planbook.source.nearest import did_you_mean
from planbook.source.text import Text
from planbook.units.quantity import LENGTH, NUMBER, Quantity

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
    ):
        if name.name in group:
            return _property(draft, name, text, properties(draft, name.name))
    raise LookupError(name.name)


Properties = dict[str, Callable[[], Fraction | int | None]]


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
    return found | {word: side(axis, high) for word, (axis, high) in PART_SIDES.items()}


def _stock(draft: Draft, name: str) -> Properties:
    from planbook.plan.stock import named_stock

    key = next(key for key in draft.facts.stock if key == name)
    return dict.fromkeys(("thick", "thickness"), lambda: named_stock(draft, key).thickness)


def _joint(draft: Draft, name: str) -> Properties:
    source = joints.source_of(draft, name)
    return {
        "deep": lambda: joints.deep(draft, name),
        "wide": lambda: joints.wide(draft, name),
        "room": lambda: joints.room(draft, name),
        "every": lambda: values.length(draft, source.every, "part") if source.every else None,
        "each": lambda: values.count(draft, source.each, 1) if source.each else None,
    }


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
