"""Drawings of slabs: every cut has its number, every part its letter, and no lettering lies over another."""

from __future__ import annotations

from pathlib import Path

import pytest
from fixtures.target_books import target_plan

from planbook.cutting.bare import read_bare
from planbook.cutting.bare_slabs import BareSlabs, solve_slabs
from planbook.cutting.practice import USUAL
from planbook.cutting.slab_plan import slab_tasks, solve_all
from planbook.drawing.picture import LabelKind, Picture
from planbook.drawing.slab_layout import slab_picture
from planbook.drawing.style import LEAST_HEIGHT, LineKind
from planbook.source.diagnostics import Findings
from planbook.source.files import Sources
from planbook.units.editions import EDITIONS

LIST = """\
units: in
pieces:
  top: {length: 24 in, natural edge: [front, back], start: 3 in from left end, keep: [pocket, knot]}
  shelf: {length: 20 in, width: 9 in, natural edge: either}
  leg: {length: 16 in, width: 3 in, count: 4}
stock:
  walnut:
    survey: |
      0    7 1/4   8
      20   8 1/4   8
      30   7 3/4   7 1/2
      84   7   9
    marks:
      pocket: {is: bark pocket, from: 11 in, to: 20 in, wide: 1 1/4 in, behind line: 1 in}
      knot: {is: sound knot, from: 25 in, to: 26 in, wide: 1 in, before line: 4 in}
"""


def texts(picture: Picture, kind: LabelKind) -> list[str]:
    return [label.text for label in picture.labels if label.kind is kind]


@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_the_slab_of_a_plan(edition: str) -> None:
    solved, _ = solve_all(slab_tasks(target_plan("c", edition), USUAL[edition]), USUAL[edition])
    ((task, layout),) = solved
    picture = slab_picture(layout, EDITIONS[edition], material="black walnut", letters=task.letters)
    assert texts(picture, LabelKind.MARK) == ["1", "2", "A"]
    assert {"pocket", "knot", "chalk", "line", "left end"} <= set(texts(picture, LabelKind.WORD))
    assert not picture.overlapping_labels()
    assert picture.width <= 180
    chalk = [stroke for stroke in picture.strokes if stroke.kind is LineKind.CENTRE]
    assert len(chalk) == 1
    assert "both edges natural, with pocket and knot on it" in picture.alt


def test_a_slab_of_many_parts(tmp_path: Path) -> None:
    path, findings = tmp_path / "slab.yaml", Findings()
    path.write_text(LIST)
    bare = read_bare(path, findings, Sources())
    assert isinstance(bare, BareSlabs)
    (layout,) = solve_slabs(bare, findings)
    assert not list(findings)
    picture = slab_picture(layout, bare.edition, material="walnut")
    marks = texts(picture, LabelKind.MARK)
    assert [text for text in marks if text.isdigit()] == [str(cut.number) for cut in layout.cuts]
    assert {part.laid.piece.key for part in layout.parts} <= set(marks)
    assert min(label.height for label in picture.labels) >= LEAST_HEIGHT
    figures = [label for label in picture.labels if label.on_ink]
    assert not [pair for pair in picture.overlapping_labels() if pair[0] in figures and pair[1] in figures]
    assert any(stroke.kind is LineKind.HATCH for stroke in picture.strokes)
