"""The paragraphs of a step: actions, and what begins with a lead word."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from planbook.source.diagnostics import Findings, Span
from planbook.source.files import SourceFile
from planbook.source.nearest import one_of
from planbook.source.prose.inlines import Block, Break, Inline, Inlines, Plain, Strong
from planbook.source.prose.leads import (
    HARMS,
    HAZARD_FORM,
    LIKELIHOODS,
    Lead,
    Opening,
    opening,
    report_near_miss,
)
from planbook.source.prose.locate import Line, Passage, passage_of, read_inlines
from planbook.source.text import Text

if TYPE_CHECKING:
    from markdown_it.token import Token


@dataclass(frozen=True, slots=True)
class HazardSource:
    """A hazard as the author states it; the signal word is computed later."""

    harm: Text
    """One of `HARMS`."""
    likelihood: Text
    """One of `LIKELIHOODS`."""
    title: Inlines | None
    """The short bold beginning, if there is one."""
    inlines: Inlines
    span: Span


@dataclass(frozen=True, slots=True)
class PhotoSource:
    """A photo that belongs to a step."""

    path: Text
    """Path below the plan's folder, as typed."""
    alt: Inlines
    """What the photo shows."""
    span: Span


@dataclass(slots=True)
class Collected:
    """The paragraphs of one step, or of the introduction, while they are read."""

    step: str | None
    """Title of the step; None in the introduction, where lead words have no place."""
    actions: list[Block] = field(default_factory=list)
    hazards: list[HazardSource] = field(default_factory=list)
    photos: list[PhotoSource] = field(default_factory=list)
    remarks: dict[Lead, list[Block]] = field(default_factory=dict)
    begun: bool = False
    """Whether any paragraph has been read."""


@dataclass(slots=True)
class ParagraphReader:
    """Reads paragraphs of one file into a `Collected`."""

    source: SourceFile
    findings: Findings
    env: dict[str, object]
    """Link addresses defined in the file."""

    def read(self, inlines: list[Token], into: Collected) -> None:
        """Read one paragraph, or all paragraphs of one list item: together they are one action."""
        ordinary: list[Block] = []
        for inline in inlines:
            whole = passage_of(inline, self.source.name, self.source.lines)
            for passage, lead in _split(whole, self.findings):
                if lead is None:
                    ordinary.append(self._ordinary(passage))
                else:
                    self._special(passage, lead, into)
        if ordinary:
            into.actions.append(_joined(ordinary))
        into.begun = True

    def _inlines(self, passage: Passage) -> Inlines:
        return read_inlines(passage, self.findings, env=self.env)

    def _ordinary(self, passage: Passage) -> Block:
        inlines = self._inlines(passage)
        if "![" in passage.content:
            self.findings.warn(
                "image-in-step",
                "a step prints its photos from lines of their own, here only the words stay",
                passage.whole(),
                help="write `Photo: side-dados.jpg, the two sides lying inside face up`",
            )
        return Block(inlines, passage.whole())

    def _special(self, passage: Passage, lead: Opening, into: Collected) -> None:
        """Read a paragraph that begins with a lead word."""
        first = passage.lines[0]
        word = first.span(passage.file, 0, len(first.text[: lead.length].rstrip()))
        if into.step is None:
            self.findings.stop(
                "no-title",
                f"`{lead.lead}:` stands before the first step",
                word,
                help="move it below the `## Title` of its step",
            )
            return
        body = passage.rest(lead.length)
        if not body.content:
            self.findings.stop(
                "empty-lead-word",
                f"nothing follows `{lead.lead}:`",
                word,
                help="write its words behind the colon, in the same paragraph",
            )
        elif lead.lead is Lead.PHOTO:
            self._photo(body, into)
        elif lead.lead is Lead.HAZARD:
            self._hazard(first, body, lead, into)
        else:
            self._remark(body, lead.lead, word, into)

    def _remark(self, body: Passage, lead: Lead, word: Span, into: Collected) -> None:
        kept = into.remarks.setdefault(lead, [])
        if lead is Lead.FOR and kept:
            self.findings.stop(
                "given-twice",
                f"step `{into.step}` has a second `For:`",
                word,
                further=((kept[0].span, "the first one"),),
                help="write one line that says how many, for whom, how many persons",
            )
            return
        kept.append(Block(self._inlines(body), body.whole()))

    def _hazard(self, first: Line, body: Passage, lead: Opening, into: Collected) -> None:
        offset, inside = lead.brackets or (0, "")
        harm, mark, _ = inside.partition(";")
        written = Text(inside, first.span(body.file, offset, offset + len(inside)))
        harm_text = _trimmed(written, 0, len(harm))
        likelihood_text = _trimmed(written, len(harm) + len(mark), len(inside))
        if not mark:
            self.findings.stop(
                "no-likelihood",
                "the hazard does not say whether the harm `will` or `could` come",
                first.span(body.file, offset - 1, offset + len(inside) + 1),
                help=f"write `{HAZARD_FORM}`",
            )
            return
        known = self._known("harm", harm_text, HARMS)
        if self._known("likelihood", likelihood_text, LIKELIHOODS) and known:
            title, rest = _bold_title(self._inlines(body))
            into.hazards.append(HazardSource(harm_text, likelihood_text, title, rest, body.whole()))

    def _known(self, what: str, text: Text, valid: tuple[str, ...]) -> bool:
        """Whether a word in the brackets of a hazard is one of its kind; reported if not."""
        if text in valid:
            return True
        message = f"`{text}` is not a {what} of a hazard" if text else f"the hazard names no {what}"
        slug = "unknown-harm" if what == "harm" else "unknown-likelihood"
        self.findings.stop(slug, message, text.span, help=f"write {one_of(valid)}")
        return False

    def _photo(self, body: Passage, into: Collected) -> None:
        """Read a file name and, behind a comma or a dash, what the photo shows."""
        mark = re.search(r",|\s[—–-]\s", body.content)
        end = mark.start() if mark else len(body.content)
        path = _trimmed(body.text(0, end), 0, end)
        alt = body.rest(mark.end()) if mark else None
        if path and alt is not None and alt.content:
            into.photos.append(PhotoSource(path, self._inlines(alt), body.whole()))
            return
        message = f"the photo `{path}` has no words that say what it shows" if path else "`Photo:` names no file"
        self.findings.stop(
            "no-alt-text" if path else "no-photo-file",
            message,
            body.whole(),
            help=f"write `Photo: {path or 'side-dados.jpg'}, the two sides lying inside face up`",
            rule="WCAG 2.2, success criterion 1.1.1" if path else None,
        )


