from __future__ import annotations

import ast
import operator
from collections.abc import Callable
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planbook.source.diagnostics import Findings, Span
from planbook.source.formula.evaluate import evaluate
from planbook.source.formula.faults import FormulaError
from planbook.source.formula.field import read_field
from planbook.source.formula.names import NameTable
from planbook.source.formula.parser import DEEPEST, Name, parse
from planbook.source.formula.tokenizer import LONGEST
from planbook.source.text import Text
from planbook.units.quantity import ANGLE, LENGTH, NUMBER, Quantity, length, number

IN = Fraction(254, 10)
KNOWN = NameTable(
    ["a", "b", "n", "width", "ply", "shelf", "shelf dados", "side", "back screws", "back", "screws", "kicker's rail"],
    ["thick", "length", "deep", "inner width"],
)
VALUES = {
    "a": length(10 * IN),
    "b": length(2 * IN),
    "n": number(3),
    "width": length(36 * IN),
    "ply.thick": length(Fraction(1825, 100)),
    "shelf dados.deep": length(IN / 4),
    "side.inner width": length(20 * IN),
    "kicker's rail.length": length(5 * IN),
    "back screws": number(4),
}


def lookup(name: Name) -> Quantity:
    return VALUES[str(name)]


def value(text: str, unit: str | None = None) -> Quantity:
    return evaluate(parse(text, KNOWN), lookup, default_unit=unit)


def field(text: str, *, wants: str = "length", unit: str | None = None) -> tuple[Quantity | None, Findings]:
    findings = Findings()
    span = Span("plan.yaml", 3, 5, 3, 5 + max(len(text), 1))
    read = read_field(
        Text(text, span),
        word="high",
        wants=wants,
        known=KNOWN,
        lookup=lookup,
        default_unit=unit,
        findings=findings,
    )
    return read, findings


@pytest.mark.parametrize(
    ("text", "unit", "inches"),
    [
        ('16-1/2"', None, "33/2"),
        ('16 - 1/2"', "in", "31/2"),
        ("5' 4 1/2\"", None, "129/2"),
        ("5'-4\"", None, "64"),
        ("5' - 4\"", None, "56"),
        ("-5' 4\"", None, "-64"),
        ("3/4 in", None, "3/4"),
        ("10/4 in", None, "5/2"),
        ("min(a, 3 in)", None, "3"),
        ("max(a, 3 in, b)", None, "10"),
        ("min(a, 3)", "in", "3"),
        ("width - 2", "in", "34"),
        ("2 + a", "in", "12"),
        ("3", "in", "3"),
        ("12 - 2 * 3", "in", "6"),
        ("½ in", None, "1/2"),
        ("a − ½″", None, "19/2"),
        ("2 × a", None, "20"),
        ("a\u00a0-\u00a0b", None, "8"),
        ("floor(a + 1/32 in, 1/16 in)", None, "10"),
        ("ceil(a + 1/32 in, 1/16 in)", None, "161/16"),
        ("round_to(a + 1/32 in, 1/16 in)", None, "161/16"),
        ("round_to(-a - 1/32 in, 1/16 in)", None, "-161/16"),
        ("a - -b", None, "12"),
        ("a*-b/b", None, "-10"),
        ("(width - 2 * b) / 4", None, "8"),
        ("a / b * 1 in", None, "5"),
        ("sqrt(a * a)", None, "10"),
        ("sin(30 deg) * a", None, "5"),
        ("cos(60 deg) * a", None, "5"),
        ("tan(45 deg) * a", None, "10"),
        ("a + 15 % * a", None, "23/2"),
        ("shelf dados.deep * 2", None, "1/2"),
        ("shelf   dados.deep", None, "1/4"),
        ("side.inner width", None, "20"),
        ("kicker's rail.length", None, "5"),
        ("a\n  + b", None, "12"),
        ("back screws * 1 in", None, "4"),
    ],
)
def test_formulas_read_as_the_trade_means_them(text: str, unit: str | None, inches: str) -> None:
    read, findings = field(text, unit=unit)
    assert list(findings) == []
    assert read is not None
    assert (read.value, read.dimension, read.exact) == (Fraction(inches) * IN, LENGTH, True)


