"""The table of all checks, and running them on a plan."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from planbook.checks import (
    bars,
    capacity,
    coats,
    cutters,
    dims,
    edges,
    finish,
    fit,
    frame,
    grain,
    hands,
    marking,
    minutes,
    names,
    order,
    pouring,
    pours,
    pull,
    safety,
    seasons,
    sizes,
    strength,
    supply,
    together,
    tools,
    weather,
    wires,
    wood,
)
from planbook.checks.outcome import Reckoning, problems
from planbook.checks.subject import EXACT, Check, Subject
from planbook.source.diagnostics import Diagnostic, Findings, Severity, Span
from planbook.source.nearest import did_you_mean

FIGURES: tuple[tuple[str, Reckoning], ...] = (
    *together.FIGURES,
    ("shelf-sag", strength.shelf_sag),
    ("pulls-out", pull.pulls_out),
    ("tips-forward", strength.tips_forward),
    ("seat-tips", strength.seat_tips),
    ("heavy-lift", strength.heavy_lift),
    ("cross-fixed", wood.cross_fixed),
    ("slot-short", bars.slot_short),
    ("slot-turned", bars.slot_turned),
    ("panel-stuck", seasons.panel_stuck),
    ("too-wet", seasons.too_wet),
    ("one-face-finished", seasons.one_face_finished),
    ("wedge-splits", grain.wedge_splits),
    ("short-grain", grain.short_grain),
    ("end-grain-glued", grain.end_grain_glued),
    ("racks", frame.racks),
    ("body-fit", frame.body_fit),
    ("kerf-doubles", marking.kerf_doubles),
    ("tape-cannot", marking.tape_cannot),
    ("datum-gone", marking.datum_gone),
    ("final-too-soon", marking.final_too_soon),
    ("dado-loose", cutters.dado_loose),
    ("too-much-at-once", cutters.too_much_at_once),
    ("through-the-veneer", cutters.through_the_veneer),
    ("no-pour-limit", pouring.pour_too_deep),
    ("no-ratio", pouring.no_ratio),
    ("no-dam", pouring.no_dam),
    ("resin-on-finish", pouring.resin_on_finish),
    ("pours-unsaid", pours.pours_unsaid),
    ("pour-too-cold", pours.pour_too_cold),
    ("void-unsealed", pours.void_unsealed),
    ("glue-skins", finish.glue_skins),
    ("unclamped-too-soon", coats.unclamped_too_soon),
    ("clamps-short", capacity.clamps_short),
    ("finish-clash", finish.finish_clash),
    ("finish-before-sanding", coats.finish_before_sanding),
    ("recoat-too-early", coats.recoat_too_early),
    ("indoor-glue", weather.indoor_glue),
    ("rots-soon", weather.rots_soon),
    ("water-trap", weather.water_trap),
    ("no-equipment", safety.no_equipment),
    ("gloves-at-spindle", safety.gloves_at_spindle),
    ("rags-unsaid", safety.rags_unsaid),
    ("mains-voltage", safety.mains_voltage),
    ("lamp-wire", wires.lamp_wire),
    ("short-stock", tools.short_stock),
    ("machine-too-small", capacity.machine_too_small),
    ("two-settings", tools.two_settings),
    ("bit-not-sold", tools.bit_not_sold),
    ("bought-short", supply.bought_short),
)
"""Slug of what is found, and the reckoning that finds it and gives its figures."""

CHECKS: tuple[tuple[str, Check], ...] = (
    ("used-before-made", order.used_before_made),
    ("cut-before-made", order.cut_before_made),
    ("joined-before-cut", order.joined_before_cut),
    ("cut-after-joined", order.cut_after_joined),
    ("made-never-used", order.made_never_used),
    ("fitted-too-soon", order.fitted_too_soon),
    ("edging-before-part", edges.edging_before_part),
    ("trim-before-glue", edges.trim_before_glue),
    ("trimmed-too-soon", edges.trimmed_too_soon),
    ("part-too-large", sizes.part_too_large),
    ("stock-too-thin", sizes.stock_too_thin),
    ("little-wood-left", sizes.little_wood_left),
    ("too-wide-for-board", sizes.too_wide_for_board),
    ("two-lefts", hands.two_lefts),
    ("mirrored-parts", hands.mirrored_parts),
    ("parts-overlap", fit.parts_overlap),
    ("joint-open", fit.joint_open),
    ("parts-outside", fit.parts_outside),
    ("range-breaks", dims.range_breaks),
    ("option-breaks", dims.option_breaks),
    ("unused-dim", names.unused_dim),
    ("unused-tool", names.unused_tool),
    ("no-time", minutes.no_time),
    ("unknown-load", strength.unknown_load),
    ("unknown-finish", finish.unknown_finish),
    *((slug, problems(reckon)) for slug, reckon in FIGURES),
)
"""Slug of what is found, and the check that finds it."""


def run(subject: Subject) -> tuple[Diagnostic, ...]:
    """Return all that the checks find in a plan, sorted; what the author has accepted is a note with the reason."""
    findings = Findings()
    for _, check in CHECKS:
        findings.extend(check(subject))
    accepted = dict(subject.plan.accepted)
    settled = Findings()
    settled.extend(settle(findings, accepted))
    settled.extend(_unknown(subject))
    return settled.sorted()


def settle(found: Iterable[Diagnostic], accepted: dict[str, str]) -> tuple[Diagnostic, ...]:
    """Return findings with those that are accepted (slug and reason) turned into notes; a stop stays a stop."""
    return tuple(_settled(item, accepted.get(item.slug)) for item in found)


def _settled(item: Diagnostic, reason: str | None) -> Diagnostic:
    if reason is None or item.severity is Severity.STOP:
        return item
    return replace(item, severity=Severity.NOTE, message=f"{item.message} (accepted: {reason})", help=None)


def _unknown(subject: Subject) -> Iterable[Diagnostic]:
    """Find accepted slugs that no finding has."""
    own = [slug for slug, _ in CHECKS]
    strange = [slug for slug, _ in subject.plan.accepted if slug not in own]
    if not strange:
        return
    from planbook.source.rules.entries import entries

    known = [*own, *(slug for slug in entries() if slug not in own)]
    for slug in strange:
        if slug in known:
            continue
        yield Diagnostic(
            "unknown-accept",
            Severity.WARN,
            f"there is no finding `{slug}` to accept",
            _accepted_at(subject, slug),
            help=did_you_mean(slug, known) or "write the word that stands in brackets behind the finding",
            rule=EXACT,
        )


def _accepted_at(subject: Subject, slug: str) -> Span | None:
    if subject.written is None:
        return None
    return next((key.span for key in subject.written.facts.accept if key == slug), None)
