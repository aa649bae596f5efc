"""The valid words nearest to a mistyped one."""

from __future__ import annotations

from collections.abc import Iterable

LONGEST = 60
"""Words longer than this are not typing slips of a name; they are not compared."""


def nearest(word: str, valid: Iterable[str], n: int = 3) -> tuple[str, ...]:
    """Return up to `n` valid words that look like `word`, the best first, ties in the given order."""
    from difflib import SequenceMatcher

    wanted = " ".join(word.lower().replace("-", " ").replace("_", " ").split())
    if not wanted or len(wanted) > LONGEST:
        return ()
    matcher = SequenceMatcher(autojunk=False)
    matcher.set_seq2(wanted)
    scored: list[tuple[float, int, str]] = []
    for place, candidate in enumerate(dict.fromkeys(valid)):
        matcher.set_seq1(candidate.lower())
        if matcher.real_quick_ratio() >= 0.6 and matcher.ratio() >= 0.6:
            scored.append((-matcher.ratio(), place, candidate))
    return tuple(candidate for _, _, candidate in sorted(scored)[:n])


def did_you_mean(word: str, valid: Iterable[str], n: int = 3) -> str | None:
    """Return help such as `write `high` or `wide``, or None where nothing comes near."""
    found = nearest(word, valid, n)
    if not found:
        return None
    return "write " + one_of(found)


def one_of(words: Iterable[str], *, most: int = 12) -> str:
    """Return words in backticks as a choice: `a`, `b` or `c`; a long list is cut and says so."""
    listed = [f"`{word}`" for word in words]
    if len(listed) > most:
        return ", ".join(listed[:most]) + f" (and {len(listed) - most} more)"
    if len(listed) < 2:
        return "".join(listed)
    return ", ".join(listed[:-1]) + " or " + listed[-1]
