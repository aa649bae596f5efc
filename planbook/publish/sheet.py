"""The sheet: one plan in one edition as plain data, shared by pages and handouts.

Every number in it is written already, in the edition's way; nothing after this module reckons with
lengths. It holds no HTML and no Typst source, and goes through JSON unchanged.

Each of `steps` has `hazards` (the author's), `cautions` that follow from its tools, materials and work
(`signal`, `of`, `hazards`, `avoid`, `wear`, `source`) and `signs` (`ref` of ISO 7010, `title`, `category`);
`safety` has `wear`, `never`, `hazards` and `cautions` of all steps, each with its `steps`.
`movement` (or None) has `built`, `driest`, `dampest` moisture, `rows` (`letter`, `name`, `wood`, `width`,
`shrinks`, `swells`), `sources` and `picture` (or empty); `coats` and `glues` each have `product`, `rows` (`what`,
`value`) and `source`; `fills` are the mixing tables of `planbook.publish.sheet_resin`, `fasteners` the schedule of
`planbook.publish.sheet_fasteners`; `told` are sentences of practitioners by topic.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from planbook.plan.model import Plan
from planbook.publish import (
    sheet_fasteners,
    sheet_fittings,
    sheet_holes,
    sheet_lists,
    sheet_practice,
    sheet_resin,
    sheet_safety,
    sheet_shop,
    sheet_steps,
    sheet_templates,
)
from planbook.publish.book_info import BookInfo
from planbook.publish.qr import qr_code
from planbook.publish.sheet_runs import all_runs, hours, runs, size, waiting_in_all
from planbook.source.diagnostics import Diagnostic, Severity
from planbook.units.amounts import write_mass

FRONT, FRONT_NARROW, LETTERS, EXPLODED, THREE_VIEW = "front", "front-narrow", "letters", "exploded", "three-view"
JOINTS = "joints"
TIME_LINE = "time-line"
"""Keys of the pictures of a whole plan; those of its steps are `step-SLUG`, of its parts `part-LETTER`."""

MOVEMENT = "movement"
"""Key of the drawing of the year: `planbook.publish.season`."""

LONG_NAMES = {"imperial": "inch edition", "metric": "metric edition"}
_NOTE = {"imperial": "", "metric": "all sizes in mm"}


def sheet(
    plan: Plan,
    book: BookInfo,
    *,
    pictures: Mapping[str, str] | None = None,
    cutting: Iterable[Mapping[str, Any]] = (),
    slabs: Iterable[Mapping[str, Any]] = (),
    buying: Mapping[str, Any] | None = None,
    findings: Iterable[Diagnostic] = (),
) -> dict[str, Any]:
    """Return everything that pages and handouts say about a plan in its edition.

    `pictures` holds the alternative text of each picture that exists, by its key; `cutting` the diagrams of
    `planbook.publish.layouts`, `slabs` those of `planbook.publish.slab_layouts`, `buying` what to buy by
    `planbook.publish.sheet_buying`; `findings` are those of this plan, of which warnings and notes are kept for the
    teacher's eyes.
    """
    alts = pictures or {}
    used = sheet_safety.tools(plan, book)
    return {
        **head(plan, book),
        "cutlist": sheet_lists.cut_list(plan),
        "fittings": sheet_fittings.fittings(plan),
        "cutting": [dict(row) for row in cutting],
        "slabs": [dict(row) for row in slabs],
        "measured": sheet_lists.measured(plan),
        "materials": sheet_lists.materials(plan, book),
        "buying": dict(buying) if buying is not None else {},
        "yard": sheet_lists.yard(plan),
        "tools": used,
        "safety": sheet_safety.safety(plan, used, book),
        "pictures": _pictures(plan, alts),
        "holes": sheet_holes.holes(plan),
        "fasteners": sheet_fasteners.fasteners(plan, book.rows),
        "templates": sheet_templates.templates(plan, alts),
        "steps": sheet_steps.steps(plan, book, alts),
        "finish": sheet_lists.finishes(plan),
        "movement": sheet_shop.movement(plan, book, MOVEMENT if MOVEMENT in alts else ""),
        "coats": sheet_shop.coats(plan, book),
        "glues": sheet_shop.glues(plan, book),
        "fills": sheet_resin.fills(plan),
        "told": sheet_practice.told(plan),
        "dims": sheet_lists.dims(plan),
        "accepted": [{"slug": slug, "reason": reason} for slug, reason in plan.accepted],
        "findings": [
            {"slug": item.slug, "severity": item.severity.value, "message": item.message}
            for item in findings
            if item.severity is not Severity.STOP
        ],
    }


def head(plan: Plan, book: BookInfo) -> dict[str, Any]:
    """Return what every sheet of a plan says of it at its head and foot."""
    edition = plan.edition
    address = f"{book.address}/plans/{plan.slug}/{edition.name}/" if book.address else ""
    wide, deep, high = (size(value, edition) for value in plan.overall)
    return {
        "shop": book.shop,
        "title": plan.title,
        "summary": plan.summary,
        "level": plan.level,
        "slug": plan.slug,
        "language": book.language,
        "notice": book.notice,
        "edition": {
            "name": edition.name,
            "title": edition.title,
            "long": LONG_NAMES[edition.name],
            "note": _NOTE[edition.name],
        },
        "revision": plan.revision,
        "revised": plan.revised.isoformat() if plan.revised else "",
        "changed": runs(plan.changed),
        "learn": runs(plan.learn),
        "ask_first": runs(plan.ask_first),
        "introduction": all_runs(plan.introduction),
        "address": address,
        "qr": qr_code(address),
        "size": {"wide": wide, "deep": deep, "high": high},
        "weight": write_mass(plan.mass * 1000, edition) if plan.mass is not None else "",
        "bench": hours(plan.hands_on) if plan.hands_on else "",
        "waiting": waiting_in_all(plan),
        "steps_count": len(plan.steps),
    }


def _pictures(plan: Plan, alts: Mapping[str, str]) -> dict[str, Any]:
    def named(key: str) -> dict[str, str] | None:
        return {"svg": key, "alt": alts[key]} if key in alts else None

    steps = {step.slug: named(f"step-{step.slug}") for step in plan.steps}
    parts = [(part, named(f"part-{part.letter}")) for part in plan.parts]
    return {
        "front": named(FRONT),
        "front_narrow": named(FRONT_NARROW),
        "letters": named(LETTERS),
        "exploded": named(EXPLODED),
        "three_view": named(THREE_VIEW),
        "joints": named(JOINTS),
        "time_line": named(TIME_LINE),
        "steps": {slug: picture for slug, picture in steps.items() if picture},
        "parts": [{**picture, "letter": part.letter, "name": part.key} for part, picture in parts if picture],
    }
