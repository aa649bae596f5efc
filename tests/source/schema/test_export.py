"""The schema for editors: valid itself, fits every file of the books here, refuses what planbook refuses."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from jsonschema import Draft202012Validator

from planbook.source.book import read_book
from planbook.source.diagnostics import Findings
from planbook.source.files import Sources, read_source
from planbook.source.schema.export import DIALECT, FILES, KINDS, schema_of, schema_of_files
from planbook.source.yaml_nodes import load

ROOT = Path(__file__).parents[3]
BOOKS = (ROOT / "content", ROOT / "tests" / "fixtures" / "target-a")
SOURCES = sorted(path for book in BOOKS for path in book.rglob("*.yaml") if ".planbook" not in path.parts)
ALL = Draft202012Validator(schema_of_files())


def kind_of(path: Path) -> str:
    if path.parent.name == "classes":
        return "notes" if path.name.endswith(".notes.yaml") else "class"
    return {"planbook": "book"}.get(path.stem, path.stem)


def as_text(path: Path) -> Any:
    """Return a file as planbook reads it: every scalar a text."""
    findings = Findings()
    source = read_source(path.parent, path.name, findings)
    node = load(source, findings) if source is not None else None
    assert node is not None, list(findings)
    return node.data


def as_yaml(path: Path) -> Any:
    """Return a file as YAML 1.1 reads it: numbers, truth values (`on:` is one), dates."""
    return yaml.safe_load(path.read_text("utf-8"))


def told(schema: dict[str, Any], data: Any) -> list[str]:
    return [fault.message for fault in Draft202012Validator(schema).iter_errors(data)]


@pytest.mark.parametrize("kind", KINDS)
def test_each_schema_is_one_by_its_own_standard(kind: str) -> None:
    whole = schema_of(kind)
    assert whole["$schema"] == DIALECT
    Draft202012Validator.check_schema(whole)


def test_the_schema_of_all_files_is_one_by_its_own_standard() -> None:
    Draft202012Validator.check_schema(schema_of_files())


def test_there_are_files_of_every_kind_to_try() -> None:
    assert {kind_of(path) for path in SOURCES} == set(FILES)


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: f"{path.parent.name}-{path.name}")
@pytest.mark.parametrize("reader", [as_text, as_yaml])
def test_every_source_fits_its_kind_and_no_other(path: Path, reader: Any) -> None:
    data = reader(path)
    assert list(ALL.iter_errors(data)) == []
    fitting = [kind for kind in FILES if not told(schema_of(kind), data)]
    assert fitting == [kind_of(path)]


@pytest.mark.parametrize("book", BOOKS, ids=lambda book: book.name)
def test_the_facts_of_every_step_fit(book: Path) -> None:
    findings = Findings()
    found = read_book(book, findings, Sources())
    assert found is not None, list(findings)
    steps = [step for plan in found.plans for step in plan.steps]
    assert len(steps) > 10
    for step in steps:
        assert step.prose.facts is not None
        assert told(schema_of("step"), step.prose.facts.data) == []


def words(schema: Any) -> Iterator[tuple[str, dict[str, Any]]]:
    for group in (schema, *schema["$defs"].values()):
        yield from group.get("properties", {}).items()


@pytest.mark.parametrize("kind", KINDS)
def test_every_word_says_what_it_means(kind: str) -> None:
    found = list(words(schema_of(kind)))
    assert found
    assert [word for word, facts in found if len(facts.get("description", "").split()) < 2] == []


PLAN: dict[str, Any] = {"plan": {"title": "Case"}, "parts": {"side": {"of": "ply", "length": "10 in"}}}


@pytest.mark.parametrize(
    "wrong",
    [
        {"plan": {"title": "Case"}},
        {**PLAN, "colour": "red"},
        {**PLAN, "parts": {"side": {"of": "ply", "lenght": "10 in"}}},
        {**PLAN, "parts": ["side"]},
        {**PLAN, "dims": {"high": ["10 in"]}},
        {**PLAN, "dims": {"high": {"imperial": "10 in", "emperial": "x"}}},
        {**PLAN, "joints": {"dado": {"dado": {"imperial": "1/4 in"}}}},
        {**PLAN, "parts": {"side": {"of": None}}},
        {},
    ],
)
def test_what_planbook_refuses_the_schema_refuses(wrong: dict[str, Any]) -> None:
    assert told(schema_of("plan"), PLAN) == []
    assert told(schema_of("plan"), wrong) or wrong == {}
    assert list(ALL.iter_errors(wrong))


def test_one_value_or_several() -> None:
    for by in ("glue", ["glue", "nails"]):
        assert told(schema_of("plan"), {**PLAN, "joints": {"kick": {"butt": "kick", "to": "side", "by": by}}}) == []
    assert told(schema_of("plan"), {**PLAN, "joints": {"kick": {"butt": {"kick": "side"}}}})


def test_guesses_of_yaml_pass() -> None:
    data = {
        "plan": {"title": 24, "revision": 1.1, "revised": datetime.date(2026, 3, 14)},
        "parts": {"side": {"of": "ply", True: "floor", "count": 2, "apart": False}},
    }
    assert told(schema_of("plan"), data) == []
