"""Which way a part lies: its three axes in the assembly, and the names of its six sides.

Axes of the assembly: x to the right, y away to the back, z up, as seen by a person in front.
"""

from __future__ import annotations

from dataclasses import dataclass

from planbook.plan.model import Faces

AXES = ("x", "y", "z")

RUNS = {"up": "z", "across": "x", "back": "y"}
"""Words for the direction of a part's length, and its axis."""

LOOKS = {
    "up": ("z", 1),
    "down": ("z", -1),
    "front": ("y", -1),
    "back": ("y", 1),
    "right": ("x", 1),
    "left": ("x", -1),
}
"""Words for the direction the show face looks, with its axis and sign."""

LOW_SIDE = {"x": "left", "y": "front", "z": "lower"}
HIGH_SIDE = {"x": "right", "y": "back", "z": "upper"}

_ENDS = {"x": ("left end", "right end"), "y": ("front end", "back end"), "z": ("foot", "top end")}
_EDGES = {"x": ("left edge", "right edge"), "y": ("front edge", "back edge"), "z": ("lower edge", "upper edge")}
_FACES = {"x": ("left face", "right face"), "y": ("front face", "back face"), "z": ("underside", "upper face")}


@dataclass(frozen=True, slots=True)
class Frame:
    """Directions of a part's length, width and thickness; the length and width count upwards."""

    l: str
    w: str
    t: str
    t_sign: int
    """+1 where the show face looks towards larger coordinates, on the left hand of a pair."""
    inside: bool
    """Whether the show face is called `inside`, as on the sides of a case."""

    def own_axis(self, axis: str) -> str:
        """Return `l`, `w` or `t` for an axis of the assembly."""
        return {self.l: "l", self.w: "w", self.t: "t"}[axis]

    def faces(self) -> Faces:
        """Return the names of the six sides."""
        low, high = _FACES[self.t]
        show, reverse = (high, low) if self.t_sign > 0 else (low, high)
        if self.inside:
            show, reverse = "inside", "outside"
        return Faces(
            show=show,
            reverse=reverse,
            datum_edge=_EDGES[self.w][0],
            far_edge=_EDGES[self.w][1],
            datum_end=_ENDS[self.l][0],
            far_end=_ENDS[self.l][1],
        )

    def side_of_face(self, word: str) -> str | None:
        """Return `show` or `reverse` for a face word in this part's terms, or None."""
        faces = self.faces()
        short = {faces.show: "show", faces.reverse: "reverse"}
        low, high = _FACES[self.t]
        by_place = {low: -1, high: 1, low.removesuffix(" face"): -1, high.removesuffix(" face"): 1}
        if self.t == "z":
            by_place |= {"bottom": -1, "lower face": -1, "top": 1}
        if word in short:
            return short[word]
        if word in by_place:
            return "show" if by_place[word] == self.t_sign else "reverse"
        return None


def frame(runs: str, t_axis: str, t_sign: int, *, inside: bool = False) -> Frame:
    """Make a frame from the axis of the length and that of the thickness.

    Raises ValueError where both are the same axis.
    """
    if runs == t_axis:
        raise ValueError("a part cannot run the way its face looks")
    (across,) = set(AXES) - {runs, t_axis}
    return Frame(runs, across, t_axis, t_sign, inside)
