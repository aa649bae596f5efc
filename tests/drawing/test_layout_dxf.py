from __future__ import annotations

import io

import ezdxf
import pytest
from sample_plan import bookcase

from planbook.cutting.diagram import diagrams_of
from planbook.cutting.lots import solve, tasks_of
from planbook.cutting.practice import USUAL
from planbook.drawing.layout_dxf import DRILL, OUTLINE, TEXT, layout_dxf


def test_a_dxf_read_back_holds_the_sheets_the_pieces_and_their_letters() -> None:
    plan, practice = bookcase("metric"), USUAL["metric"]
    task = tasks_of(plan, practice, students=4)[0]
    diagrams = diagrams_of(solve(task), practice)
    data = layout_dxf(diagrams, drills=lambda lying: [(lying.at.length / 2, lying.at.width / 4, 5 * practice.kerf / 3)])
    document = ezdxf.read(io.StringIO(data.decode()))
    assert not document.audit().has_errors
    space = document.modelspace()
    lying = [each for diagram in diagrams for each in diagram.lying]
    outlines = list(space.query(f'LWPOLYLINE[layer=="{OUTLINE}"]'))
    assert len(outlines) == len(diagrams) + len(lying)
    sizes = []
    for outline in outlines:
        xs, ys = zip(*[(x, y) for x, y, *_ in outline.get_points()], strict=True)
        assert outline.closed
        sizes.append((round(max(xs) - min(xs), 6), round(max(ys) - min(ys), 6)))
    expected = [(float(each.at.length), float(each.at.width)) for each in lying]
    expected += [(float(diagram.length), float(diagram.width)) for diagram in diagrams]
    assert sorted(sizes) == sorted(expected)
    circles = list(space.query(f'CIRCLE[layer=="{DRILL}"]'))
    assert len(circles) == len(lying)
    assert circles[0].dxf.radius == pytest.approx(2.5)
    texts = [text.dxf.text for text in space.query(f'TEXT[layer=="{TEXT}"]')]
    assert sorted(texts) == sorted(
        [each.wanted.key for each in lying] + [f"{d.stock}, cut {d.repeats}" for d in diagrams]
    )
    assert document.units == ezdxf.units.MM
