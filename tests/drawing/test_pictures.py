from __future__ import annotations

import xml.etree.ElementTree as ET
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

import pytest
from fixtures.target_books import target_plan
from hypothesis import given
from hypothesis import strategies as st
from sample_plan import bookcase

from planbook.drawing.assembly import NARROW, assembly_picture, letters_picture
from planbook.drawing.bench import face_up, lying_picture
from planbook.drawing.details import detail_sheet, details_of
from planbook.drawing.explode import exploded_picture
from planbook.drawing.hole_table import hole_lines
from planbook.drawing.motion import moves_of
from planbook.drawing.part import part_picture
from planbook.drawing.picture import (
    Area,
    Label,
    LabelKind,
    Picture,
    boxes_overlap,
    distance,
    facts,
    segment_meets_box,
    segments_of,
    signed_area,
)
from planbook.drawing.scales import scales_of
from planbook.drawing.step import step_picture
from planbook.drawing.style import WIDTH, LineKind, Shade
from planbook.drawing.svg import to_svg
from planbook.drawing.three_view import main_heights, three_view_picture
from planbook.drawing.views import Views
from planbook.plan.model import Plan
from planbook.plan.shapes import Profile, Station, Turned
from planbook.shape import states
from planbook.units.write import write_length

PLANS = {name: bookcase(name) for name in ("imperial", "metric")}
MAKERS: dict[str, Callable[[Plan, float], Picture | None]] = {
    "assembly": lambda plan, _: assembly_picture(plan),
    "narrow": lambda plan, _: assembly_picture(plan, width=NARROW),
    "letters": lambda plan, _: letters_picture(plan),
    "apart": lambda plan, width: exploded_picture(plan, width=width),
    "three": lambda plan, width: three_view_picture(plan, width=width),
    "side": lambda plan, width: part_picture(plan, "side", width=width),
    "shelf": lambda plan, width: part_picture(plan, "loose shelf", width=width),
    "panel": lambda plan, width: part_picture(plan, "panel", width=width),
} | {f"step {number}": (lambda plan, width, n=number: step_picture(plan, n, width=width)) for number in range(1, 15)}
EVERY = [
    (f"{name}, {edition}", picture)
    for edition, plan in PLANS.items()
    for name, make in MAKERS.items()
    if (picture := make(plan, WIDTH)) is not None
]


@pytest.fixture(params=[picture for _, picture in EVERY], ids=[name for name, _ in EVERY])
def picture(request: pytest.FixtureRequest) -> Picture:
    made: Picture = request.param
    return made


def test_no_label_lies_over_another(picture: Picture) -> None:
    assert picture.overlapping_labels() == ()


def test_no_edge_of_the_wood_runs_through_a_label(picture: Picture) -> None:
    assert picture.crossed_labels() == ()


def test_everything_lies_on_the_paper(picture: Picture) -> None:
    left, bottom, right, top = picture.bounds
    assert left >= 0
    assert bottom >= 0
    assert right <= picture.width
    assert top <= picture.height


def test_pictures_keep_the_width_they_were_asked_for(picture: Picture) -> None:
    assert picture.width in (104.0, 139.0, 174.0)


def test_alternative_texts_are_sentences_with_plain_fractions(picture: Picture) -> None:
    assert picture.alt.endswith(".")
    assert "\u2044" not in picture.alt
    assert picture.title


def test_svg_is_a_well_formed_fragment_with_name_and_description(picture: Picture) -> None:
    for medium in ("print", "web"):
        text = to_svg(picture, ids="p7", medium=medium)  # type: ignore[arg-type]
        root = ET.fromstring(text)
        ids = [node.get("id") for node in root.iter() if node.get("id")]
        assert ids == ["p7-t", "p7-d"]
        assert root.get("role") == "img"
        assert root.get("aria-labelledby") == "p7-t p7-d"
        assert [node.text for node in root][:2] == [picture.title, picture.alt]
        assert not text.startswith("<?xml")
        assert "<style" not in text
        written = [node.text for node in root.iter("{http://www.w3.org/2000/svg}text")]
        expected = [word for label in picture.labels for word in (label.hand, label.text) if word]
        assert written == expected


