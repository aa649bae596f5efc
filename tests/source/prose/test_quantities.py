from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planbook.source.diagnostics import Findings
from planbook.source.prose.locate import Line, Passage, read_inlines
from planbook.source.prose.quantities import TypedQuantity, typed_quantities


def found_in(*lines: str) -> tuple[TypedQuantity, ...]:
    passage = Passage("f.md", tuple(Line(line, number, 1) for number, line in enumerate(lines, 1)))
    return typed_quantities(read_inlines(passage, Findings()))


@pytest.mark.parametrize(
    ("typed", "kind", "literal"),
    [
        ("3/4 in", "length", "3/4 in"),
        ('16-1/2"', "length", "16-1/2 in"),
        ("16 1/2 inches", "length", "16 1/2 in"),
        ("19 mm", "length", "19 mm"),
        ("0.5 mm", "length", "0.5 mm"),
        ("3,5 mm", "length", "3.5 mm"),
        ("1,000 mm", "length", "1000 mm"),
        ("5' 4\"", "length", "5' 4\""),
        ("5 ft 4 in", "length", "5' 4\""),
        ("5'-4 1/2\"", "length", "5' 4 1/2\""),
        ("8 ft", "length", "8 ft"),
        ("12-inch", "length", "12 in"),
        ("3/4-in", "length", "3/4 in"),
        ("½ in", "length", "1/2 in"),
        ("16½″", "length", "16 1/2 in"),
        ("16¹¹⁄₁₆ in", "length", "16 11/16 in"),
        ("2.4 metres", "length", "2.4 m"),
        ("12 degrees", "angle", "12 deg"),
        ("45°", "angle", "45 deg"),
        ("70 °F", "temperature", "70 °F"),
        ("21 degrees C", "temperature", "21 °C"),
        ("2 lb", "mass", "2 lb"),
        ("500 g", "mass", "500 g"),
        ("13.9 fl oz", "volume", "13.9 fl oz"),
        ("21.8 cu in", "volume", "21.8 cu in"),
        ("411 ml", "volume", "411 ml"),
    ],
)
def test_sizes_are_found_with_their_place(typed: str, kind: str, literal: str) -> None:
    (quantity,) = found_in(f"- set it to {typed}, then lock it")
    assert (quantity.text, quantity.kind, quantity.literal) == (typed, kind, literal)
    assert (quantity.text.span.column, quantity.text.span.end_column) == (13, 13 + len(typed))


@pytest.mark.parametrize(
    "line",
    [
        "wait 30 minutes, then 2 h more, 45 s each",
        "a No. 8 screw and a #8 one",
        "a 2 x 4, 8 of them",
        "put 4 in each bag and 2 in the rack",
        "a slope of 1 in 8",
        "step 3 in red, see class 4 in spring",
        "rows of 3 in place, 2 in all",
        "mark it \"side 2\" and “side 3” and 'side 4'",
        "an M6 bolt, A4 paper, 120 grit",
        "200 mm² or 8 sq in",
        "the 1950's",
        "at {3/8 in} and {bottom.length}, `3/4 in` in code",
        "[words](page-3 'x') and <http://a.example/3/4in>",
        "{3} in",
        "12 of 24",
    ],
)
def test_what_is_no_size(line: str) -> None:
    assert found_in(line) == ()


def test_sizes_next_to_what_is_none() -> None:
    found = found_in('the "dado" is 3" from "side 2" (76 mm), No. 8 x 2 in, 1/2–3/4 in')
    assert [str(quantity.text) for quantity in found] == ['3"', "76 mm", "2 in", "3/4 in"]


def test_sizes_in_bold_in_links_and_over_a_line_end() -> None:
    found = found_in("cut **3/4", "in** deep, [about 5 mm](x), **2** ft")
    assert [(str(quantity.text), quantity.literal) for quantity in found] == [
        ("3/4 in", "3/4 in"),
        ("5 mm", "5 mm"),
        ("2 ft", "2 ft"),
    ]
    span = found[0].text.span
    assert (span.line, span.column, span.end_line, span.end_column) == (1, 7, 2, 3)


@settings(deadline=None)
@given(st.text(alphabet="0123456789/ .,'\"”½⁄₂¹-inftm°{}*#x", max_size=40))
def test_no_text_breaks_it(text: str) -> None:
    for quantity in found_in(text):
        assert quantity.text.strip() == quantity.text
