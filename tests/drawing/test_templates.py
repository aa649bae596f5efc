from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sample_plan import bookcase

from planbook.drawing.picture import LabelKind, Picture, distance, segments_of
from planbook.drawing.story_stick import stick_places, story_stick
from planbook.drawing.style import LineKind
from planbook.drawing.svg import to_svg
from planbook.drawing.template import template_pages
from planbook.drawing.tiles import BOTTOM, LEFT, OVERLAP, PAPERS, Tiling
from planbook.plan.model import Plan
from planbook.plan.templates import Template, TemplateKind
from planbook.source.diagnostics import Span
from planbook.units.write import write_length

PLANS = {name: bookcase(name) for name in ("imperial", "metric")}
USUAL = [("imperial", "letter"), ("metric", "a4"), ("imperial", "a4"), ("metric", "letter")]
MM = 25.4 / 72
# Sheets of paper, mm: US Letter is 8 1/2 x 11 in, A4 is 210 x 297 mm (ISO 216).
SHEETS = {"letter": (215.9, 279.4), "a4": (210.0, 297.0)}


def whole(plan: Plan, key: str, *, kind: TemplateKind = TemplateKind.SHEET) -> Template:
    """Return a template of everything on the show face of a part."""
    part = plan.part(key)
    return Template(
        name=f"all of {key}",
        kind=kind,
        part=key,
        show=True,
        cuts=tuple(dict.fromkeys(cut.name for cut in part.cuts)),
        holes=tuple(dict.fromkeys(hole.group for hole in part.holes)),
        whole=True,
        note="",
        span=Span("plan.yaml", 1, 1, 0, 1),
    )


def side_pages(plan: Plan, paper: str) -> tuple[Picture, ...]:
    """Return the whole side at full size."""
    return template_pages(plan, whole(plan, "side"), paper=paper)


def lines_in(svg: str) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    """Return every straight piece of an SVG, in mm of paper by its own size and coordinates."""
    root = ET.fromstring(svg)
    wide = float(root.get("viewBox", "").split()[2])
    assert float(root.get("width", "").removesuffix("pt")) == wide
    found = []
    for path in root.iter("{http://www.w3.org/2000/svg}path"):
        assert path.get("transform") is None
        last: tuple[float, float] | None = None
        for command, x, y in re.findall(r"([ML]) ?([-\d.]+) ([-\d.]+)", path.get("d") or ""):
            here = (float(x) * MM, float(y) * MM)
            if command == "L" and last is not None:
                found.append((last, here))
            last = here
    return found


def whole_tiling(plan: Plan, paper: str, pages: tuple[Picture, ...]) -> Tiling:
    """Return the layout of a template of the side."""
    side = plan.part("side")
    long, wide = float(side.length.final), float(side.width.final)
    lying, standing = Tiling((long, wide), PAPERS[paper]), Tiling((wide, long), PAPERS[paper])
    return next(one for one in (lying, standing) if one.counts[0] * one.counts[1] == len(pages))


def merged(values: list[float]) -> list[float]:
    """Return values in order, those of two tiles that are the same place once."""
    found: list[float] = []
    for value in sorted(values):
        if not found or value - found[-1] > 0.05:
            found.append(value)
    return found


def test_tiles_leave_room_for_the_margins_of_the_paper() -> None:
    for name, (wide, high) in PAPERS.items():
        sheet = SHEETS[name]
        assert wide <= sheet[0] - 22 - 13.9
        assert high <= sheet[1] - 14 - 31


@pytest.mark.parametrize(("edition", "paper"), USUAL)
def test_check_lengths_in_the_file_are_true_in_both_directions(edition: str, paper: str) -> None:
    plan = PLANS[edition]
    length = 152.4 if edition == "imperial" else 140.0
    for page in side_pages(plan, paper):
        found = lines_in(to_svg(page, ids="t", medium="print"))
        across = [abs(b[0] - a[0]) for a, b in found if abs(a[1] - b[1]) < 1e-6]
        upright = [abs(b[1] - a[1]) for a, b in found if abs(a[0] - b[0]) < 1e-6]
        assert any(abs(one - length) < 0.01 for one in across)
        assert any(abs(one - length) < 0.01 for one in upright)
        words = " ".join(label.text for label in page.labels)
        name = "6 in" if edition == "imperial" else "140 mm"
        assert f"each rule must be {name} long" in words
        assert page.overlapping_labels() == ()


