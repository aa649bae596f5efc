"""Order of work at edges and ends: strips are glued on and then trimmed, long parts are trimmed once they are there."""

from __future__ import annotations

from collections.abc import Iterator

from planbook.checks.subject import EXACT, Subject
from planbook.plan.model import Life, Role
from planbook.source.diagnostics import Diagnostic, Severity


def trim_before_glue(subject: Subject) -> Iterator[Diagnostic]:
    """Find edgings that are trimmed before they are glued on."""
    told = set()
    for part in subject.plan.parts:
        for edging in part.edgings:
            glued, trimmed = edging.glued_in, edging.trimmed_in
            if glued is None or trimmed is None or trimmed >= glued or edging.name in told:
                continue
            told.add(edging.name)
            yield Diagnostic(
                "trim-before-glue",
                Severity.STOP,
                f"the edging `{edging.name}` is trimmed in step {trimmed}, but glued on only in step {glued}",
                subject.claimed(trimmed, (edging.name, edging.key), "trims"),
                help=f"claim `{edging.name}` in the `trims` of a step after step {glued}",
                rule=EXACT,
            )


def edging_before_part(subject: Subject) -> Iterator[Diagnostic]:
    """Find edgings that are glued on before the part that wears them is sawn out."""
    for part in subject.plan.parts:
        for edging in part.edgings:
            if edging.glued_in is None or part.made_in is None or edging.glued_in >= part.made_in:
                continue
            yield Diagnostic(
                "edging-before-part",
                Severity.STOP,
                f"the edging `{edging.name}` is glued to `{part.key}` in step {edging.glued_in}, but `{part.key}` "
                f"is sawn out only in step {part.made_in}",
                subject.claimed(edging.glued_in, (edging.name, edging.key), "joins"),
                help=f"claim `{edging.name}` in the `joins` of a step after step {part.made_in}",
                rule=EXACT,
            )


def trimmed_too_soon(subject: Subject) -> Iterator[Diagnostic]:
    """Find parts left long that are trimmed before they are sawn out or glued up."""
    for part in subject.plan.parts:
        if part.role is Role.EDGING or part.made_in is None:
            continue
        untils = [size.until for size in (part.length, part.width) if size.life is Life.LONG and size.until is not None]
        if not untils or min(untils) >= part.made_in:
            continue
        yield Diagnostic(
            "trimmed-too-soon",
            Severity.STOP,
            f"`{part.key}` is trimmed in step {min(untils)}, but sawn out only in step {part.made_in}",
            subject.claimed(min(untils), (part.key,), "trims"),
            help=f"claim `{part.key}` in the `trims` of a step after step {part.made_in}",
            rule=EXACT,
        )
