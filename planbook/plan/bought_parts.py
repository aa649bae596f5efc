"""Bought parts that stand in the piece: their own sizes and holes drive what is made for them.

What is bought is as large in millimetres as it is in inches: sizes are converted exactly and rounded
once, they never go to a grid. A pair of values for the two editions stands for two articles.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from planbook.plan import reach, slabs, stand, values
from planbook.plan.draft import Draft
from planbook.plan.frames import Frame, frame
from planbook.plan.shapes import Block, Blocks, Cylinder
from planbook.source.schema.shapes import BoughtPartSource, SlabPartSource
from planbook.source.text import Text
from planbook.units.editions import snap

if TYPE_CHECKING:
    from planbook.plan.model import Range

_TIMES = re.compile(r"\s+(?:x|×)\s+")
_BOTH_ENDS = re.compile(r"(.+?)\s+from each end of\s+(.+)$", re.DOTALL)
_HOLE = re.compile(r"(round|slot)\s+(.+)$", re.DOTALL)
ALONG = {"front to back": "y", "across": "x"}
CHALK_LINE = "on chalk line"


@dataclass(frozen=True, slots=True)
class OwnHole:
    """A hole that a bought part comes with, in the middle of its bar, in mm."""

    group: str
    """`middle` or `ends`."""
    along: Fraction
    diameter: Fraction
    slot: Fraction
    """Whole length of a slot, 0 for a round hole."""


def frame_of(draft: Draft, form: BoughtPartSource) -> Frame:
    """Return which way a bought part lies: along its bar, upper face up."""
    if form.bar is None:
        return frame("x", "z", 1)
    return frame(_run(draft, form), "z", 1)


def _run(draft: Draft, form: BoughtPartSource) -> str:
    if form.bar_runs is None:
        return "y"
    if form.bar_runs not in ALONG:
        raise draft.fail(
            "unknown-direction",
            f"`{form.bar_runs}` is no way for a bar to run",
            form.bar_runs.span,
            help="write `front to back` or `across`",
        )
    return ALONG[form.bar_runs]


def times(draft: Draft, text: Text, number: int, word: str) -> tuple[Fraction, ...]:
    """Return the sizes of `12 in x 2 in x 1/4 in` in mm, rounded; raises `Unresolved`."""
    found, at = [], 0
    for mark in (*_TIMES.finditer(text), None):
        end = len(text) if mark is None else mark.start()
        size = snap(slabs.measured(draft, text.part(at, end), word), draft.edition)
        if size <= 0:
            raise draft.fail("no-size", f"`{text.part(at, end)}` in `{word}` is nothing", text.part(at, end).span)
        found.append(size)
        at = end if mark is None else mark.end()
    if len(found) != number:
        raise draft.fail(
            "no-size",
            f"`{word}` wants {number} sizes, `{text}` has {len(found)}",
            text.span,
            help="write them with ` x ` between, each with its unit",
        )
    return tuple(found)


def sizes(draft: Draft, name: str, form: BoughtPartSource) -> tuple[Fraction, Fraction, Fraction]:
    """Return length, width and height of a bought part in mm, rounded."""
    span = draft.part_key(name).span
    return draft.once(f"{name} (its sizes)", span, lambda: _sizes(draft, name, form))


def _sizes(draft: Draft, name: str, form: BoughtPartSource) -> tuple[Fraction, Fraction, Fraction]:
    given = [word for word in ("bar", "box", "cylinder") if getattr(form, word) is not None]
    if len(given) != 1:
        raise draft.fail(
            "which-shape",
            f"`{name}` says " + (" and ".join(given) if given else "no size"),
            form.bought.span,
            help="give one of `bar` (with `high`), `box`, `cylinder`",
        )
    if form.box is not None:
        long, wide, high = times(draft, form.box, 3, "box")
        return long, wide, high
    if form.cylinder is not None:
        across, high = times(draft, form.cylinder, 2, "cylinder")
        return across, across, high
    assert form.bar is not None
    long, wide, thick = times(draft, form.bar, 3, "bar")
    if form.high is None:
        raise draft.fail(
            "missing-word", f"`{name}` has no `high`", form.bar.span, help="add `high:`, floor to top of bar"
        )
    high = snap(slabs.measured(draft, form.high, "high"), draft.edition)
    if high <= 2 * thick or long <= 2 * thick:
        raise draft.fail(
            "no-size", f"the bars of `{name}` are thicker than it is high or long", form.bar.span, help="look at `bar`"
        )
    return long, wide, high


def shape(draft: Draft, name: str, form: BoughtPartSource) -> Blocks | Cylinder | None:
    """Return the shape of a bought part: a closed frame of flat bar, a cylinder, or None for a box."""
    long, wide, high = sizes(draft, name, form)
    if form.cylinder is not None:
        return Cylinder(long)
    if form.bar is None:
        return None
    thick = bar_thickness(draft, form)
    zero = Fraction(0)

    def bar(l0: Fraction, l1: Fraction, t0: Fraction, t1: Fraction) -> Block:
        return Block((l0, zero, t0), (l1, wide, t1))

    return Blocks(
        (
            bar(zero, long, high - thick, high),
            bar(zero, thick, thick, high - thick),
            bar(long - thick, long, thick, high - thick),
            bar(zero, long, zero, thick),
        )
    )


def bar_thickness(draft: Draft, form: BoughtPartSource) -> Fraction:
    """Return the thickness of a frame's bar in mm, rounded."""
    assert form.bar is not None
    return times(draft, form.bar, 3, "bar")[2]


