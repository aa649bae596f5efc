"""The words of a slab's layout: cuts one after the other, where each part lies, what it holds, what is kept."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from planbook.cutting.problem import Way
from planbook.cutting.slab_cuts import SlabCut
from planbook.cutting.slab_problem import HAIR, Natural
from planbook.cutting.slabs import SlabLayout, SlabPart, SlabRest
from planbook.drawing.wording import listed
from planbook.publish.sheet_runs import Runs, run, size
from planbook.units.editions import Edition
from planbook.units.write import plain_length


def slab_rows(layout: SlabLayout, edition: Edition, names: Mapping[str, str], *, plain: bool = False) -> dict[str, Any]:
    """Return the cuts, the parts and the rests of a layout, in the edition's writing; `names` by key of a part.

    `cuts` holds `n`, `setting` (how to draw the line and saw), `leaves`, `for`; `parts` holds `name`, `at`,
    `holds`, `near`; `kept` what to put by. `plain` sizes are for a terminal and for tables.
    """
    words = _Words(layout, edition, names, plain_length if plain else size)
    return {
        "cuts": [words.cut(cut) for cut in layout.cuts],
        "parts": [words.part(part) for part in layout.parts],
        "kept": [words.rest(rest) for rest in layout.rests],
        "kerf": words.size(layout.slab.kerf),
        "clear": words.size(layout.slab.clear),
        "used": f"{layout.used * 100:.0f} %",
    }


def exact(mm: float) -> Fraction:
    """Return a length of a layout as a fraction again."""
    return Fraction(mm).limit_denominator(10**4)


@dataclass(frozen=True, slots=True)
class _Words:
    layout: SlabLayout
    edition: Edition
    names: Mapping[str, str]
    write: Callable[[Fraction, Edition], str]

    def size(self, mm: float) -> str:
        return self.write(exact(mm), self.edition)

    def cut(self, cut: SlabCut) -> dict[str, Any]:
        if cut.way is Way.CROSSCUT:
            text = [run("text", "crosscut "), run("strong", self.size(cut.at - self._left))]
            text.append(run("text", f" from the left end, blade {'right' if cut.kerf_after else 'left'} of the line"))
        else:
            text = [run("text", "rip "), *self._from_line(cut.at)]
            text.append(run("text", f", blade {'behind' if cut.kerf_after else 'before'} it"))
        return {
            "n": str(cut.number),
            "setting": text,
            "leaves": "final" if cut.done else "",
            "for": list(dict.fromkeys(self.names.get(key, key) for key in cut.gives)),
        }

    @property
    def _left(self) -> float:
        return min(x for x, _ in self.layout.slab.outline)

    def _from_line(self, at: float) -> Runs:
        if abs(at) < HAIR:
            return [run("text", "on the chalk line")]
        side = "behind" if at > 0 else "before"
        return [run("strong", self.size(abs(at))), run("text", f" {side} the chalk line")]

    def part(self, part: SlabPart) -> dict[str, Any]:
        key = part.laid.piece.key
        whole = [name for name, inside in part.holds if inside]
        partly = [name for name, inside in part.holds if not inside]
        held = listed(whole) + (f"{'; ' if whole else ''}a part of {listed(partly)}" if partly else "")
        near = ""
        if part.near is not None:
            near = f"{self.size(self.layout.slab.down(part.near.distance))} clear of {part.near.mark}"
        return {"name": self.names.get(key, key), "key": key, "at": self._place(part), "holds": held, "near": near}

    def _place(self, part: SlabPart) -> str:
        left, front, right, back = part.laid.box
        along = f"{self.size(left - self._left)} to {self.size(right - self._left)} from the left end"
        natural = part.laid.natural
        if natural is Natural.BOTH:
            return f"{along}, both edges natural"
        if natural is Natural.FRONT:
            return f"{along}, front edge natural, sawn {self._side(back)}"
        if natural is Natural.BACK:
            return f"{along}, back edge natural, sawn {self._side(front)}"
        return f"{along}, {self._side(front)} to {self._side(back)}"

    def _side(self, at: float) -> str:
        if abs(at) < HAIR:
            return "on the chalk line"
        return f"{self.size(abs(at))} {'behind' if at > 0 else 'before'} the line"

    def rest(self, rest: SlabRest) -> str:
        long, wide = rest.box[2] - rest.box[0], self.layout.slab.down(rest.box[3] - rest.box[1])
        text = f"{self.size(long)} × {self.size(wide)}"
        return f"{text}, with {listed(rest.marks)} on it" if rest.marks else text
