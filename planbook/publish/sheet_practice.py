"""What practitioners tell of the resin, finish, fasteners and wood of a plan; told as common practice, no source."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from planbook.plan.model import Plan, StockKind
from planbook.trade.practices import practices

_TALL_MM = 686
"""From this height a piece is told to be strapped: 27 in, as in ASTM F2057-23 for clothes storage."""


def told(plan: Plan) -> dict[str, list[str]]:
    """Return by topic (`resin`, `finish`, `fasteners`, `wood`, `safety`) the sentences that concern the plan."""
    found: dict[str, list[str]] = {}
    for fact in practices():
        concerns = _CONCERNS.get(fact.slug)
        if concerns is not None and concerns(plan):
            found.setdefault(fact.topic, []).append(fact.text)
    return found


def _resin(plan: Plan) -> bool:
    return bool(plan.pours)


def _poured(word: str) -> Callable[[Plan], bool]:
    return lambda plan: any(word in f"{pour.product} {pour.usual}".casefold() for pour in plan.pours)


def _finished(word: str) -> Callable[[Plan], bool]:
    return lambda plan: any(word in finish.product.casefold() for finish in plan.finish)


def _by(word: str) -> Callable[[Plan], bool]:
    def fastened(plan: Plan) -> bool:
        kinds = [each.kind for each in plan.fastened] + [text for joint in plan.joints for text in joint.by]
        return any(word in kind for kind in kinds)

    return fastened


def _solid(plan: Plan) -> bool:
    return any(stock.kind is not StockKind.PANEL for stock in plan.stock)


def _wide(plan: Plan) -> bool:
    return any(joint.free for joint in plan.joints)


_CONCERNS: Mapping[str, Callable[[Plan], bool]] = {
    "shallow-coat": _poured("coat"),
    "deep-pour": _poured("deep"),
    "warm": _resin,
    "two-days": _resin,
    "exact-ratio": _resin,
    "seal-below": _resin,
    "clean-first": _resin,
    "second-cup": _resin,
    "gel-stain-overnight": _finished("gel stain"),
    "both-faces": lambda plan: bool(plan.finish) and _solid(plan),
    "wax-last": lambda plan: any(finish.product.casefold() in ("wax", "paste wax") for finish in plan.finish),
    "hard-maple-pilot": lambda plan: any("maple" in stock.material.casefold() for stock in plan.stock),
    "counterbore-first": _by("structural screw"),
    "steel-first": _by("brass"),
    "dowel-depth": _by("dowel"),
    "one-fixed": _wide,
    "insert-hole": _by("machine screw"),
    "sanding-mask": lambda plan: bool(plan.steps),
    "unplug": lambda plan: bool(plan.steps),
    "wall-strap": lambda plan: plan.overall[2] >= _TALL_MM,
    "acclimatise": _solid,
    "stickers": _solid,
}
"""Facts that are told beside a plan, and which plans they concern."""
