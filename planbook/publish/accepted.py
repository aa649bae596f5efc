"""Layouts that an author keeps beside a plan, so that what people have printed does not change by itself.

They stand in `layouts.json` in the folder of the plan, by what they depend on: with other sizes, another blade
or another sheet a layout is simply not found there, and a new one is made.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from planbook.cutting.kept import FORM, solution_data, task_key
from planbook.cutting.lots import Lot

FILE = "layouts.json"

Accepted = Mapping[str, Any]
"""Solutions as plain data by the key of their task."""


def read_accepted(folder: Path) -> Accepted:
    """Return the layouts kept in the folder of a plan; a file that cannot be understood holds none."""
    try:
        data = json.loads((folder / FILE).read_text("utf-8"))
    except (OSError, ValueError):
        return {}
    if not isinstance(data, dict) or data.get("form") != FORM or not isinstance(data.get("layouts"), dict):
        return {}
    return {str(key): value for key, value in data["layouts"].items() if isinstance(value, dict)}


def write_accepted(folder: Path, lots: Iterable[Lot]) -> Path:
    """Keep layouts in the folder of a plan beside those kept before, and return the file."""
    kept = dict(read_accepted(folder))
    for lot in lots:
        kept[task_key(lot.task)] = {
            "of": lot.task.stock.name,
            "edition": lot.task.edition.name,
            **solution_data(lot.solution),
        }
    path = folder / FILE
    text = json.dumps({"form": FORM, "layouts": {key: kept[key] for key in sorted(kept)}}, ensure_ascii=False, indent=1)
    beside = path.with_name(f".{FILE}.part")
    try:
        beside.write_text(f"{text}\n", "utf-8")
        os.replace(beside, path)
    finally:
        beside.unlink(missing_ok=True)
    return path
