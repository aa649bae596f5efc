from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planbook.source.diagnostics import Span
from planbook.source.formula.faults import FormulaError
from planbook.source.formula.names import NameTable
from planbook.source.formula.parser import Call, Formula, Name, Number, Row
from planbook.source.places.parser import (
    Extent,
    Place,
    Reference,
    Station,
    parse_extent,
    parse_place,
    parse_station,
)
from planbook.source.places.words import FEATURES, RELATIONS
from planbook.source.text import Text

KNOWN = NameTable(
    ["kick", "high", "side", "bottom", "seat", "back rabbet", "tenon", "shelf on top", "shelf", "left post"], ["thick"]
)


def at(text: str) -> Text:
    return Text(text, Span("plan.yaml", 4, 11, 4, 11 + max(1, len(text))))


def place(text: str) -> Place:
    return parse_place(at(text), KNOWN)


def written(text: str, tree: Formula | None) -> str:
    return "" if tree is None else text[tree.start : tree.end]


def parts(reference: Reference | None) -> tuple[str | None, str | None, str | None] | None:
    return None if reference is None else (reference.feature, reference.hand, reference.thing)


@pytest.mark.parametrize(
    ("text", "offset", "relation", "reference"),
    [
        ("kick above floor", "kick", "above", (None, None, "floor")),
        ("1 in below end of side", "1 in", "below", ("end", None, "side")),
        ("2 in from front", "2 in", "from", ("front", None, None)),
        ("1 1/2 in from rabbet", "1 1/2 in", "from", ("rabbet", None, None)),
        ("8 in above bottom", "8 in", "above", (None, None, "bottom")),
        ("3 in from left end", "3 in", "from", ("left end", None, None)),
        ("14 in right of inside of left side", "14 in", "right of", ("inside", "left", "side")),
        ("1 in from left of side", "1 in", "from", ("left", None, "side")),
        ("flush with front of side", "", "flush with", ("front", None, "side")),
        ("centred between side", "", "centred between", (None, None, "side")),
        ("middle of bottom", "", None, ("middle", None, "bottom")),
        ("front", "", None, ("front", None, None)),
        ("floor", "", None, (None, None, "floor")),
        ("right side", "", None, (None, "right", "side")),
        ("on shelf on top", "", "on", (None, None, "shelf on top")),
        ("1 in above left post", "1 in", "above", (None, None, "left post")),
        ("1 in behind back rabbet", "1 in", "behind", (None, None, "back rabbet")),
        ("1/2 in in from back edge of seat", "1/2 in", "in from", ("back edge", None, "seat")),
        ("5 in in front of seat", "5 in", "in front of", (None, None, "seat")),
        ("2 from front", "2", "from", ("front", None, None)),
        ("high - 2 * bottom.thick above floor", "high - 2 * bottom.thick", "above", (None, None, "floor")),
        ("min(kick, 2 in) above bottom", "min(kick, 2 in)", "above", (None, None, "bottom")),
        ("8  in   above\n bottom", "8  in", "above", (None, None, "bottom")),
        ("1 in below tenon of side", "1 in", "below", ("tenon", None, "side")),
        ("bottom of seat", "", None, ("bottom", None, "seat")),
        ("kick", "kick", None, (None, None, "kick")),
        ("kick + 1 in", "kick + 1 in", None, None),
        ("3 in", "3 in", None, None),
        ("bottom.thick", "bottom.thick", None, None),
    ],
)
def test_places_read_as_a_person_before_the_piece_says_them(
    text: str, offset: str, relation: str | None, reference: tuple[str | None, str | None, str | None] | None
) -> None:
    found = place(text)
    assert (written(text, found.offset), found.relation, parts(found.reference)) == (offset, relation, reference)


def test_offsets_keep_their_place_in_the_whole_text() -> None:
    found = place("high - 1 in above floor")
    assert isinstance(found.offset, Row)
    assert found.offset.first == Name("high", "", 0, 4)
    assert isinstance(place("max(kick, 1 in) above floor").offset, Call)
    assert found.reference is not None
    assert found.reference.span == Span("plan.yaml", 4, 29, 4, 34)


@pytest.mark.parametrize(
    ("text", "start", "stop", "less", "sign"),
    [
        ("front to rabbet less 1/8 in", "front", "rabbet", "1/8 in", -1),
        ("front to rabbet plus kick", "front", "rabbet", "kick", 1),
        ("floor to top of seat", "floor", "seat", "", 0),
        ("from top to 1/4 in below seat", "top", "seat", "", 0),
        ("kick above floor to 1 in below end of side less 2 * 3 mm", "floor", "side", "2 * 3 mm", -1),
    ],
)
def test_extents_run_from_place_to_place(text: str, start: str, stop: str, less: str, sign: int) -> None:
    found = parse_extent(at(text), KNOWN)
    assert found.start.reference is not None
    assert found.stop.reference is not None
    assert start in (found.start.reference.thing, found.start.reference.feature)
    assert stop in (found.stop.reference.thing, found.stop.reference.feature)
    assert (written(text, found.less), found.sign) == (less, sign)


