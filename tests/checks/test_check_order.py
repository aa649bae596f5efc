from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from checks.altered import found, with_cuts, with_joint, with_part, with_step, written
from sample_plan import BACK, CASE, DADOS, GLUE_LIPS, KICK, PINS, SAW, SHELVES, TRIM_LIPS, bookcase

from planbook.plan.model import Life, Part, Plan, Role, Size, ToolUse
from planbook.source.diagnostics import Severity


def size(part: Part, life: Life, until: int) -> dict[str, Size]:
    return {"length": replace(part.length, life=life, until=until)}


def test_a_part_joined_before_it_is_sawn_stops_the_plan():
    (item,) = found("used-before-made", with_part(bookcase(), "kick board", made_in=KICK + 1))
    assert item.severity is Severity.STOP
    assert item.message == "`kick board` is joined in `kick joint` in step 11, but sawn out only in step 12"


def test_a_part_sawn_in_the_step_that_joins_it_passes():
    assert found("used-before-made", with_part(bookcase(), "kick board", made_in=KICK)) == ()


def test_a_part_set_before_it_is_sawn_is_found():
    plan = with_part(bookcase(), "loose shelf", made_in=SHELVES)
    assert found("used-before-made", plan) == ()
    (item,) = found("used-before-made", with_step(plan, CASE, sets=("loose shelf",)))
    assert "set in place in step 10" in item.message


def test_a_strip_glued_before_it_is_ripped_is_found():
    assert found("used-before-made", with_part(bookcase(), "lip of top", made_in=GLUE_LIPS)) == ()
    (item,) = found("used-before-made", with_part(bookcase(), "lip of top", made_in=GLUE_LIPS + 1))
    assert "`lip of top` is glued on in step 4" in item.message


def test_a_jig_is_made_before_it_is_used_as_a_tool():
    jig = replace(bookcase().part("kick board"), key="drilling strip", role=Role.JIG, joined_in=None, made_in=PINS)
    plan = replace(bookcase(), parts=(*bookcase().parts, jig))
    use = (ToolUse(key="drilling strip", text="drilling strip", count=1),)
    assert found("used-before-made", with_step(plan, PINS, tools=use)) == ()
    (item,) = found("used-before-made", with_step(plan, PINS - 1, tools=use))
    assert "used as a tool in step 7" in item.message


def test_a_cut_in_a_part_that_is_not_there_yet_stops_the_plan():
    late = with_part(bookcase(), "side", made_in=DADOS + 1)
    (item,) = found("cut-before-made", late)
    assert item.severity is Severity.STOP
    assert "`shelf dados` is cut into `side` in step 6, but `side` is sawn out only in step 7" in item.message
    assert found("cut-before-made", with_part(bookcase(), "side", made_in=DADOS)) == ()


def test_holes_are_cuts_too():
    plan = with_part(bookcase(), "side", made_in=PINS + 1)
    assert [item.message[:14] for item in found("cut-before-made", plan)][-1] == "`shelf pins` i"


def test_a_joint_closed_before_its_dado_is_cut_stops_the_plan():
    (item,) = found("joined-before-cut", with_joint(bookcase(), "shelf dados", cut_in=CASE + 1))
    assert item.severity is Severity.STOP
    assert "closed in step 10, but cut only in step 11" in item.message
    assert found("joined-before-cut", with_joint(bookcase(), "shelf dados", cut_in=CASE)) == ()


def later_holes(plan: Plan, step: int) -> Plan:
    side = plan.part("side")
    return with_part(plan, "side", holes=tuple(replace(hole, step=step) for hole in side.holes))


def test_holes_bored_into_a_closed_case_are_doubtful():
    (item,) = found("cut-after-joined", later_holes(bookcase(), CASE + 1))
    assert item.severity is Severity.WARN
    assert "`shelf pins` is cut into `side` in step 11, after `side` was joined in step 10" in item.message
    assert found("cut-after-joined", later_holes(bookcase(), CASE)) == ()