@pytest.mark.parametrize(("edition", "paper"), USUAL)
def test_holes_are_where_the_plan_has_them_across_all_tiles(edition: str, paper: str) -> None:
    """Crosses of the SVG files, put together by the layout, within 0.02 mm of the plan."""
    plan = PLANS[edition]
    pages = side_pages(plan, paper)
    tiling = whole_tiling(plan, paper, pages)
    columns, rows = tiling.counts
    arm = 2 * (float(plan.part("side").holes[0].diameter) / 2 + 3.0)
    centres = set()
    for number, page in enumerate(pages):
        left, bottom = tiling.corner(number % columns, rows - 1 - number // columns)
        for a, b in lines_in(to_svg(page, ids="t", medium="print")):
            if abs(a[1] - b[1]) < 1e-6 and abs(abs(a[0] - b[0]) - arm) < 0.01:
                x, y = (a[0] + b[0]) / 2 - LEFT + left, page.height - a[1] - BOTTOM + bottom
                centres.add((x, y))
    expected = sorted((float(hole.l), float(hole.w)) for hole in plan.part("side").holes)
    # The drawing begins at its own corner: compare what does not depend on which corner that is.
    long_side = 0 if tiling.size[0] > tiling.size[1] else 1
    places = merged([place[long_side] for place in centres])
    wanted = sorted({place for place, _ in expected})
    offsets = [a - wanted[0] for a in wanted]
    forward = [a - places[0] for a in places]
    backward = [places[-1] - a for a in reversed(places)]
    assert any(one == pytest.approx(offsets, abs=0.02) for one in (forward, backward))
    across = merged([place[1 - long_side] for place in centres])
    rows_apart = max(w for _, w in expected) - min(w for _, w in expected)
    assert across[-1] - across[0] == pytest.approx(rows_apart, abs=0.02)


@pytest.mark.parametrize("paper", PAPERS)
def test_neighbours_have_the_same_register_marks(paper: str) -> None:
    plan = PLANS["metric"]
    pages = side_pages(plan, paper)
    tiling = whole_tiling(plan, paper, pages)
    columns, rows = tiling.counts
    marks: dict[tuple[float, float], int] = {}
    for number, page in enumerate(pages):
        left, bottom = tiling.corner(number % columns, rows - 1 - number // columns)
        for stroke in page.strokes:
            (x1, y1), (x2, y2) = stroke.points[0], stroke.points[-1]
            if stroke.kind is LineKind.LEADER and y1 == y2 and x2 - x1 == pytest.approx(8.0):
                spot = (round((x1 + x2) / 2 - LEFT + left, 3), round(y1 - BOTTOM + bottom, 3))
                marks[spot] = marks.get(spot, 0) + 1
    assert marks
    assert all(count >= 2 for count in marks.values())


@pytest.mark.parametrize(("edition", "paper"), USUAL)
def test_every_hole_keeps_its_number(edition: str, paper: str) -> None:
    pages = side_pages(PLANS[edition], paper)
    said = {label.text for page in pages for label in page.labels if label.kind is LabelKind.MARK}
    assert said == {str(number) for number in range(1, len(PLANS[edition].part("side").holes) + 1)}


def test_a_small_part_takes_one_tile_without_a_map() -> None:
    plan = PLANS["metric"]
    (page,) = template_pages(plan, whole(plan, "test piece for shelf dados"), paper="a4")
    assert "Tile" not in page.title
    assert not any(stroke.kind is LineKind.HIDDEN for stroke in page.strokes)
    size = float(plan.part("test piece for shelf dados").length.final)
    spans = [distance(a, b) for s in page.strokes if s.kind is LineKind.OUTLINE for a, b in segments_of(s)]
    assert max(spans) == pytest.approx(size)


def test_unknown_paper_or_part_is_a_key_error() -> None:
    with pytest.raises(KeyError):
        template_pages(PLANS["metric"], whole(PLANS["metric"], "side"), paper="a5")
    with pytest.raises(KeyError):
        story_stick(PLANS["metric"], replace(whole(PLANS["metric"], "side"), part="nothing"), paper="a4")


@given(st.floats(1, 3000), st.floats(1, 3000), st.sampled_from(sorted(PAPERS)))
def test_tiles_cover_everything_and_overlap(wide: float, high: float, paper: str) -> None:
    tiling = Tiling((wide, high), PAPERS[paper])
    for k in (0, 1):
        last = tiling.counts[k] - 1
        assert tiling.corner(last, last)[k] + tiling.window[k] >= tiling.size[k] - 1e-5
        assert last == 0 or last * tiling.step[k] < tiling.size[k]
        assert tiling.corner(0, 0)[k] + tiling.window[k] - tiling.corner(1, 1)[k] == pytest.approx(OVERLAP)


@pytest.mark.parametrize(("edition", "paper"), USUAL)
def test_a_story_stick_ticks_every_place_at_full_size(edition: str, paper: str) -> None:
    plan = PLANS[edition]
    stick = whole(plan, "side", kind=TemplateKind.STICK)
    pages = story_stick(plan, stick, paper=paper)
    said = {label.text for page in pages for label in page.labels if label.kind is LabelKind.SIZE}
    for place in stick_places(plan, stick):
        assert write_length(place.at, plan.edition, mark=edition == "imperial") in said
    # The foot of the first length is the datum end: its ticks stand as far above it as the plan says.
    first = pages[0]
    frame = next(stroke for stroke in first.strokes if stroke.kind is LineKind.EDGE)
    x0, y0 = frame.points[0]
    ticks = sorted(
        stroke.points[0][1] - y0
        for stroke in first.strokes
        if stroke.kind is LineKind.STROKE and stroke.points[0][0] == pytest.approx(x0)
    )
    up = max(y for _, y in frame.points) - y0
    wanted = [float(place.at) for place in stick_places(plan, stick) if float(place.at) <= up]
    assert ticks == pytest.approx(wanted)
