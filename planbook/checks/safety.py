"""What a step must say so that nobody is hurt for want of a word. Nothing here makes a step safe.

The tool maker's instructions, the product's own sheet and local codes come first.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache

from planbook.checks.outcome import Outcome, judged
from planbook.checks.subject import Subject
from planbook.checks.words_of_steps import said
from planbook.plan.model import Step, ToolUse
from planbook.source.diagnostics import Diagnostic, Severity, Span
from planbook.trade.lookup import TradeError, key
from planbook.trade.machines import Tool, find_tool, tool_names

RAGS_RULE = "guidance of fire services; 29 CFR 1926.252(e), covered fire-resistant containers"
MAINS_RULE = "common practice, no source; the local electrical code comes first"
_MAINS = re.compile(r"\bmains\b|\bline voltage\b|\bhard-?wir|\bjunction box|\bhousehold current\b")
_VOLTS = re.compile(r"\b(?:110|115|120|127|220|230|240)\s?v(?:olts?)?\b")
_WIRED = re.compile(
    r"\b(?:lamps?|lights?|lighting|leds?|wires?|wiring|cords?|sockets?|outlets?|switch(?:es)?|bulbs?|dimmers?)\b"
)
"""A voltage alone may be that of a machine; with one of these it is that of the piece."""
_SENTENCE = re.compile(r"[^.!?]+")
_AGAINST = re.compile(r"\bunplug|\bpull the plug|\bdisconnect|\boff the mains|\b(?:no|not|never|without)\b")
"""A sentence that keeps away from mains, or pulls a plug before a bit is changed."""
_LICENSED = ("electrician", "plug-in supply", "plug-in power supply", "plug in supply")
_CLOTHS = r"(?:\bcloths?\b|\brags?\b|\bwipes\b|\bpaper towels?\b)"
_CAN = r"(?:\b(?:under|in) water\b|\b(?:metal|rag|waste) can\b)"
_AWAY = rf"(?:{_CAN}|\bflat\b|\blid\b|\bspread (?:it|them|each|out|flat)\b|\b(?:hang|hung)\b)"
_DISPOSED = re.compile(rf"{_CLOTHS}.{{0,200}}{_AWAY}|{_CAN}.{{0,80}}{_CLOTHS}", re.DOTALL)
_AS_BEFORE = re.compile(r"\bcautions? of\b|\bas in (?:the )?step\b|\bcautions? (?:of|above|before) hold")
"""A step that sends the reader to what another one says."""
_AIRED = (
    "window",
    "ventilat",
    "outdoors",
    "open the door",
    "open a door",
    "fresh air",
    "air the room",
    "extractor fan",
)
_GLOVES_OFF = re.compile(r"no gloves|without gloves|gloves off|never [^.]*gloves|gloves[^.]*\boff\b|\boff\b[^.]*gloves")


def known_tool(subject: Subject, use: ToolUse) -> Tool | None:
    """Return what the tables know about a tool of a step, by its name or another name that the shop gives it."""
    names = (use.key, *_other_names(subject, use.key))
    return next((tool for name in names if name and (tool := tabled(name)) is not None), None)


@cache
def tabled(name: str) -> Tool | None:
    """Return a machine or tool of the tables, or None."""
    return find_tool(name) if key(name) in {key(known) for known in tool_names()} else None


def _other_names(subject: Subject, key: str) -> tuple[str, ...]:
    if subject.shop is None:
        return ()
    found = next((source for name, source in subject.shop.tools.items() if str(name) == key), None)
    return tuple(str(text) for text in found.also) if found is not None else ()


def no_equipment(subject: Subject) -> Iterator[Outcome]:
    """Compare what the shop asks to wear at each motor-driven tool with what is usual there."""
    if subject.shop is None:
        return
    told: dict[str, None] = {}
    for step in subject.plan.steps:
        for use in step.tools:
            tool = known_tool(subject, use)
            own = next(((name, source) for name, source in subject.shop.tools.items() if str(name) == use.key), None)
            if tool is None or own is None or not tool.powered or use.key in told:
                continue
            told[use.key] = None
            name, source = own
            worn = [str(text) for text in source.wear]
            lacking = [word for word in tool.wear if word not in worn]
            usual = ", ".join(tool.wear)
            figure = f"asks for {', '.join(worn) or 'nothing'}"
            yield judged(
                "no-equipment",
                use.key,
                figure=figure,
                limit=usual,
                rule=tool.basis.citation,
                wrong=f"`{name}` asks for {', '.join(worn) or 'nothing'} to wear, usual is {usual}" if lacking else "",
                span=name.span,
                help=f"write `wear: [{usual}]`",
            )


def gloves_at_spindle(subject: Subject) -> Iterator[Outcome]:
    """Find steps with gloves and a tool that turns, unless the step says when they come off."""
    for step in subject.plan.steps:
        gloves = next((use for use in step.tools if _means_gloves(subject, use)), None)
        turning = next((tool for use in step.tools if (tool := known_tool(subject, use)) and tool.turning), None)
        if gloves is None or turning is None:
            continue
        off = _GLOVES_OFF.search(said(step)) is not None
        yield judged(
            "gloves-at-spindle",
            f"step {step.number}",
            figure=f"{gloves.text} and {turning.name}" + (", and the step says when they come off" if off else ""),
            limit="no gloves at what turns",
            rule=turning.basis.citation,
            wrong=(
                f"step {step.number} has `{gloves.text}` and `{turning.name}`, which turns, and does not say when the "
                "gloves come off"
            )
            if not off
            else "",
            span=subject.claimed(step.number, (gloves.text,), "with_"),
            help="write `Hazard (serious injury; could): No gloves at what turns.`, or make two steps of it",
        )


def _means_gloves(subject: Subject, use: ToolUse) -> bool:
    if "glove" in use.key.casefold() or "glove" in use.text.casefold():
        return True
    if subject.shop is None:
        return False
    found = next((source for key, source in subject.shop.tools.items() if str(key) == use.key), None)
    return found is not None and "gloves" in (str(text) for text in found.wear)


def rags_unsaid(subject: Subject) -> Iterator[Outcome]:
    """Find steps that put on oil or a finish with solvent and do not say where the cloths go, or to air the room."""
    from planbook.trade.hazards import finish_materials

    for finish in subject.plan.finish:
        try:
            words = finish_materials(finish.product)
        except TradeError as fault:
            yield Outcome(of=finish.product, missing=fault.message)
            continue
        before = ""
        for step in subject.plan.steps:
            if step.finishes and words:
                text = said(step)
                yield _disposal(step, finish.product, words, f"{text} {before}" if _AS_BEFORE.search(text) else text)
                before += f" {text}"


def _disposal(step: Step, product: str, words: tuple[str, ...], text: str) -> Outcome:
    lacking = []
    if _DISPOSED.search(text) is None:
        lacking.append("where the cloths go")
    if "solvent finish" in words and not any(word in text for word in _AIRED):
        lacking.append("that the room is aired")
    told = " and ".join(lacking)
    problem = None
    if lacking:
        problem = Diagnostic(
            "rags-unsaid",
            Severity.WARN,
            f"step {step.number} puts on `{product}` and does not say {told}",
            step.span,
            help="write `Hazard (serious injury; could): Oily cloths catch fire. Lay each flat outdoors, or put it "
            "under water in a closed metal can.`",
            rule=RAGS_RULE,
        )
    figure = f"does not say {told}" if lacking else "says where the cloths go"
    return Outcome(of=f"step {step.number}", figure=figure, limit="said in the step", rule=RAGS_RULE, problem=problem)


def mains_voltage(subject: Subject) -> Iterator[Outcome]:
    """Find words of mains voltage that neither send to an electrician nor speak of a plug-in supply."""
    for what, text, span in _texts(subject):
        match = _mains(text)
        if match is None:
            continue
        licensed = any(word in text for word in _LICENSED)
        figure = f"speaks of {match[0]}" + (" and sends to licensed practice" if licensed else "")
        yield judged(
            "mains-voltage",
            what,
            figure=figure,
            limit="licensed practice",
            rule=MAINS_RULE,
            wrong=f"{what} speaks of `{match[0]}` and not of a licensed electrician" if not licensed else "",
            span=span,
            help="leave it to a licensed electrician and say so, or use a listed plug-in supply outside the wood",
        )


def _mains(text: str) -> re.Match[str] | None:
    """Return the first word of mains voltage, but for sentences that keep away from it."""
    wired = _WIRED.search(text) is not None
    for sentence in _SENTENCE.findall(text):
        match = _MAINS.search(sentence) or (_VOLTS.search(sentence) if wired else None)
        if match is not None and _AGAINST.search(sentence) is None:
            return match
    return None


def _texts(subject: Subject) -> Iterator[tuple[str, str, Span]]:
    for item in subject.plan.bought:
        yield f"`{item.key}`", f"{item.key} {item.text} {item.note}".casefold(), item.span
    for step in subject.plan.steps:
        yield f"step {step.number}", said(step), step.span