def _split(passage: Passage, findings: Findings) -> list[tuple[Passage, Opening | None]]:
    """Cut a paragraph before each line that begins with a lead word."""
    parts: list[tuple[list[Line], Opening | None]] = []
    for line in passage.lines:
        text = line.behind(len(line.text) - len(line.text.lstrip()))
        lead = opening(text.text)
        if lead is None:
            report_near_miss(text, passage.file, findings)
        if lead is not None or not parts:
            parts.append(([text], lead))
        else:
            parts[-1][0].append(line)
    return [(Passage(passage.file, tuple(lines)), lead) for lines, lead in parts]


def _trimmed(text: Text, start: int, end: int) -> Text:
    """Return the characters `start` to `end` without blanks at their ends."""
    piece = text[start:end]
    first = start + len(piece) - len(piece.lstrip())
    return text.part(first, max(first, start + len(piece.rstrip())))


def _joined(blocks: list[Block]) -> Block:
    """Return the paragraphs of one list item as one action with forced new lines."""
    pieces: list[Inline] = list(blocks[0].inlines)
    for block in blocks[1:]:
        pieces.append(Break())
        pieces.extend(block.inlines)
    first, last = blocks[0].span, blocks[-1].span
    return Block(tuple(pieces), Span(first.file, first.line, first.column, last.end_line, last.end_column))


def _bold_title(inlines: Inlines) -> tuple[Inlines | None, Inlines]:
    """Split off the bold beginning of a hazard, if other words follow it."""
    if len(inlines) < 2 or not isinstance(inlines[0], Strong):
        return None, inlines
    rest = list(inlines[1:])
    while rest and isinstance(rest[0], Plain) and not rest[0].text.strip():
        del rest[0]
    if not rest:
        return None, inlines
    if isinstance(rest[0], Plain):
        text = rest[0].text
        rest[0] = Plain(text.part(len(text) - len(text.lstrip()), len(text)))
    return inlines[0].children, tuple(rest)
