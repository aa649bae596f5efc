"""Order of work: nothing is used, cut into or closed before it is there.

Steps are compared by their numbers; within one step the author's prose gives the order.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from planbook.checks.subject import EXACT, PRACTICE, Subject
from planbook.plan.model import Joint, Life, Part, Role
from planbook.plan.shapes import Turned
from planbook.source.diagnostics import Diagnostic, Severity, Span

HANDS = {"left": "L", "right": "R"}


class Use(NamedTuple):
    """One thing done with a part."""

    step: int
    does: str
    """As the end of `is ...`."""
    span: Span | None


def members(joint: Joint) -> tuple[str, ...]:
    """Return all parts of a joint."""
    return (*joint.receiving, *joint.entering)


def used_before_made(subject: Subject) -> Iterator[Diagnostic]:
    """Find parts and strips that are joined, set, worked on or used as a tool before they are sawn out."""
    for part in (*subject.plan.parts, *subject.plan.fittings):
        uses = sorted(_uses(subject, part), key=lambda use: use.step)
        if part.made_in is None or not uses or uses[0].step >= part.made_in:
            continue
        first = uses[0]
        yield Diagnostic(
            "used-before-made",
            Severity.STOP,
            f"`{part.key}` is {first.does} in step {first.step}, but sawn out only in step {part.made_in}",
            first.span,
            further=_sawn_here(subject, part),
            help=f"claim `{part.key}` in the `cuts` of a step before step {first.step}, or move step {first.step} back",
            rule=EXACT,
        )


def _uses(subject: Subject, part: Part) -> Iterator[Use]:
    for joint in subject.plan.joints:
        if joint.joined_in is not None and part.key in members(joint):
            span = subject.claimed(joint.joined_in, (joint.name,), "joins")
            yield Use(joint.joined_in, f"joined in `{joint.name}`", span)
    if part.role is Role.EDGING and part.joined_in is not None:
        span = subject.claimed(part.joined_in, _edging_names(part.key), "joins")
        yield Use(part.joined_in, "glued on", span)
    for step in subject.plan.steps:
        if part.key in step.sets:
            yield Use(step.number, "set in place", subject.claimed(step.number, _names(part), "sets"))
        if any(tool.key == part.key for tool in step.tools):
            yield Use(step.number, "used as a tool", subject.claimed(step.number, _names(part), "with_"))
        for text in subject.claims(step.number, "works"):
            if " ".join(text.split()) in _names(part):
                yield Use(step.number, "worked on", text.span)


def _names(part: Part) -> tuple[str, ...]:
    """Return the words by which a step may claim a part."""
    hands = tuple(f"{hand} {part.key}" for hand in HANDS) if part.pair else ()
    return (part.key, *hands)


def _edging_names(key: str) -> tuple[str, ...]:
    """Return the words by which a step may claim a strip: its own, or those of its edging."""
    return (key, key.partition(" of ")[0])


def _sawn_here(subject: Subject, part: Part) -> tuple[tuple[Span, str], ...]:
    if part.made_in is None:
        return ()
    span = subject.claimed(part.made_in, (part.key, *_edging_names(part.key)), "cuts")
    return ((span, f"`{part.key}` is sawn out here"),) if span is not None else ()


def cut_before_made(subject: Subject) -> Iterator[Diagnostic]:
    """Find dados, rabbets and holes that are made in a part before it is sawn out."""
    for part in subject.plan.parts:
        for name, step in _worked_in(part).items():
            if part.made_in is None or step >= part.made_in:
                continue
            yield Diagnostic(
                "cut-before-made",
                Severity.STOP,
                f"`{name}` is cut into `{part.key}` in step {step}, but `{part.key}` is sawn out only "
                f"in step {part.made_in}",
                subject.claimed(step, (name,), "cuts"),
                further=_sawn_here(subject, part),
                help=f"claim `{name}` in the `cuts` of step {part.made_in} or of a later step",
                rule=EXACT,
            )


def _worked_in(part: Part) -> dict[str, int]:
    """Return the first step of each cut, group of holes, shaping and easing of a part, by name."""
    found: dict[str, int] = {}
    bored = [(hole.group, hole.step) for hole in part.holes]
    named = [(cut.name, cut.step) for cut in part.cuts] + bored
    named += [(ease.name, ease.step) for ease in part.eased]
    if isinstance(part.shape, Turned):
        named.append((part.shape_name, part.shaped_in))
    for name, step in named:
        if step is not None:
            found[name] = min(step, found.get(name, step))
    return found


def joined_before_cut(subject: Subject) -> Iterator[Diagnostic]:
    """Find joints that are closed before their dado, groove or rabbet is cut."""
    for joint in subject.plan.joints:
        if joint.cut_in is None or joint.joined_in is None or joint.joined_in >= joint.cut_in:
            continue
        yield Diagnostic(
            "joined-before-cut",
            Severity.STOP,
            f"`{joint.name}` is closed in step {joint.joined_in}, but cut only in step {joint.cut_in}",
            subject.claimed(joint.joined_in, (joint.name,), "joins"),
            help=f"claim `{joint.name}` in the `cuts` of a step before step {joint.joined_in}",
            rule=EXACT,
        )


def cut_after_joined(subject: Subject) -> Iterator[Diagnostic]:
    """Find cuts and holes made in a part that is already joined to another."""
    early = {joint.name for joint in subject.plan.joints if (joint.joined_in or 0) < (joint.cut_in or 0)}
    for part in subject.plan.parts:
        # Holes for screws are bored through one part into the other while both are held in place.
        held = {hole.group for hole in part.holes if hole.fastener}
        for name, step in _worked_in(part).items():
            if name in held:
                continue
            # A joint closed before it is cut is told by its own check.
            if part.joined_in is None or step <= part.joined_in or (name in early and _closes(subject, name, part)):
                continue
            yield Diagnostic(
                "cut-after-joined",
                Severity.WARN,
                f"`{name}` is cut into `{part.key}` in step {step}, after `{part.key}` was joined in step "
                f"{part.joined_in}: it may no longer fit the machine",
                subject.claimed(step, (name,), "cuts"),
                help=f"cut `{name}` before step {part.joined_in}, or accept it with the way the work is held",
                rule=PRACTICE,
            )


def _closes(subject: Subject, name: str, part: Part) -> bool:
    """Whether the joint of that name is the first that holds the part."""
    return any(joint.name == name and joint.joined_in == part.joined_in for joint in subject.plan.joints)


def made_never_used(subject: Subject) -> Iterator[Diagnostic]:
    """Find parts that are sawn out but neither joined nor set in place; jigs and test pieces are no parts."""
    for part in subject.plan.parts:
        if part.role is not Role.PART or part.made_in is None or part.joined_in is not None:
            continue
        yield Diagnostic(
            "made-never-used",
            Severity.WARN,
            f"`{part.key}` is sawn out in step {part.made_in}, but no step joins it or sets it in place",
            part.span,
            help=f"add `sets: [{part.key}]` to a step, or `apart: yes` to the part if it stays beside the piece",
            rule=EXACT,
        )


def fitted_too_soon(subject: Subject) -> Iterator[Diagnostic]:
    """Find parts to be fitted that are sawn before any joint of their neighbours makes the opening."""
    for part in subject.plan.parts:
        if part.made_in is None or Life.FITTED not in (part.length.life, part.width.life):
            continue
        opening = _opening(subject, part)
        if opening is None or opening.joined_in is None or part.made_in >= opening.joined_in:
            continue
        yield Diagnostic(
            "fitted-too-soon",
            Severity.WARN,
            f"`{part.key}` is fitted to its opening but sawn in step {part.made_in}, and there is no opening "
            f"before step {opening.joined_in} closes `{opening.name}`",
            subject.claimed(part.made_in, (part.key,), "cuts"),
            help=f"claim `{part.key}` in the `cuts` of step {opening.joined_in} or of a later step",
            rule=PRACTICE,
        )


def _opening(subject: Subject, part: Part) -> Joint | None:
    """Return the first joint closed among the neighbours of a part, or in the piece where it has none."""
    joints = subject.plan.joints
    neighbours = {name for joint in joints if part.key in members(joint) for name in members(joint)} - {part.key}
    around = [
        joint
        for joint in joints
        if joint.joined_in is not None
        and part.key not in members(joint)
        and (not neighbours or not neighbours.isdisjoint(members(joint)))
    ]
    return min(around, key=lambda joint: (joint.joined_in or 0, joint.name), default=None)
