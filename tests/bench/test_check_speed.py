"""How long a check takes, as a whole process, and what it loads. Figures: `pytest tests/bench -s`."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

from sample_processes import Measured


def test_check(planbook_process: Callable[..., Measured], bare: Callable[[str], Measured], demo: Path) -> None:
    # Whether a class fits is asked with numpy, until publishing has told.
    shutil.rmtree(demo / "classes")
    runs = [planbook_process("check", demo) for _ in range(4)]
    best = min(runs[1:], key=lambda run: run.seconds)
    plain = bare("import yaml; from pydantic import BaseModel")
    print(
        f"\ncheck of the demo book, whole process: {best.seconds:.2f} s ({best.cpu:.2f} s of processor), "
        f"peak {best.own_mb:.0f} MB; a process that only imports yaml and pydantic: {plain.seconds:.2f} s "
        f"({plain.cpu:.2f}); ratio {best.seconds / plain.seconds:.1f}"
    )
    assert not set(best.modules) & {"matplotlib", "pint", "typst", "jinja2", "numpy"}


def test_help(planbook_process: Callable[..., Measured], bare: Callable[[str], Measured]) -> None:
    runs = [planbook_process("--help") for _ in range(4)]
    best = min(runs[1:], key=lambda run: run.seconds)
    plain = bare("import click")
    print(f"\n--help: {best.seconds:.3f} s; a process that only imports click: {plain.seconds:.3f} s")
    assert best.modules == ()
