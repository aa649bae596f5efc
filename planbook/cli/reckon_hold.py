"""Answers about fasteners: the holes for one, and how well it holds."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from planbook.cli.reckon_answer import Answer, QuestionError, Row, asked_length, asked_of, length_row
from planbook.trade.lookup import TradeError
from planbook.units.factors import INCH
from planbook.units.quantity import MASS
from planbook.units.write import decimal

if TYPE_CHECKING:
    from planbook.trade.pilot import Hole
    from planbook.trade.species import Wood

HARD_MAPLE = "sugar maple"
"""What the tables call hard maple."""


def pilot(
    species: str,
    by: str,
    sideways: bool,
    *,
    load: str | None = None,
    lever: str | None = None,
    arm: str | None = None,
) -> Answer:
    """Return the holes for a fastener in a wood, in both series of bits, its hold, and how many a load needs."""
    from planbook.trade import density, fasteners
    from planbook.trade import pilot as holes
    from planbook.trade.species import find_wood

    wood = find_wood(species)
    asked = fasteners.find_fastener(by)
    gravity = density.gravity_ovendry(wood)
    kind = holes.density_class(gravity)
    own = {name: fasteners.in_series(asked, name) for name in ("imperial", "metric")}
    made = {
        name: holes.pilot(item, gravity, name, "lateral" if sideways else "withdrawal") for name, item in own.items()
    }
    passing = {name: holes.clearance(item, name) for name, item in own.items()}
    rows = [
        Row("fastener", own["imperial"].name, own["metric"].name),
        Row("pilot hole", *_both(made), float(made["imperial"].choice.wanted_mm), "mm"),
        Row("that wants", *_wanted(made)),
        Row("clearance hole", *_both(passing), float(passing["imperial"].choice.bit.diameter_mm), "mm"),
    ]
    sources = [
        ("pilot, inch series", made["imperial"].basis.citation),
        ("pilot, metric series", made["metric"].basis.citation),
        ("clearance", passing["imperial"].basis.citation),
        ("bits", made["imperial"].choice.bit.basis.citation),
        (f"density, {_gravity(gravity)}", wood.density.citation),
    ]
    try:
        cones = {name: holes.countersink(item) for name, item in own.items()}
    except TradeError:
        cones = {}
    if cones:
        inch, metric = cones["imperial"], cones["metric"]
        rows.append(
            Row(
                "countersink",
                f"{inch.degrees}°, {_thousandths(inch.diameter_mm)} across",
                f"{metric.degrees}°, {decimal(metric.diameter_mm, 1)} mm across",
                float(inch.diameter_mm),
                "mm",
            )
        )
        sources.append(("countersink", inch.basis.citation))
    if asked.long_mm is not None and asked.kind in ("wood screw", "nail"):
        rows += _hold(gravity, asked.kind, asked.shank.value, fasteners.thread_mm(asked))
        sources.append(("working pull", _working_source()))
    if load is not None:
        rows += _needed(rows[-1], load, lever, arm)
        sources.append(("number", "statics: load times lever over arm, shared alike"))
    told = f"{asked.name} in {wood.name}, which is {kind.value} for its holes ({_gravity(gravity)})"
    return Answer(told, tuple(rows), tuple(sources), _remarks(made["imperial"], wood))


def _hold(gravity: Fraction, kind: str, shank: Fraction, thread: Fraction) -> list[Row]:
    from planbook.trade.withdrawal import POUND_FORCE_N, working_n

    newtons = working_n(kind, gravity_ovendry=gravity, shank_mm=shank, thread_mm=thread)
    return [
        length_row("thread, if all of it bites", thread),
        Row(
            "working pull in side grain",
            f"{newtons / POUND_FORCE_N:.0f} lb",
            f"{newtons:.0f} N",
            newtons,
            "N",
        ),
    ]


def _needed(pull: Row, load: str, lever: str | None, arm: str | None) -> list[Row]:
    """Return the pull of a load on the fasteners, and how many hold it."""
    from planbook.trade.sag import G_M_S2
    from planbook.trade.withdrawal import POUND_FORCE_N, hanger_pull_n, needed_number

    if pull.unit != "N" or pull.value is None:
        raise QuestionError(
            "--load", "no-length", "without a length nobody knows how much thread holds", "add it to `--by`"
        )
    newtons = float(asked_of("--load", load, MASS, "40 lb` or `20 kg")) / 1000 * G_M_S2
    if (lever is None) != (arm is None):
        missing = "--arm" if arm is None else "--lever"
        raise QuestionError(missing, "missing-word", "a lever and an arm go together", f"add `{missing}`")
    if lever is not None and arm is not None:
        newtons = hanger_pull_n(newtons, asked_length("--lever", lever), asked_length("--arm", arm))
    count = needed_number(newtons, pull.value)
    told = (f"{newtons / POUND_FORCE_N:.0f} lb", f"{newtons:.0f} N")
    return [Row("pull on those that hold it", *told, newtons, "N"), Row("needed", str(count), value=count)]


def _working_source() -> str:
    from planbook.trade.withdrawal import working_basis

    return working_basis().citation


def _both(made: dict[str, Hole]) -> tuple[str, str]:
    return made["imperial"].choice.bit.label, made["metric"].choice.bit.label


def _wanted(made: dict[str, Hole]) -> tuple[str, str]:
    """Return the diameters that the rule gives, and how far each bit is off."""
    inch, metric = made["imperial"].choice, made["metric"].choice
    off_inch, off_mm = decimal(inch.error_mm / INCH, 3, minus="-"), decimal(metric.error_mm, 2, minus="-")
    return (
        f"{_thousandths(inch.wanted_mm)} (bit {_signed(off_inch)})",
        f"{decimal(metric.wanted_mm, 2)} mm (bit {_signed(off_mm)})",
    )


def _signed(text: str) -> str:
    return text if text.startswith("-") else f"+{text}"


def _thousandths(mm: Fraction) -> str:
    return f"{decimal(mm / INCH, 3, keep=True)} in"


def _gravity(gravity: Fraction) -> str:
    return f"specific gravity {decimal(gravity, 2, keep=True)}, ovendry"


def _remarks(hole: Hole, wood: Wood) -> tuple[str, ...]:
    from planbook.trade.practices import practice

    found = []
    if not hole.needed:
        found.append("For so light a wood the rule asks for no pilot. Near an end or an edge bore one all the same.")
    if wood.name == HARD_MAPLE:
        told = practice("hard-maple-pilot")
        found.append(f"{told.text} ({told.basis.citation})")
    found.append("Try it on scrap of the same wood. Hardened screws of modern form have a sheet of their maker's.")
    return tuple(found)
