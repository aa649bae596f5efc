"""The tables of `planbook show`: one function each, a plan in, titles and rows of plain text out."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction

from planbook.plan.model import Life, Part, Plan
from planbook.units.editions import IMPERIAL, METRIC, Edition
from planbook.units.write import plain_length, soft_length

_LIVES = {Life.NOW: "cut now", Life.LONG: "leave long", Life.FITTED: "fit"}


@dataclass(frozen=True, slots=True)
class Table:
    """Titles of the columns, and rows of as many texts."""

    titles: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def cutlist(plan: Plan) -> Table:
    """Return the pieces to saw, by stock: the sizes to saw first, then the finished ones."""
    titles = ("letter", "pieces", "part", "material", "length", "width", "thick", "finished", "when")
    rows = []
    for stock in plan.stock:
        material = f"{stock.material}, {stock.nominal}"
        for part in plan.parts:
            if part.stock == stock.name:
                sawn = (part.length.rough, part.width.rough, part.thick)
                finished = _by(part.length.final, part.width.final, plan.edition)
                lengths = (plain_length(mm, plan.edition) for mm in sawn)
                rows.append((part.letter, str(part.count), part.key, material, *lengths, finished, _when(part)))
    return Table(titles, tuple(rows))


def materials(plan: Plan) -> Table:
    """Return what to have for one piece."""
    rows = ((row.group, row.quantity, row.text, row.note) for row in plan.materials)
    return Table(("kind", "quantity", "what", "remark"), tuple(rows))


def tools(plan: Plan) -> Table:
    """Return every tool with the steps that use it; of several numbers the greatest."""
    counts: dict[str, int] = {}
    steps: dict[str, list[str]] = {}
    for step in plan.steps:
        for use in step.tools:
            counts[use.key] = max(counts.get(use.key, 0), use.count)
            steps.setdefault(use.key, []).append(str(step.number))
    rows = ((key, str(counts[key]), ", ".join(dict.fromkeys(steps[key]))) for key in counts)
    return Table(("tool", "number", "steps"), tuple(rows))


def steps(plan: Plan) -> Table:
    """Return the order of work with minutes at the bench and of waiting."""
    titles = ("step", "title", "minutes", "waiting minutes", "persons", "what is done")
    rows = []
    for step in plan.steps:
        done = ", ".join(dict.fromkeys((*step.makes, *step.cuts, *step.joins, *step.sets, *step.trims, *step.finishes)))
        minutes = (_number(step.time.hands_on), _number(step.time.wait))
        rows.append((str(step.number), step.title, *minutes, str(step.hands), done))
    return Table(titles, tuple(rows))


def sizes(plan: Plan) -> Table:
    """Return every size by the name under which a formula or a reference asks for it."""
    rows = []
    for of, name, value, may, angle in _sizes(plan):
        unit = _degrees if angle else plain_length
        limits = " to ".join(unit(limit, plan.edition) for limit in may)
        rows.append((of, name, unit(value, plan.edition), limits))
    return Table(("of", "name", "size", "may be"), tuple(rows))


def soft_sizes(plan: Plan) -> Table:
    """Return every length as its edition has it, beside the same length in the units of the other one.

    This is soft conversion: nothing changes its size, so what comes out is seldom a mark of the other rule.
    """
    other = METRIC if plan.edition.unit_mm == IMPERIAL.unit_mm else IMPERIAL
    rows = [
        (of, name, plain_length(mm, plan.edition), soft_length(mm, other))
        for of, name, mm, _may, angle in _sizes(plan)
        if not angle
    ]
    return Table(("of", "name", "size", f"same size in {other.title}"), tuple(rows))


def fasteners(plan: Plan) -> Table:
    """Return the holes of every fastener with the bits for them, and how much each holds."""
    from planbook.plan.shop_rows import ShopRows
    from planbook.publish.sheet_fasteners import TITLES, fastener_rows
    from planbook.publish.sheet_fasteners import fasteners as schedule

    return Table(TITLES, tuple(fastener_rows(schedule(plan, ShopRows()))))


TABLES: Mapping[str, Callable[[Plan], Table]] = {
    "cutlist": cutlist,
    "materials": materials,
    "tools": tools,
    "steps": steps,
    "sizes": sizes,
    "fasteners": fasteners,
}


_Size = tuple[str, str, Fraction, tuple[Fraction, ...], bool]
"""What it is a size of, its name, mm or degrees, the least and the greatest it may be, whether it is an angle."""


def _sizes(plan: Plan) -> Iterator[_Size]:
    for name, mm in zip(("wide", "deep", "high"), plan.overall, strict=True):
        yield "piece", f"overall {name}", mm, (), False
    for dim in plan.dims:
        yield "dim", dim.name, dim.value, dim.may or (), dim.angle
    for stock in plan.stock:
        yield "stock", f"{stock.name}.thick", stock.thickness, (), False
    for part in plan.parts:
        for name, mm in (("length", part.length.final), ("width", part.width.final), ("thick", part.thick)):
            yield "part", f"{part.key}.{name}", mm, (), False


def _degrees(value: Fraction, _edition: Edition) -> str:
    return f"{float(value):g} deg"


def _by(length: Fraction, width: Fraction, edition: Edition) -> str:
    return f"{plain_length(length, edition)} x {plain_length(width, edition)}"


def _when(part: Part) -> str:
    """Return when a part gets its final size: the later of its two sizes counts."""
    late = next((size for size in (part.length, part.width) if size.life is not Life.NOW), part.length)
    return _LIVES[late.life] + (f" (step {late.until})" if late.until else "")


def _number(minutes: Fraction) -> str:
    return f"{float(minutes):g}"
