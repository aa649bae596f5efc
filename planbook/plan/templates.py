"""Templates: what the author wants on paper at full size."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from typing import TYPE_CHECKING

from planbook.plan.draft import Draft, Unresolved
from planbook.plan.shapes import Blocks, Cylinder, Ramp, Turned
from planbook.source.diagnostics import Span
from planbook.source.nearest import did_you_mean

if TYPE_CHECKING:
    from planbook.plan.pieces import Part
    from planbook.source.schema.templates import TemplateSource
    from planbook.source.text import Text

LARGEST = Fraction(1_200_000)
"""mm2 of a sheet template: some forty tiles, more than anybody glues together."""


class TemplateKind(StrEnum):
    """How a template is used."""

    SHEET = "sheet"
    """Laid on a face."""
    STICK = "story stick"
    """Held along the part, to transfer places."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Template:
    """A part, or some of its cuts and holes, at full size."""

    name: str
    kind: TemplateKind
    part: str
    show: bool
    """Whether the show face is seen, else the reverse."""
    cuts: tuple[str, ...]
    """Names of the cuts that it shows."""
    holes: tuple[str, ...]
    """Groups of the holes that it shows."""
    whole: bool
    """Whether the whole part is printed, else the corner round what is shown."""
    note: str
    span: Span


def read_templates(draft: Draft, parts: Iterable[Part]) -> tuple[Template, ...]:
    """Return the templates of a plan; one that cannot be made is left out after its fault was recorded."""
    from planbook.plan.stand import part_named

    made = {part.key: part for part in parts}
    found = []
    for key, source in draft.facts.templates.items():
        try:
            name, _ = part_named(draft, source.of)
            if name in made:
                found.append(_template(draft, key, source, made[name]))
        except Unresolved:
            continue
    return tuple(found)


def _template(draft: Draft, key: Text, source: TemplateSource, part: Part) -> Template:
    kind = _kind(draft, source)
    if kind is TemplateKind.SHEET:
        _check_flat(draft, source, part)
    cuts, holes, whole = _shown(draft, source, part)
    if not whole and not cuts and not holes:
        raise draft.fail(
            "empty-template",
            f"`{part.key}` has nothing to show on the template `{key}`",
            source.of.span,
            help="write `shows: outline`, or name a joint or a row of holes of the part",
        )
    return Template(
        name=str(key),
        kind=kind,
        part=part.key,
        show=_face(draft, source, part, cuts, holes),
        cuts=cuts,
        holes=holes,
        whole=whole,
        note=str(source.note or ""),
        span=key.span,
    )


def _kind(draft: Draft, source: TemplateSource) -> TemplateKind:
    if str(source.as_) not in list(TemplateKind):
        raise draft.fail(
            "wrong-word",
            f"`{source.as_}` is no kind of template",
            source.as_.span,
            help=f"write `{TemplateKind.SHEET}` or `{TemplateKind.STICK}`",
        )
    return TemplateKind(source.as_)


def _check_flat(draft: Draft, source: TemplateSource, part: Part) -> None:
    if isinstance(part.shape, Turned | Blocks | Cylinder | Ramp):
        raise draft.fail(
            "no-flat-face",
            f"`{part.key}` has no flat face that a sheet of paper could be laid on",
            source.of.span,
            help="write `as: story stick`",
        )
    if part.length.final * part.width.final > LARGEST and not source.shows:
        raise draft.fail(
            "too-large-template",
            f"`{part.key}` would take more than forty sheets of paper at full size",
            source.of.span,
            help="show a joint or a row of holes, or write `as: story stick`",
        )


def _shown(draft: Draft, source: TemplateSource, part: Part) -> tuple[tuple[str, ...], tuple[str, ...], bool]:
    """Return names of cuts and of rows of holes, and whether the whole part is shown."""
    cuts = tuple(dict.fromkeys(cut.name for cut in part.cuts))
    holes = tuple(dict.fromkeys(hole.group for hole in part.holes))
    if not source.shows:
        return cuts, holes, True
    names: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
        "outline": ((), ()),
        "cuts": (cuts, ()),
        "holes": ((), holes),
    }
    for name in (*cuts, *holes):
        names[name] = ((name,) if name in cuts else (), (name,) if name in holes else ())
    for text in source.shows:
        if str(text) not in names:
            raise draft.fail(
                "wrong-word",
                f"`{part.key}` has no `{text}` that a template could show",
                text.span,
                help=did_you_mean(str(text), list(names)) or f"write {', '.join(f'`{name}`' for name in names)}",
            )
    wanted = [names[str(text)] for text in source.shows]
    return (
        tuple(name for name in cuts if any(name in some for some, _ in wanted)),
        tuple(name for name in holes if any(name in some for _, some in wanted)),
        any(text == "outline" for text in source.shows),
    )


def _face(draft: Draft, source: TemplateSource, part: Part, cuts: tuple[str, ...], holes: tuple[str, ...]) -> bool:
    faces = part.faces
    if source.face is not None:
        if source.face not in (faces.show, faces.reverse):
            raise draft.fail(
                "which-face",
                f"`{source.face}` is no face of `{part.key}`",
                source.face.span,
                help=f"its faces are `{faces.show}` and `{faces.reverse}`",
            )
        return source.face == faces.show
    from_show = [hole.from_show for hole in part.holes if hole.group in holes]
    from_show += [cut.box.t[1] >= part.thick for cut in part.cuts if cut.name in cuts]
    return any(from_show) or not from_show