def holes(draft: Draft, name: str, form: BoughtPartSource) -> tuple[OwnHole, ...]:
    """Return the holes of a bought part along its bar, from its datum end on."""
    if form.holes is None or form.bar is None:
        return ()
    long, bar = sizes(draft, name, form)[0], times(draft, form.bar, 3, "bar")[1]
    found = []
    if form.holes.middle is not None:
        found.append(_hole(draft, "middle", form.holes.middle, long / 2))
    if form.holes.ends is not None:
        if form.holes.inset is None:
            raise draft.fail(
                "missing-word", f"the holes of `{name}` have no `inset`", form.holes.ends.span,
                help="add `inset:`, from the end of the bar to the centre of the hole",
            )  # fmt: skip
        inset = snap(slabs.measured(draft, form.holes.inset, "inset"), draft.edition)
        found += [_hole(draft, "ends", form.holes.ends, at) for at in (inset, long - inset)]
    for hole in found:
        text, half = getattr(form.holes, hole.group), max(hole.diameter, hole.slot) / 2
        if hole.diameter <= 0 or hole.diameter >= bar:
            wide, there = values.shown(draft, hole.diameter), values.shown(draft, bar)
            raise draft.fail(
                "hole-too-wide", f"a hole of `{name}` is {wide} wide, its bar {there}", text.span,
                help="measure both again",
            )  # fmt: skip
        if hole.along <= half or hole.along + half >= long:
            at, there = values.shown(draft, hole.along), values.shown(draft, long)
            raise draft.fail(
                "hole-outside", f"a hole of `{name}` stands {at} along its bar, which is {there} long", text.span,
                help="look at `inset`, from the end of the bar to the centre of the hole",
            )  # fmt: skip
    return tuple(sorted(found, key=lambda hole: hole.along))


def _hole(draft: Draft, group: str, text: Text, along: Fraction) -> OwnHole:
    match = _HOLE.match(text)
    if match is None:
        raise draft.fail(
            "wrong-word",
            f"`{text}` is neither a round hole nor a slot",
            text.span,
            help="write `round 5/16 in` or `slot 5/16 in x 3/4 in`",
        )
    rest = text.part(match.start(2), match.end(2))
    if match[1] == "round":
        return OwnHole(group, along, times(draft, rest, 1, "holes")[0], Fraction(0))
    wide, long = times(draft, rest, 2, "holes")
    if long <= wide:
        raise draft.fail("no-size", f"`{text}` is no longer than it is wide", text.span, help="give its length last")
    return OwnHole(group, along, wide, long)


