"""Slabs: parts inside, clear of marks, and exactly what a saw gets that follows the cuts."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, Polygon, box

from planbook.cutting.problem import CuttingError, Way
from planbook.cutting.slab_problem import Natural, Slab, SlabMark, SlabPiece, from_survey
from planbook.cutting.slabs import SlabLayout, nearest_fit, solve_slab

STEP, KERF, CLEAR = 1.0, 3.0, 12.0
STATIONS = [0.0, 250.0, 500.0, 750.0, 1500.0, 2100.0]
OUTLINE = from_survey(STATIONS, [184.0, 190.0, 210.0, 197.0, 200.0, 178.0], [203.0, 216.0, 203.0, 190.0, 200.0, 229.0])


def mark(name: str, kind: str, left: float, front: float, right: float, back: float) -> SlabMark:
    return SlabMark(name, kind, ((left, front), (right, front), (right, back), (left, back)))


POCKET = mark("pocket", "bark pocket", 280, 25, 500, 57)
KNOT = mark("knot", "sound knot", 635, -127, 660, -102)
FIGURE = mark("figure", "figure", 1250, -80, 1500, 80)


def slab(*marks: SlabMark, kerf: float = KERF, clear: float = CLEAR) -> Slab:
    return Slab(key="walnut", outline=OUTLINE, marks=marks, kerf=kerf, clear=clear, step=STEP)


def part(key: str, length: float, width: float = 0.0, **words: object) -> SlabPiece:
    return SlabPiece(key=key, length=length, width=width, **words)  # type: ignore[arg-type]


def sawn(layout: SlabLayout) -> dict[str, Polygon]:
    """Saw a slab along the cuts in their order, on paper; return what lies there at last, by the part in its middle.

    It knows nothing of how the cuts were found: a cut goes through what lies within its box, from edge to edge.
    """
    lying = [Polygon(layout.slab.outline)]
    for cut in layout.cuts:
        room = box(*cut.within).buffer(1e-3)
        low, high = (cut.at, cut.at + KERF) if cut.kerf_after else (cut.at - KERF, cut.at)
        blade = box(low, -9e3, high, 9e3) if cut.way is Way.CROSSCUT else box(-9e3, low, 9e3, high)
        after: list[Polygon] = []
        for piece in lying:
            if not room.covers(piece):
                after.append(piece)
                continue
            rest = piece.difference(blade)
            after += [each for each in getattr(rest, "geoms", [rest]) if each.area > 1e-6]
        lying = after
    found = {}
    for one in layout.parts:
        middle = Polygon(one.laid.shape).representative_point()
        found[one.laid.piece.key] = next(piece for piece in lying if piece.contains(middle))
    return found


def check(layout: SlabLayout) -> None:
    """Check a layout as a person with a rule would."""
    whole = Polygon(layout.slab.outline).buffer(1e-5)
    shapes = {one.laid.piece.key: Polygon(one.laid.shape) for one in layout.parts}
    for one in layout.parts:
        piece, shape = one.laid.piece, shapes[one.laid.piece.key]
        assert whole.covers(shape)
        for other in layout.slab.marks:
            distance = shape.distance(Polygon(other.outline))
            if other.name in piece.keep:
                assert shape.buffer(1e-5).covers(Polygon(other.outline))
            elif other.spoils:
                assert distance >= layout.slab.clear - 1e-5
            if one.near is not None and one.near.mark == other.name:
                assert distance == pytest.approx(one.near.distance)
            overlap = shape.intersection(Polygon(other.outline)).area > 1e-6
            assert overlap == any(name == other.name for name, _ in one.holds)
        if piece.natural is not Natural.NONE and piece.width:
            assert narrowest(shape) >= piece.width - 1e-5
        if piece.start is not None:
            assert one.laid.box[0] == piece.start
    for (_, a), (_, b) in itertools.combinations(shapes.items(), 2):
        assert a.distance(b) >= layout.slab.kerf - 1e-5
    for key, found in sawn(layout).items():
        if layout.part(key).laid.piece.outline:
            assert found.buffer(1e-5).covers(shapes[key])
        else:
            assert found.symmetric_difference(shapes[key]).area < 1e-3


def narrowest(shape: Polygon) -> float:
    left, _, right, _ = shape.bounds
    places = [left + 1e-4, right - 1e-4, *(x for x, _ in shape.exterior.coords if left < x < right)]
    return min(LineString([(x, -9e3), (x, 9e3)]).intersection(shape).length for x in places)


DISC = tuple((60 + 60 * math.cos(n / 12 * math.pi), 60 + 60 * math.sin(n / 12 * math.pi)) for n in range(24))


def test_a_slab_with_all_there_is() -> None:
    pieces = [
        part("top", 610, natural=Natural.BOTH, start=75.0, keep=("pocket", "knot")),
        part("shelf", 500, 230, natural=Natural.EITHER),
        *(part(f"leg {n}", 400, 75) for n in range(1, 5)),
        part("lid", 120, 120, outline=DISC),
        part("panel", 240, 160, keep=("eye",)),
    ]
    eye = mark("eye", "figure", 1550, -20, 1600, 20)
    layout = solve_slab(slab(POCKET, KNOT, eye), pieces)
    assert not layout.missing
    check(layout)
    assert layout.part("top").holds == (("pocket", True), ("knot", True))
    assert ("eye", True) in layout.part("panel").holds
    assert 0.5 < layout.used < 0.9
    assert [cut.number for cut in layout.cuts] == list(range(1, len(layout.cuts) + 1))
    assert {key for cut in layout.cuts for key in cut.done} == {piece.key for piece in pieces}


SIZES = st.tuples(st.integers(60, 700), st.integers(20, 250))
MARKS = st.tuples(st.integers(0, 1900), st.integers(-150, 100), st.integers(5, 200), st.integers(5, 60))


@settings(max_examples=12, deadline=None)
@given(
    st.lists(SIZES, min_size=1, max_size=6),
    st.lists(MARKS, max_size=4),
    st.lists(st.sampled_from(list(Natural)), min_size=6, max_size=6),
)
def test_whatever_is_laid_can_be_sawn(
    sizes: list[tuple[int, int]], spots: list[tuple[int, int, int, int]], edges: list[Natural]
) -> None:
    marks = [mark(f"m{n}", "knot", x, y, x + long, y + wide) for n, (x, y, long, wide) in enumerate(spots)]
    pieces = [
        part(f"p{n}", long, wide, natural=edge)
        for n, ((long, wide), edge) in enumerate(zip(sizes, edges, strict=False))
    ]
    layout = solve_slab(slab(*marks), pieces)
    check(layout)
    laid = {one.laid.piece.key for one in layout.parts}
    assert laid | {piece.key for piece in layout.missing} == {piece.key for piece in pieces}
    assert layout == solve_slab(slab(*marks), pieces)


@settings(max_examples=8, deadline=None)
@given(st.integers(100, 2300), st.integers(100, 500))
def test_what_is_said_to_fit_fits(length: int, width: int) -> None:
    piece = part("board", length, width)
    layout = solve_slab(slab(POCKET, KNOT), [piece])
    if layout.parts:
        return
    told = nearest_fit(layout.slab, layout, piece)
    if "turned" in told:
        assert solve_slab(slab(POCKET, KNOT), [part("board", length, width, turns=True)]).parts
    elif told.startswith("made"):
        value = float(told.split()[1])
        other = part("board", value, width) if "long" in told else part("board", length, value)
        assert solve_slab(slab(POCKET, KNOT), [other]).parts


def test_no_cut_is_made_where_the_wood_ends() -> None:
    layout = solve_slab(slab(), [part("all", 2100, natural=Natural.BOTH)])
    assert layout.cuts == ()
    assert layout.used == pytest.approx(1.0)


def test_what_is_left_is_told_with_its_marks() -> None:
    layout = solve_slab(slab(FIGURE), [part("top", 600, natural=Natural.BOTH, start=0.0)], keep_long=300, keep_wide=100)
    (rest,) = layout.rests
    assert rest.box[0] == 603.0
    assert rest.box[2] == 2100.0
    assert rest.marks == ("figure",)


@pytest.mark.parametrize(
    ("pieces", "slug", "told"),
    [
        (
            [part("leg", 100, 30, start=300.0, near=20.0)],
            "part-over-mark",
            "pinned where the bark pocket `pocket` lies",
        ),
        ([part("leg", 100, 30, start=2050.0)], "off-the-slab", "does not lie on the slab"),
        (
            [part("a", 400, 100, start=700.0, near=0.0), part("b", 400, 100, start=900.0, near=50.0)],
            "parts-overlap",
            "no blade goes between them",
        ),
        ([part("top", 300, natural=Natural.BOTH, start=0.0, keep=("knot",))], "part-over-mark", "too near"),
        (
            [part("top", 250, natural=Natural.BOTH, start=700.0, keep=("knot",))],
            "mark-outside",
            "not lie wholly inside",
        ),
        ([part("leg", 0, 30)], "size-not-positive", "`leg`"),
        ([part("leg", 2, 30)], "kerf-over-piece", "`leg`"),
        ([part("leg", 100, 30, keep=("eye",))], "unknown-mark", "no mark `eye`"),
        ([part(f"p{n}", 100, 30) for n in range(61)], "too-many-pieces", "61 pieces"),
        ([], "no-pieces", "nothing to cut"),
    ],
)
def test_wrong_wishes_are_named(pieces: list[SlabPiece], slug: str, told: str) -> None:
    with pytest.raises(CuttingError) as fault:
        solve_slab(slab(POCKET, KNOT), pieces)
    assert fault.value.slug == slug
    assert told in fault.value.message
    assert fault.value.help


def test_four_parts_like_a_pinwheel_cannot_be_pinned() -> None:
    wheel = [
        part("a", 300, 100, start=800.0, near=-100.0),
        part("b", 100, 180, start=1103.0, near=-100.0),
        part("c", 303, 97, start=900.0, near=83.0),
        part("d", 97, 177, start=800.0, near=3.0),
    ]
    with pytest.raises(CuttingError) as fault:
        solve_slab(slab(), wheel)
    assert fault.value.slug == "cuts-cross"


def test_a_pin_over_a_knot_is_told_where_it_would_do() -> None:
    with pytest.raises(CuttingError) as fault:
        solve_slab(slab(POCKET), [part("leg", 100, 30, start=300.0, near=20.0)])
    start = float(fault.value.help.split()[1])
    check(solve_slab(slab(POCKET), [part("leg", 100, 30, start=start, near=20.0)]))


def test_an_outline_that_crosses_itself() -> None:
    crossed = Slab(key="elm", outline=((0, 0), (1000, 300), (1000, 0), (0, 300)), kerf=KERF, clear=CLEAR, step=STEP)
    with pytest.raises(CuttingError) as fault:
        solve_slab(crossed, [part("leg", 100, 30)])
    assert fault.value.slug == "outline-crossed"
    assert "500 mm" in fault.value.message


def test_a_mark_off_the_slab() -> None:
    with pytest.raises(CuttingError) as fault:
        solve_slab(slab(mark("knot", "knot", 2500, 0, 2520, 20)), [part("leg", 100, 30)])
    assert fault.value.slug == "off-the-slab"
