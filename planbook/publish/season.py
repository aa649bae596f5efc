"""The drawing of how wide boards move over the year, where the book names the driest and the dampest month."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, field

from planbook.plan.model import Plan
from planbook.plan.shop_rows import ShopRows
from planbook.publish.cache import Store, program
from planbook.publish.sheet_shop import Moving, fine, moisture, moving

KEY = "movement"
KIND = "seasons"
"""Name of this cache in the store."""


@dataclass(frozen=True, slots=True)
class Season:
    """The picture by its key, or none."""

    screen: Mapping[str, str] = field(default_factory=dict)
    paper: Mapping[str, str] = field(default_factory=dict)
    alts: Mapping[str, str] = field(default_factory=dict)


def season_of(plan: Plan, own: ShopRows, store: Store) -> Season:
    """Return the drawing for a plan, made afresh only if something in it has changed."""
    room, found = own.room, moving(plan, own)
    if room is None or room.driest_month is None or room.dampest_month is None or not found:
        return Season()
    key = f"{program()} {plan.title} {plan.edition!r} {room!r} {found!r}"
    kept = store.get(KIND, key)
    if kept is None:
        kept = json.dumps(_made(plan, own, found), ensure_ascii=False).encode()
        store.put(KIND, key, kept)
    screen, phone, paper, alt = json.loads(kept)
    return Season({KEY: screen, f"{KEY}-narrow": phone}, {KEY: paper}, {KEY: alt})


def _made(plan: Plan, own: ShopRows, found: list[Moving]) -> tuple[str, str, str, str]:
    from planbook.drawing.season import Swing, Year, season
    from planbook.drawing.svg import to_svgs

    room, edition = own.room, plan.edition
    assert room is not None
    assert room.driest_month is not None
    assert room.dampest_month is not None
    swings = [
        Swing(
            letter=each.part.letter,
            shrinks_mm=float(each.moves.shrinks_mm),
            swells_mm=float(each.moves.swells_mm),
            shrinks=fine(each.moves.shrinks_mm, edition),
            swells=fine(each.moves.swells_mm, edition),
        )
        for each in found
    ]
    year = Year(
        built=moisture(room.built_pct),
        driest=moisture(room.driest_pct),
        dampest=moisture(room.dampest_pct),
        driest_month=room.driest_month,
        dampest_month=room.dampest_month,
    )
    title = f"{plan.title}: over the year"
    picture = season(title, swings, year)
    written = to_svgs(picture, ids="fig-movement", media=("web", "print"))
    phone = to_svgs(season(title, swings, year, narrow=True), ids="fig-movement-narrow", media=("web",))
    return written["web"], phone["web"], written["print"], picture.alt
