"""The one error of this package: a wish that no timetable can meet, told as a finding is told."""

from __future__ import annotations


class TimingError(ValueError):
    """A typed fault; the caller knows the file and the line, and turns it into a diagnostic."""

    def __init__(self, slug: str, message: str, help: str = "") -> None:
        super().__init__(message)
        self.slug = slug
        """Name of the fault, words joined by hyphens."""
        self.message = message
        """One sentence, lower case, no full stop, with the value and the limit in it."""
        self.help = help
        """The mend, ready to type."""
