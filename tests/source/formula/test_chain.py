from __future__ import annotations

import pytest

from planbook.source.diagnostics import Diagnostic, Findings, Span
from planbook.source.formula.faults import Chain, CycleError
from planbook.source.formula.field import read_field
from planbook.source.formula.names import NameTable, check_name
from planbook.source.formula.parser import Name
from planbook.source.text import Text
from planbook.units.quantity import Quantity

FORMULAS = {
    "high": ("side.length + 1 in", 2),
    "side.length": ("top", 7),
    "top": ("high - 2 in", 9),
    "wide": ("2 * high", 3),
    "deep": ("11 in", 4),
}
KNOWN = NameTable(["high", "side", "top", "wide", "deep"], ["length"])


def texts() -> dict[str, Text]:
    return {key: Text(text, Span("plan.yaml", line, 9, line, 9 + len(text))) for key, (text, line) in FORMULAS.items()}


def resolve(key: str) -> tuple[Quantity | None, list[Diagnostic]]:
    chain, findings = Chain(), Findings()
    written = texts()

    def read(key: str, span: Span) -> Quantity:
        with chain.enter(key, span):
            text = written[key]

            def lookup(name: Name) -> Quantity:
                return read(str(name), text.span.part(name.start, name.end))

            found = read_field(text, word=key, wants="length", known=KNOWN, lookup=lookup, findings=findings)
            if found is None:
                raise LookupError(key)
            return found

    try:
        return read(key, Span("page.md", 1, 1, 1, 5)), list(findings)
    except LookupError:
        return None, list(findings)


def test_a_chain_without_a_circle_gives_a_value() -> None:
    found, told = resolve("deep")
    assert found is not None
    assert told == []


@pytest.mark.parametrize("entry", ["high", "side.length", "top", "wide"])
def test_a_circle_is_shown_the_same_from_wherever_it_is_entered(entry: str) -> None:
    _, told = resolve(entry)
    cycle = next(item for item in told if item.slug == "cycle")
    assert cycle.message == "`side.length` needs itself: `side.length -> top -> high -> side.length`"
    assert cycle.span == Span("plan.yaml", 2, 9, 2, 20)
    assert [(span.line, span.column, remark) for span, remark in cycle.further] == [
        (7, 9, "`top` is needed here"),
        (9, 9, "`high` is needed here"),
    ]


def test_a_value_that_names_itself_is_a_circle_of_one() -> None:
    chain, span = Chain(), Span("plan.yaml", 1, 1, 1, 5)
    with chain.enter("high", span), pytest.raises(CycleError) as cycle, chain.enter("high", span):
        pass
    assert str(cycle.value) == "high -> high"
    assert cycle.value.diagnostic().further == ()


def test_a_finished_value_can_be_entered_again() -> None:
    chain, span = Chain(), Span("plan.yaml", 1, 1, 1, 5)
    for _ in range(2):
        with chain.enter("high", span):
            pass
    with pytest.raises(ValueError, match="x"), chain.enter("high", span):
        raise ValueError("x")
    with chain.enter("high", span):
        pass


@pytest.mark.parametrize("name", ["high", "shelf dados", "carver's bench", "shelf 2", "tablier été", "top"])
def test_names_may_hold_blanks_digits_and_foreign_letters(name: str) -> None:
    assert check_name(Text(name), Findings())


@pytest.mark.parametrize(
    ("name", "reason"),
    [
        ("back-screws", "write `back screws`"),
        ("in", "longer name"),
        ("m", "longer name"),
        ("max", "another name"),
        ("floor", "another name"),
        ("from", "another name"),
        ("2 shelf", "begin with a letter"),
        ("a.b", "begin with a letter"),
        ("", "begin with a letter"),
    ],
)
def test_names_that_formulas_cannot_hold_are_refused(name: str, reason: str) -> None:
    findings = Findings()
    assert not check_name(Text(name), findings)
    assert [item.slug for item in findings] == ["bad-name"]
    assert reason in (next(iter(findings)).help or "")
