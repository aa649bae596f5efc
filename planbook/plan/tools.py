"""Tools as steps ask for them: `router`, `2 clamps`, `bit for shelf dados`, `clamps (48 in)`."""

from __future__ import annotations

import re
from fractions import Fraction

from planbook.plan import bolts, driven, holes, joints, sockets
from planbook.plan.draft import Draft
from planbook.plan.model import ToolUse
from planbook.source.diagnostics import Findings
from planbook.source.nearest import did_you_mean
from planbook.source.schema.book import ShopFacts
from planbook.source.schema.words import PerEdition
from planbook.source.text import Text
from planbook.units.editions import nearest_step
from planbook.units.quantity import LENGTH, UnitError
from planbook.units.read import ReadError, read_quantity
from planbook.units.write import decimal, write_length

WIDE_BORE = Fraction(13)
"""mm: from here on a bore wants a Forstner bit (common practice, no source)."""

_COUNTED = re.compile(r"\s*(?:([0-9]{1,4})\s+)?(\S.*?)(?:\s*\(([^()]*)\))?\s*$", re.DOTALL)
_LENGTH_LAST = re.compile(r"(.*?)(\d[\d /.-]*(?:in|mm|ft|cm|\"))(\D*)", re.DOTALL)
_BIT = re.compile(r"bit for\s+(.+)$")


def tool_use(draft: Draft, shop: ShopFacts, text: Text) -> ToolUse:
    """Return a tool as a step uses it. Raises `Unresolved` for one that nobody knows."""
    match = _COUNTED.match(text)
    if match is None:
        raise draft.fail("unknown-tool", "a tool is missing here", text.span, help="write for example `2 clamps`")
    count, name, remark = int(match[1] or 1), " ".join(match[2].split()), match[3]
    bit = _BIT.match(name)
    if bit is not None:
        return ToolUse(key="", text=bit_text(draft, text, bit[1]), count=1)
    key = find_tool(draft, shop, name)
    if key is None:
        known = [*(str(key) for key in shop.tools), *(str(key) for key in draft.facts.tools)]
        raise draft.fail(
            "unknown-tool",
            f"the shop has no tool `{name}`",
            text.span,
            help=did_you_mean(name, known) or f"describe `{name}` under `tools` in `shop.yaml`",
        )
    shown = f"{match[1]} {name}" if match[1] else name
    if remark:
        shown += f", {_remark(draft, remark)}"
    return ToolUse(key=key, text=shown, count=count)


def _remark(draft: Draft, remark: str) -> str:
    """Return a remark behind a tool; a length in it is written as the edition does."""
    from planbook.plan.prose import on_prose_grid

    found = _LENGTH_LAST.fullmatch(remark)
    if found is None:
        return remark
    stem, length, tail = found.groups()
    try:
        quantity = read_quantity(length)
    except ReadError:
        return remark
    if quantity.dimension != LENGTH:
        return remark
    return f"{stem}{write_length(on_prose_grid(draft, quantity), draft.edition)}{tail}"


def find_tool(draft: Draft, shop: ShopFacts, name: str) -> str | None:
    """Return the key of a tool in the shop, or among the plan's own tools and jigs, by any of its names."""
    wanted = {name.casefold(), singular(name.casefold())}
    for tool, source in shop.tools.items():
        if _among(wanted, tool) or any(_among(wanted, word) for word in source.also):
            return str(tool)
    for key in (*map(str, draft.facts.tools), *draft.parts):
        if _among(wanted, key):
            return key
    return None


def _among(wanted: set[str], name: str) -> bool:
    folded = name.casefold()
    return folded in wanted or singular(folded) in wanted


def singular(word: str) -> str:
    """Return a word for one, where it ends in a plain s."""
    return word[:-1] if word.endswith("s") and not word.endswith("ss") else word


def bit_text(draft: Draft, text: Text, name: str) -> str:
    """Return the bit for a joint or for holes, as `1/4" bit` or `23/32" straight bit, or narrower`."""
    size, kind = bit_size(draft, text, name)
    return f"{write_length(size, draft.edition)} {kind}"


def speed(draft: Draft, text: Text, name: str) -> str:
    """Return the usual speed of the bit for a joint or for holes, as `250 to 500 turns a minute`."""
    from planbook.trade.bits import nearest_bit, speed_rpm
    from planbook.trade.lookup import TradeError

    size, _ = bit_size(draft, text, name)
    # A wide bore is made with a bit of its own kind, a narrow one with the usual one for wood.
    kind = "forstner" if size > WIDE_BORE else "brad-point"
    try:
        turns = speed_rpm(nearest_bit(size, kind, draft.edition.name).bit)
    except TradeError as fault:
        raise draft.fail(fault.slug, fault.message, text.span, help=fault.help) from None
    low, high = (decimal(nearest_step(speed, Fraction(10)), 0) for speed in (turns.low, turns.high))
    return f"{low} to {high} turns a minute"


def _bored(draft: Draft, name: str) -> Fraction | None:
    """Return the diameter of what holds the fasteners of a joint: its pilot, or its dowel; None for one without."""
    if driven.driven(draft, name) is None:
        return None
    for one in driven.in_place(draft, name):
        layer = one.into or one.passes[-1]
        if layer.diameter:
            return layer.diameter
    return None


def bit_size(draft: Draft, text: Text, name: str) -> tuple[Fraction, str]:
    """Return the diameter of the bit for a joint or for holes in mm, and what kind of bit it is."""
    if name in draft.facts.holes:
        return holes.diameter(draft, name), "bit"
    if name in draft.facts.joints and joints.kind_of(draft, name) in joints.UNCUT:
        bored = _bored(draft, name)
        if bored is not None:
            return bored, "bit"
    elif name in draft.facts.joints:
        kind = joints.kind_of(draft, name)
        if kind == joints.SOCKET:
            return sockets.diameter(draft, name), "bit"
        if kind == joints.BOLTS:
            return bolts.drill(draft, name), "bit"
        size = joints.wide(draft, name)
        if kind == joints.MORTISE:
            return size, "mortising or straight bit"
        return (
            size,
            "rabbeting or straight bit" if kind == "rabbet" else "straight bit, or a narrower one in two passes",
        )
    known = [*(str(key) for key in draft.facts.joints), *(str(key) for key in draft.facts.holes)]
    raise draft.fail("unknown-name", f"no bit cuts `{name}`", text.span, help=did_you_mean(name, known))


def check_limits(shop: ShopFacts, findings: Findings) -> None:
    """Record what a tool of the shop is said to take that is no length."""
    for source in shop.tools.values():
        for value in (source.widest, source.thickest, source.stroke, source.opens, source.room):
            texts = (value.imperial, value.metric) if isinstance(value, PerEdition) else (value,)
            for text in texts:
                if text is not None:
                    _check_length(text, findings)


def _check_length(text: Text, findings: Findings) -> None:
    try:
        quantity = read_quantity(text)
    except UnitError as fault:
        findings.stop(getattr(fault, "slug", "wrong-unit"), fault.message, text.span, help=fault.help)
        return
    if quantity.dimension != LENGTH or quantity.value <= 0:
        help = "write for example `12 in` or `300 mm`"
        findings.stop("wrong-unit", f"`{text}` is no length that a tool takes", text.span, help=help)
