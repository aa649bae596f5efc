"""Parts that are no plain boxes are checked by their solids, not by the boxes round them."""

from __future__ import annotations

from pathlib import Path

import pytest
from fixtures.small_books import make, step_text

from planbook.checks.fit import parts_outside, parts_overlap
from planbook.checks.order import cut_before_made, used_before_made
from planbook.checks.subject import subject_of

STOCK = "ash: {lumber: white ash, nominal: 8/4, to: 1 1/2 in}"
SEAT = "seat: {of: ash, disc: 12 in, top: high above floor}\n"
LEG = (
    "leg: {of: ash, count: 4, shape: round, length: floor to top of seat, around: seat centre, on: 8 in, "
    "of face: seat underside, first: 45 deg from grain, lean: 12 deg outward, thick: [1 in from top to foot]}"
)
SOCKET = "hole: {bore: 1 in, through: seat, for: leg, by: glue}"


def found(
    tmp_path: Path, check: object, *, joints: str = SOCKET, leg: str = LEG, steps: str | None = None
) -> list[str]:
    own = ", hole" if joints else ""
    held = "joins: [hole]" if joints else "sets: [leg]"
    text = steps or step_text("Make it", f"cuts: [seat, leg, shape of leg{own}], {held}")
    groups = {"dims": "high: 20 in\nacross: 12 in", "stock": STOCK, "parts": SEAT + leg, "joints": joints}
    read = make(tmp_path, groups, steps=text)
    assert read.stops() == []
    assert read.book is not None
    subject = subject_of(read.plan(), read.book.plans[0], read.book.shop)
    return [item.message for item in check(subject)]  # type: ignore[operator]


def test_legs_in_their_sockets_share_nothing(tmp_path: Path) -> None:
    assert found(tmp_path, parts_overlap) == []


def test_legs_without_sockets_run_into_the_seat(tmp_path: Path) -> None:
    (message,) = found(tmp_path, parts_overlap, joints="")
    assert message.startswith("`seat` and `leg` run into each other by ")
    assert message.endswith("the limit is 1/64 in")


def test_a_socket_that_is_too_narrow(tmp_path: Path) -> None:
    # A bore of 7/8 in for a tenon of 1 in: 1/16 all round.
    (message,) = found(tmp_path, parts_overlap, joints=SOCKET.replace("1 in", "7/8 in"))
    assert "run into each other by" in message


def test_legs_that_lean_against_each_other(tmp_path: Path) -> None:
    inward = LEG.replace("12 deg outward", "20 deg inward")
    messages = found(tmp_path, parts_overlap, leg=inward)
    assert any("copies" in message and "`leg`" in message for message in messages)


def test_feet_beyond_the_seat_are_told(tmp_path: Path) -> None:
    # Feet on a circle of 8 + 2 x 18 1/2 tan 25 = 25.3 in under a piece of 12.
    wide = LEG.replace("12 deg outward", "25 deg outward")
    assert any("`leg` stands out at the" in message for message in found(tmp_path, parts_outside, leg=wide))
    assert found(tmp_path, parts_outside, leg=LEG.replace("12 deg", "2 deg")) == []


@pytest.mark.parametrize("first", ["shape of leg", "hole"])
def test_nothing_is_shaped_before_it_is_sawn_out(tmp_path: Path, first: str) -> None:
    rest = ", ".join(name for name in ("seat", "leg", "shape of leg", "hole") if name != first)
    steps = step_text("Shape", f"cuts: [{first}]") + step_text("Saw", f"cuts: [{rest}]")
    steps += step_text("Glue", "joins: [hole]")
    (message,) = found(tmp_path, cut_before_made, steps=steps)
    assert message.startswith(f"`{first}` is cut into")


def test_a_ramp_is_made_before_it_is_used(tmp_path: Path) -> None:
    ramp = "\nramp: {jig: drill press ramp, of: offcut, slope: 12 deg}"
    steps = step_text("Bore", "cuts: [seat, leg, shape of leg, hole], with: [ramp]")
    steps += step_text("Saw", "cuts: [ramp]") + step_text("Glue", "joins: [hole]")
    (message,) = found(tmp_path, used_before_made, leg=LEG + ramp, steps=steps)
    assert message == "`ramp` is used as a tool in step 1, but sawn out only in step 2"