# Each row: the source, the unit of the file, the fault's name, what is marked, a part of the help.
FAULTS = [
    ('2 * 16-1/2"', None, "tight-minus", '16-1/2"', '`16 1/2"` for the mixed number, `16 - 1/2"`'),
    ('12-1/2-1/4"', None, "tight-minus", "12-1/2", "`12 1/2` for the mixed number, `12 - 1/2`"),
    ('16 - 1/2"', None, "wrong-unit", "-", "unit"),
    ('a-1/2"', None, "tight-minus", 'a-1/2"', '`a - 1/2"`'),
    ("width-1/2 in", None, "tight-minus", "width-1/2 in", "`width - 1/2 in`"),
    ('(a)-1/2"', None, "tight-minus", '-1/2"', '`) - 1/2"`'),
    ('16 -1/2"', None, "tight-minus", '16 -1/2"', '`16 - 1/2"` for the difference, `16 1/2"`'),
    ("back-screws", None, "tight-minus", "back-screws", "`back screws` for the name"),
    ("b-a", None, "tight-minus", "b-a", "`b - a`"),
    ("5' 4", None, "missing-inch-mark", "4", "`5' 4\"`"),
    ("5' 14\"", None, "many-inches", '14"', "`6' 2\"`"),
    ("3 / 4 in", None, "wrong-unit", "3 / 4 in", "`3/4 in`"),
    ("a + 3 / 4 in", None, "wrong-unit", "+", "`3/4 in`"),
    ("a * 1/2 in", None, "wrong-unit", "a * 1/2 in", "leave the `in` away"),
    ("1 5/4 in", None, "large-fraction", "5/4", "`2 1/4`"),
    ("2 width", None, "missing-mark", "2 width", "`2 * width`"),
    ("2 (a)", None, "missing-mark", "2 (", "`2 * (`"),
    ("width (a)", None, "missing-mark", "width (", "`width * (`"),
    ("40 min", None, "wrong-unit", "40 min", None),
    ("width - 2", None, "wrong-unit", "-", "unit"),
    ("width - n", "in", "wrong-unit", "-", "unit"),
    ("n", "in", "wrong-unit", "n", None),
    ("3", None, "wrong-unit", "3", "write `3 in` or `3 mm`"),
    ("1,5 m", None, "decimal-comma", "1,5", "`1.5`"),
    ("a^2", None, "broken-formula", "^", "`a * a`"),
    ("#8", None, "broken-formula", "#", "`No.`"),
    ("floor(a)", None, "missing-step", "floor(a)", "1/16 in"),
    ("floor(a, 2)", None, "wrong-unit", "2", None),
    ("floor(a, 0 in)", None, "zero-below", "0 in", None),
    ("sin(3)", None, "wrong-unit", "3", "`sin(12 deg)`"),
    ("tan(90 deg)", None, "zero-below", "90 deg", None),
    ("sqrt(a)", None, "wrong-unit", "sqrt(a)", "area"),
    ("a/0", None, "zero-below", "0", None),
    ("a / (b - b)", None, "zero-below", "b - b", None),
    ("1/0 in", None, "zero-below", "1/0", None),
    ("widht - 2 in", None, "unknown-name", "widht", "write `width`"),
    ("side.lngth", None, "unknown-name", "side.lngth", None),
    ("", None, "missing-value", "", "16 1/2 in"),
    ("(a", None, "open-bracket", "(", None),
    ("a)", None, "open-bracket", ")", None),
    ("a +", None, "missing-value", "+", None),
    ("* a", None, "missing-value", "*", None),
    ("min(a,)", None, "missing-value", ",", None),
    ("sqrt(a, b)", None, "broken-formula", "b", None),
    ("min", None, "broken-formula", "min", "`min(...)`"),
    ("mn(a, b)", None, "unknown-function", "mn", "write `min`"),
    ("a, b", None, "broken-formula", ",", None),
    ("ply.", None, "broken-formula", ".", "`.length`"),
    ("side.length.deep", None, "broken-formula", ".", None),
    ("70 F - 2 F", None, "wrong-unit", "-", "temperature"),
    ("9" * 31, None, "long-number", "9" * 31, None),
]


@pytest.mark.parametrize(("text", "unit", "slug", "mark", "cure"), FAULTS)
def test_faults_are_marked_and_say_what_to_write(
    text: str, unit: str | None, slug: str, mark: str, cure: str | None
) -> None:
    read, findings = field(text, unit=unit)
    assert read is None
    (fault,) = findings
    assert fault.slug == slug
    assert fault.span is not None
    assert text[fault.span.column - 5 : fault.span.end_column - 5] == mark
    assert cure is None or cure in (fault.help or "")


def test_the_field_names_what_it_wants() -> None:
    assert [item.message for item in field("3")[1]] == ["`high` wants a length, `3` is a plain number"]
    assert [item.message for item in field("3 in", wants="angle")[1]] == ["`high` wants an angle, `3 in` is a length"]
    read, _ = field("12 deg", wants="angle")
    assert read == Quantity(Fraction(12), ANGLE)


