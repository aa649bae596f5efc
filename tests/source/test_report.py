from __future__ import annotations

import json
import unicodedata

from hypothesis import given, settings
from hypothesis import strategies as st

from planbook.source.diagnostics import Diagnostic, Severity, Span
from planbook.source.files import SourceFile, Sources
from planbook.source.report import WIDEST, render, to_json


def shown(text: str, column: int, end: int, *, line: int = 1, end_line: int | None = None) -> list[str]:
    sources = Sources()
    sources.add(SourceFile("plan.yaml", text))
    span = Span("plan.yaml", line, column, end_line or line, end)
    return render(Diagnostic("a-fault", Severity.STOP, "a message", span), sources).split("\n")


def test_a_finding_is_shown_with_its_line_mark_further_places_help_and_rule() -> None:
    sources = Sources()
    sources.add(SourceFile("plans/bench/plan.yaml", "one: 1\n" * 41 + "parts: {hihg: 3 in}\n"))
    fault = Diagnostic(
        "unknown-word",
        Severity.STOP,
        "`hihg` is not a word of `parts`",
        Span("plans/bench/plan.yaml", 42, 9, 42, 13),
        ((Span("plans/bench/plan.yaml", 3, 1, 3, 4), "written here first"),),
        "write `high`",
        "common practice, no source",
    )
    assert render(fault, sources) == (
        "stop[unknown-word]: `hihg` is not a word of `parts`\n"
        "  --> plans/bench/plan.yaml:42:9\n"
        "   |\n"
        "42 | parts: {hihg: 3 in}\n"
        "   |         ^^^^\n"
        "  see: plans/bench/plan.yaml:3:1: written here first\n"
        "  |\n"
        "3 | one: 1\n"
        "  | ^^^\n"
        "  help: write `high`\n"
        "  rule: common practice, no source"
    )


def test_a_finding_without_a_place_or_a_known_file_is_still_told() -> None:
    assert render(Diagnostic("x", Severity.NOTE, "a message"), Sources()) == "note[x]: a message"
    away = Diagnostic("x", Severity.WARN, "a message", Span("gone.yaml", 3, 2, 3, 4))
    assert render(away, Sources()) == "warn[x]: a message\n  --> gone.yaml:3:2"


def test_tabs_and_wide_letters_keep_the_mark_under_the_words() -> None:
    assert shown("\tkick:\tx", 8, 9)[-2:] == ["1 |     kick:   x", "  |             ^"]
    assert shown("名前: 木工 wd", 5, 7)[-1] == "  |       ^^^^"
    assert shown("名前: 木工 wd", 8, 10)[-1] == "  |            ^^"
    assert shown("cafe\u0301: bad", 8, 11)[-1] == "  |       ^^^"


def test_long_lines_are_cut_round_the_mark() -> None:
    *_, line, mark = shown("x" * 300 + "BAD" + "y" * 300, 301, 304)
    assert line.startswith("1 | …x")
    assert line.endswith("y…")
    assert line[mark.index("^") : mark.rindex("^") + 1] == "BAD"
    assert len(line) <= WIDEST + 6
    *_, line, mark = shown("z" * 500, 1, 501)
    assert len(line) <= WIDEST + 6
    assert mark.count("^") == WIDEST


def test_a_stretch_of_lines_is_marked_to_the_end_of_its_first() -> None:
    assert shown("a: one\n  two\n", 4, 6, end_line=2)[-1] == "  |    ^^^"


def test_a_mark_behind_the_end_of_a_line_is_one_wide() -> None:
    assert shown("a:", 3, 4)[-2:] == ["1 | a:", "  |   ^"]


def test_control_characters_never_reach_the_terminal() -> None:
    out = "\n".join(shown("a: \x1b[31mred\u202e", 4, 8))
    assert "\x1b" not in out
    assert "\u202e" not in out
    assert "\x1b" not in render(Diagnostic("x", Severity.STOP, "`\x1b[2J`", help="\x07"), Sources())


def test_json_has_fixed_keys() -> None:
    span = Span("plan.yaml", 1, 2, 3, 4)
    facts = to_json(Diagnostic("x", Severity.WARN, "m", span, ((span, "r"),), "h", "s"))
    place = {"file": "plan.yaml", "line": 1, "column": 2, "end_line": 3, "end_column": 4}
    assert json.loads(json.dumps(facts)) == {
        "slug": "x", "severity": "warn", "message": "m", **place, "help": "h", "rule": "s",
        "further": [{**place, "remark": "r"}],
    }  # fmt: skip
    assert to_json(Diagnostic("x", Severity.WARN, "m")).keys() == facts.keys()


@settings(max_examples=300, deadline=None)
@given(st.text(max_size=300), st.integers(1, 320), st.integers(0, 320))
def test_any_line_can_be_shown(text: str, column: int, width: int) -> None:
    for row in shown(text, column, column + width):
        assert all(char == "\ufffd" or unicodedata.category(char) != "Cc" for char in row)
