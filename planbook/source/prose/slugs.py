"""Names for addresses and page ids."""

from __future__ import annotations

import re
import unicodedata

_FOLDED = str.maketrans(
    {"ß": "ss", "ẞ": "ss", "æ": "ae", "Æ": "ae", "œ": "oe", "Œ": "oe", "ø": "o", "Ø": "o", "đ": "d",
     "Đ": "d", "ð": "d", "Ð": "d", "þ": "th", "Þ": "th", "ł": "l", "Ł": "l", "ı": "i", "⁄": "-",
     "×": "x"}
)  # fmt: skip
"""Letters that do not fall apart into a Latin letter and a mark."""


def slugify(title: str) -> str:
    """Return lower-case ASCII letters and digits joined by single hyphens; `section` if none is left.

    Latin letters lose their accents; letters of other scripts have no ASCII form and are left out.
    """
    decomposed = unicodedata.normalize("NFKD", title.translate(_FOLDED)).translate(_FOLDED)
    without_marks = "".join(char for char in decomposed if not unicodedata.combining(char))
    words = re.findall(r"[a-z0-9]+", re.sub(r"['’]", "", without_marks.lower()))
    return "-".join(words) or "section"


class UniqueSlugs:
    """Hands out slugs of which no two are alike: the second `rails` becomes `rails-2`."""

    def __init__(self) -> None:
        self._given: set[str] = set()

    def make(self, title: str) -> str:
        """Return the slug of a title, numbered if it was given before."""
        base = slugify(title)
        slug, number = base, 1
        while slug in self._given:
            number += 1
            slug = f"{base}-{number}"
        self._given.add(slug)
        return slug
