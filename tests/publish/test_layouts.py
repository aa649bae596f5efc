from __future__ import annotations

import json
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from sample_plan import bookcase
from sample_sheet import THEME
from sample_site import info

from planbook.cutting.diagram import Setting, diagrams_of
from planbook.cutting.kept import solution_data, solution_from, task_key
from planbook.cutting.lots import solve, tasks_of
from planbook.cutting.practice import USUAL
from planbook.cutting.problem import Way
from planbook.plan.model import ToolUse
from planbook.publish import layouts
from planbook.publish.accepted import FILE, read_accepted, write_accepted
from planbook.publish.cache import Store
from planbook.publish.layout_words import diagram_rows, proof
from planbook.publish.layouts import cutting_of, lot_of, lots_of
from planbook.publish.sheet import sheet
from planbook.publish.sheet_runs import plain

EDITIONS = ("imperial", "metric")


@pytest.mark.parametrize("edition", EDITIONS)
def test_each_diagram_is_told_in_full(edition: str, tmp_path: Path) -> None:
    plan = bookcase(edition)
    cutting = cutting_of(plan, USUAL[edition], Store(tmp_path))
    data = sheet(plan, info(), pictures=cutting.alts, cutting=cutting.rows)
    assert json.loads(json.dumps(data["cutting"])) == data["cutting"]
    assert data["cutting"]
    for row in data["cutting"]:
        assert row["picture"] in cutting.screen
        assert row["picture"] in cutting.paper
        assert row["title"] in cutting.alts[row["picture"]]
        assert row["proof"].endswith(".")
        assert {one["letter"] for cut in row["cuts"] for one in cut["for"]} == {one["letter"] for one in row["letters"]}
    wanted = {part.letter for part in plan.parts if plan.stock_named(part.stock).sheet is not None}
    assert {one["letter"] for row in data["cutting"] for one in row["letters"]} == wanted


def test_the_first_cut_trims_the_factory_edge_and_settings_are_in_the_writing_of_the_edition(tmp_path: Path) -> None:
    row = cutting_of(bookcase("imperial"), USUAL["imperial"], Store(tmp_path)).rows[0]
    assert plain(row["cuts"][0]["setting"]) == 'trim the factory edge, ¹⁄₄"'
    assert row["cuts"][0]["all"]
    assert row["sheet"] == "96 × 48"
    assert row["kerf"] == '¹⁄₈"'
    metric = cutting_of(bookcase("metric"), USUAL["metric"], Store(tmp_path)).rows[0]
    assert plain(metric["cuts"][0]["setting"]) == "trim the factory edge, 6"


def test_a_layout_is_looked_for_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    plan, practice, store = bookcase("metric"), USUAL["metric"], Store(tmp_path)
    first = cutting_of(plan, practice, store)

    def never(*_: object) -> None:
        raise AssertionError("looked for again")

    monkeypatch.setattr("planbook.cutting.lots.solve", never)
    monkeypatch.setattr(layouts, "_draw", never)
    assert cutting_of(plan, practice, Store(tmp_path)) == first


