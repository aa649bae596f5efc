"""What a sheet says of each pour of resin: the mixing table that stands beside its step.

Each has `name`, `product`, `step` and `slug` (of the step that pours it, or None and empty), `into`, `ratio`, `parts`
(`part`, `volume`, `weight`, and the same for one batch as `each_volume`, `each_weight`), `each` (which batch or pour
those are for, or empty), `rows` (`what`, `value`, `more`) and `sources`. The product's own sheet comes first.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Any

from planbook.plan.mixing import warmth
from planbook.plan.model import Plan
from planbook.plan.pours import Mixing, Told
from planbook.publish import sheet_runs
from planbook.publish.sheet_runs import counted
from planbook.trade.lookup import table
from planbook.units.amounts import write_area, write_liquid, write_minutes, write_volume, write_weighed
from planbook.units.editions import Edition, snap
from planbook.units.write import decimal

_TIMES = (
    ("pot", "in the cup", "at most; each batch is poured before that"),
    ("layer", "to the next pour", "at least"),
    ("recoat", "to the next coat", "at least"),
    ("demould", "until the dam comes off", "at least"),
    ("sand", "to sanding", "at least"),
    ("cure", "to full cure", "at least"),
)

Row = dict[str, str]


def fills(plan: Plan) -> list[dict[str, Any]]:
    """Return the mixing table of each pour, in the order of the plan."""
    return [_fill(plan, pour) for pour in plan.pours]


def of_step(plan: Plan, number: int) -> list[dict[str, Any]]:
    """Return the mixing tables of the pours that a step makes."""
    return [row for row in fills(plan) if row["step"] == number]


def _fill(plan: Plan, pour: Mixing) -> dict[str, Any]:
    step = next((step for step in plan.steps if (step.finishes if pour.coats else pour.name in step.joins)), None)
    edition = plan.edition
    rows = [*_volumes(pour, edition), *_depth(pour, edition), *_before(pour, edition), *_times(pour)]
    told = [pour.limit, pour.least_c, pour.most_c, *(time for _, time in pour.times)]
    sources = [figure.counts.citation for figure in told if figure is not None]
    return {
        "name": pour.name,
        "product": pour.product,
        "step": step.number if step else None,
        "slug": step.slug if step else "",
        "into": pour.into,
        "ratio": pour.ratio,
        "parts": _parts(pour, edition),
        "each": _each(pour),
        "rows": rows,
        "sources": list(dict.fromkeys([*([pour.source] if pour.ratio else []), *sources])),
    }


def _volumes(pour: Mixing, edition: Edition) -> list[Row]:
    if pour.coats:
        coats = f"{counted(pour.coats, 'coat')} of {size(pour.deep / pour.coats, edition)}"
        over = f"{coats} over {write_area(pour.area, edition)}"
        rows = [_row(f"the {pour.into} takes", write_volume(pour.volume, edition), over)]
        return [*rows, _row("to mix", write_liquid(pour.mixed, edition), f"nothing spare is told; {_usual()} is usual")]
    sizes = " × ".join(size(mm, edition) for mm in (pour.long, pour.wide, pour.deep))
    lies = f", less {write_volume(pour.embedded, edition)} that lies in it" if pour.embedded else ""
    rows = [_row(f"the {pour.into} holds", write_volume(pour.volume, edition), f"{sizes}{lies}")]
    if pour.spare_pct is None:
        return [*rows, _row("to mix", write_liquid(pour.mixed, edition), f"nothing spare is told; {_usual()} is usual")]
    spare = f"with {decimal(pour.spare_pct, 1)} % for cup and soak"
    return [*rows, _row("to mix", write_liquid(pour.mixed, edition), spare)]


def _usual() -> str:
    waste = table("resins")["waste"]
    return f"{waste['low_pct']} to {waste['high_pct']} %"


def _depth(pour: Mixing, edition: Edition) -> list[Row]:
    pours = f"{counted(pour.pours, 'pour')} of {size(pour.each_deep, edition)}"
    limit = f"at most {size(pour.limit.counts.value, edition)} deep"
    rows = [_row("depth", pours, _more(limit, pour.limit, lambda value: size(value, edition)))]
    most = (
        f"at most {write_liquid(pour.largest.value, edition)} at once" if pour.largest else "mix for one pour at a time"
    )
    return [*rows, _row("batches", str(pour.batches), most)]


def _before(pour: Mixing, edition: Edition) -> list[Row]:
    rows = []
    if pour.sealed:
        often = {1: "once", 2: "twice"}.get(pour.sealed, f"{pour.sealed} times")
        rows.append(_row("seal first", often, f"{write_area(pour.walls, edition)} of walls; a through-knot from below"))
    if pour.dam:
        rows.append(_row("dam", pour.dam, "closed before anything is mixed"))
    warm = warmth(pour.least_c, pour.most_c, edition)
    return [*rows, _row("slab and room", warm, "")] if warm else rows


def _times(pour: Mixing) -> list[Row]:
    rows = []
    cure = pour.time("cure")
    for word, what, bound in _TIMES:
        told = pour.time(word)
        if told is None or (word == "layer" and pour.pours == 1) or (word == "recoat" and pour.coats < 2):
            continue
        # What is usual does not outlast the full cure that the product's own sheet states.
        if cure is None or told.counts.value <= cure.counts.value:
            rows.append(_row(what, write_minutes(told.counts.value), _more(bound, told, write_minutes)))
        elif word == "layer":
            rows.append(_row(what, write_minutes(cure.counts.value), f"{bound}; then it has cured"))
    return rows


def _more(limit: str, told: Told, write: Callable[[Fraction], str]) -> str:
    """Return a limit with what else is told of it: the stricter figure counts, and the reader sees both."""
    if not told.others:
        return limit
    others = [f"{write(figure.value)}{_by(figure.source)}" for figure in told.others]
    return f"{limit}; also told: {', '.join(others)}"


def _by(source: str) -> str:
    return ", as practitioners teach it" if "practitioners" in source else ""


def _parts(pour: Mixing, edition: Edition) -> list[Row]:
    found = pour.amounts
    if found is None:
        return []
    cups = pour.batches
    rows = []
    for part, volume, grams in (("A", found.a_mm3, found.a_g), ("B", found.b_mm3, found.b_g)):
        rows.append(
            {
                "part": part,
                "volume": write_liquid(volume, edition) if volume is not None else "",
                "weight": write_weighed(grams, edition) if grams is not None else "",
                "each_volume": write_liquid(volume / cups, edition) if volume is not None and cups > 1 else "",
                "each_weight": write_weighed(grams / cups, edition) if grams is not None and cups > 1 else "",
            }
        )
    return rows


def _each(pour: Mixing) -> str:
    return f"each of {pour.batches} batches" if pour.batches > 1 else ""


def size(mm: Fraction, edition: Edition) -> str:
    """Return a size as measured, on the marks of the edition's rule."""
    return sheet_runs.size(snap(mm, edition), edition)


def _row(what: str, value: str, more: str) -> Row:
    return {"what": what, "value": value, "more": more}
