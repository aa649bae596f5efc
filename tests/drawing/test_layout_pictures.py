from __future__ import annotations

import re
from dataclasses import replace
from itertools import combinations

import pytest
from sample_plan import bookcase

from planbook.cutting.diagram import Diagram, diagrams_of
from planbook.cutting.lots import solve, tasks_of
from planbook.cutting.practice import USUAL
from planbook.drawing.layout import PAPER_WIDTH, layout_picture
from planbook.drawing.picture import Label, Picture, boxes_overlap, facts
from planbook.drawing.style import LineKind, Shade
from planbook.drawing.svg import to_svg
from planbook.units.editions import EDITIONS
from planbook.units.factors import INCH

EDITIONS_OF_BOOK = ("imperial", "metric")


def drawn(edition: str, *, students: int = 1) -> list[tuple[Diagram, Picture]]:
    plan, practice = bookcase(edition), USUAL[edition]
    found = []
    for task in tasks_of(plan, practice, students=students):
        diagrams = diagrams_of(solve(task), practice)
        for diagram in diagrams:
            found.append((diagram, layout_picture(diagram, plan.edition, of=len(diagrams), material="birch plywood")))
    return found


def figures(picture: Picture) -> list[Label]:
    return [label for label in picture.labels if label.on_ink]


@pytest.mark.parametrize("edition", EDITIONS_OF_BOOK)
@pytest.mark.parametrize("students", [1, 4])
def test_every_cut_has_its_figure_and_every_piece_its_letter(edition: str, students: int) -> None:
    for diagram, picture in drawn(edition, students=students):
        numbers = [int(label.text) for label in figures(picture)]
        assert sorted(numbers) == sorted(mark.number for mark in diagram.marks)
        letters = [label.text for label in picture.labels if label.bold and not label.on_ink]
        assert sorted(letters) == sorted(lying.wanted.key for lying in diagram.lying)
        black = sum(1 for area in picture.areas if area.shade is Shade.INK)
        assert black == len(numbers)


@pytest.mark.parametrize("edition", EDITIONS_OF_BOOK)
def test_letters_lie_on_their_pieces_and_clear_of_lines(edition: str) -> None:
    for diagram, picture in drawn(edition):
        assert picture.width == PAPER_WIDTH[edition]
        crossed = [label for label in picture.crossed_labels() if not label.on_ink]
        assert crossed == []
        left, _, right, top = _sheet_box(picture)
        factor = (right - left) / float(diagram.length)
        for lying in diagram.lying:
            letters = [label for label in picture.labels if label.text == lying.wanted.key and not label.on_ink]
            x, y = float(lying.at.x) * factor + left, top - float(lying.at.y) * factor
            box = (x, y - float(lying.at.width) * factor, x + float(lying.at.length) * factor, y)
            assert any(boxes_overlap(label.box, box) for label in letters)


def _sheet_box(picture: Picture) -> tuple[float, float, float, float]:
    outline = next(stroke for stroke in picture.strokes if stroke.kind is LineKind.NEW_OUTLINE)
    xs, ys = [x for x, _ in outline.points], [y for _, y in outline.points]
    return min(xs), min(ys), max(xs), max(ys)


@pytest.mark.parametrize("edition", EDITIONS_OF_BOOK)
def test_words_and_figures_of_one_piece_keep_apart(edition: str) -> None:
    for _, picture in drawn(edition):
        assert picture.overlapping_labels() == ()
        for a, b in combinations(figures(picture), 2):
            assert not boxes_overlap(a.box, b.box)


def test_waste_is_hatched_and_what_is_kept_is_not() -> None:
    for diagram, picture in drawn("metric", students=4):
        waste = [rest for rest in diagram.rests if not rest.keep and min(rest.at.length, rest.at.width) > 60]
        hatched = dict(facts(picture).lengths).get(LineKind.HATCH, 0.0)
        assert (hatched > 0) == bool(waste)
        keep = [label.text for label in picture.labels if label.text.startswith("keep")]
        assert len(keep) <= sum(rest.keep for rest in diagram.rests)


def test_a_wide_kerf_is_drawn_true_and_a_thin_one_as_one_line() -> None:
    edition, practice = EDITIONS["metric"], USUAL["metric"]
    plan = bookcase("metric")
    wide = replace(practice, kerf=practice.kerf * 8)
    task = tasks_of(plan, wide)[0]
    diagram = diagrams_of(solve(task), wide)[0]
    picture = layout_picture(diagram, edition, of=1, material="birch plywood")
    left, _, right, _ = _sheet_box(picture)
    factor = (right - left) / float(diagram.length)
    blades = [area for area in picture.areas if area.shade is Shade.INK][: len(diagram.marks)]
    for area in blades:
        xs, ys = [x for x, _ in area.outer], [y for _, y in area.outer]
        assert min(max(xs) - min(xs), max(ys) - min(ys)) == pytest.approx(24 * factor, abs=0.01)
    thin = drawn("metric")[0][1]
    assert LineKind.OUTLINE in dict(facts(thin).lengths)


def test_the_alternative_text_tells_pieces_sizes_and_what_to_keep() -> None:
    diagram, picture = drawn("imperial")[0]
    for lying in diagram.lying:
        assert f"{lying.wanted.key}, {lying.wanted.name}" in picture.alt
    assert "96 in by 48 in" in picture.alt
    assert f"{len(diagram.marks)} numbered cuts" in picture.alt


def test_white_figures_survive_in_svg() -> None:
    _, picture = drawn("imperial")[0]
    svg = to_svg(picture, ids="x", medium="print")
    assert len(re.findall(r"<text[^>]*#ffffff", svg)) == len(figures(picture))


def test_a_sheet_wider_than_high_stays_on_the_page() -> None:
    plan, practice = bookcase("imperial"), USUAL["imperial"]
    task = tasks_of(plan, practice)[0]
    square = replace(task, sheet=replace(task.sheet, length=60 * 32, width=60 * 32))
    for diagram in diagrams_of(solve(square), practice):
        picture = layout_picture(diagram, plan.edition, of=1, material="birch plywood")
        assert diagram.width == 60 * INCH
        assert picture.height <= 125
