from __future__ import annotations

import io

import ezdxf
import pytest
from sample_plan import bookcase

from planbook.drawing.template_dxf import template_dxf
from planbook.plan.model import Plan
from planbook.plan.templates import Template, TemplateKind


def side(plan: Plan, *, show: bool = True) -> Template:
    part = plan.part("side")
    return Template(
        name="side", kind=TemplateKind.SHEET, part="side", show=show, cuts=tuple(cut.name for cut in part.cuts),
        holes=tuple(dict.fromkeys(hole.group for hole in part.holes)), whole=True, note="", span=part.span,
    )  # fmt: skip


@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_holes_are_circles_at_their_places_in_millimetres(edition: str) -> None:
    plan = bookcase(edition)
    document = ezdxf.read(io.StringIO(template_dxf(plan, side(plan)).decode()))
    circles = document.modelspace().query("CIRCLE[layer=='DRILL']")
    part = plan.part("side")
    assert sorted(
        (round(c.dxf.center.x, 6), round(abs(c.dxf.center.y), 6), round(2 * c.dxf.radius, 6)) for c in circles
    ) == sorted(
        (round(float(hole.l), 6), round(float(hole.w), 6), round(float(hole.diameter), 6)) for hole in part.holes
    )
    assert document.units == ezdxf.units.MM
    outline = document.modelspace().query("LWPOLYLINE[layer=='OUTLINE']").first
    xs, ys = zip(*((x, y) for x, y, *_ in outline.get_points()), strict=True)
    assert max(xs) - min(xs) == pytest.approx(float(part.length.final))
    assert max(ys) - min(ys) == pytest.approx(float(part.width.final))


def test_the_other_face_is_its_mirror_image_without_blind_holes() -> None:
    plan = bookcase("metric")
    front, back = (
        ezdxf.read(io.StringIO(template_dxf(plan, side(plan, show=show)).decode())) for show in (True, False)
    )
    assert len(front.modelspace().query("CIRCLE")) == len(plan.part("side").holes)
    assert len(back.modelspace().query("CIRCLE")) == 0
    high = [
        max(y for _, y, *_ in d.modelspace().query("LWPOLYLINE[layer=='OUTLINE']").first.get_points())
        for d in (front, back)
    ]
    assert sorted(high) == pytest.approx([0.0, float(plan.part("side").width.final)])


def test_the_same_template_gives_the_same_bytes() -> None:
    plan = bookcase("metric")
    assert template_dxf(plan, side(plan)) == template_dxf(bookcase("metric"), side(plan))