def interval(draft: Draft, name: str, form: BoughtPartSource, axis: str) -> Range:
    """Return where the first copy of a bought part begins and ends along an axis."""
    size = sizes(draft, name, form)["lwt".index(stand.frame_of(draft, name).own_axis(axis))]
    words = draft.parts[name]
    if axis == "z":
        if words.on is None and words.under is None and words.underside is None:
            return Fraction(0), size
        return stand.position(draft, name, axis, size)
    if form.at is not None and (form.bar is None or axis != _run(draft, form)):
        return _at(draft, name, form, axis, size)
    if form.centred is not None:
        return _centred(draft, form, axis, size)
    given = words.left_face if axis == "x" else words.front_face
    if given is not None:
        return stand.position(draft, name, axis, size)
    whole = stand.piece(draft, axis)
    return (Fraction(0), size) if whole is None else ((whole - size) / 2, (whole + size) / 2)


def _at(draft: Draft, name: str, form: BoughtPartSource, axis: str, size: Fraction) -> Range:
    assert form.at is not None
    text, _ = values.chosen(draft, form.at)
    match = _BOTH_ENDS.match(text)
    if match is None:
        start = reach.place(draft, name, axis, form.at)
        return start, start + size
    away = values.clearance(draft, text.part(match.start(1), match.end(1)), "part", word="at")
    host, _ = stand.part_named(draft, text.part(match.start(2), match.end(2)))
    start = stand.interval(draft, host, axis)[0] + away
    return start, start + size


def _centred(draft: Draft, form: BoughtPartSource, axis: str, size: Fraction) -> Range:
    assert form.centred is not None
    if form.centred == CHALK_LINE:
        for name, other in draft.forms.items():
            if isinstance(other, SlabPartSource):
                line = slabs.outline(draft, name, other)[2]
                return line - size / 2, line + size / 2
        raise draft.fail("unknown-name", "no part of this plan has a chalk line", form.centred.span)
    whole = stand.piece(draft, axis)
    if stand.CENTRED.get(form.centred) is None or whole is None:
        raise draft.fail(
            "unknown-direction",
            f"`{form.centred}` is no way to centre a bought part here",
            form.centred.span,
            help=f"write `{CHALK_LINE}`, `across` or `front to back`",
        )
    return (whole - size) / 2, (whole + size) / 2


def shifts(draft: Draft, name: str, form: BoughtPartSource) -> tuple[tuple[str, Fraction], ...]:
    """Return how far each copy stands from the first: along which axis, in mm."""
    number = stand.copies(draft, name)
    if number == 1:
        return (("x", Fraction(0)),)
    if form.at is not None:
        text, _ = values.chosen(draft, form.at)
        match = _BOTH_ENDS.match(text)
        if match is not None and number == 2:
            axis = "x" if form.bar is None or _run(draft, form) == "y" else "y"
            low, high = interval(draft, name, form, axis)
            first, last = stand.interval(
                draft, stand.part_named(draft, text.part(match.start(2), match.end(2)))[0], axis
            )
            return ((axis, Fraction(0)), (axis, first + last - low - high))
    raise draft.fail(
        "not-placed",
        f"`{name}` has {number} copies, and does not say where they stand",
        (form.count or form.bought).span,
        help="write `count: 2` and `at: 4 in from each end of top`",
    )


def mass_g(draft: Draft, form: BoughtPartSource) -> Fraction | None:
    """Return the mass of one in grams, or None where its author gives none."""
    if form.mass is None:
        return None
    return values.field(draft, form.mass, "part", wants="mass", word="mass").value
