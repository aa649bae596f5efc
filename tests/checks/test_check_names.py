from __future__ import annotations

from pathlib import Path

import pytest
from checks.altered import found, written

from planbook.checks.names import named_in
from planbook.source.diagnostics import Severity
from planbook.source.formula.names import NameTable

DIM = ("  kick: 3 in\n", "  kick: 3 in\n  reach: 2 in\n")


def test_the_longest_name_in_a_text_counts():
    table = NameTable(["pin", "pin start", "kick", "kick board", "high"])
    assert list(named_in("pin start above kick board + 2 * high", table)) == ["pin start", "kick board", "high"]


def test_what_stands_behind_a_dot_is_no_name():
    table = NameTable(["side", "high"])
    assert list(named_in("side.high + 1 in", table)) == ["side"]


def test_a_dim_that_nothing_names_is_doubtful(tmp_path: Path):
    (item,) = found("unused-dim", written(tmp_path, DIM))
    assert item.severity is Severity.WARN
    assert "the dim `reach`" in item.message
    assert item.span is not None
    assert item.span.file == "plans/bookcase/plan.yaml"
    assert item.span.line == 8


@pytest.mark.parametrize(
    "use",
    [
        ("set back: 1/2 in", "set back: reach / 4"),
        ("rows: [2 in from front", "rows: [reach from front"),
        ("underside: kick above floor", "underside: kick + reach - reach above floor"),
        ("test: {of: ply, length: 6 in}", "test: {of: ply, length: 3 * reach}"),
        ("- Brush a thin, even coat of glue on the plywood edge.", "- Brush a coat of glue {reach} wide."),
    ],
)
def test_one_use_of_a_dim_is_enough(tmp_path: Path, use: tuple[str, str]):
    assert found("unused-dim", written(tmp_path, DIM, use)) == ()


def test_a_longer_name_is_no_use_of_a_shorter_one(tmp_path: Path):
    # `board` stands in `kick board` only.
    (item,) = found("unused-dim", written(tmp_path, ("  kick: 3 in\n", "  kick: 3 in\n  board: 2 in\n")))
    assert "the dim `board`" in item.message


TOOL = ("bought: {wall strap: 2", "tools: {story stick: carries all heights of the case}\nbought: {wall strap: 2")


def test_a_tool_of_the_plan_that_no_step_uses_is_doubtful(tmp_path: Path):
    (item,) = found("unused-tool", written(tmp_path, TOOL))
    assert item.severity is Severity.WARN
    assert "the tool `story stick`, but none of its 13 steps uses it" in item.message


def test_a_tool_of_the_plan_in_one_step_is_used(tmp_path: Path):
    use = ("with: [drill, level]", "with: [drill, level, story stick]")
    assert found("unused-tool", written(tmp_path, TOOL, use)) == ()
