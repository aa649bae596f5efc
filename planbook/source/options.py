"""Options of a plan, such as with or without a drawer: what of it is there, as its author has chosen."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from planbook.source.diagnostics import Findings
from planbook.source.nearest import did_you_mean
from planbook.source.schema.options import OptionSource
from planbook.source.schema.words import Words
from planbook.source.text import Text

if TYPE_CHECKING:
    from planbook.source.book import WrittenPlan

GROUPS = ("parts", "joints", "holes", "cuts", "bought", "edgings", "resin", "templates", "loads", "stock", "tools")
"""Groups of `plan.yaml` whose entries an option may bring."""


def chosen(written: WrittenPlan, findings: Findings) -> WrittenPlan:
    """Return the plan without what its options leave out: entries, steps, and their names in all lists."""
    options = written.facts.options
    if not options:
        return written
    there = {key: _is_there(option, findings) for key, option in options.items()}
    _check(written, options.values(), findings)
    others = tuple((key, _with(written, {**there, key: not there[key]})) for key in options)
    return replace(_with(written, there), other_ways=others)


def _with(written: WrittenPlan, there: Mapping[Text, bool]) -> WrittenPlan:
    """Return the plan with some options and without the others."""
    names: list[Text] = []
    titles: list[Text] = []
    for key, option in written.facts.options.items():
        names += option.without if there[key] else option.with_
        titles += option.other_steps if there[key] else option.steps
    gone = {str(name) for name in names}
    facts = written.facts
    kept = {
        group: {key: _listed(entry, gone) for key, entry in getattr(facts, group).items() if str(key) not in gone}
        for group in GROUPS
    }
    finish = _listed(facts.finish, gone) if facts.finish is not None else None
    steps = tuple(
        replace(step, facts=_listed(step.facts, gone, empty=True))
        for step in written.steps
        if not any(step.prose.title == title for title in titles)
    )
    return replace(written, facts=facts.model_copy(update={**kept, "finish": finish}), steps=steps)


def _is_there(option: OptionSource, findings: Findings) -> bool:
    if option.is_ not in ("yes", "no"):
        findings.stop("wrong-word", f"`is` wants `yes` or `no`, not `{option.is_}`", option.is_.span)
    return option.is_ == "yes"


def _listed(entry: Any, gone: set[str], *, empty: bool = False) -> Any:
    """Return an entry without the names that are gone in any of its lists; what is not a list stays.

    A list of which nothing would be left stays too, unless it may be `empty`: that its names are unknown is then
    told where it stands.
    """
    if not isinstance(entry, Words) or not gone:
        return entry
    update = {}
    for field in entry.model_fields_set:
        value = getattr(entry, field)
        if isinstance(value, tuple) and any(isinstance(text, Text) and str(text) in gone for text in value):
            left = tuple(text for text in value if not (isinstance(text, Text) and str(text) in gone))
            if left or empty:
                update[field] = left
    return entry.model_copy(update=update) if update else entry


def _check(written: WrittenPlan, options: Iterable[OptionSource], findings: Findings) -> None:
    """Record names and titles of steps that the plan does not have."""
    known = [str(key) for group in GROUPS for key in getattr(written.facts, group)]
    titles = [str(step.prose.title) for step in written.steps]
    for option in options:
        for text in (*option.with_, *option.without):
            if text not in known:
                help = did_you_mean(text, known) or "name parts, joints, holes, cuts or bought things of the plan"
                findings.stop("unknown-name", f"the plan has nothing called `{text}`", text.span, help=help)
        for text in (*option.steps, *option.other_steps):
            if text not in titles:
                findings.stop("unknown-step", f"no step is called `{text}`", text.span, help=did_you_mean(text, titles))
