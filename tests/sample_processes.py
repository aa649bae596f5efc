"""What is measured of a process."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Measured:
    """One run of a process."""

    seconds: float
    """Wall clock, from start to end of the process."""
    cpu: float = 0.0
    """Seconds of processor time, of the process and those it started; other work on the machine changes it little."""
    modules: tuple[str, ...] = ()
    own_mb: float = 0.0
    """Peak memory of the process itself."""
    children_mb: float = 0.0
    """Peak memory of the largest process that it started."""
