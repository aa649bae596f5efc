"""Findings for the eyes: on standard error, coloured on a terminal, with a line that sums them up."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import click

from planbook.source.diagnostics import Findings, Severity
from planbook.source.report import render

if TYPE_CHECKING:
    from planbook.source.files import Sources

_STYLES = {Severity.STOP: "bold red", Severity.WARN: "bold yellow", Severity.NOTE: "bold cyan"}


def tell(findings: Findings, sources: Sources) -> None:
    """Write all findings to standard error, each with the line it is about."""
    coloured = sys.stderr.isatty()
    for item in findings:
        text = render(item, sources)
        if coloured:
            _coloured(text, _STYLES[item.severity])
        else:
            click.echo(text + "\n", err=True)


def summary(findings: Findings) -> str:
    """Return how many findings of which kind there are, in words."""
    counts = dict.fromkeys(Severity, 0)
    for item in findings:
        counts[item.severity] += 1
    words = {Severity.STOP: "that stops", Severity.WARN: "warning", Severity.NOTE: "note"}
    told = []
    for severity, count in counts.items():
        if count and severity is Severity.STOP:
            told.append("1 finding that stops" if count == 1 else f"{count} findings that stop")
        elif count:
            told.append(f"{count} {words[severity]}{'' if count == 1 else 's'}")
    return ", ".join(told) or "no findings"


def _coloured(text: str, style: str) -> None:
    """Colour the slug, the mark and the help; rich leaves colour away where the reader asks for none."""
    from rich.console import Console
    from rich.text import Text

    console = Console(stderr=True, highlight=False)
    for number, line in enumerate(text.split("\n")):
        shown = Text(line)
        if number == 0:
            shown.stylize(style, 0, line.find("]") + 1)
            shown.stylize("bold", line.find("]") + 1)
        elif set(line.partition("|")[2].strip()) == {"^"}:
            shown.stylize(style, line.find("^"))
        elif line.startswith(("  -->", "  see:", "  help:", "  rule:")):
            shown.stylize("cyan", 0, line.find(":", 2) + 1 if "-->" not in line else 5)
        console.print(shown, soft_wrap=True)
    console.print()
