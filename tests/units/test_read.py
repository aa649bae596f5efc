from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planbook.units.factors import INCH
from planbook.units.quantity import ANGLE, LENGTH, NUMBER, TEMPERATURE, TIME, VOLUME, Quantity
from planbook.units.read import ReadError, normalise, read_literal, read_quantity, starts_literal

LENGTHS_IN_INCHES = [
    ("16 1/2 in", Fraction(33, 2)),
    ('16-1/2"', Fraction(33, 2)),
    ("5' 4\"", Fraction(64)),
    ("5'4\"", Fraction(64)),
    ("5' 4 1/2\"", Fraction(129, 2)),
    ("5' 4-1/2\"", Fraction(129, 2)),
    ("5'-4\"", Fraction(64)),
    ("5'-4-1/2\"", Fraction(129, 2)),
    ("-5' 4\"", Fraction(-64)),
    ("5 ft 4 in", Fraction(64)),
    ("5 feet", Fraction(60)),
    ("5 1/2'", Fraction(66)),
    ("5' 0\"", Fraction(60)),
    ("5' 11 31/32\"", Fraction(60) + Fraction(383, 32)),
    ("5' 4.5\"", Fraction(129, 2)),
    ("3/4 in", Fraction(3, 4)),
    ("10/4 in", Fraction(5, 2)),
    ("½ in", Fraction(1, 2)),
    ("16½ in", Fraction(33, 2)),
    ("16 ½ in", Fraction(33, 2)),
    ("16-½″", Fraction(33, 2)),
    ("5′ 4½″", Fraction(129, 2)),
    ("16\u00a01/2\u00a0in", Fraction(33, 2)),
    ("16\u20111/2”", Fraction(33, 2)),
    ("3⁄4 in", Fraction(3, 4)),
    (".5 in", Fraction(1, 2)),
    ("0.5 inches", Fraction(1, 2)),
    ("2 yd", Fraction(72)),
    ("  16in  ", Fraction(16)),
    ("+2 in", Fraction(2)),
    ("- 2 in", Fraction(-2)),
    ("−2 in", Fraction(-2)),
]


@pytest.mark.parametrize(("text", "inches"), LENGTHS_IN_INCHES)
def test_lengths_in_inches(text: str, inches: Fraction) -> None:
    quantity = read_quantity(text)
    assert quantity == Quantity(inches * INCH, LENGTH)
    assert quantity.system == "imperial"


@pytest.mark.parametrize(
    ("text", "value", "dimension", "system"),
    [
        ("19 mm", Fraction(19), LENGTH, "metric"),
        ("19mm", Fraction(19), LENGTH, "metric"),
        ("0.5 mm", Fraction(1, 2), LENGTH, "metric"),
        ("2.4 m", Fraction(2400), LENGTH, "metric"),
        ("12 cm", Fraction(120), LENGTH, "metric"),
        ("1/2", Fraction(1, 2), NUMBER, ""),
        ("2", Fraction(2), NUMBER, ""),
        ("16-1/2", Fraction(33, 2), NUMBER, ""),
        ("9 %", Fraction(9, 100), NUMBER, ""),
        ("12 deg", Fraction(12), ANGLE, ""),
        ("22.5°", Fraction(45, 2), ANGLE, ""),
        ("40 min", Fraction(40), TIME, ""),
        ("1.5 h", Fraction(90), TIME, ""),
        ("2 days", Fraction(2880), TIME, ""),
        ("30 s", Fraction(1, 2), TIME, ""),
        ("1 l", Fraction(10**6), VOLUME, "metric"),
        ("70 F", Fraction(190, 9), TEMPERATURE, "imperial"),
        ("-40 °F", Fraction(-40), TEMPERATURE, "imperial"),
        ("32 deg F", Fraction(0), TEMPERATURE, "imperial"),
        ("21 °C", Fraction(21), TEMPERATURE, "metric"),
        ("-5 C", Fraction(-5), TEMPERATURE, "metric"),
    ],
)
def test_other_quantities(text: str, value: Fraction, dimension: object, system: str) -> None:
    quantity = read_quantity(text)
    assert (quantity.value, quantity.dimension, quantity.system) == (value, dimension, system)


