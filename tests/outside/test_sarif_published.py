"""Reports against SARIF 2.1.0 (OASIS Standard, 27 March 2020): the words used of it, written from its text."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from sample_commands import changed

from planbook.cli.entry import run
from planbook.cli.sarif import to_sarif
from planbook.source.diagnostics import Diagnostic, Severity, Span

HERE = Path(__file__).parent
SUBSET = json.loads((HERE / "sarif_subset.json").read_text("utf-8"))
FIXTURE = HERE.parent / "fixtures" / "target-a"


def valid(log: dict[str, Any]) -> dict[str, Any]:
    jsonschema.Draft202012Validator.check_schema(SUBSET)
    jsonschema.validate(log, SUBSET)
    first: dict[str, Any] = log["runs"][0]
    # 3.27.6: a rule index leads to the rule of that id.
    for result in first["results"]:
        assert first["tool"]["driver"]["rules"][result["ruleIndex"]]["id"] == result["ruleId"]
    return first


def test_a_book_without_findings(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["check", str(FIXTURE), "--as", "sarif"]) == 0
    assert valid(json.loads(capsys.readouterr().out))["results"] == []


def test_a_book_with_findings(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    import shutil

    book = tmp_path / "a book"
    shutil.copytree(FIXTURE, book, ignore=shutil.ignore_patterns(".planbook"))
    plan = book / "plans/bookcase/plan.yaml"
    changed(plan, "bottom: books}", "bottom: 900 lb/ft}\naccept: {shelf-sag: it is only a trial}")
    changed(plan, "wall strap: 2, ", "")
    assert run(["check", str(book), "--as", "sarif"]) == 0
    results = valid(json.loads(capsys.readouterr().out))["results"]
    assert {result["ruleId"] for result in results} == {"shelf-sag", "tips-forward"}
    sagging = next(result for result in results if result["ruleId"] == "shelf-sag")
    assert sagging["level"] == "note"
    assert sagging["suppressions"] == [{"kind": "inSource", "justification": "it is only a trial"}]
    place = sagging["locations"][0]["physicalLocation"]
    assert place["artifactLocation"] == {"uri": "plans/bookcase/plan.yaml", "uriBaseId": "BOOK"}
    line = plan.read_text("utf-8").split("\n")[place["region"]["startLine"] - 1]
    assert line[place["region"]["startColumn"] - 1 : place["region"]["endColumn"] - 1] == "bottom"


def test_levels_and_odd_paths() -> None:
    span = Span("plans/böse bank/plan.yaml", 3, 1, 3, 4)
    items = [
        Diagnostic("cycle", Severity.STOP, "it turns round", span, further=((span, "here too"),), help="cut it"),
        Diagnostic("no-time", Severity.WARN, "it takes 0 min"),
        Diagnostic("a-slug-of-nobody", Severity.NOTE, "something", span, rule="exact (logic)"),
    ]
    first = valid(to_sarif(items))
    assert [result["level"] for result in first["results"]] == ["error", "warning", "note"]
    uri = first["results"][0]["locations"][0]["physicalLocation"]["artifactLocation"]["uri"]
    assert uri == "plans/b%C3%B6se%20bank/plan.yaml"
    assert first["results"][0]["relatedLocations"][0]["message"] == {"text": "here too"}
    assert first["results"][1]["locations"] == []


def test_the_subset_refuses_what_the_standard_does() -> None:
    log = to_sarif([Diagnostic("cycle", Severity.STOP, "it turns round", Span("plan.yaml", 3, 1, 3, 4))])
    for path, value in ((("version",), "2.0.0"), (("runs", 0, "results", 0, "level"), "stop")):
        broken = json.loads(json.dumps(log))
        at = broken
        for step in path[:-1]:
            at = at[step]
        at[path[-1]] = value
        with pytest.raises(jsonschema.ValidationError):
            jsonschema.validate(broken, SUBSET)


@pytest.mark.parametrize(
    "path",
    [
        ("runs", 0, "tool", "driver", "name"),
        ("runs", 0, "tool", "driver", "rules", 0, "id"),
        ("runs", 0, "tool", "driver", "rules", 0, "help", "text"),
        ("runs", 0, "results", 0, "message", "text"),
        ("runs", 0, "results", 0, "locations", 0, "physicalLocation", "artifactLocation"),
        ("runs", 0, "results", 0, "locations", 0, "physicalLocation", "region", "startLine"),
    ],
    ids=lambda path: str(path[-1]),
)
def test_what_the_standard_requires_is_missed(path: tuple[str | int, ...]) -> None:
    log = to_sarif([Diagnostic("cycle", Severity.STOP, "it turns round", Span("plan.yaml", 3, 1, 3, 4))])
    at: Any = log
    for step in path[:-1]:
        at = at[step]
    del at[path[-1]]
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(log, SUBSET)


def test_every_check_can_be_reported() -> None:
    from planbook.checks.table import CHECKS

    span = Span("plans/bench/plan.yaml", 1, 1, 1, 2)
    items = [Diagnostic(slug, Severity.WARN, "something is wrong", span, rule="exact (logic)") for slug, _ in CHECKS]
    rules = valid(to_sarif(items))["tool"]["driver"]["rules"]
    assert [rule["id"] for rule in rules] == [slug for slug, _ in CHECKS]
    assert all(rule["help"]["text"].strip() and rule["shortDescription"]["text"].endswith(".") for rule in rules)
