from __future__ import annotations

import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planbook.source.diagnostics import Diagnostic, Findings, Span
from planbook.source.files import SourceFile
from planbook.source.text import Text
from planbook.source.yaml_nodes import DEEPEST, MOST_VALUES, Node, load


def read(text: str, **place: int) -> tuple[Node | None, list[Diagnostic]]:
    findings = Findings()
    return load(SourceFile("plan.yaml", text), findings, **place), list(findings)


def good(text: str, **place: int) -> Node:
    node, found = read(text, **place)
    assert found == []
    assert node is not None
    return node


def only(text: str) -> Diagnostic:
    _, found = read(text)
    assert len(found) == 1, [item.message for item in found]
    return found[0]


def marked(text: str, span: Span | None) -> str:
    assert span is not None
    lines = text.split("\n")
    if span.line == span.end_line:
        return lines[span.line - 1][span.column - 1 : span.end_column - 1]
    return lines[span.line - 1][span.column - 1 :] + "..."


def test_every_scalar_stays_as_typed() -> None:
    node = good("a: 2:1\nb: 010\nc: no\nd: 1.10\ne: ~\nf:\ng: 8:30\nh: 5' 4\"\ni: '#8'\n")
    assert node.data == {
        "a": "2:1", "b": "010", "c": "no", "d": "1.10", "e": "~", "f": "", "g": "8:30", "h": "5' 4\"", "i": "#8",
    }  # fmt: skip
    assert all(type(value) is Text for value in node.data.values())


def test_spans_are_the_columns_of_the_file() -> None:
    text = "é: \"ab cd\"\nparts: [x, 'y z', {of: ply}]\nnote: 木 wood\n"
    node = good(text)
    assert marked(text, node.table.keys[("é",)]) == "é"
    assert marked(text, node.table.values[("é",)]) == "ab cd"
    assert marked(text, node.data["é"].part(3, 5).span) == "cd"
    assert marked(text, node.table.values[("parts",)]) == "[x, 'y z', {of: ply}]"
    assert marked(text, node.table.values[("parts", 1)]) == "y z"
    assert marked(text, node.table.values[("parts", 2, "of")]) == "ply"
    assert marked(text, node.data["note"].part(2, 6).span) == "wood"
    assert marked(text, next(iter(node.data)).span) == "é"


def test_folded_and_literal_texts_keep_their_beginning() -> None:
    text = "a: one\n  two\nb: |\n  three\n  four\nc: x\n"
    node = good(text)
    assert node.data == {"a": "one two", "b": "three\nfour\n", "c": "x"}
    assert (node.data["a"].span.line, node.data["a"].span.column) == (1, 4)
    assert (node.data["b"].span.line, node.data["b"].span.column) == (3, 4)


def test_a_document_inside_another_file_is_placed_there() -> None:
    node = good("{cuts: [dados]}", first_line=12, first_column=5)
    assert node.table.values[("cuts", 0)] == Span("plan.yaml", 12, 13, 12, 18)


def test_the_table_falls_back_on_what_is_around() -> None:
    node = good("a: {b: c}\n")
    assert node.table.value(("a", "b", 3, "x")) == node.table.values[("a", "b")]
    assert node.table.key(("a", "zz")) == node.table.keys[("a",)]
    assert node.table.key(("zz",)) == node.span


def test_a_word_written_twice_shows_both_places() -> None:
    text = "a: 1\nb: {x: 1, y: 2}\nb: {x: 3, x: 4}\na: 5\n"
    node, found = read(text)
    assert [(item.slug, marked(text, item.span), item.further[0][0].line) for item in found] == [
        ("repeated-word", "b", 2),
        ("repeated-word", "x", 3),
        ("repeated-word", "a", 1),
    ]
    assert node is not None
    assert node.data == {"a": "1", "b": {"x": "1", "y": "2"}}
    assert node.table.values[("b", "x")].line == 2


@pytest.mark.parametrize(
    ("text", "gauges"),
    [
        ("by: #8 x 2 in\n", ["#8"]),
        ("by: wood screw #8 x 2 in # 3\n", ["#8"]),
        ("by: [glue, screw #10 x 2 in\n  ]\n", ["#10"]),
        ("a: x #8\nb: y #6\n", ["#8", "#6"]),
        ('c: "a #8" #7\n', ["#7"]),
        ("by: {x: #8 x 2 in, n: 3}\nz: 4\n", ["#8"]),
        ("by: [#8 x 2 in]\n", ["#8"]),
    ],
)
def test_a_gauge_behind_a_hash_is_not_lost_silently(text: str, gauges: list[str]) -> None:
    _, found = read(text)
    assert [(item.slug, marked(text, item.span)) for item in found] == [("lost-after-hash", gauge) for gauge in gauges]
    assert found[0].help == f"write `No. {gauges[0][1:]}`, or put the whole value in quotes"


@pytest.mark.parametrize(
    "text",
    [
        "#8 screws\na: b\n",
        "a: b # 8 screws\n",
        "a: b # see #8\n",
        "a: x#8\n",
        "a: '#8 x 2'\n",
        "a: |\n  x #8\nb: c\n",
        "a: b\n  # 2\n  #3\n",
    ],
)
def test_remarks_are_left_alone(text: str) -> None:
    assert read(text)[1] == []


