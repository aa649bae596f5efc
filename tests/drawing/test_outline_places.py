from __future__ import annotations

from pathlib import Path

import pytest
from fixtures.small_books import inches, make, step_text
from fixtures.target_books import target_plan

from planbook.drawing.bench import lying_picture
from planbook.drawing.outline import face_outline
from planbook.drawing.outline_places import eased_words, outline_measures, trim_angles
from planbook.drawing.part import part_picture, part_words, seen_from_show
from planbook.drawing.style import WIDTH, LineKind
from planbook.drawing.views import Views
from planbook.plan.model import Plan


def cut(tmp_path: Path, words: str) -> Plan:
    name = words.partition(":")[0]
    steps = step_text("Make it", f"cuts: [side, bottom, dados, {name}], joins: [dados]")
    return make(tmp_path, {"cuts": words}, steps=steps).plan()


def places(plan: Plan, part: str, *, lengthwise: bool) -> list[str]:
    return [one.text for one in outline_measures(plan.part(part), plan.edition) if one.lengthwise is lengthwise]


def test_a_taper_is_told_by_where_it_begins_and_what_is_left(tmp_path: Path) -> None:
    plan = cut(tmp_path, "taper: {taper: 6 in, in: side, at: foot, from: 18 in from foot, on: back edge}")
    assert places(plan, "side", lengthwise=True) == ['18"']
    assert places(plan, "side", lengthwise=False) == ['6"']
    assert trim_angles(plan.part("side")) == []
    said = [label.text for label in part_picture(plan, "side").labels]
    assert {'18"', '6"', '40"', '10"'} <= set(said)
    assert "Corners of its outline lie 18 in from the foot and 6 in from the front edge." in part_words(
        plan, plan.part("side"), "L"
    )


def test_the_drawn_outline_of_a_taper_slopes(tmp_path: Path) -> None:
    plan = cut(tmp_path, "taper: {taper: 6 in, in: side, at: foot, from: 18 in from foot, on: back edge}")
    picture = part_picture(plan, "side")
    slopes = [
        abs((b[1] - a[1]) / (b[0] - a[0]))
        for stroke in picture.strokes
        if stroke.kind is LineKind.OUTLINE
        for a, b in [(stroke.points[0], stroke.points[-1])]
        if abs(b[0] - a[0]) > 1 and abs(b[1] - a[1]) > 1
    ]
    # 4 in over 18 in, in one direction or the other.
    assert any(slope == pytest.approx(4 / 18, rel=0.01) or slope == pytest.approx(18 / 4, rel=0.01) for slope in slopes)


def test_a_mitre_is_told_by_its_angle(tmp_path: Path) -> None:
    plan = cut(tmp_path, "mitre: {mitre: 45 deg, in: bottom, at: left end, along: front edge}")
    assert [text for text, _ in trim_angles(plan.part("bottom"))] == ["45°"]
    area = face_outline(plan.part("bottom"), show=True).area
    whole = float(plan.part("bottom").length.final * plan.part("bottom").width.final)
    assert whole - area == pytest.approx(float(inches("10")) ** 2 / 2)


def test_eased_edges_are_named(tmp_path: Path) -> None:
    plan = cut(tmp_path, "ease: {round over: 1/8 in, in: bottom, on: upper face}")
    assert eased_words(plan.part("bottom"), plan.edition) == 'edges of the upper face ¹⁄₈" round-over'


def test_a_part_bored_from_its_reverse_alone_is_drawn_turned_over() -> None:
    plan = target_plan("b", "imperial")
    assert not seen_from_show(plan.part("seat"))
    picture = part_picture(plan, "seat")
    said = [label.text for label in picture.labels]
    assert "underside" in said
    assert "upper face" not in said
    # Turned over along the grain, the datum edge lies above: the black corner is the upper left one.
    corner = min((area for area in picture.areas if len(area.outer) == 3), key=lambda area: area.outer[0][0])
    rim = [point for stroke in picture.strokes if stroke.kind is LineKind.OUTLINE for point in stroke.points]
    assert corner.outer[0][1] == pytest.approx(max(y for _, y in rim), abs=0.5)


def test_natural_edges_have_no_sizes() -> None:
    plan = target_plan("c", "metric")
    assert outline_measures(plan.part("top"), plan.edition) == []


def test_the_step_that_saws_a_taper_shows_its_sizes(tmp_path: Path) -> None:
    steps = step_text("Saw", "cuts: [side, bottom, dados], joins: [dados]") + step_text("Taper", "cuts: [taper]")
    words = "taper: {taper: 6 in, in: side, at: foot, from: 18 in from foot, on: back edge}"
    plan = make(
        tmp_path, {"cuts": words, "joints": "dados: {dado: 1/4 in deep, in: side, for: bottom, by: glue}"}, steps=steps
    ).plan()
    parts = [plan.part("side")]
    picture = lying_picture(Views(plan), plan.steps[1], parts, width=WIDTH, height=112.0)
    assert {'18"', '6"', "0"} <= {label.text for label in picture.labels}
    assert "6 in from the front edge and 18 in from the foot" in picture.alt
    before = lying_picture(Views(plan), plan.steps[0], parts, width=WIDTH, height=112.0)
    assert not any('"' in label.text for label in before.labels)
