"""How hard to look before the best so far is taken: limits in work done, never in time."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Effort:
    """Limits of one search. The answer depends on them, and on nothing that changes from run to run."""

    rounds: int = 200
    """Of pricing, at most."""
    nodes: int = 4_000
    """Of branch and bound, for one integer model."""
    checks: int = 1_500
    """Of the solver's own checks, for one integer model of modest size; larger ones get fewer."""
    patterns: int = 4_000
    """Cutting patterns listed one by one, at most."""
    corrections: int = 30
    """Times that sheets are cut one after the other with corrected values, for few pieces; for many, fewer."""
    tidy: int = 8
    """Integer models tried for fewer diagrams and a larger offcut; 0 leaves the layouts as found."""


NORMAL = Effort()
THOROUGH = Effort(rounds=1_000, nodes=100_000, checks=20_000, patterns=40_000, corrections=300, tidy=80)
