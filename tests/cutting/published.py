"""Published benchmark problems, read where they lie: the folder named by PLANBOOK_BENCHMARKS, never copied.

Its README names the publication behind each instance and each value. With PLANBOOK_BENCHMARKS_ALL set every
instance is solved, otherwise every few.
"""

from __future__ import annotations

import csv
import json
import os
from dataclasses import dataclass
from pathlib import Path

import pytest

from planbook.cutting.problem import First, Grain, Piece, Saw, Sheet, Stick

FOLDER = os.environ.get("PLANBOOK_BENCHMARKS", "")
ALL = bool(os.environ.get("PLANBOOK_BENCHMARKS_ALL"))
needs_published = pytest.mark.skipif(
    not FOLDER, reason="PLANBOOK_BENCHMARKS does not name the folder with the published problems"
)


@dataclass(frozen=True, slots=True)
class Row:
    """One published value."""

    instance: str
    file: str
    problem: str
    value: str
    status: str
    bound: str

    @property
    def number(self) -> int:
        return int(self.value)


def rows(problem: str, *, every: int = 1) -> list[Row]:
    """Return the rows of problems beginning so; every so many unless all are asked for."""
    if not FOLDER:
        return []
    with (Path(FOLDER) / "known.csv").open(encoding="utf-8", newline="") as lines:
        found = [
            Row(r["instance"], r["file"], r["problem"], r["value"], r["status"], r["bound"])
            for r in csv.DictReader(lines)
            if r["problem"].startswith(problem)
        ]
    return found if ALL else found[::every]


def sticks(row: Row, *, kerf: int = 0) -> tuple[list[Piece], list[Stick], Saw]:
    """Read a problem of boards; a kerf is taken off pieces and board, which changes nothing."""
    data = _data(row)
    pieces = [
        Piece(key=f"p{n}", length=item["length"] - kerf, count=item["demand"]) for n, item in enumerate(data["items"])
    ]
    return pieces, [Stick(key="board", length=data["board_length"] - kerf)], Saw(kerf=kerf)


def shortest(row: Row) -> int:
    """Return the shortest length asked for."""
    return min(int(item["length"]) for item in _data(row)["items"])


def sheets(row: Row, *, stages: int) -> tuple[list[Piece], list[Sheet], Saw]:
    """Read a problem of sheets; width is along the length of the sheet, so that a rip is horizontal."""
    data = _data(row)
    grain = Grain.FREE if row.problem.endswith("rotate") else Grain.FIXED
    pieces = [
        Piece(key=f"p{n}", length=item["width"], width=item["height"], count=item["demand"], grain=grain)
        for n, item in enumerate(data["items"])
    ]
    entries = data.get("sheets") or [data["sheet"]]
    stock = [
        Sheet(key=f"s{n}", length=entry["width"], width=entry["height"], price=entry.get("cost", 1))
        for n, entry in enumerate(entries)
    ]
    return pieces, stock, Saw(kerf=0, stages=stages, first=_first(row))


def one_sheet(row: Row, *, stages: int) -> tuple[list[Piece], Sheet, Saw, dict[str, int]]:
    """Read a problem of one most valuable sheet; also returns the values."""
    data = _data(row)
    room = data["sheet"]
    grain = Grain.FREE if "rotate" in row.problem else Grain.FIXED
    pieces, values = [], {}
    for n, item in enumerate(data["items"]):
        most = room["width"] * room["height"] // (item["width"] * item["height"])
        count = most if row.problem.endswith("unlimited") else item["copies"]
        pieces.append(Piece(key=f"p{n}", length=item["width"], width=item["height"], count=max(1, count), grain=grain))
        values[f"p{n}"] = item["value"]
    sheet = Sheet(key="sheet", length=room["width"], width=room["height"])
    return pieces, sheet, Saw(kerf=0, stages=stages, first=_first(row)), values


def _first(row: Row) -> First:
    if "2stage-h" in row.problem:
        return First.RIP
    return First.CROSSCUT if "2stage-v" in row.problem else First.EITHER


def _data(row: Row) -> dict:
    return json.loads((Path(FOLDER) / row.file).read_text(encoding="utf-8"))