def test_a_joint_closed_before_it_is_cut_is_told_once():
    plan = with_joint(bookcase(), "shelf dados", cut_in=CASE + 1)
    plan = with_cuts(plan, "side", lambda cut: replace(cut, step=CASE + 1) if cut.name == "shelf dados" else cut)
    assert len(found("joined-before-cut", plan)) == 1
    assert found("cut-after-joined", plan) == ()


def test_a_part_that_nobody_joins_is_doubtful():
    (item,) = found("made-never-used", with_part(bookcase(), "loose shelf", joined_in=None))
    assert item.severity is Severity.WARN
    assert "no step joins it" in item.message


@pytest.mark.parametrize("role", [Role.JIG, Role.TEST])
def test_jigs_and_test_pieces_need_no_place(role: Role):
    assert found("made-never-used", with_part(bookcase(), "loose shelf", joined_in=None, role=role)) == ()


def test_a_back_fitted_before_the_case_is_closed_is_doubtful():
    (item,) = found("fitted-too-soon", with_part(bookcase(), "panel", made_in=CASE - 1))
    assert item.severity is Severity.WARN
    assert "no opening before step 10 closes `shelf dados`" in item.message
    assert found("fitted-too-soon", with_part(bookcase(), "panel", made_in=CASE)) == ()


def test_a_part_from_the_list_may_be_sawn_at_any_time():
    panel = bookcase().part("panel")
    plain = {word: replace(getattr(panel, word), life=Life.NOW, until=None) for word in ("length", "width")}
    assert found("fitted-too-soon", with_part(bookcase(), "panel", made_in=SAW, **plain)) == ()


def test_an_edging_trimmed_before_it_is_glued_stops_the_plan():
    plan = bookcase()
    side = plan.part("side")

    def trimmed(step: int) -> Plan:
        return with_part(plan, "side", edgings=(replace(side.edgings[0], glued_in=GLUE_LIPS, trimmed_in=step),))

    (item,) = found("trim-before-glue", trimmed(GLUE_LIPS - 1))
    assert item.severity is Severity.STOP
    assert "trimmed in step 3, but glued on only in step 4" in item.message
    assert found("trim-before-glue", trimmed(TRIM_LIPS + 1)) == ()


def test_an_edging_waits_for_the_part_that_wears_it():
    (item,) = found("edging-before-part", with_part(bookcase(), "top", made_in=GLUE_LIPS + 1))
    assert item.severity is Severity.STOP
    assert "glued to `top` in step 4, but `top` is sawn out only in step 5" in item.message
    assert found("edging-before-part", with_part(bookcase(), "top", made_in=GLUE_LIPS)) == ()


def test_a_part_trimmed_before_it_is_sawn_stops_the_plan():
    top = bookcase().part("top")
    (item,) = found("trimmed-too-soon", with_part(bookcase(), "top", **size(top, Life.LONG, SAW - 1)))
    assert item.severity is Severity.STOP
    assert "trimmed in step 1, but sawn out only in step 2" in item.message
    assert found("trimmed-too-soon", with_part(bookcase(), "top", **size(top, Life.LONG, SAW))) == ()


def test_a_finding_points_at_the_claim(tmp_path: Path):
    subject = written(
        tmp_path,
        ("cuts: [side, bottom, top, loose shelf, kick board]", "cuts: [side, bottom, top, loose shelf]"),
        ("cuts: [panel], joins: [back rabbet]", "cuts: [panel, kick board], joins: [back rabbet]"),
    )
    (item,) = found("used-before-made", subject)
    assert item.span is not None
    assert subject.written is not None
    assert item.span == subject.written.steps[BACK - 3].facts.joins[0].span
    assert item.further[0][1] == "`kick board` is sawn out here"


def test_work_on_a_part_counts_as_use(tmp_path: Path):
    subject = written(tmp_path, ("cuts: [lip, rail],", "cuts: [lip, rail], works: [panel],"))
    (item,) = found("used-before-made", subject)
    assert "`panel` is worked on in step 2" in item.message
