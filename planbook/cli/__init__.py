"""The command line: commands, progress, exit codes. Everything else is decided on the floors below."""

from __future__ import annotations

from planbook.cli.entry import main

__all__ = ["main"]