# Each row: the source, what is marked, a part of the message, a part of the help.
BROKEN = [
    ("a: b: c", ":", "a second `:`", '"b: c"'),
    ("a: x\n b: 2", " b", "has a value already", "line it up"),
    ("a: [1, 2\nb: 3", "[", "neither a comma nor its `]`", "close it with `]`"),
    ("{a: b", "{", "neither a comma nor its `}`", "close it with `}`"),
    ('a: "x\nb: 2', '"', "never closed", "inch marks need no quotes"),
    ("a: @x", "@", "cannot begin with `@`", '"@x"'),
    ("a: `x`", "`", "a backtick", "quotes"),
    ("a: *", "*", "cannot begin with `*`", "quotes"),
    ("- a\nb: c", "b: c", "does not begin with `- `", "`- b: c`"),
    ("a: b\n- c", "-", "a list item stands among", "indent the list"),
    ('a: "16 1/2" in"', 'in"', "stands after the closing", "'16 1/2\" in'"),
    ("a: {b} more", "more", "stands after the closing `}`", '"{b} more"'),
    ('a: "\\q"', "\\q", "a backslash", "single quotes"),
    ("key: value\nno colon here\nz: 1", "no colon here", "has no `:`", "word: value"),
    ("a:\n  b: 1\n c: 2", "c: 2", "does not line up", "indent it"),
    ("a: - b", "-", "cannot begin on the same line", "`[b]`"),
    ("a: > x\n  foo", "x", "same line as `>`", "next line"),
    ("x: ]", "]", "where a value is wanted", "write the value"),
]


@pytest.mark.parametrize(("text", "mark", "message", "cure"), BROKEN)
def test_broken_yaml_is_told_once_in_plain_words(text: str, mark: str, message: str, cure: str) -> None:
    fault = only(text)
    assert fault.slug == "broken-yaml"
    assert marked(text, fault.span) == mark
    assert message in fault.message
    assert cure in (fault.help or "")


def test_tabs_are_told_line_by_line_and_nothing_else() -> None:
    text = "a:\n\tb: c\nd:\n  \te: f\n"
    _, found = read(text)
    assert [(item.slug, item.span and (item.span.line, item.span.column)) for item in found] == [
        ("tab-indent", (2, 1)),
        ("tab-indent", (4, 3)),
    ]


def test_aliases_anchors_and_tags_are_refused_with_their_places() -> None:
    text = "a: &x b\nc: *x\nd: &y 3\ne: !!int 3\n"
    node, found = read(text)
    assert node is None
    assert [(item.slug, marked(text, item.span)) for item in found] == [
        ("alias-refused", "*x"),
        ("alias-refused", "&y"),
        ("tag-refused", "!!int"),
    ]
    assert marked(text, found[0].further[0][0]) == "&x"


def test_a_bomb_of_aliases_is_refused_at_once() -> None:
    lines = ["a: &a [x,x,x,x,x,x,x,x,x]"]
    lines += [f"{chr(98 + i)}: &{chr(98 + i)} [{','.join([f'*{chr(97 + i)}'] * 9)}]" for i in range(20)]
    begin = time.perf_counter()
    node, found = read("\n".join(lines))
    assert node is None
    assert {item.slug for item in found} == {"alias-refused"}
    assert time.perf_counter() - begin < 1


@pytest.mark.parametrize("levels", [DEEPEST + 1, 900, 50_000])
def test_deep_nesting_is_refused(levels: int) -> None:
    assert only("a: " + "[" * levels).slug == "nested-too-deep"


def test_the_deepest_allowed_nesting_is_read() -> None:
    good("a: " + "[" * (DEEPEST - 1) + "]" * (DEEPEST - 1))


def test_too_many_values_are_refused() -> None:
    assert only("a: [" + ",".join(["x"] * (MOST_VALUES + 1)) + "]").slug == "too-many-values"


@pytest.mark.parametrize(
    ("text", "slug", "mark"),
    [
        ("---\na: 1\n---\nb: 2\n", "several-documents", "---"),
        ("- a\n", "wrong-shape", "- a"),
        ("just words\n", "wrong-shape", "just words"),
        ("# nothing\n", "wrong-shape", "#"),
        ("a: {{x}}\n", "wrong-shape", "{"),
        ("a: \x01\n", "not-text", "\x01"),
        ("a: \ud800\n", "not-text", "\ud800"),
    ],
)
def test_other_documents_are_refused(text: str, slug: str, mark: str) -> None:
    fault = only(text)
    assert fault.slug == slug
    assert marked(text, fault.span) == mark


@settings(max_examples=400, deadline=None)
@given(st.text(alphabet=st.sampled_from(" \t\n:-#[]{},'\"|>&*!%@`?\\abé木18\x85\u2028\x00\ud800"), max_size=60))
def test_any_text_gives_a_node_or_a_finding(text: str) -> None:
    node, found = read(text)
    assert node is not None or any(item.severity == "stop" for item in found)
    for item in found:
        assert item.span is not None
        assert item.span.line >= 1
        assert (item.span.end_line, item.span.end_column) > (item.span.line, item.span.column)


KEYS = st.from_regex(r"[a-z]{1,6}( [a-z]{1,4})?", fullmatch=True)
VALUES = st.from_regex(r"[a-z0-9]([a-z0-9./' ]{0,8}[a-z0-9])?", fullmatch=True)


@settings(max_examples=150, deadline=None)
@given(st.dictionaries(KEYS, VALUES, min_size=1, max_size=5))
def test_spans_point_at_the_very_characters(data: dict[str, str]) -> None:
    text = "".join(f"{key}:  {value}\n" for key, value in data.items())
    node = good(text)
    assert node.data == data
    for key, value in data.items():
        assert marked(text, node.table.keys[(key,)]) == key
        assert marked(text, node.table.values[(key,)]) == value