def test_the_longest_known_name_wins() -> None:
    assert parse("shelf dados", KNOWN) == Name("shelf dados", "", 0, 11)
    assert parse("back screws", NameTable(["back screws", "back"])) == Name("back screws", "", 0, 11)
    with pytest.raises(FormulaError, match="`screws`"):
        parse("back screws", NameTable(["back", "screws"]))
    with pytest.raises(FormulaError, match="`shelfs` is not known"):
        parse("shelfs", NameTable(["shelf"]))


@pytest.mark.parametrize(("text", "wanted"), [("sin(12 deg)", "0.207911691"), ("cos(12 deg)", "0.978147601"),
                                              ("tan(12 deg)", "0.212556562"), ("sqrt(2)", "1.414213562")])  # fmt: skip
def test_rounded_functions_say_so(text: str, wanted: str) -> None:
    # Nine places, from memory.
    found = value(text)
    assert (found.value, found.exact) == (Fraction(wanted), False)
    assert not value(f"{text} * a").exact


def test_bounds_hold() -> None:
    with pytest.raises(FormulaError) as long:
        parse("a + " * (LONGEST // 4 + 1) + "a", KNOWN)
    assert long.value.slug == "too-long"
    with pytest.raises(FormulaError) as deep:
        parse("(" * (DEEPEST + 1) + "a" + ")" * (DEEPEST + 1), KNOWN)
    assert deep.value.slug == "nested-too-deep"
    assert value("(" * DEEPEST + "a" + ")" * DEEPEST) == VALUES["a"]
    assert value("a + " * 240 + "a") == length(2410 * IN)
    with pytest.raises(FormulaError) as large:
        evaluate(parse("n * n", KNOWN), lambda _: number(10**700))
    assert large.value.slug == "too-large"


def test_a_lookup_that_goes_too_deep_is_told_not_raised() -> None:
    findings = Findings()

    def endless(name: Name) -> Quantity:
        return evaluate(parse("a", KNOWN), endless)

    assert read_field(Text("a"), word="high", wants="length", known=KNOWN, lookup=endless, findings=findings) is None
    assert [item.slug for item in findings] == ["nested-too-deep"]


MARKS: dict[type[ast.operator], Callable[[Fraction, Fraction], Fraction]] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
}


def by_python(node: ast.expr) -> Fraction:
    """Work out a formula with Python's own grammar and fractions."""
    if isinstance(node, ast.BinOp):
        return MARKS[type(node.op)](by_python(node.left), by_python(node.right))
    if isinstance(node, ast.UnaryOp):
        return -by_python(node.operand)
    assert isinstance(node, ast.Constant)
    return Fraction(str(node.value))


NUMBERS = st.one_of(
    st.integers(0, 999).map(str), st.decimals(0, 99, places=2, allow_nan=False).map(lambda found: f"{found:.2f}")
)
FORMULAS = st.recursive(
    NUMBERS,
    lambda inner: st.one_of(
        st.tuples(inner, st.sampled_from([" + ", " - ", " * ", " / ", "*", "+"]), inner).map("".join),
        inner.map(lambda text: f"({text})"),
        inner.map(lambda text: f"(-({text}))"),
    ),
    max_leaves=12,
)


@settings(max_examples=300, deadline=None)
@given(FORMULAS)
def test_random_formulas_agree_with_python_fractions(text: str) -> None:
    try:
        wanted = by_python(ast.parse(text, mode="eval").body)
    except ZeroDivisionError:
        with pytest.raises(FormulaError) as fault:
            value(text)
        assert fault.value.slug == "zero-below"
        return
    assert value(text) == Quantity(wanted, NUMBER)


GARBAGE = st.lists(
    st.sampled_from(
        ["a", "b", "ply", ".thick", "shelf dados", " ", "  ", "-", "+", "*", "/", "(", ")", ",", "'", '"', "16", "1/2",
         "½", "in", "mm", "deg", "min", "min(", "floor(", "sqrt(", "sin(", "5'", ".", "1.5", "#", "^", "=", "é", "木",
         "\n", "\t", "\x00", "70 F", "9 %", "0", "—", "×"]
    ),
    max_size=14,
).map("".join)  # fmt: skip


@settings(max_examples=600, deadline=None)
@given(st.one_of(GARBAGE, st.text(max_size=40)), st.sampled_from([None, "in", "mm"]))
def test_garbage_is_a_located_fault_or_a_value(text: str, unit: str | None) -> None:
    read, findings = field(text, unit=unit)
    assert (read is None) == bool(len(findings))
    for item in findings:
        assert item.span is not None
        assert item.span.line == 3
        assert item.span.column >= 5
        assert item.message[:1] == item.message[:1].lower()
        assert not item.message.endswith(".")
