"""Every finding that the program can make has an entry for `planbook why`, and no entry is left over."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

import planbook
from planbook.cli.entry import COMMANDS
from planbook.source.rules.entries import entries

PACKAGE = Path(planbook.__file__).parent
SLUG = re.compile(r"[a-z]+(?:-[a-z0-9]+)*")
# Functions that take the slug as their first argument, and the place of the slug in those that do not.
FIRST = {"stop", "warn", "note", "fail", "refuse", "Diagnostic", "TradeError", "ReadError", "_fault", "find"}
PLACES = {"find": 2, "PydanticCustomError": 0}


def imported(tree: ast.Module) -> Iterator[str]:
    """Give the modules that a module names in its imports, those inside functions included."""
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and node.module:
            yield node.module
            yield from (f"{node.module}.{name.name}" for name in node.names)


@cache
def trees() -> tuple[tuple[Path, ast.Module], ...]:
    """Return the modules that the command line can reach: what no command uses yet, nobody can be told."""
    known = {}
    for path in sorted(PACKAGE.rglob("*.py")):
        name = ".".join(("planbook", *path.relative_to(PACKAGE).with_suffix("").parts)).removesuffix(".__init__")
        known[name] = (path, ast.parse(path.read_text("utf-8")))
    reached: dict[str, None] = {}
    waiting = ["planbook.cli.entry", *(f"planbook.cli.{name}" for name in COMMANDS)]
    while waiting:
        name = waiting.pop()
        if name in known and name not in reached:
            reached[name] = None
            waiting += imported(known[name][1])
    return tuple(known[name] for name in sorted(reached))


def strings(node: ast.expr) -> Iterator[str]:
    """Give the texts that an expression may be worth: itself, or either branch of `a if b else c`."""
    if isinstance(node, ast.IfExp):
        yield from strings(node.body)
        yield from strings(node.orelse)
    elif isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield node.value


def defaults(function: ast.FunctionDef) -> Iterator[tuple[ast.arg, ast.expr | None]]:
    spec = function.args
    yield from zip(spec.kwonlyargs, spec.kw_defaults, strict=True)
    yield from zip(spec.args[::-1], spec.defaults[::-1], strict=False)


def slugs_of(node: ast.AST) -> Iterator[str]:
    if isinstance(node, ast.Call):
        name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
        place = PLACES.get(name, 0)
        # `text.find(...)` is another function than the one that looks a name up in a table.
        known = name in FIRST and not (name == "find" and isinstance(node.func, ast.Attribute))
        if (known or name == "PydanticCustomError") and len(node.args) > place:
            yield from strings(node.args[place])
        for keyword in node.keywords:
            if keyword.arg == "slug":
                yield from strings(keyword.value)
    elif isinstance(node, ast.FunctionDef):
        for argument, value in defaults(node):
            if argument.arg == "slug" and value is not None:
                yield from strings(value)
    elif isinstance(node, ast.AnnAssign | ast.Assign):
        targets = [node.target] if isinstance(node, ast.AnnAssign) else node.targets
        if node.value is not None and any(getattr(target, "id", "") == "slug" for target in targets):
            yield from strings(node.value)


def made() -> dict[str, str]:
    found: dict[str, str] = {}
    for path, tree in trees():
        for node in ast.walk(tree):
            for slug in slugs_of(node):
                if SLUG.fullmatch(slug):
                    found.setdefault(slug, f"{path.name}:{getattr(node, 'lineno', 0)}")
    return found


def test_all_that_runs_is_reached() -> None:
    reached = {path.parent.name for path, _ in trees()}
    assert {"source", "schema", "prose", "plan", "trade", "checks", "drawing", "publish", "cli"} <= reached


def constants() -> set[str]:
    return {
        node.value
        for _, tree in trees()
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    }


def test_the_collector_sees_slugs_in_all_their_places() -> None:
    found = made()
    assert len(found) > 100
    # A method, an exception, a keyword, a default, a field, a variable.
    assert {"no-book", "large-fraction", "missing-mark", "broken-formula", "broken-yaml", "unknown-harm"} <= set(found)


def test_every_finding_is_explained() -> None:
    missing = {slug: where for slug, where in made().items() if slug not in entries()}
    assert missing == {}


def test_no_entry_is_about_a_finding_that_does_not_exist() -> None:
    assert sorted(set(entries()) - constants()) == []


@pytest.mark.parametrize("slug", sorted(entries()))
def test_an_entry_is_short_and_complete(slug: str) -> None:
    entry = entries()[slug]
    assert entry.finds.endswith(".")
    assert entry.matters.endswith((".", "?"))
    assert entry.instead
    assert entry.source
    assert len(entry.instead.split("\n")) <= 5
    assert len(entry.instead) <= 300
