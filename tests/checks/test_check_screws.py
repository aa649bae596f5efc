"""Fasteners of a small invented block: a cap of 3/4 in on a base of 1 1/2 in, both of white ash."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from checks.altered import INCH
from fixtures.small_books import make, step_text

from planbook.checks.axes import in_own_axes
from planbook.checks.outcome import Outcome
from planbook.checks.subject import Subject, subject_of
from planbook.checks.table import FIGURES
from planbook.checks.together import FIGURES as TOGETHER
from planbook.plan.model import Box, Cut, CutKind, Hole, Placement
from planbook.source.diagnostics import Diagnostic, Severity
from planbook.source.text import Text

GROUPS = {
    "dims": "wide: 20 in\ndeep: 6 in\nhigh: 16 in",
    "stock": (
        "ash: {lumber: white ash, nominal: 8/4, to: 1 1/2 in}\nthin: {lumber: white ash, nominal: 4/4, to: 3/4 in}"
    ),
    "parts": (
        "base: {of: ash, length: wide, width: deep, on: floor, runs: across, faces: up, centred: across, "
        "flush: front}\n"
        "cap: {of: thin, length: wide, width: deep, on: base, runs: across, faces: up, centred: across, flush: front}"
    ),
}
UPRIGHT = (
    "side: {of: ash, pair: left right, length: high, width: deep, on: floor}\n"
    "cap: {of: thin, length: wide, width: deep, on: side, runs: across, faces: up, centred: across, flush: front}"
)
HOOD = (
    "\nhood: {{of: thin, length: wide, width: deep, runs: across, faces: up, centred: across, flush: front, "
    "underside: {} above cap}}"
)
SCREWS = [slug for slug, _ in TOGETHER if slug not in ("trapped-part", "holes-meet", "wood-left")]


def block(folder: Path, by: str, *, parts: str = "", steps: str = "", edition: str = "imperial") -> Subject:
    joint = "side" if parts.startswith("side") else "base"
    words = {**GROUPS, "joints": f"caps: {{butt: cap, to: {joint}, by: {by}}}"}
    if parts:
        words["parts"] = parts
    read = make(folder, words, steps=steps or step_text("Make it", f"cuts: [{joint}, cap, caps], joins: [caps]"))
    assert read.book is not None
    return subject_of(read.plan(edition), read.book.plans[0], read.book.shop)


def told(slug: str, subject: Subject) -> tuple[Diagnostic, ...]:
    return tuple(outcome.problem for outcome in looked(slug, subject) if outcome.problem is not None)


def looked(slug: str, subject: Subject) -> Iterator[Outcome]:
    yield from dict(FIGURES)[slug](subject)


@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_four_screws_of_2_in_are_right(tmp_path: Path, edition: str) -> None:
    subject = block(tmp_path, "No. 8 x 2 in wood screw, each: 4", edition=edition)
    for slug in SCREWS:
        assert told(slug, subject) == ()
        if slug not in ("head-buried", "end-grain-screw"):
            assert all(outcome.figure and outcome.limit for outcome in looked(slug, subject)), slug


def test_a_point_that_comes_out(tmp_path: Path) -> None:
    (item,) = told("point-out", block(tmp_path, "No. 8 x 2 1/2 in wood screw, each: 4"))
    assert item.message == (
        "the No. 8 x 2 1/2 in wood screw of `caps` leaves no wood of `base` beyond its point, it comes out by 1/4 in, "
        "the limit is 1/8 in"
    )


@pytest.mark.parametrize(("counterbore", "finds"), [("1/8 in", False), ("5/32 in", True)])
def test_a_point_near_the_far_face(tmp_path: Path, counterbore: str, finds: bool) -> None:
    """A screw of 2 in lets 1/4 in of the base stand; sunk by 1/8 in it leaves the limit of 1/8 in."""
    subject = block(tmp_path, f"No. 8 x 2 in wood screw, each: 4, counterbore: {counterbore}")
    assert bool(told("point-out", subject)) == finds


def test_the_point_is_measured_in_the_wood_that_is_there(tmp_path: Path) -> None:
    """A groove in the underside of the base, as wide as it is, takes away what the point was to stay in."""
    subject = block(tmp_path, "No. 8 x 2 in wood screw, each: 4")
    base = subject.plan.part("base")

    def grooved(deep: Fraction) -> Subject:
        cut = Cut(name="groove", kind=CutKind.GROOVE, part="base", face=base.faces.reverse, deep=deep,
                  box=Box((Fraction(0), base.length.final), (Fraction(0), base.width.final), (Fraction(0), deep)),
                  wide=base.width.final, for_part=None, step=1)  # fmt: skip
        parts = tuple(replace(part, cuts=(cut,)) if part.key == "base" else part for part in subject.plan.parts)
        return Subject(replace(subject.plan, parts=parts))

    assert told("point-out", grooved(INCH / 8)) == ()
    (item,) = told("point-out", grooved(INCH * 3 / 16))
    assert "leaves 1/16 in of wood" in item.message


def test_a_screw_beside_the_base_meets_no_wood(tmp_path: Path) -> None:
    subject = block(tmp_path, "No. 8 x 2 in wood screw, each: 4")
    assert told("misses-mate", subject) == ()
    placements = tuple(
        replace(item, origin=(item.origin[0], item.origin[1] + 4 * INCH, item.origin[2]))
        if item.part == "base"
        else item
        for item in subject.plan.placements
    )
    places = tuple(
        replace(place, into=next(item for item in placements if item.part == "base"))
        for place in subject.plan.fastened[0].places
    )
    fastened = (replace(subject.plan.fastened[0], places=places),)
    (item,) = told("misses-mate", Subject(replace(subject.plan, placements=placements, fastened=fastened)))
    assert item.severity is Severity.STOP
    assert item.message == "a No. 8 x 2 in wood screw of `caps` meets no wood of `base` on its axis"


def test_too_little_bite(tmp_path: Path) -> None:
    (item,) = told("little-bite", block(tmp_path, "No. 8 x 1 1/2 in wood screw, each: 4"))
    assert item.message == (
        "the No. 8 x 1 1/2 in wood screw of `caps` reaches 3/4 in into `base`, 6 diameters are 63/64 in"
    )
    # 1 3/4 in less 3/4 in of cap are 1 in: 6.1 diameters of 0.164 in.
    assert told("little-bite", block(tmp_path / "longer", "No. 8 x 1 3/4 in wood screw, each: 4")) == ()


def test_glue_on_side_grain_carries_what_a_short_screw_does_not(tmp_path: Path) -> None:
    subject = block(tmp_path, "[glue, No. 8 x 1 1/2 in wood screw], each: 4")
    assert told("little-bite", subject) == ()
    (outcome,) = looked("little-bite", subject)
    assert outcome.figure.endswith("the glue carries the load")


@pytest.mark.parametrize(("deep", "finds"), [("1/2 in", False), ("17/32 in", True)])
def test_wood_under_a_head_that_is_let_in(tmp_path: Path, deep: str, finds: bool) -> None:
    found = told("head-buried", block(tmp_path, f"No. 8 x 1 1/2 in wood screw, each: 4, counterbore: {deep}"))
    assert bool(found) == finds
    if finds:
        assert "leaves 7/32 in of `cap` under the head" in found[0].message


def test_screws_in_end_grain(tmp_path: Path) -> None:
    subject = block(tmp_path, "No. 8 x 3 in wood screw, each: 2", parts=UPRIGHT)
    (item,) = told("end-grain-screw", subject)
    assert "end grain of `side`, where 0 % of its hold" in item.message
    assert "NDS" in (item.rule or "")
    # The same screws into the edge of a board that lies are in side grain.
    assert told("end-grain-screw", block(tmp_path / "flat", "No. 8 x 2 in wood screw, each: 2")) == ()


def test_a_dado_carries_what_end_grain_does_not(tmp_path: Path) -> None:
    subject = block(tmp_path, "No. 8 x 3 in wood screw, each: 2", parts=UPRIGHT)
    joints = tuple(replace(joint, kind="dado") for joint in subject.plan.joints)
    changed = Subject(replace(subject.plan, joints=joints))
    assert told("end-grain-screw", changed) == ()
    (outcome,) = looked("end-grain-screw", changed)
    assert outcome.figure.endswith("the dado carries the load")


@pytest.mark.parametrize(("inset", "finds"), [("1 in", False), ("15/16 in", True)])
def test_a_screw_near_the_end(tmp_path: Path, inset: str, finds: bool) -> None:
    """6 diameters of 0.164 in are 0.984 in."""
    found = told("splits-edge", block(tmp_path, f"No. 8 x 2 in wood screw, each: 4, inset: {inset}"))
    assert bool(found) == finds
    if finds:
        assert found[0].severity is Severity.NOTE
        assert found[0].message.startswith("the No. 8 x 2 in wood screw of `caps` stands 15/16 in from the nearest end")


@pytest.mark.parametrize(
    ("pilot", "said"),
    [("3/32 in", ""), ("11/64 in", "finds no hold"), ("1/16 in", "the rule is 3/32 in for white ash")],
)
def test_pilot_holes(tmp_path: Path, pilot: str, said: str) -> None:
    found = told("pilot-for-wood", block(tmp_path, f"No. 8 x 2 in wood screw, each: 4, pilot: {pilot}"))
    assert bool(found) == bool(said)
    if said:
        assert said in found[0].message


def test_no_pilot_in_a_dense_wood(tmp_path: Path) -> None:
    subject = block(tmp_path, "No. 8 x 2 in wood screw, each: 4")
    item = subject.plan.fastened[0]
    assert item.into is not None
    none = replace(item, into=replace(item.into, diameter=Fraction(0)))
    (found,) = told("pilot-for-wood", Subject(replace(subject.plan, fastened=(none,))))
    assert "has no pilot hole in `base`" in found.message
    light = replace(item, into=replace(item.into, diameter=Fraction(0), material="eastern white pine"))
    assert told("pilot-for-wood", Subject(replace(subject.plan, fastened=(light,)))) == ()


HOODED = step_text("Make it", "cuts: [base, cap, caps, hood], sets: [hood], joins: [caps]")
HOODED_LATER = step_text("Make it", "cuts: [base, cap, caps, hood], joins: [caps]") + step_text("Set", "sets: [hood]")


@pytest.mark.parametrize(
    ("room", "severity"),
    [("3 in", Severity.WARN), ("4 in", Severity.NOTE), ("8 31/32 in", Severity.NOTE), ("9 in", None)],
)
def test_room_for_a_driver(tmp_path: Path, room: str, severity: Severity | None) -> None:
    parts = GROUPS["parts"] + HOOD.format(room)
    found = told("no-driver-room", block(tmp_path, "No. 8 x 2 in wood screw, each: 4", parts=parts, steps=HOODED))
    assert [item.severity for item in found] == ([severity] if severity else [])
    if severity is Severity.WARN:
        assert "`hood` stands 3 in before a No. 8 x 2 in wood screw of `caps`, the shortest driver takes 4 in" in (
            found[0].message
        )


def test_what_comes_in_a_later_step_is_in_nobodys_way(tmp_path: Path) -> None:
    parts = GROUPS["parts"] + HOOD.format("3 in")
    subject = block(tmp_path, "No. 8 x 2 in wood screw, each: 4", parts=parts, steps=HOODED_LATER)
    assert told("no-driver-room", subject) == ()


def test_places_are_read_back_in_a_parts_own_axes(tmp_path: Path) -> None:
    """The holes of both parts, placed in the finished piece, lie on the axes of the screws."""
    subject = block(tmp_path, "No. 8 x 2 in wood screw, each: 4")
    cap = subject.plan.part("cap")
    (placement,) = (item for item in subject.plan.placements if item.part == "cap")
    places = sorted(in_own_axes(placement, place.start) for place in subject.plan.fastened[0].places)
    holes = sorted((float(hole.l), float(hole.w), float(cap.thick)) for hole in cap.holes)
    assert len(places) == 4
    for place, hole in zip(places, holes, strict=True):
        assert place == pytest.approx(hole, abs=0.51)


def test_own_axes_of_a_mirrored_copy() -> None:
    place = Placement(part="side", copy=1, hand="R", origin=(Fraction(10), Fraction(0), Fraction(0)),
                      axes=("+z", "+y", "-x"))  # fmt: skip
    assert in_own_axes(place, (4.0, 2.0, 3.0)) == (3.0, 2.0, 6.0)


def test_room_that_the_shop_states_for_its_own_drill(tmp_path: Path) -> None:
    parts = GROUPS["parts"] + HOOD.format("5 in")
    steps = HOODED.replace("sets: [hood]", "sets: [hood], with: [clamp]")
    subject = block(tmp_path, "No. 8 x 2 in wood screw, each: 4", parts=parts, steps=steps)
    assert [item.severity for item in told("no-driver-room", subject)] == [Severity.NOTE]
    assert subject.shop is not None

    def stated(room: str) -> Subject:
        assert subject.shop is not None
        tools = {
            key: tool.model_copy(update={"room": Text(room)}) if key == "clamp" else tool
            for key, tool in subject.shop.tools.items()
        }
        return replace(subject, shop=subject.shop.model_copy(update={"tools": tools}))

    assert told("no-driver-room", stated("5 in")) == ()
    (item,) = told("no-driver-room", stated("5 1/4 in"))
    assert item.severity is Severity.WARN
    assert item.message.endswith(
        "`hood` stands 5 in before a No. 8 x 2 in wood screw of `caps`, the clamp takes 5 1/4 in"
    )


def test_a_hole_that_is_bored_after_assembly_needs_room_for_the_drill(tmp_path: Path) -> None:
    parts = GROUPS["parts"] + HOOD.format("6 in")
    subject = block(tmp_path, "glue", parts=parts, steps=HOODED + step_text("Bore", ""))
    hole = Hole(group="wire", part="cap", face="upper face", l=Fraction(100), w=Fraction(50), diameter=Fraction(10),
                deep=None, from_show=True, role="wire", row=1, step=2)  # fmt: skip

    def bored(step: int) -> Subject:
        plan = subject.plan
        part = replace(plan.part("cap"), holes=(replace(hole, step=step),))
        return Subject(replace(plan, parts=tuple(part if one.key == "cap" else one for one in plan.parts)))

    assert told("no-driver-room", bored(1)) == ()
    (item,) = told("no-driver-room", bored(2))
    assert item.message == "in step 2 `hood` stands 6 in before a hole of `wire`, a drill with its bit takes 9 in"