def test_other_words_in_the_plan_keep_the_layout(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    plan, practice = bookcase("metric"), USUAL["metric"]
    before, _ = lots_of(plan, practice, Store(tmp_path))
    monkeypatch.setattr("planbook.cutting.lots.solve", None)
    after, _ = lots_of(replace(plan, title="Another title"), practice, Store(tmp_path))
    assert [lot.solution.layouts for lot in before] == [lot.solution.layouts for lot in after]


def test_a_part_too_large_is_a_warning_at_the_part_and_the_rest_is_cut(tmp_path: Path) -> None:
    plan = bookcase("metric")
    side = replace(plan.part("side"), body_length=Fraction(3000))
    changed = replace(plan, parts=(side, *plan.parts[1:]))
    cutting = cutting_of(changed, USUAL["metric"], Store(tmp_path))
    assert [(fault.slug, fault.span) for fault in cutting.faults] == [("larger-than-stock", side.span)]
    assert side.stock not in {row["stock"] for row in cutting.rows}
    assert len(cutting.rows) >= 1


def test_accepted_layouts_come_back_and_others_do_not(tmp_path: Path) -> None:
    plan, practice = bookcase("metric"), USUAL["metric"]
    lots, _ = lots_of(plan, practice, None)
    write_accepted(tmp_path, lots)
    kept = read_accepted(tmp_path)
    for lot in lots:
        assert solution_from(kept[task_key(lot.task)], lot.task) == replace(
            lot.solution, work=type(lot.solution.work)()
        )
    thick = replace(practice, kerf=Fraction(4))
    assert all(task_key(task) not in kept for task in tasks_of(plan, thick))


def test_an_accepted_layout_stands_where_another_would_be_found(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    plan, practice = bookcase("metric"), USUAL["metric"]
    lots, _ = lots_of(plan, practice, None)
    write_accepted(tmp_path, lots)
    monkeypatch.setattr("planbook.cutting.lots.solve", None)
    for lot in lots:
        assert lot_of(lot.task, None, accepted=read_accepted(tmp_path)).solution.layouts == lot.solution.layouts


@pytest.mark.parametrize(
    "text", ["", "[]", "{", '{"form": 1}', '{"form": 99, "layouts": {}}', '{"form": 1, "layouts": 3}']
)
def test_a_damaged_file_of_accepted_layouts_holds_none(tmp_path: Path, text: str) -> None:
    (tmp_path / FILE).write_text(text)
    assert read_accepted(tmp_path) == {}


def test_a_kept_layout_that_does_not_give_the_parts_is_not_used() -> None:
    lots, _ = lots_of(bookcase("metric"), USUAL["metric"], None)
    lot = lots[0]
    data = json.loads(json.dumps(solution_data(lot.solution)))
    assert solution_from(data, lot.task) is not None
    for change in ({"layouts": []}, {"layouts": "none"}, {"cost": None}):
        assert solution_from({**data, **change}, lot.task) is None
    data["layouts"][0][3] += 1
    assert solution_from(data, lot.task) is None


def test_proofs_name_what_they_hold_for() -> None:
    lots, _ = lots_of(bookcase("imperial"), USUAL["imperial"], None)
    assert proof(lots[0]).startswith("One sheet is the least possible: the parts need")
    many, _ = lots_of(bookcase("imperial"), USUAL["imperial"], None, students=12)
    sheets = sum(layout.repeats for layout in many[0].solution.layouts)
    assert sheets > 1
    assert proof(many[0]).startswith(f"{sheets} sheets; fewer are impossible")
    lot = many[0]
    searched = replace(lot, solution=replace(lot.solution, bound_any=0))
    assert "impossible" in proof(searched)
    open_ = replace(lot, solution=replace(lot.solution, bound=sheets - 1, bound_any=0, cost=sheets))
    if "area" not in proof(open_):
        assert proof(open_).endswith(f"whether fewer than {sheets} are enough is open.")


def test_a_handout_shows_the_diagrams(tmp_path: Path) -> None:
    import io

    from pypdf import PdfReader

    from planbook.publish.handout import handout

    plan = bookcase("imperial")
    cutting = cutting_of(plan, USUAL["imperial"], Store(tmp_path))
    data = sheet(plan, info(), cutting=cutting.rows)
    pdf = handout(data, cutting.paper, paper="letter", theme_dir=THEME)
    text = "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages)
    assert text.count("Cutting the sheet") >= len(cutting.rows)
    assert "trim the factory edge" in text
    assert "One sheet is the least possible" in text


def test_a_piece_too_short_for_the_named_saw_is_told_with_the_mend() -> None:
    """12 in (300 mm) at the table saw, 3 in (75 mm) at the band saw: the table of machines."""

    plan = bookcase("imperial")
    task = tasks_of(plan, USUAL["imperial"])[0]
    diagram = diagrams_of(solve(task), USUAL["imperial"])[0]
    piece = task.wanted[0]
    short = Setting((1,), Way.RIP, Fraction(100), False, (piece,), (piece.key,), False, Fraction(200))

    def told(tool: str) -> str:
        use = ToolUse(key=tool, text=tool, count=1)
        first = replace(plan.steps[0], tools=(use,))
        parts = tuple(replace(part, made_in=first.number) for part in plan.parts)
        sawn = replace(plan, parts=parts, steps=(first, *plan.steps[1:]))
        rows = diagram_rows(sawn, replace(diagram, settings=(short,)))
        return str(rows["cuts"][0]["remark"])

    assert "too short for the table saw: rip a longer piece first" in told("table saw")
    assert told("band saw") == ""