def test_stations_give_a_size_at_a_place_or_along_an_extent() -> None:
    found = parse_station(at("tenon from top to 1/4 in below seat"), KNOWN)
    assert isinstance(found, Station)
    assert found.value == Name("tenon", "", 0, 5)
    assert isinstance(found.where, Extent)
    found = parse_station(at("full at 5 in below seat"), KNOWN)
    assert found.value is None
    assert isinstance(found.where, Place)
    assert (found.where.relation, parts(found.where.reference)) == ("below", (None, None, "seat"))
    found = parse_station(at("7/8 in at floor"), KNOWN)
    assert isinstance(found.value, Number)
    assert isinstance(found.where, Place)
    assert parts(found.where.reference) == (None, None, "floor")


FAULTS = [
    (parse_place, "2 in form front", "unknown-name", "form", "`from`"),
    (parse_place, "1 in below ned of side", "unknown-name", "ned", "`end`"),
    (parse_place, "1 in below end of syde", "unknown-name", "syde", "`side`"),
    (parse_place, "hihg above floor", "unknown-name", "hihg", "`high`"),
    (parse_place, "front-edge", "tight-minus", "front-edge", "`front edge`"),
    (parse_place, "1 in below back-rabbet", "tight-minus", "back-rabbet", "`back rabbet`"),
    (parse_place, "high-1/2 in above floor", "tight-minus", "high-1/2 in", "`high - 1/2 in`"),
    (parse_place, "1 5/4 in from front", "large-fraction", "5/4", "`2 1/4`"),
    (parse_place, "", "broken-place", "", "2 in from front"),
    (parse_place, "2 in from", "broken-place", "from", None),
    (parse_place, "kick above end of", "broken-place", "of", None),
    (parse_place, "kick above side bottom", "broken-place", "bottom", None),
    (parse_place, "1 in above bottom.thick", "broken-place", "bottom.thick", None),
    (parse_place, "kick above 3 in", "broken-place", "3 in", None),
    (parse_place, "above above floor", "broken-place", "floor", None),
    (parse_extent, "front rabbet", "broken-place", "front rabbet", "`front to rabbet`"),
    (parse_extent, "front too rabbet", "unknown-name", "too", "`to`"),
    (parse_extent, "front to", "broken-place", "to", None),
    (parse_extent, "front to rabbet less", "broken-place", "less", "1/8 in"),
    (parse_extent, "front to back to front", "broken-place", "to front", None),
    (parse_station, "1 in", "broken-place", "1 in", "at foot"),
    (parse_station, "tenun at foot", "unknown-name", "tenun", "`tenon`"),
    (parse_station, "from top to seat", "broken-place", "from", None),
]


@pytest.mark.parametrize(("parse", "text", "slug", "mark", "cure"), FAULTS)
def test_faults_are_marked_and_say_what_to_write(parse, text, slug, mark, cure) -> None:
    with pytest.raises(FormulaError) as caught:
        parse(at(text), KNOWN)
    fault = caught.value.diagnostic(at(text))
    assert fault.slug == slug
    assert fault.span is not None
    assert text[fault.span.column - 11 : fault.span.end_column - 11] == mark
    assert cure is None or cure in (fault.help or "")


OFFSETS = st.sampled_from(["", "3 in ", "kick ", "16 1/2 in ", "high - 2 in ", "(kick + 1 in) ", "5' 4\" "])
THINGS = st.sampled_from(["side", "left side", "seat", "back rabbet", "floor", "shelf on top"])


@settings(max_examples=300, deadline=None)
@given(OFFSETS, st.sampled_from(RELATIONS), st.one_of(st.none(), st.sampled_from(FEATURES)), THINGS)
def test_every_place_that_the_grammar_allows_is_read(
    offset: str, relation: str, feature: str | None, thing: str
) -> None:
    reference = f"{feature} of {thing}" if feature else thing
    found = place(f"{offset}{relation} {reference}")
    hand = "left" if thing == "left side" else None
    assert found.relation == relation
    assert (found.offset is None) == (offset == "")
    assert parts(found.reference) == (feature, hand, "side" if hand else thing)


WORDS = st.sampled_from(
    ["front", "of", "side", "left", "to", "less", "from", "above", "2 in", "1/2", "(", ")", "-", "*", "kick", "floor",
     "floor(", "full", "at", "in", "é", "front-edge", ".", ",", "'", "16-1/2", "5'", "seat.thick", "\n"]
)  # fmt: skip


@settings(max_examples=600, deadline=None)
@given(
    st.one_of(st.lists(WORDS, max_size=10).map(" ".join), st.text(max_size=30)),
    st.sampled_from([parse_place, parse_extent, parse_station]),
)
def test_garbage_is_a_located_fault_or_a_tree(text, parse) -> None:
    caught = None
    try:
        parse(at(text), KNOWN)
    except FormulaError as fault:
        caught = fault
    if caught is not None:
        assert 0 <= caught.start < caught.end
        assert caught.diagnostic(at(text)).span is not None
