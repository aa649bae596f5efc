"""Slabs, bought parts, resin and fasteners on the buying list, of the demo plans and of what is made up here."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from planbook.cli.resolving import resolved
from planbook.cutting.buying import buying_list
from planbook.cutting.practice import USUAL
from planbook.cutting.prices import Offer
from planbook.cutting.purchase import Purchase
from planbook.plan.fastened import Fastened, Place
from planbook.plan.model import Plan

CONTENT = Path(__file__).parents[2] / "content"
ORIGIN = (0.0, 0.0, 0.0)


def window_bench(edition: str) -> Plan:
    plan = resolved("window-bench", edition, CONTENT).plan
    assert plan is not None
    return plan


def lines(
    plan: Plan, *, students: int = 1, spares: dict[str, int] | None = None, **offers: Offer
) -> dict[str, list[Purchase]]:
    given = {key.replace("_", " "): (offer,) for key, offer in offers.items()}
    found: dict[str, list[Purchase]] = {}
    for line in buying_list(plan, [], USUAL[plan.edition.name], given, students=students, spares=spares):
        found.setdefault(line.group, []).append(line)
    return found


@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_everybody_has_a_slab_of_their_own(edition: str) -> None:
    plan = window_bench(edition)
    (line,) = lines(plan, students=12, black_cherry=Offer(per="slab", price=Fraction(40)))["slab"]
    assert line.buy == "12 slabs"
    assert line.price == 480
    assert line.choose.startswith("dry")
    (line,) = lines(plan, students=12, spares={"seat": 1}, black_cherry=Offer(per="slab", price=Fraction(40)))["slab"]
    assert line.buy == "13 slabs"
    assert line.price == 520


def test_bought_parts_come_as_often_as_they_stand_in_the_piece() -> None:
    plan = window_bench("imperial")
    (line,) = lines(plan, students=3)["part"]
    frames = sum(placement.part == "frame" for placement in plan.placements)
    assert line.buy == str(3 * frames)


def test_resin_is_bought_for_all_pours_of_all_students() -> None:
    plan = window_bench("metric")
    (pour,) = plan.pours
    pack = Fraction(10**6)
    (line,) = lines(plan, students=12, **{pour.product.replace(" ", "_"): Offer(volume=pack, written="1 l")})["resin"]
    packs = int(line.buy.split()[0])
    assert (packs - 1) * pack < 12 * pour.mixed <= packs * pack


def fastened(name: str, kind: str, places: int) -> Fastened:
    place = Place(start=ORIGIN, way=(0.0, 0.0, 1.0), passes=(), into=None)
    return Fastened(
        joint="x", written=name, name=name, kind=kind, series="imperial", long=Fraction(50), shank=Fraction(4),
        root=None, head=None, passes=(), into=None, sunk=Fraction(0), bite=Fraction(20), free=False, plugged=False,
        places=(place,) * places, step=None,
    )  # fmt: skip


def test_fasteners_of_the_joints_are_counted_unless_the_author_lists_them() -> None:
    plan = replace(
        window_bench("imperial"), fastened=(fastened("No. 8 x 2 in wood screw", "wood screw", 6),), bought=()
    )
    found = lines(plan, students=2, wood_screw=Offer(pack=Fraction(10), per="pack"))["hardware"]
    assert [(line.what, line.buy, line.left) for line in found] == [("No. 8 x 2 in wood screw", "2 packs of 10", "8")]
    bought = replace(
        resolved("boot-bench", "imperial", CONTENT).plan.bought[0], key="side screw", text="side screw", count=6
    )
    listed = lines(replace(plan, bought=(bought,)))["hardware"]
    assert [line.what for line in listed] == ["side screw"]
    few = lines(replace(plan, bought=(replace(bought, count=2),)))["hardware"]
    assert len(few) == 2


def test_abrasive_paper_without_a_count_is_reckoned_by_faces_and_grades() -> None:
    plan = resolved("boot-bench", "imperial", CONTENT).plan
    assert plan is not None
    (line,) = lines(plan, students=3)["abrasive"]
    assert line.reason.startswith("2 grades, P120, P180")
    area = float(line.reason.split(" on ")[1].split()[0]) * 0.3048**2
    assert int(line.buy) == 3 * 2 * -int(-area // 1)
