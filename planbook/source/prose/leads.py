"""Lead words: the words with a colon that make a paragraph of a step more than an action."""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum

from planbook.source.diagnostics import Findings
from planbook.source.prose.locate import Line


class Lead(StrEnum):
    """The lead words, exactly as they are written before their colon."""

    GOOD_ENOUGH = "Good enough"
    WENT_WRONG = "If it went wrong"
    HAZARD = "Hazard"
    TEACHER = "Teacher"
    TIP = "Tip"
    PHOTO = "Photo"
    MEANWHILE = "Meanwhile"
    FOR = "For"


HARMS = ("death", "serious injury", "minor injury", "damage")
"""What may happen to a person or a thing; the signal word is computed from it."""
LIKELIHOODS = ("will", "could")
"""Whether the harm will or could come if the hazard is not avoided."""

HAZARD_FORM = "Hazard (serious injury; could): ..."

_LEAD = re.compile(r"(Good enough|If it went wrong|Teacher|Tip|Photo|Meanwhile|For):[ \t]*")
_HAZARD = re.compile(r"Hazard \(([^():]*)\):[ \t]*")
_LIKE_A_LEAD = re.compile(r"[*_]{0,3}([^\W\d_](?:[^\W\d_]|[ '’-]){1,22}?) ?(\([^()]{0,60}\)?)? ?[*_]{0,3} ?[:;]")
_SIGNAL_WORDS = frozenset({"danger", "warning", "caution", "beware", "attention"})
_NEAR = 0.75
"""Least likeness (0 to 1) at which another word is taken for a mistyped lead word."""


@dataclass(frozen=True, slots=True)
class Opening:
    """The lead word that a line begins with."""

    lead: Lead
    length: int
    """Characters of the line up to the paragraph's own words."""
    brackets: tuple[int, str] | None = None
    """For a hazard, what stands in its brackets, with its offset in the line."""


def opening(line: str) -> Opening | None:
    """Return the lead word that a line begins with, or None for an ordinary line."""
    plain = _LEAD.match(line)
    if plain is not None:
        return Opening(Lead(plain[1]), plain.end())
    hazard = _HAZARD.match(line)
    if hazard is not None:
        return Opening(Lead.HAZARD, hazard.end(), (hazard.start(1), hazard[1]))
    return None


def report_near_miss(line: Line, file: str, findings: Findings) -> None:
    """Report a line without a lead word that begins with something very much like one."""
    like = _LIKE_A_LEAD.match(line.text)
    if like is None:
        return
    lead = _lead_meant(like[1], like[2] is not None)
    if lead is None:
        return
    form = HAZARD_FORM if lead is Lead.HAZARD else f"{lead}: ..."
    written = like[0].strip()
    span = line.span(file, 0, len(written))
    message = f"`{written}` is not a lead word, the paragraph would be printed as an action"
    if like[1] == Lead.HAZARD:
        message = f"`{written}` does not state harm and likelihood as `(harm; likelihood)` before its colon"
    cure = f"write `{form}` at the beginning of the paragraph"
    if lead is not Lead.HAZARD:
        findings.warn("unknown-lead-word", message, span, help=cure)
        return
    if like[1].lower() in _SIGNAL_WORDS:
        cure = f"write `{form}`; the signal word is computed from harm and likelihood"
    findings.stop("unknown-lead-word", message, span, help=cure)


def _lead_meant(word: str, bracketed: bool) -> Lead | None:
    """Return the lead word that the author probably meant."""
    from difflib import SequenceMatcher

    letters = _letters(word)
    if letters in _SIGNAL_WORDS:
        return Lead.HAZARD
    for lead in Lead:
        wanted = _letters(lead)
        if letters in (wanted, wanted + "s"):
            return lead
        ratio = SequenceMatcher(None, letters, wanted, autojunk=False).ratio()
        # Short words are near too many others: `Four:` is no slip of `For:`.
        if (len(wanted) > 5 or (bracketed and lead is Lead.HAZARD)) and ratio >= _NEAR:
            return lead
    return None


def _letters(word: str) -> str:
    """Return the letters of a word or phrase, lower case."""
    return "".join(char for char in word.lower() if char.isalpha())