def test_paper_is_true_to_size() -> None:
    picture = EVERY[0][1]
    root = ET.fromstring(to_svg(picture, ids="a", medium="print"))
    assert float(root.get("width", "").removesuffix("pt")) == pytest.approx(picture.width * 72 / 25.4, abs=0.01)
    assert root.get("viewBox", "").split()[2:] == [
        root.get("width", "").removesuffix("pt"),
        root.get("height", "").removesuffix("pt"),
    ]


def test_print_is_black_white_and_one_grey_and_the_web_takes_the_page_s_colours() -> None:
    picture = dict(EVERY)["step 6, imperial"]
    printed = to_svg(picture, ids="a", medium="print")
    assert {part[:6] for part in printed.split("#")[1:]} == {"000000", "ffffff", "c4c4c4"}
    web = to_svg(picture, ids="a", medium="web")
    for name in ("--ink", "--paper", "--tone"):
        assert f"var({name}, #" in web
    assert "#000000" not in web


def test_holes_of_an_area_stay_open_under_the_rule_nonzero() -> None:
    square = ((2.0, 2.0), (18.0, 2.0), (18.0, 18.0), (2.0, 18.0))
    hole = ((6.0, 6.0), (14.0, 6.0), (14.0, 14.0), (6.0, 14.0))
    for ring in (hole, hole[::-1]):
        picture = Picture(
            title="t", alt="a.", width=20, height=20, areas=(Area(shade=Shade.TONE, outer=square, holes=(ring,)),)
        )
        path = ET.fromstring(to_svg(picture, ids="a", medium="print")).find("{http://www.w3.org/2000/svg}path")
        assert path is not None
        subpaths = [part for part in (path.get("d") or "").split("M") if part.strip()]
        turns = []
        for part in subpaths:
            numbers = [float(word) for word in part.replace("L", " ").replace("z", " ").split()]
            points = list(zip(numbers[::2], numbers[1::2], strict=True))
            turns.append(signed_area(tuple(points)) > 0)
        assert sorted(turns) == [False, True]


def test_same_plan_gives_the_same_bytes() -> None:
    for number in (6, 10):
        first = to_svg(_step("imperial", number), ids="s", medium="web")
        again = step_picture(bookcase("imperial"), number)
        assert again is not None
        assert to_svg(again, ids="s", medium="web") == first


def _step(edition: str, number: int) -> Picture:
    return dict(EVERY)[f"step {number}, {edition}"]


@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_assembly_says_the_three_overall_sizes_and_nothing_else(edition: str) -> None:
    plan = PLANS[edition]
    said = facts(assembly_picture(plan)).labels
    expected = [write_length(value, plan.edition, mark=edition == "imperial") for value in plan.overall]
    assert list(said) == expected


def test_metric_pictures_write_bare_numbers_in_dimensions() -> None:
    labels = part_picture(PLANS["metric"], "side", width=174.0).labels
    sizes = [label.text for label in labels if label.kind is LabelKind.SIZE]
    assert {"75", "1147", "1190", "290", "50", "244"} <= set(sizes)
    assert not any("mm" in text or '"' in text for text in sizes)


def test_dado_places_run_from_the_foot() -> None:
    said = facts(_step("imperial", 6)).labels
    assert {'3"', '45⁹⁄₃₂"', '²³⁄₃₂"', "0", "A L", "A R", "inside face up", "foot"} <= set(said)


def test_holes_carry_first_place_spacing_and_both_rows() -> None:
    said = facts(_step("imperial", 8)).labels
    assert {'11²³⁄₃₂"', '20 × 1¹⁄₄"', '2"', '9¹⁄₂"', '¹⁄₄" holes, ³⁄₈" deep'} <= set(said)


