"""Exit codes, and which finding leads to which."""

from __future__ import annotations

from planbook.source.diagnostics import Diagnostic, Findings, Severity

FINE = 0
STOPPED = 1
WRONG_USE = 2
DISK = 3
OWN_FAULT = 70
"""EX_SOFTWARE of sysexits.h (4.4BSD)."""
INTERRUPTED = 130
"""128 + SIGINT, as shells report it (POSIX.1-2017, Shell & Utilities, 2.8.2)."""

_DISK = frozenset(
    {"file-in-the-way", "link-in-the-way", "no-space", "not-a-folder", "not-writable", "not-written", "unreadable-file"}
)
_WRONG_USE = frozenset({"no-book", "no-theme", "output-in-book"})


def exit_code(findings: Findings) -> int:
    """Return the code for a run that ended with these findings; the disk counts more than the words."""
    slugs = {item.slug for item in findings if _stops(item)}
    if slugs & _DISK:
        return DISK
    if slugs & _WRONG_USE:
        return WRONG_USE
    return STOPPED if slugs else FINE


def _stops(item: Diagnostic) -> bool:
    return item.severity is Severity.STOP
