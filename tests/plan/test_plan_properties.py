"""What holds for every plan, tried with sizes, thicknesses and joints at random."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

import pytest
from fixtures.small_books import BOTH, Read, make
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from planbook.plan.boxes import Space, placed, placed_box
from planbook.plan.model import Box, Life, Part, Placement, Plan

# Few by default, so that the whole run stays short; `--hypothesis-seed` and a larger number find more.
quick = settings(max_examples=12, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def inch(number: int, parts: int) -> str:
    whole, rest = divmod(Fraction(number, parts), 1)
    return f"{whole} {rest} in" if rest else f"{whole} in"


@st.composite
def sizes(draw: st.DrawFn, low: int, high: int) -> str:
    """A length between two numbers of mm, typed in either system, on the rule or between its marks."""
    mm = draw(st.integers(low, high))
    form = draw(st.integers(0, 4))
    if form == 0:
        return f"{mm} mm"
    if form == 1:
        return f"{mm}.5 mm"
    if form == 2:
        return f"{mm / 25.4:.2f} in"
    if form == 3:
        return f"{{imperial: {inch(max(1, round(mm / 25.4 * 16)), 16)}, metric: {mm} mm}}"
    return inch(max(1, round(mm / 25.4 * 8)), 8)


@st.composite
def plans(draw: st.DrawFn) -> dict[str, str]:
    """The words of a case with all kinds of joints, holes and edgings, of random sizes."""
    dims = (
        f"wide: {draw(sizes(500, 1400))}\ndeep: {draw(sizes(200, 500))}\nhigh: {draw(sizes(700, 2000))}\n"
        f"kick: {draw(sizes(40, 120))}\npace: {draw(sizes(20, 60))}"
    )
    thick = draw(st.sampled_from(["3/4 in", "0.71 in", "23/32 in", "18 mm", "17.5 mm", "19 mm"]))
    room = draw(st.sampled_from(["0 in", "1/64 in", "1/32 in", "0.5 mm", "{imperial: 1/64 in, metric: 0.3 mm}"]))
    depth = draw(st.sampled_from(["1/4 in", "0.26 in", "6 mm", "5.5 mm", "ply.thick / 3"]))
    play = draw(st.sampled_from(["1/16 in", "1.5 mm", "2 mm", "1/50 in"]))
    return {
        "dims": dims,
        "stock": f"ply: {{panel: birch plywood, nominal: 3/4 in, measured: {thick}}}\n"
        "thin: {panel: birch plywood, nominal: 1/4 in}\nmaple: {lumber: hard maple, nominal: 4/4, to: 3/4 in}",
        "edgings": "lip: {of: maple, thick: 1/4 in}\nrail: {of: maple, thick: full, tall: 1 1/4 in}",
        "parts": "side: {of: ply, pair: left right, length: high, width: deep, front: lip, on: floor}\n"
        "bottom: {of: ply, between: side, width: front to rabbet, front: lip, underside: kick above floor}\n"
        "top: {like: bottom, upper face: high / 12 below end of side}\n"
        "divider: {of: ply, between: [bottom, top], width: deep / 2, centred: across, faces: left}\n"
        "cross: {of: ply, between: [left side, divider], width: deep / 3, underside: high / 3 above floor}\n"
        f"shelf: {{of: ply, count: 2, between: side, play: {play}, "
        "width: front to rabbet less 1/8 in, front: rail, on: pins}\n"
        f"panel: {{of: thin, covers: [bottom, top], between: side, play: {play}, fit: to the case}}\n"
        "board: {of: maple, length: wide / 7, width: deep / 3, on: top, centred: across, "
        "spare: {length: 1 in, until: Make it}}",
        "joints": f"dados: {{dado: {depth}, in: side, for: [bottom, top], room: {room}, by: glue}}\n"
        f"slot: {{dado: {depth}, in: [bottom, top], for: divider, room: {room}, by: glue}}\n"
        f"crossing: {{dado: {depth}, in: [left side, divider], for: cross, room: {room}, by: glue}}\n"
        "rabbet joint: {rabbet: 3/8 in deep, wide: thin.thick, in: side, along: back edge, for: panel, by: nails}",
        "holes": "pins: {in: side, on: inside, rows: [pace from front, pace from rabbet], start: 2 in above bottom, "
        "stop: 2 in below top, every: 32 mm, drill: 1/4 in, deep: 3/8 in}",
    }


resolutions = st.sampled_from(
    ["", "resolution: {imperial: 1/16 in, metric: 0.5 mm}\n", "resolution: {imperial: 1/64 in, metric: 0.1 mm}\n"]
)


def resolved(words: dict[str, str], rest: str = "") -> Read:
    with tempfile.TemporaryDirectory() as folder:
        return make(Path(folder), words, rest=rest)


def of_both(found: Read) -> Iterator[Plan]:
    for edition in BOTH:
        yield found.plan(edition)


def lengths_of(part: Part) -> Iterator[tuple[str, Fraction]]:
    """Every size of a part and every place of a feature in it."""
    for word, size in (("length", part.length), ("width", part.width)):
        yield word, size.final
        yield f"rough {word}", size.rough
    yield "thick", part.thick
    yield "body length", part.body_length
    yield "body width", part.body_width
    boxes = [(cut.name, cut.box) for cut in part.cuts] + [(edging.name, edging.box) for edging in part.edgings]
    for name, box in boxes:
        for span in (box.l, box.w, box.t):
            yield from ((name, end) for end in span)
    for cut in part.cuts:
        yield f"{cut.name} deep", cut.deep
        yield f"{cut.name} wide", cut.wide
    for hole in part.holes:
        yield f"{hole.group} along", hole.l
        yield f"{hole.group} across", hole.w


@quick
@given(words=plans(), rest=resolutions)
def test_every_size_and_place_stands_on_a_mark_of_the_rule(words: dict[str, str], rest: str) -> None:
    for plan in of_both(resolved(words, rest)):
        for part in plan.parts:
            for name, mm in lengths_of(part):
                assert (mm / plan.edition.resolution).denominator == 1, (plan.edition.name, part.key, name, float(mm))


@quick
@given(words=plans())
def test_metric_sizes_are_whole_millimetres_and_inch_sizes_whole_thirty_seconds(words: dict[str, str]) -> None:
    found = resolved(words)
    for edition, step in (("metric", Fraction(1)), ("imperial", Fraction(254, 320))):
        for part in found.plan(edition).parts:
            assert all((mm / step).denominator == 1 for _, mm in lengths_of(part))


@quick
@given(words=plans(), rest=resolutions)
def test_chains_close(words: dict[str, str], rest: str) -> None:
    """A dado is as wide as what enters it, a strip and the body make up the part, a band closes on the face."""
    for plan in of_both(resolved(words, rest)):
        for part in plan.parts:
            for cut in part.cuts:
                assert cut.box.t[1] - cut.box.t[0] == cut.deep
                assert cut.box.t[0] == 0 or cut.box.t[1] == part.thick
                if cut.kind == "dado" and cut.for_part is not None:
                    assert cut.wide == plan.part(cut.for_part).thick
                assert 0 <= cut.box.l[0] < cut.box.l[1] <= part.length.final
                assert 0 <= cut.box.w[0] < cut.box.w[1] <= part.width.final
            taken = sum(edging.box.w[1] - edging.box.w[0] for edging in part.edgings)
            assert part.body_width + taken == part.width.final
            assert part.body_length == part.length.final


@quick
@given(words=plans(), rest=resolutions)
def test_holes_keep_their_spacing_without_adding_up_the_rounding(words: dict[str, str], rest: str) -> None:
    for plan in of_both(resolved(words, rest)):
        side = plan.part("side")
        every = Fraction(32) if plan.edition.name == "metric" else Fraction(254, 320) * 40  # 32 mm is 1 1/4 in
        for row in (1, 2):
            places = [hole.l for hole in side.holes if hole.row == row]
            assert all(abs(at - places[0] - every * k) <= plan.edition.resolution for k, at in enumerate(places))
        assert [h.l for h in side.holes if h.row == 1] == [h.l for h in side.holes if h.row == 2]


@dataclass(frozen=True)
class Fit:
    """How a part sits between two others: what it has at both ends together, and what it should have."""

    has: Fraction
    wants: Fraction


def fit(plan: Plan, name: str, joint: str, hosts: list[tuple[str, str]]) -> Fit:
    """Work the fit out from what the sheets show: where parts stand, how deep cuts are, how long the part is."""
    part = plan.part(name)
    places = {(item.part, item.hand): item for item in plan.placements}
    lengthwise = "xyz".index(next(item.axes[0][1] for item in plan.placements if item.part == name))
    spans = sorted(placed_box(plan.part(host), places[host, hand])[lengthwise] for host, hand in hosts)
    clear = spans[1][0] - spans[0][1]
    for host, hand in hosts:
        cuts = [
            cut for cut in plan.part(host).cuts if cut.name == joint and cut.for_part == name and cut.hand in ("", hand)
        ]
        clear += cuts[0].deep if cuts else 0
    room = next(item.room for item in plan.joints if item.name == joint)
    return Fit(clear - part.length.final, 2 * room)


CASES = {
    "bottom": ("dados", [("side", "L"), ("side", "R")]),
    "top": ("dados", [("side", "L"), ("side", "R")]),
    "divider": ("slot", [("bottom", ""), ("top", "")]),
    "cross": ("crossing", [("side", "L"), ("divider", "")]),
}


@quick
@given(words=plans(), rest=resolutions)
def test_a_joint_keeps_its_fit_or_says_that_it_is_lost(words: dict[str, str], rest: str) -> None:
    found = resolved(words, rest)
    for plan in of_both(found):
        told = {item.message.split("`")[1] for item in found.findings if item.slug == "fit-lost"}
        for name, (joint, hosts) in CASES.items():
            seen = fit(plan, name, joint, hosts)
            assert abs(seen.has - seen.wants) <= seen.wants or name in told, (plan.edition.name, name, seen)


def moved(box: Box, placement: Placement) -> Space:
    return placed(box, placement)


@quick
@given(words=plans())
def test_the_right_hand_is_the_mirror_image_of_the_left(words: dict[str, str]) -> None:
    for plan in of_both(resolved(words)):
        wide = next(dim.value for dim in plan.dims if dim.name == "wide")
        left, right = (item for item in plan.placements if item.part == "side")
        side = plan.part("side")
        point = Fraction(0)
        holes = [Box((h.l, h.l), (h.w, h.w), (side.thick, side.thick)) for h in side.holes]
        boxes = [cut.box for cut in side.cuts] + [edging.box for edging in side.edgings] + holes
        boxes.append(Box((point, side.length.final), (point, side.width.final), (point, side.thick)))
        for box in boxes:
            (x, y, z), (mx, my, mz) = moved(box, left), moved(box, right)
            assert (mx, my, mz) == ((wide - x[1], wide - x[0]), y, z)


@quick
@given(words=plans(), rest=resolutions)
def test_resolving_twice_gives_the_same_plan_and_the_same_findings(words: dict[str, str], rest: str) -> None:
    first, second = resolved(words, rest), resolved(words, rest)
    for edition in BOTH:
        assert first.plan(edition) == second.plan(edition)
    assert [(f.slug, f.message, f.span) for f in first.findings] == [
        (f.slug, f.message, f.span) for f in second.findings
    ]


@quick
@given(words=plans())
def test_lives_of_sizes(words: dict[str, str]) -> None:
    for plan in of_both(resolved(words)):
        for part in plan.parts:
            for size in (part.length, part.width):
                assert size.rough >= (part.body_length if size is part.length else part.body_width) > 0
                assert (size.until is None) == (size.life is Life.NOW)


@pytest.mark.parametrize("edition", BOTH)
def test_letters_are_given_once(edition: str, tmp_path: Path) -> None:
    plan = make(tmp_path).plan(edition)
    assert len({part.letter for part in plan.parts}) == len(plan.parts)