@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_dimension_lines_are_as_long_as_they_say_at_the_scale(edition: str) -> None:
    """Spans between end strokes, times the scale, are sizes of the plan."""
    plan = PLANS[edition]
    picture = part_picture(plan, "side", width=WIDTH)
    ratio = next(float(scale.ratio) for scale in scales_of(plan.edition) if scale.text == picture.scale)
    strokes = [s.points for s in picture.strokes if s.kind is LineKind.STROKE]
    middles = [((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in strokes]
    spans = [distance(a, b) * ratio for a, b in zip(middles[::2], middles[1::2], strict=True)]
    side = plan.part("side")
    for wanted in (side.length.final, side.width.final, side.cuts[1].box.l[0]):
        assert any(span == pytest.approx(float(wanted), abs=0.1) for span in spans)


@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_a_part_says_every_size_once(edition: str) -> None:
    plan = PLANS[edition]
    side = plan.part("side")
    picture = part_picture(plan, "side", width=WIDTH)
    said = [label.text for label in picture.labels if label.kind is LabelKind.SIZE]

    def written(mm: Fraction) -> str:
        return write_length(mm, plan.edition, mark=edition == "imperial")

    for value in (side.length.final, side.width.final, *(cut.box.l[0] for cut in side.cuts if cut.box.l[0])):
        assert said.count(written(value)) == 1
    scales = ("half size", "full size") if edition == "imperial" else ("1 : 2", "1 : 1")
    view, *names = [label.text for label in picture.labels if label.kind is LabelKind.VIEW]
    assert view == "seen from the inside face"
    assert [name.split(", ")[0] for name in names] == ["dado", "rabbet", "front edge"]
    assert all(name.endswith(scales) for name in names)


def test_a_detail_shows_the_depth_at_its_scale() -> None:
    plan = PLANS["metric"]
    side = plan.part("side")
    detail = details_of(side)[0]
    sheet = detail_sheet(plan, side, detail, thickness=True)
    sizes = [label.text for label in sheet.labels if label.kind is LabelKind.SIZE]
    assert sizes == ["18", "6", "18"]
    spans = [distance(*span) for span in sheet.spans]
    assert spans == pytest.approx([18 / 2, 6 / 2, 18 / 2])


def test_the_table_lists_every_hole_from_the_datum_corner() -> None:
    plan = PLANS["metric"]
    side = plan.part("side")
    lines = hole_lines(plan, side)
    assert [line.numbers for line in lines] == ["1 – 21", "22 – 42"]
    assert sum(line.last - line.first + 1 for line in lines) == len(side.holes)
    assert lines[0].cells[1:] == (f"{float(side.holes[0].l):g}, then 20 × 32", "50", "5", "10", "shelf pins")
    picture = part_picture(plan, "side", width=174.0)
    marks = [label.text for label in picture.labels if label.kind is LabelKind.MARK]
    assert {"1", "21", "22", "42", "0"} <= set(marks)


def test_a_turned_part_says_its_section_wherever_it_changes() -> None:
    plan = PLANS["metric"]
    stations = (
        Station(Fraction(0), Fraction(18), Profile.OCTAGON),
        Station(Fraction(300), Fraction(60), Profile.OCTAGON),
        Station(plan.part("kick board").length.final, Fraction(25), Profile.ROUND),
    )
    turned = Turned(stations, Fraction(0), Fraction(0))
    parts = tuple(
        replace(part, shape=turned, thick=Fraction(60)) if part.key == "kick board" else part for part in plan.parts
    )
    picture = part_picture(replace(plan, parts=parts), "kick board", width=174.0)
    assert {"18 octagon", "60 octagon", "25 round", "300"} <= {label.text for label in picture.labels}
    assert picture.overlapping_labels() == ()


def test_every_hole_is_drawn_on_its_part() -> None:
    for plan in PLANS.values():
        side = plan.part("side")
        picture = part_picture(plan, "side", width=WIDTH)
        dots = [area for area in picture.areas if area.shade is Shade.INK and len(area.outer) > 4]
        rings = [stroke for stroke in picture.strokes if stroke.closed and len(stroke.points) == 24]
        leaders = sum(stroke.kind is LineKind.LEADER for stroke in picture.strokes)
        assert len(dots) + len(rings) == len(side.holes) + leaders


def test_the_table_names_the_face_that_is_not_seen() -> None:
    plan = PLANS["metric"]
    side = plan.part("side")
    turned = replace(side, holes=tuple(replace(hole, from_show=False) for hole in side.holes))
    assert {line.deep for line in hole_lines(plan, turned)} == {"10, outside"}
    # Where that face is the one that is drawn, it needs no name.
    assert {line.deep for line in hole_lines(plan, turned, show=False)} == {"10"}
    through = replace(side, holes=tuple(replace(hole, deep=None) for hole in side.holes))
    assert {line.deep for line in hole_lines(plan, through)} == {"through"}


def test_few_holes_carry_their_sizes_in_the_drawing() -> None:
    plan = PLANS["metric"]
    few = tuple(replace(hole, l=Fraction(100 * k)) for k, hole in enumerate(plan.part("side").holes[:3], 1))
    parts = tuple(replace(part, holes=few) if part.key == "side" else part for part in plan.parts)
    picture = part_picture(replace(plan, parts=parts), "side", width=174.0)
    said = [label.text for label in picture.labels]
    assert {"100", "2 × 100", "50"} <= set(said)
    assert "hole" not in said


def test_a_pair_lies_with_its_datum_edges_together() -> None:
    """Left and right are mirror images on the bench: their datum corners are neighbours at the foot end."""
    picture = _step("metric", 6)
    letters = {lab.says: (lab.x, lab.y) for lab in picture.labels if lab.kind is LabelKind.LETTER}
    corners = [area.outer[0] for area in picture.areas if area.shade is Shade.INK and len(area.outer) == 3]
    assert len(corners) == 2
    boards = distance(letters["A L"], letters["A R"])
    assert distance(*corners) < 0.3 * boards
    for corner in corners:
        assert min(distance(corner, place) for place in letters.values()) > 0.5 * boards


def test_parts_that_come_on_are_toned_and_move_on_dotted_lines() -> None:
    close = facts(_step("imperial", 10))
    assert close.toned > 500
    assert dict(close.lengths)[LineKind.MOTION] > 20
    assert dict(close.lengths)[LineKind.NEW_OUTLINE] > 300
    assert {"A L", "A R", "B", "C", "glue in the dado"} <= set(close.labels)


@pytest.mark.parametrize("width", [NARROW, 180.0])
def test_a_leader_to_a_dado_ends_on_the_side_whose_dado_can_be_seen(width: float) -> None:
    for plan in PLANS.values():
        picture = step_picture(plan, 10, width=width)
        assert picture is not None
        at = {label.says: (label.x, label.y) for label in picture.labels}
        leaders = [stroke.points for stroke in picture.strokes if stroke.kind is LineKind.LEADER]
        _, end = min(leaders, key=lambda line: distance(line[0], at["glue in the dado"]))
        assert distance(end, at["A L"]) < distance(end, at["A R"])


def _held_with(plan: Plan, step: int, **given: object) -> Picture:
    joints = tuple(replace(one, **given) if one.joined_in == step else one for one in plan.joints)  # type: ignore[arg-type]
    picture = step_picture(replace(plan, joints=joints), step)
    assert picture is not None
    return picture


def _axes(picture: Picture) -> int:
    return sum(stroke.kind is LineKind.CENTRE for stroke in picture.strokes)


def test_screws_stand_on_their_axes_outside_the_part_that_comes() -> None:
    plan = PLANS["imperial"]
    assert _axes(_held_with(plan, 10)) == 0
    screwed = _held_with(plan, 10, by=("glue", "2 in screws"), count=3)
    # Two shelves end on the one side whose outer face is turned to the viewer.
    assert _axes(screwed) == 6
    assert "glue and 3 × 2 in screws" in facts(screwed).labels
    assert "3 × 2 in screws" in screwed.alt


def test_nails_are_counted_from_their_spacing() -> None:
    plan = PLANS["metric"]
    panel = next(joint for joint in plan.joints if joint.joined_in == 12)
    assert any("nail" in text for text in panel.by)
    assert panel.every is not None
    assert _axes(_held_with(plan, 12, by=("glue",))) == 0
    one_side = int(plan.part("side").length.final / 400) + 1
    one_shelf = int(plan.part("bottom").length.final / 400) + 1
    meeting = [place.part for place in plan.placements if place.part in panel.receiving]
    expected = sum(one_side if part == "side" else one_shelf for part in meeting)
    assert 6 <= expected <= 24
    assert _axes(_held_with(plan, 12, every=Fraction(400))) == expected
    # Very many would be a black comb: the words alone say them.
    assert _axes(_held_with(plan, 12, every=Fraction(20))) == 0


def test_a_back_panel_is_put_on_from_behind() -> None:
    for edition in PLANS:
        picture = _step(edition, 12)
        assert "seen from behind" in facts(picture).labels
        assert "seen from behind" in picture.alt


def test_a_step_that_only_measures_has_no_picture() -> None:
    assert step_picture(PLANS["imperial"], 1) is None


def test_an_unknown_step_is_a_key_error() -> None:
    with pytest.raises(KeyError):
        step_picture(PLANS["imperial"], 99)


def test_sawn_sizes_leave_out_edgings_and_keep_what_is_left_long() -> None:
    assert '47" × 11"' in facts(_step("imperial", 2)).labels
    assert '48" × ²⁷⁄₃₂" × ¹⁄₄"' in facts(_step("imperial", 3)).labels


@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_main_heights_stand_on_the_floor_and_rise(edition: str) -> None:
    plan = PLANS[edition]
    values = [value for _, value in main_heights(plan)]
    assert values == sorted(values)
    assert values[0] == plan.part("kick board").width.final
    said = facts(three_view_picture(plan, width=WIDTH)).labels
    assert {write_length(value, plan.edition, mark=edition == "imperial") for value in values} <= set(said)
    assert {"front", "right side", "top"} <= set(said)


def test_front_view_is_drawn_at_the_stated_scale() -> None:
    plan = PLANS["metric"]
    picture = three_view_picture(plan, width=174.0)
    assert picture.scale == "1 : 10"
    uprights = [
        distance(a, b)
        for stroke in picture.strokes
        if stroke.kind is LineKind.OUTLINE
        for a, b in segments_of(stroke)
        if abs(a[0] - b[0]) < 1e-6
    ]
    assert max(uprights) == pytest.approx(1190 / 10, abs=0.01)


def test_a_label_s_box_holds_its_circle_and_hand() -> None:
    label = Label(kind=LabelKind.LETTER, text="A", hand="L", x=10, y=10, height=3.5, bold=True)
    left, bottom, right, top = label.box
    assert (left, bottom, top) == (6.5, 6.5, 13.5)
    assert 16 < right < 19
    assert label.says == "A L"


coordinate = st.floats(-50, 50).map(lambda x: round(x, 2))


@given(st.tuples(coordinate, coordinate), st.tuples(coordinate, coordinate), st.tuples(coordinate, coordinate))
def test_a_segment_with_a_point_well_inside_a_box_meets_it(
    a: tuple[float, float], b: tuple[float, float], corner: tuple[float, float]
) -> None:
    box = (corner[0], corner[1], corner[0] + 20, corner[1] + 10)
    points = [(a[0] + (b[0] - a[0]) * k / 100, a[1] + (b[1] - a[1]) * k / 100) for k in range(101)]
    inside = [box[0] + 0.1 < x < box[2] - 0.1 and box[1] + 0.1 < y < box[3] - 0.1 for x, y in points]
    if any(inside) and a != b:
        assert segment_meets_box(a, b, box)
    if not boxes_overlap((min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1])), box):
        assert not segment_meets_box(a, b, box)


