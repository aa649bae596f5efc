"""Every table of the trade: each row has a source and a status, and what was not looked up says so."""

from __future__ import annotations

import subprocess
import sys
import time
from collections.abc import Iterator
from importlib.resources import files
from typing import Any

import pytest
import yaml

from planbook.trade.lookup import table
from planbook.trade.machines import find_tool, general_rules, tool_names
from planbook.trade.practices import practice, practices
from planbook.trade.products import find_product, product_names
from planbook.trade.signs import shapes, sign, sign_refs, signal_words, wear, wear_words
from planbook.trade.sourced import FROM_MEMORY, STATUSES, Basis, cite

TABLES = sorted(entry.name[:-5] for entry in files("planbook.trade").joinpath("tables").iterdir())


def cells(node: Any, path: str = "") -> Iterator[tuple[str, dict[str, Any]]]:
    if isinstance(node, dict):
        yield path, node
        for word, below in node.items():
            yield from cells(below, f"{path}.{word}")
    elif isinstance(node, list):
        for index, below in enumerate(node):
            yield from cells(below, f"{path}[{index}]")


@pytest.mark.parametrize("name", TABLES)
def test_statuses_are_of_the_known_words(name: str) -> None:
    for path, node in cells(table(name)):
        status = node.get("status")
        assert status is None or status in STATUSES, path


@pytest.mark.parametrize("name", TABLES)
def test_a_status_never_stands_without_a_source(name: str) -> None:
    for path, node in cells(table(name)):
        if "status" in node and path.count(".") > 0 and "rows" not in path:
            assert "source" in node, path


def test_common_practice_is_not_dressed_up_as_a_source() -> None:
    for name in TABLES:
        for path, node in cells(table(name)):
            if node.get("status") == "practice" and isinstance(node.get("source"), str) and "rows" in path:
                assert node["source"] == "CP" or "no source" in node["source"], (name, path)


def test_nothing_from_memory_is_shown_as_sourced() -> None:
    assert Basis("NDS, appendix L", FROM_MEMORY).citation.startswith("from memory, not looked up")
    assert cite("Table 4-2", "cross-checked") == "Table 4-2; from memory, reproduced by computation"
    assert cite("a note", "practice") == "common practice, no source (a note)"
    assert cite("Wood Handbook", "confirmed") == "Wood Handbook"


def test_twenty_facts_of_practice() -> None:
    assert len(practices()) >= 20
    assert len({row.slug for row in practices()}) == len(practices())
    assert all(row.basis.citation == "common practice, no source" for row in practices())
    assert "1/2 in" in practice("shallow-coat").text


def test_signs_are_complete() -> None:
    letters = {shape.category: shape.letter for shape in shapes()}
    for ref in sign_refs():
        found = sign(ref)
        assert found.ref[0] == letters[found.category]
        assert len(found.ref) == 4
    assert sign("m004").title == "Wear eye protection"
    assert sign("E011").basis.status == FROM_MEMORY
    assert [row.word for row in signal_words()] == ["DANGER", "WARNING", "CAUTION", "NOTICE"]


def test_tools_use_words_that_exist() -> None:
    assert len(tool_names()) == len({name.casefold() for name in tool_names()})
    for name in tool_names():
        tool = find_tool(name)
        assert set(tool.wear) <= set(wear_words())
        assert set(tool.signs) <= set(sign_refs())
        assert tool.signal in {row.word for row in signal_words()}
        assert tool.hazards
        if tool.turning:
            assert "gloves" not in tool.wear
    assert len(general_rules()) >= 8
    for word in wear_words():
        assert wear(word).choose


@pytest.mark.parametrize("group", ["glue", "resin", "finish"])
def test_products_have_sensible_ranges(group: Any) -> None:
    names = product_names(group)
    assert len(names) == len({name.casefold() for name in names})
    for name in names:
        product = find_product(group, name)
        assert product.spans
        for word, span in product.spans.items():
            assert 0 < span.low <= span.high, (name, word)
            assert span.status in STATUSES
            assert product.strictest(word).status in STATUSES
        if "recoat" in product.spans and "cure" in product.spans:
            assert product.spans["recoat"].high < product.spans["cure"].high


def test_all_tables_are_read_quickly() -> None:
    texts = [files("planbook.trade").joinpath("tables", f"{name}.yaml").read_text(encoding="utf-8") for name in TABLES]
    best = 1e9
    for _ in range(3):
        start = time.perf_counter()
        for text in texts:
            yaml.load(text, Loader=yaml.CSafeLoader)
        best = min(best, time.perf_counter() - start)
    assert best < 0.12  # twice the budget of 60 ms, for slow and shared machines


def test_help_needs_nothing_of_the_trade() -> None:
    done = subprocess.run(
        [sys.executable, "-X", "importtime", "-m", "planbook", "--help"], capture_output=True, text=True, check=True
    )
    assert "planbook.cli" in done.stderr
    assert "planbook.trade" not in done.stderr