@pytest.mark.parametrize(
    ("text", "slug", "fault", "advice"),
    [
        ("5' 4", "missing-inch-mark", "4", "write `5' 4\"`"),
        ("5 ft 4", "missing-inch-mark", "4", 'write `5 ft 4"`'),
        ("5' 4 mm", "missing-inch-mark", "4", "write `5' 4\"`"),
        ("5' 14\"", "many-inches", '14"', "write `6' 2\"`"),
        ("5' 12\"", "many-inches", '12"', "write `6' 0\"`"),
        ("5.5' 4\"", "broken-feet", "5.5'", 'write `70"`'),
        ("5''", "two-foot-marks", "''", 'write `5"`'),
        ("1 5/4 in", "large-fraction", "5/4", "write `2 1/4`"),
        ("1 4/4 in", "large-fraction", "4/4", "write `2`"),
        ("1,5 m", "decimal-comma", "1,5", "write `1.5`"),
        ("1,200 mm", "decimal-comma", "1,200", "`1200`"),
        ("3/0 in", "zero-below", "3/0", None),
        ("2 1/0 in", "zero-below", "1/0", None),
        ("1.2.3", "unclear-number", "1.2.3", "1 1/2"),
        ("3 inchs", "unknown-unit", "inchs", "write `3 inches`"),
        ("3inchs", "unknown-unit", "inchs", "write `3 inches`"),
        ("3 MM", "unknown-unit", "MM", "write `3 mm`"),
        ("3 in2", "unknown-unit", "in2", None),
        ("8penny", "unknown-unit", "penny", "blank"),
        ("16 2 in", "left-over", "2 in", None),
        ("2 width", "left-over", "width", None),
        ("3 / 4 in", "left-over", "/ 4 in", None),
        ("", "missing-number", "", "write"),
        ("in", "missing-number", "i", None),
        ("1" * 31 + " in", "long-number", "1" * 31, None),
        ("1" * 9000, "long-number", "1" * 9000, None),
    ],
)
def test_faults_are_placed_and_mended(text: str, slug: str, fault: str, advice: str | None) -> None:
    with pytest.raises(ReadError) as caught:
        read_quantity(text)
    error = caught.value
    assert error.slug == slug
    assert text[error.start : error.end] == fault
    assert advice is None or advice in (error.help or "")
    assert error.message[0].islower() or error.message[0] == "`"
    assert not error.message.endswith(".")


@pytest.mark.parametrize(
    ("text", "start", "end", "unit"),
    [
        ("2 * 16 1/2 in + a", 4, 13, "in"),
        ("a - 1/2 in", 4, 10, "in"),
        ("16 - 1/2 in", 0, 2, ""),
        ("3 / 4 in", 0, 1, ""),
        ("1/2-1/4 in", 0, 3, ""),
        ("5' - 4\"", 0, 2, "ft"),
        ("2 in from front", 0, 4, "in"),
        ("1 1/2 in from rabbet", 0, 8, "in"),
        ("2 width", 0, 1, ""),
        ("2 (a)", 0, 1, ""),
        ("45 deg from grain", 0, 6, "deg"),
        ("1 sq ft of ply", 0, 7, "sq ft"),
        ("1.", 0, 1, ""),
        ("½ in x", 0, 4, "in"),
    ],
)
def test_where_a_literal_ends(text: str, start: int, end: int, unit: str) -> None:
    literal = read_literal(text, start)
    assert (literal.start, literal.end, literal.unit) == (start, end, unit)


def test_tight_hyphen_is_flagged_with_both_readings() -> None:
    text = '2 * 16-1/2"'
    literal = read_literal(text, 4)
    assert literal.hyphen == 6
    assert literal.readings(text) == ('16 1/2"', '16 - 1/2"')
    assert read_literal("5'-4 1/2\"").hyphen is None
    assert read_literal("5'-4-1/2\"").hyphen == 4
    assert read_literal("16-½ in").hyphen == 2
    assert read_literal("16 1/2 in").hyphen is None


def test_bare_numbers_take_the_default_unit() -> None:
    assert read_quantity("7 1/4", default_unit="in") == Quantity(Fraction(29, 4) * INCH, LENGTH)
    assert read_quantity("-20", default_unit="mm") == Quantity(Fraction(-20), LENGTH)
    assert read_quantity("20 mm", default_unit="in") == Quantity(Fraction(20), LENGTH)


def test_normalising_keeps_columns() -> None:
    odd = "5′\u00a04″ − “½” × ÷ –\t’"
    plain = normalise(odd)
    assert len(plain) == len(odd)
    assert plain == '5\' 4" - "½" * / - \''


def test_starts_literal() -> None:
    assert all(starts_literal(text, 0) for text in ("1", ".5", "½", "3/4"))
    assert not any(starts_literal(text, 0) for text in ("", "a", ".", "-1", '"'))


@given(st.integers(0, 500), st.integers(1, 127), st.sampled_from([2, 4, 8, 16, 32, 64]))
def test_every_way_to_write_a_mixed_number_agrees(whole: int, top: int, bottom: int) -> None:
    top %= bottom
    expected = (whole + Fraction(top, bottom)) * INCH
    feet, inches = divmod(whole, 12)
    for text in (f"{whole} {top}/{bottom} in", f'{whole}-{top}/{bottom}"', f"{feet}' {inches} {top}/{bottom}\""):
        assert read_quantity(text).value == expected


@given(st.text(alphabet="0123456789 ./-'\"½in,ftm%°F", max_size=14) | st.text(max_size=30))
def test_anything_reads_or_fails_with_a_place(text: str) -> None:
    places = []
    try:
        read_quantity(text)
    except ReadError as error:
        places = [error.start, error.end]
    assert places == sorted(places)
    assert all(0 <= place <= max(len(text), 1) for place in places)