def test_marks_of_a_pair_are_a_triangle_over_both_and_a_face_mark_on_each() -> None:
    plan = PLANS["metric"]
    side, step = plan.part("side"), plan.steps[3]
    views = Views(plan)
    plain = lying_picture(views, replace(step, marks=()), [side], width=WIDTH, height=112.0)
    marked = lying_picture(views, replace(step, marks=("side",)), [side], width=WIDTH, height=112.0)
    assert plain.height < marked.height
    drawn = [stroke for stroke in marked.strokes if stroke.kind is LineKind.STROKE]
    assert sorted(len(stroke.points) for stroke in drawn) == [3, 3, 26, 26]
    said = [label.text for label in marked.labels]
    assert {"front edge", "foot", "inside face up"} <= set(said)
    assert marked.overlapping_labels() == ()


def test_leaning_legs_come_to_the_sockets_from_the_face_that_was_bored() -> None:
    plan = target_plan("b", "imperial")
    step = next(step for step in plan.steps if "Glue and wedge" in step.title)
    moves = moves_of(plan, step.number, states.state_before(plan, step.number), states.new_in(plan, step.number))
    assert {(move.placement.part, move.way) for move in moves} == {("leg", (2, -1))}
    assert len(moves) == 4


@pytest.mark.parametrize(
    ("name", "said"), [("inside", "inside face up"), ("upper face", "upper face up"), ("underside", "underside up")]
)
def test_the_face_that_is_up_is_said_as_in_a_shop(name: str, said: str) -> None:
    assert face_up(name) == said
