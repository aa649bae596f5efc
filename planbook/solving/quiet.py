"""HiGHS without a word on standard output, and stopped by the work done, never by the clock.

One thread and a fixed seed: the same program gives the same answer on every machine of a kind.
"""

from __future__ import annotations

from typing import Any

import highspy


class _Quiet(highspy.Highs):
    """The solver prints its name while it is made, before it can be asked not to; this step comes just earlier."""

    def __init__(self) -> None:
        super().__init__()  # type: ignore[no-untyped-call] # the library has no types

    def enableCallbacks(self) -> None:  # noqa: N802 # the library's name
        self.setOptionValue("output_flag", False)
        super().enableCallbacks()  # type: ignore[no-untyped-call] # the library has no types


def quiet_solver() -> highspy.Highs:
    """Return a solver of one thread that prints nothing."""
    highs = _Quiet()
    highs.setOptionValue("threads", 1)
    highs.setOptionValue("random_seed", 0)
    return highs


def stop_after(highs: highspy.Highs, checks: int) -> list[int]:
    """Count checks and interrupt after so many; returns [checks, interrupted]. The caller starts what is counted."""
    seen = [0, 0]

    def count(_kind: Any, _message: str, _out: Any, back: Any, _user: Any) -> None:
        seen[0] += 1
        if seen[0] > checks:
            seen[1] = 1
            back.user_interrupt = True

    highs.setCallback(count, None)
    return seen
