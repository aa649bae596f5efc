"""Findings as SARIF 2.1.0 (OASIS standard of 27 March 2020), for editors and services that show them in place."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any
from urllib.parse import quote

from planbook import __version__
from planbook.source.diagnostics import Diagnostic, Severity, Span
from planbook.source.rules.entries import Entry, entries

SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
BASE = "BOOK"
"""Name of the folder that all paths are relative to."""
_LEVELS = {Severity.STOP: "error", Severity.WARN: "warning", Severity.NOTE: "note"}
_ACCEPTED = "(accepted: "


def to_sarif(findings: Iterable[Diagnostic]) -> dict[str, Any]:
    """Return findings as one run of a SARIF log; paths are relative to the book, columns count code points."""
    items = list(findings)
    known = entries()
    slugs = list(dict.fromkeys(item.slug for item in items))
    driver = {
        "name": "planbook",
        "semanticVersion": __version__,
        "rules": [_rule(slug, known.get(slug)) for slug in slugs],
    }
    run = {
        "tool": {"driver": driver},
        "columnKind": "unicodeCodePoints",
        "originalUriBaseIds": {BASE: {"description": {"text": "The folder that holds planbook.yaml."}}},
        "results": [_result(item, slugs.index(item.slug)) for item in items],
    }
    return {"$schema": SCHEMA, "version": "2.1.0", "runs": [run]}


def _rule(slug: str, entry: Entry | None) -> dict[str, Any]:
    if entry is None:
        return {"id": slug}
    return {
        "id": slug,
        "shortDescription": {"text": entry.finds},
        "fullDescription": {"text": f"{entry.finds} {entry.matters}"},
        "help": {"text": f"{entry.instead}\n\nSource: {entry.source}"},
    }


def _result(item: Diagnostic, index: int) -> dict[str, Any]:
    told = item.message + (f"; {item.help}" if item.help else "")
    result: dict[str, Any] = {
        "ruleId": item.slug,
        "ruleIndex": index,
        "level": _LEVELS[item.severity],
        "message": {"text": told},
        "locations": [_location(item.span)] if item.span is not None else [],
    }
    if item.further:
        result["relatedLocations"] = [
            {"id": number, "message": {"text": remark}, **_location(span)}
            for number, (span, remark) in enumerate(item.further, 1)
        ]
    if _ACCEPTED in item.message:
        reason = item.message.partition(_ACCEPTED)[2].removesuffix(")")
        result["suppressions"] = [{"kind": "inSource", "justification": reason}]
    if item.rule:
        result["properties"] = {"source": item.rule}
    return result


def _location(span: Span) -> dict[str, Any]:
    return {
        "physicalLocation": {
            "artifactLocation": {"uri": quote(span.file), "uriBaseId": BASE},
            "region": {
                "startLine": span.line,
                "startColumn": span.column,
                "endLine": span.end_line,
                "endColumn": span.end_column,
            },
        }
    }
