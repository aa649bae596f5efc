"""Pieces that stand outdoors: glue, panels and steel that the weather spoils, and places that hold water.

Whether a piece stands outdoors is read from its title and summary: nothing else of a plan says so.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction

from planbook.checks.finish import glue_product, is_glued
from planbook.checks.outcome import Outcome, judged
from planbook.checks.spaces import Standing, standing
from planbook.checks.subject import PRACTICE, Subject, finely_shown
from planbook.checks.wood import NO_ROOM, over_the_year
from planbook.checks.words_of_steps import said
from planbook.plan.model import Role, StockKind
from planbook.units.factors import INCH

GAP_MM = INCH / 8
GAP_RULE = "common practice, no source: 1/8 in (3 mm) stays open between boards when they are wet"
STEEL_RULE = "common practice, no source: plain steel rusts outdoors, and stains wood with tannin black"
_OUTDOORS = re.compile(r"\b(?:outdoors?|in the (?:rain|weather|open air))\b")
_PLACES = re.compile(r"\b(?:garden|patio|porch|terrace|balcony|planter)\b")
"""In a title they say where the piece stands; in a sentence they may say where it does not."""
_NOT = re.compile(r"\b(?:not|never|no)\b[^.]{0,40}\boutdoors?\b|\bfor indoors\b")
_WEATHERPROOF = ("exterior", "marine", "phenolic", "cement")
_RUSTLESS = ("stainless", "brass", "bronze", "galvan", "coated", "silicon", "aluminium", "aluminum")
_STEEL = ("screw", "nail", "bolt", "bracket", "hinge", "staple", "strap", "washer")
_TANNIN = ("oak", "walnut", "cherry", "chestnut", "cedar", "redwood", "mahogany", "teak", "iroko", "robinia")
"""Woods that plain steel stains black (common practice, no source)."""
_LASTING = (
    *("western redcedar", "western red cedar", "redwood", "white oak", "cherry", "walnut", "chestnut"),
    *("cypress", "juniper", "locust", "robinia", "mulberry", "osage", "sassafras", "catalpa", "yew", "european oak"),
    *("teak", "ipe", "iroko", "mahogany", "padauk", "accoya"),
)
_MIDDLING = (
    "douglas-fir",
    "douglas fir",
    "larch",
    "longleaf pine",
    "heart pine",
    "eastern white pine",
    "slash pine",
    "tamarack",
)
_PERISHABLE = (
    *("alder", "ash", "aspen", "basswood", "beech", "birch", "cottonwood", "elm", "hackberry", "hemlock", "hickory"),
    *("pecan", "magnolia", "maple", "red oak", "pine", "poplar", "tulipwood", "spruce", "whitewood", "sweetgum"),
    *("red gum", "sycamore", "willow", "white fir"),
)
_TREATED = ("treated", "preservative", "thermo", "modified")
ROT_RULE = (
    "Forest Products Laboratory, Research Note FPL-0153 (1967), decay resistance of heartwood of native species, as "
    "reprinted; imported and European woods: common practice, no source"
)
_FEET = re.compile(
    r"\b(?:feet|foot|end grain)\b[^.]{0,60}\b(?:seal|soak|epoxy|wax|glue|pad|glide|oil)"
    r"|\b(?:seal|soak|pad|glide)[^.]{0,60}\b(?:feet|foot|end grain)"
)


def outdoors(subject: Subject) -> bool:
    """Whether the title or summary of a plan says that the piece stands outdoors."""
    title = subject.plan.title.casefold()
    words = f"{title}. {subject.plan.summary.casefold()}"
    placed = _OUTDOORS.search(words) or _PLACES.search(title)
    return placed is not None and _NOT.search(words) is None


def indoor_glue(subject: Subject) -> Iterator[Outcome]:
    """Find glue and panels that are for indoors in a piece that stands outdoors."""
    if not outdoors(subject):
        return
    joints = [joint for joint in subject.plan.joints if is_glued(joint)]
    product = glue_product(subject, joints, "open") if joints else None
    if joints and product is None:
        yield Outcome(of="glue", missing="the plan names no glue that the tables know")
    elif product is not None:
        yield judged(
            "indoor-glue",
            product.name,
            figure=f"outdoors: {product.outdoors or 'nothing is known'}",
            limit="outdoors: yes",
            rule=product.basis.citation,
            wrong=f"{product.name} holds outdoors: {product.outdoors}, and the piece stands outdoors"
            if product.outdoors in ("no", "sheltered")
            else "",
            span=joints[0].span,
            help="use polyurethane glue or structural epoxy, and name it in `bought`",
        )
    for stock in subject.plan.stock:
        if stock.kind is not StockKind.PANEL:
            continue
        fit = any(word in stock.material.casefold() for word in _WEATHERPROOF)
        yield judged(
            "indoor-glue",
            stock.name,
            figure=stock.material,
            limit="a panel that is glued for outdoors",
            rule=PRACTICE,
            wrong="" if fit else f"`{stock.material}` is no panel for outdoors, and the piece stands outdoors",
            span=stock.span,
            help="choose a panel that is sold as exterior or marine, or boards",
        )


def rots_soon(subject: Subject) -> Iterator[Outcome]:
    """Look up how long the wood of a piece that stands outdoors lasts there, untreated."""
    if not outdoors(subject):
        return
    for stock in subject.plan.stock:
        if stock.kind is StockKind.PANEL:
            continue
        wood = stock.material.casefold()
        lasting = resistance(stock.material)
        if not lasting:
            yield Outcome(of=stock.name, missing=f"nothing is known of how `{stock.material}` stands outdoors")
            continue
        picked = " ".join(stock.pick).casefold()
        treated = any(word in f"{wood} {picked}" for word in _TREATED)
        yield judged(
            "rots-soon",
            stock.name,
            figure=f"{stock.material}: {lasting}" + (", treated" if treated else ""),
            limit="resistant, or treated",
            rule=ROT_RULE,
            wrong=f"`{stock.material}` rots soon outdoors: its heartwood is slightly resistant or not at all"
            if lasting == "slightly or not resistant" and not treated
            else "",
            span=stock.span,
            help="choose white oak, a cedar or larch, or write in its `pick` that it is treated",
        )


def resistance(wood: str) -> str:
    """Return how well the heartwood of a wood resists decay, or nothing where that is not tabled."""
    wood = wood.casefold()
    words = set(re.findall(r"[a-z]+", wood))
    if wood == "european redwood":  # the trade's name of Scots pine
        return "slightly or not resistant"
    if any(name in wood for name in _LASTING):
        return "resistant"
    if any(name in wood for name in _MIDDLING):
        return "moderately resistant"
    if any(name in words if " " not in name else name in wood for name in _PERISHABLE):
        return "slightly or not resistant"
    return ""


def water_trap(subject: Subject) -> Iterator[Outcome]:
    """Find where a piece that stands outdoors holds water: end grain on the ground, gaps that close, plain steel."""
    if not outdoors(subject):
        return
    yield from _steel(subject)
    everything = [one for one in standing(subject.plan) if one.part.role is Role.PART]
    yield from _on_ground(subject, everything)
    yield from _gaps(subject, everything)


def _steel(subject: Subject) -> Iterator[Outcome]:
    woods = [stock.material for stock in subject.plan.stock if stock.kind is not StockKind.PANEL]
    black = next((wood for wood in woods if any(word in wood.casefold() for word in _TANNIN)), None)
    for item in subject.plan.bought:
        words = f"{item.key} {item.text} {item.note}".casefold()
        if not any(word in words for word in _STEEL):
            continue
        fit = any(word in words for word in _RUSTLESS)
        told = f", and {black} turns black round it" if black is not None else ""
        yield judged(
            "water-trap",
            item.key,
            figure="stainless or coated" if fit else "nothing says what it is made of",
            limit="stainless, brass or coated",
            rule=STEEL_RULE,
            wrong="" if fit else f"nothing says that `{item.key}` does not rust outdoors{told}",
            span=item.span,
            help="write `says: stainless wood screw, No. 8`, or another word for steel that does not rust",
        )


def _on_ground(subject: Subject, everything: list[Standing]) -> Iterator[Outcome]:
    feet = [one for one in everything if one.around[2][0] <= 1 and one.placement.axes[0][1] == "z"]
    feet = [one for one in feet if _wooden(subject, one)]
    if not feet:
        return
    sealed = any(_FEET.search(said(step)) for step in subject.plan.steps)
    key = feet[0].part.key
    yield judged(
        "water-trap",
        f"feet of {key}",
        figure="sealed or on pads, as a step says" if sealed else "end grain on the ground",
        limit="sealed, or kept off the ground",
        rule=PRACTICE,
        wrong="" if sealed else f"`{key}` stands on the ground with its end grain, which draws water",
        span=feet[0].part.span,
        help="put the feet on pads, or say in a step that their end grain is sealed",
    )


def _gaps(subject: Subject, everything: list[Standing]) -> Iterator[Outcome]:
    """Give the boards that lie side by side, with the gap between them on the dampest day."""
    told: set[str] = set()
    for one in everything:
        if one.part.key in told or one.part.count < 2 or one.placement.axes[2][1] != "z" or not _wooden(subject, one):
            continue
        axis = "xyz".index(one.placement.axes[1][1])
        ahead = [
            other.around[axis][0] - one.around[axis][1]
            for other in everything
            if other.part.key == one.part.key and other is not one and other.around[axis][0] >= one.around[axis][1]
        ]
        if not ahead:
            continue
        told.add(one.part.key)
        yield _gap(subject, one, min(ahead))


def _gap(subject: Subject, one: Standing, gap: Fraction) -> Outcome:
    room, key = subject.rows().room, one.part.key
    if room is None:
        return Outcome(of=key, missing=NO_ROOM)
    moves = over_the_year(subject, subject.plan.stock_named(one.part.stock), one.part.width.final, room)
    if isinstance(moves, str):
        return Outcome(of=key, missing=moves)
    edition = subject.plan.edition
    wet, least = finely_shown(max(gap - moves.swells_mm, Fraction(0)), edition), finely_shown(GAP_MM, edition)
    return judged(
        "water-trap",
        f"gaps between {key}",
        figure=f"{finely_shown(gap, edition)}, {wet} on the dampest day",
        limit=f"{least} when wet",
        rule=f"{GAP_RULE}; {moves.equation.citation}; {moves.coefficient.citation}",
        wrong=f"the gaps between the copies of `{key}` close to {wet} on the dampest day, {least} lets water through"
        if gap - moves.swells_mm < GAP_MM
        else "",
        span=one.part.span,
        help="set them further apart, or make them narrower",
    )


def _wooden(subject: Subject, one: Standing) -> bool:
    stock = next((stock for stock in subject.plan.stock if stock.name == one.part.stock), None)
    return stock is not None and stock.kind is not StockKind.PANEL
