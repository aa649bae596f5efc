"""What the checks without figures of their own look at, within which limit, and what no check looks at."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction

from planbook.checks import sizes
from planbook.checks.fit import tolerance
from planbook.checks.subject import Subject, finely_shown

NOT_CHECKED = (
    "whether the joints, screws, nails and glue hold, and what breaks first",
    "the floor, the wall, and the screws of a strap in it",
    "whether a saw or clamp reaches, and whether a part can be tilted or sprung into place",
    "grain, knots and faults of the wood in your hand",
    "machines, blades and guards of your shop, and who stands at them",
    "local codes, and the sheets of the products you buy",
)
"""Nobody reckons these here; they are told on every page of what was checked."""

NONE = "none may be"


def _parts(subject: Subject) -> str:
    return _many(len(subject.plan.parts), "part")


def _steps(subject: Subject) -> str:
    return _many(len(subject.plan.steps), "step")


def _edgings(subject: Subject) -> str:
    return _many(sum(len(part.edgings) for part in subject.plan.parts), "strip")


def _places(subject: Subject) -> str:
    return _many(len(subject.plan.placements), "part where it stands", "parts where they stand")


def _joints(subject: Subject) -> str:
    return _many(len(subject.plan.joints), "joint")


def _cuts(subject: Subject) -> str:
    return _many(sum(len(part.cuts) for part in subject.plan.parts), "cut")


def _dims(subject: Subject) -> str:
    return _many(len(subject.plan.dims), "dim")


def _ranges(subject: Subject) -> str:
    return _many(sum(dim.may is not None for dim in subject.plan.dims), "range")


def _options(subject: Subject) -> str:
    return _many(len(subject.plan.options), "option")


def _tools(subject: Subject) -> str:
    own = len(subject.written.facts.tools) if subject.written is not None else 0
    return _many(own, "tool of the plan's own", "tools of the plan's own")


def _loads(subject: Subject) -> str:
    return _many(len(subject.plan.loads), "load")


def _finishes(subject: Subject) -> str:
    return _many(len(subject.plan.finish), "finish", "finishes")


def _many(count: int, one: str, several: str = "") -> str:
    return f"{count} {one if count == 1 else several or f'{one}s'}"


def _sheet(subject: Subject) -> str:
    edition = subject.plan.edition.name
    sheets = {stock.sheet for stock in subject.plan.stock if stock.sheet is not None}
    told = [f"a sheet of {subject.shown(wide)} by {subject.shown(long)}" for wide, long in sorted(sheets)]
    return ", ".join([*told, f"boards of {subject.shown(sizes.LONGEST_BOARD[edition])}"])


def _board(subject: Subject) -> str:
    return f"boards of {subject.shown(sizes.WIDEST_BOARD[subject.plan.edition.name])}"


def _rounding(subject: Subject) -> str:
    return finely_shown(tolerance(subject.plan.edition), subject.plan.edition)


def _touch(subject: Subject) -> str:
    return f"{finely_shown(Fraction(254, 320), subject.plan.edition)} and the room of the joint"


Said = str | Callable[[Subject], str]

LOOKS: Mapping[str, tuple[Callable[[Subject], str], Said]] = {
    "used-before-made": (_steps, NONE),
    "cut-before-made": (_cuts, NONE),
    "joined-before-cut": (_joints, NONE),
    "cut-after-joined": (_joints, NONE),
    "made-never-used": (_parts, NONE),
    "fitted-too-soon": (_parts, NONE),
    "edging-before-part": (_edgings, NONE),
    "trim-before-glue": (_edgings, NONE),
    "trimmed-too-soon": (_parts, NONE),
    "part-too-large": (_parts, _sheet),
    "stock-too-thin": (_parts, "the thickness of the stock"),
    "little-wood-left": (_cuts, "half of the thickness stays"),
    "too-wide-for-board": (_parts, _board),
    "two-lefts": (_parts, NONE),
    "mirrored-parts": (_parts, NONE),
    "parts-overlap": (_places, _rounding),
    "joint-open": (_joints, _touch),
    "parts-outside": (_places, _rounding),
    "range-breaks": (_ranges, "both ends of each can be worked out and fit"),
    "option-breaks": (_options, "with and without each the plan can be worked out and fits"),
    "unused-dim": (_dims, NONE),
    "unused-tool": (_tools, NONE),
    "no-time": (_steps, "more than 0 min"),
    "unknown-load": (_loads, NONE),
    "unknown-finish": (_finishes, NONE),
}
"""Slug: what was looked at, and the limit."""

NOTHING: Mapping[str, str] = {
    "shelf-sag": "no part has a load",
    "pulls-out": "no part with a load is held by level screws",
    "seat-tips": "nobody sits on it, by its loads",
    "heavy-lift": "no step moves anything whose weight is known",
    "cross-fixed": "no part is of solid wood",
    "slot-short": "no joint lets a board of solid wood move",
    "slot-turned": "no bought bar has slots",
    "panel-stuck": "no panel of solid wood stands in grooves",
    "too-wet": "no part is of solid wood",
    "one-face-finished": "no solid wood is wide enough to cup, or nothing is finished",
    "wedge-splits": "no joint is wedged",
    "short-grain": "no part of solid wood is sawn narrow by a taper or a curve",
    "end-grain-glued": "no board is set against another by its ends with glue",
    "racks": "no two upright parts stand on the floor and are joined by others",
    "body-fit": "nobody sits at it or on it, by its loads and title",
    "kerf-doubles": "no part is sawn from a sheet more than once",
    "datum-gone": "no part with cuts or holes has an edging, or an end that is left long",
    "final-too-soon": "no panel lies in a rabbet",
    "dado-loose": "nothing enters a dado or groove",
    "too-much-at-once": "no step cuts with the router",
    "through-the-veneer": "no edging is trimmed or eased",
    "no-pour-limit": "no resin is poured",
    "no-ratio": "no resin is poured",
    "no-dam": "no resin is poured",
    "pours-unsaid": "no resin is poured",
    "pour-too-cold": "no resin is poured",
    "void-unsealed": "no resin is poured",
    "glue-skins": "no joint is glued",
    "unclamped-too-soon": "no step leaves glue in clamps",
    "clamps-short": "no step holds clamps that the shop counts",
    "finish-clash": "nothing is finished",
    "finish-before-sanding": "nothing that is finished meets a sander, a scraper or a plane in another step",
    "recoat-too-early": "there is one coat",
    "indoor-glue": "it stands indoors, by its title and summary",
    "rots-soon": "it stands indoors, by its title and summary",
    "water-trap": "it stands indoors, by its title and summary",
    "no-equipment": "no step uses a tool that runs",
    "gloves-at-spindle": "no step has gloves and a tool that turns",
    "rags-unsaid": "no finish leaves cloths that heat up",
    "mains-voltage": "no word of mains voltage",
    "lamp-wire": "no bore for a wire, and no lamp with its watts",
    "short-stock": "no step takes a part over a machine with a shortest piece",
    "machine-too-small": "the shop does not say what its machines take",
    "two-settings": "no step sets the router or the drill",
    "bit-not-sold": "no hole is bored",
    "bought-short": "nothing is bought whose number the joints and shelves tell",
}
"""Slug of a check with figures: why it found nothing to look at."""
