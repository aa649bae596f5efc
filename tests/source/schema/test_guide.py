"""The guide to the language: its tables are those of the program, and its plan is one that works."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from guide_words import GROUPS, GUIDE, PAIR, TITLES, with_tables, word_tables

from planbook.publish.reading import checked_plan
from planbook.source.book import Book, read_book
from planbook.source.diagnostics import Findings, Severity
from planbook.source.files import Sources
from planbook.source.formula import parser as formulas
from planbook.source.places import parser as places
from planbook.source.places.words import RELATIONS
from planbook.source.prose.leads import HARMS, LIKELIHOODS, Lead
from planbook.source.schema.export import KINDS, schema_of
from planbook.units.editions import EDITIONS, IMPERIAL, METRIC
from planbook.units.write import plain_length

TEXT = GUIDE.read_text("utf-8")
BLOCK = re.compile(r"^`([\w./-]+)`:\n\n(`{3,})\w+\n(.*?)^\2$", re.DOTALL | re.MULTILINE)


@pytest.fixture
def book(tmp_path: Path) -> Book:
    """Return the book that the guide shows, as a reader would type it."""
    files = {name: text for name, _, text in BLOCK.findall(TEXT)}
    assert set(files) == {"planbook.yaml", "shop.yaml", "plans/wall-shelf/plan.yaml", "plans/wall-shelf/steps.md"}
    for name, text in files.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text, "utf-8")
    findings = Findings()
    found = read_book(tmp_path, findings, Sources())
    assert found is not None, list(findings)
    assert list(findings) == []
    return found


def test_the_tables_are_those_of_the_schema() -> None:
    assert with_tables(TEXT) == TEXT, "run `python tests/guide_words.py`"


def test_what_it_shows_fits_its_column() -> None:
    shown = re.findall(r"^(`{3,})\w+\n(.*?)^\1$", TEXT, re.DOTALL | re.MULTILINE)
    assert len(shown) > 6
    assert [line for _, block in shown for line in block.split("\n") if len(line) > 76] == []


def test_every_group_of_words_has_a_table() -> None:
    groups = {name: part for kind in KINDS for name, part in schema_of(kind)["$defs"].items() if "properties" in part}
    assert set(GROUPS) <= set(groups)
    tables = word_tables()
    assert tables.count("### ") == len(TITLES) + len(groups.keys() - {PAIR})
    for part in groups.values():
        for word, facts in part["properties"].items():
            assert part is groups[PAIR] or (f"| `{word}`" in tables and facts["description"] in tables)


@pytest.mark.parametrize("edition", EDITIONS.values(), ids=lambda edition: edition.name)
def test_its_plan_has_no_fault(book: Book, edition: object) -> None:
    findings = Findings()
    for name in EDITIONS:
        assert checked_plan(book.plans[0], book.shop, EDITIONS[name], findings) is not None
    assert [item for item in findings if item.severity is not Severity.NOTE] == []


def test_its_shelf_is_as_long_as_it_says(book: Book) -> None:
    # 24 - 2 x 3/4 + 2 x 1/4 = 23: the arithmetic in the text. Metric: 1 x 8 is 19 mm thick (PS 20, table 3),
    # 24 in goes to 610 mm and 1/4 in to 6 mm: 610 - 2 x 19 + 2 x 6 = 584.
    found = {}
    for edition in (IMPERIAL, METRIC):
        plan = checked_plan(book.plans[0], book.shop, edition, Findings())
        assert plan is not None
        found[edition.name] = plain_length(plan.part("shelf").length.final, edition)
    assert "which makes 23" in TEXT
    assert found == {"imperial": "23 in", "metric": "584 mm"}


def test_its_grammars_are_those_of_the_parsers() -> None:
    def rules(text: str | None) -> dict[str, str]:
        """Return the rules of a grammar by name, blanks made equal."""
        found = re.findall(r"^ *(\w+) += (.*?) ;$", text or "", re.DOTALL | re.MULTILINE)
        return {name: " ".join(body.split()) for name, body in found}

    shown = rules(TEXT)
    for parser, said_otherwise in ((formulas, {"literal"}), (places, {"feature", "formula", "station", "value"})):
        own = rules(parser.__doc__)
        assert len(own) > 4
        for name in own.keys() - said_otherwise:
            assert shown[name] == own[name], name


def test_it_names_all_words_of_steps_and_places() -> None:
    for word in (*(f"`{lead}:`" for lead in Lead if lead is not Lead.HAZARD), *HARMS, *LIKELIHOODS):
        assert word in TEXT, word
    for relation in RELATIONS:
        assert f'"{relation}"' in TEXT
