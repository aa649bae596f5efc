"""Names that are given and never used: dims that drive nothing, tools that no step takes up."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from pydantic import BaseModel

from planbook.checks.subject import EXACT, Subject
from planbook.plan.values import OVERALL
from planbook.source.book import WrittenPlan, WrittenStep
from planbook.source.diagnostics import Diagnostic, Severity
from planbook.source.formula.names import WORD, NameTable, plain
from planbook.source.prose.inlines import Block, references
from planbook.source.text import Text

_PROSE = frozenset({"about", "note", "pick", "says"})
"""Words of facts that hold prose, not formulas."""
_BRACES = re.compile(r"\{([^{}]*)\}")


def unused_dim(subject: Subject) -> Iterator[Diagnostic]:
    """Find dims that no formula, no place and no reference of the prose names; the size of the piece is used anyway."""
    if subject.written is None:
        return
    facts = subject.written.facts
    names: tuple[Iterable[Text], ...] = (facts.dims, facts.stock, facts.edgings, facts.parts, facts.joints, facts.holes)
    table = NameTable(str(name) for group in (*names, facts.resin, facts.cuts) for name in group)
    used = {name for text in _formulas(subject.written) for name in named_in(plain(text), table)}
    for key in facts.dims:
        name = " ".join(key.split())
        if name in used or name in OVERALL:
            continue
        yield Diagnostic(
            "unused-dim",
            Severity.WARN,
            f"no formula and no reference in the prose names the dim `{name}`",
            key.span,
            help=f"use `{name}` where its size is meant, or leave it out",
            rule=EXACT,
        )


def named_in(text: str, table: NameTable) -> Iterator[str]:
    """Give the known names in a `plain` text; the longest one wins, what stands behind a dot is no name."""
    at = 0
    while (word := WORD.search(text, at)) is not None:
        found = None if text[word.start() - 1 : word.start()] == "." else table.longest(text, word.start())
        if found is not None:
            yield found[0]
        at = found[1] if found is not None else word.end()


def _formulas(written: WrittenPlan) -> Iterator[str]:
    """Give every text in which a dim can be named."""
    facts = written.facts
    groups = (
        facts.dims, facts.stock, facts.edgings, facts.parts, facts.joints, facts.holes, facts.cuts, facts.bought,
        facts.resin,
    )  # fmt: skip
    for group in groups:
        for words in group.values():
            yield from _texts(words)
    for facts_of_plan in (facts.overall, facts.finish, facts.resolution):
        yield from _texts(facts_of_plan)
    for prose in (facts.plan.changed, facts.plan.learn, facts.plan.ask_first):
        yield from _BRACES.findall(prose or "")
    for block in written.introduction:
        yield from _referred(block)
    for step in written.steps:
        yield from _of_step(step)


def _texts(words: object) -> Iterator[str]:
    """Give the texts of a mapping of facts, except its prose."""
    if isinstance(words, str):
        yield words
    elif isinstance(words, tuple | dict):
        for item in words.values() if isinstance(words, dict) else words:
            yield from _texts(item)
    elif isinstance(words, BaseModel):
        for field in type(words).model_fields:
            if field not in _PROSE:
                yield from _texts(getattr(words, field))


def _of_step(step: WrittenStep) -> Iterator[str]:
    yield from _texts(step.facts.test)
    yield from step.facts.with_
    prose = step.prose
    blocks = [*prose.actions, *prose.good_enough, *prose.went_wrong, *prose.teacher, *prose.tips, *prose.meanwhile]
    if prose.for_whom is not None:
        blocks.append(prose.for_whom)
    for block in blocks:
        yield from _referred(block)
    for hazard in prose.hazards:
        for reference in (*references(hazard.title or ()), *references(hazard.inlines)):
            yield reference.text


def _referred(block: Block) -> Iterator[str]:
    for reference in references(block.inlines):
        yield reference.text


def unused_tool(subject: Subject) -> Iterator[Diagnostic]:
    """Find tools that the plan describes as its own and no step uses."""
    if subject.written is None:
        return
    used = {tool.key for step in subject.plan.steps for tool in step.tools}
    for key in subject.written.facts.tools:
        if str(key) in used:
            continue
        yield Diagnostic(
            "unused-tool",
            Severity.WARN,
            f"the plan describes the tool `{key}`, but none of its {len(subject.plan.steps)} steps uses it",
            key.span,
            help=f"name `{key}` in the `with` of a step, or leave it out",
            rule=EXACT,
        )
