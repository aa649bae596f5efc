"""The last answer to a question about one object: many checks ask the same about the plan that is looked at."""

from __future__ import annotations

from collections.abc import Callable
from typing import Generic, TypeVar

Asked = TypeVar("Asked")
Answer = TypeVar("Answer")


class Last(Generic[Asked, Answer]):
    """Works out an answer, and keeps it until another object is asked about.

    Objects are told apart by identity: plans are frozen, but so large that comparing two of them takes longer
    than most answers.
    """

    __slots__ = ("_kept", "_work")

    def __init__(self, work: Callable[[Asked], Answer]) -> None:
        self._work = work
        self._kept: tuple[Asked, Answer] | None = None

    def __call__(self, asked: Asked) -> Answer:
        """Return the answer for an object that never changes."""
        kept = self._kept
        if kept is not None and kept[0] is asked:
            return kept[1]
        answer = self._work(asked)
        self._kept = (asked, answer)
        return answer
