"""All pictures of a plan, as SVG for the screen and for paper, kept from run to run."""

from __future__ import annotations

import json
from collections.abc import Generator, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from planbook.plan.model import Plan, Role
from planbook.publish.cache import Store, program
from planbook.publish.home_calendar import own_time_line
from planbook.publish.sheet import EXPLODED, FRONT, FRONT_NARROW, JOINTS, LETTERS, THREE_VIEW, TIME_LINE
from planbook.publish.sheet_templates import TEMPLATE, template_pictures

if TYPE_CHECKING:
    from planbook.drawing.picture import Picture
    from planbook.drawing.svg import Medium

THUMB = "thumb"
"""The finished piece without sizes, for lists of plans; on the screen only."""
NARROW = "-narrow"
"""End of the key of a picture made for phones, and for large print, where it is blown up."""

PLANS_EACH = 3
"""Fewest plans for a process of its own: to start one takes about as long as to draw one plan."""
_PHONE = 104.0
"""Width in mm of a picture for phones: the letters then are about as high as the text beside it."""
_THUMB = 50.0
_FEW = 12
_ONE_PAGE = {LETTERS: {"height": 88.0}, EXPLODED: {"height": 102.0}}
"""Greatest heights in mm of pictures of a piece of no more than `_FEW` parts."""


@dataclass(frozen=True, slots=True)
class Pictures:
    """Pictures of one plan in one edition, by key."""

    screen: Mapping[str, str]
    paper: Mapping[str, str]
    alts: Mapping[str, str]
    """What each picture shows, in words."""

    def with_more(self, screen: Mapping[str, str], paper: Mapping[str, str], alts: Mapping[str, str]) -> Pictures:
        """Return these pictures and more of them."""
        return Pictures({**self.screen, **screen}, {**self.paper, **paper}, {**self.alts, **alts})


def pictures_of(plan: Plan, store: Store) -> Pictures:
    """Return the pictures of a plan, drawn afresh only if the plan or the program has changed."""
    return _kept(plan, store) or _keep(plan, drawn(plan), store)


def pictures_of_all(plans: Sequence[Plan], store: Store, *, workers: int) -> Generator[Pictures]:
    """Give the pictures of each plan in turn; where there is much to draw it is shared out among processes.

    The processes are started afresh, never forked: a fork while handouts are being set would hang.
    """
    kept = [_kept(plan, store) for plan in plans]
    missing = [plan for plan, pictures in zip(plans, kept, strict=True) if pictures is None]
    processes = min(workers, len(missing) // PLANS_EACH)
    if processes < 2:
        yield from (pictures or pictures_of(plan, store) for plan, pictures in zip(plans, kept, strict=True))
        return
    from concurrent.futures import BrokenExecutor, ProcessPoolExecutor
    from multiprocessing import get_context

    with ProcessPoolExecutor(processes, mp_context=get_context("spawn")) as pool:
        jobs = iter([pool.submit(drawn, plan) for plan in missing])
        for plan, pictures in zip(plans, kept, strict=True):
            if pictures is None:
                try:
                    made = next(jobs).result()
                except BrokenExecutor:
                    # A process was ended from outside (no memory, say): the work is done here instead.
                    made = drawn(plan)
                pictures = _keep(plan, made, store)
            yield pictures


def _kept(plan: Plan, store: Store) -> Pictures | None:
    kept = store.get("pictures", _key(plan))
    if kept is None:
        return None
    data = json.loads(kept)
    return Pictures(data["screen"], data["paper"], data["alts"])


def _keep(plan: Plan, pictures: Pictures, store: Store) -> Pictures:
    data = {"screen": pictures.screen, "paper": pictures.paper, "alts": pictures.alts}
    store.put("pictures", _key(plan), json.dumps(data, ensure_ascii=False).encode())
    return pictures


def _key(plan: Plan) -> str:
    return f"{program()} {plan!r}"


def drawn(plan: Plan) -> Pictures:
    """Draw all pictures of a plan."""
    from planbook.drawing.svg import to_svgs

    screen: dict[str, str] = {}
    paper: dict[str, str] = {}
    alts: dict[str, str] = {}
    for key, picture in _all(plan):
        media: list[Medium] = ["web"] if not key.startswith(TEMPLATE) else []
        media += ["print"] if key != THUMB else []
        written = to_svgs(picture, ids=f"fig-{key}", media=media)
        alts[key] = picture.alt
        for medium, pictures in (("web", screen), ("print", paper)):
            if medium in written:
                pictures[key] = written[medium]
    return Pictures(screen, paper, alts)


def _all(plan: Plan) -> Iterator[tuple[str, Picture]]:
    """Give every picture with its key, in the order in which a reader meets them."""
    from planbook.drawing.assembly import assembly_picture, letters_picture
    from planbook.drawing.explode import exploded_picture
    from planbook.drawing.joint_sections import joint_sections_picture
    from planbook.drawing.part import part_picture
    from planbook.drawing.step import step_picture
    from planbook.drawing.three_view import three_view_picture
    from planbook.drawing.views import Views

    views = Views(plan)
    front = assembly_picture(plan, views=views)
    yield FRONT, front
    yield FRONT_NARROW, assembly_picture(plan, width=_PHONE, height=_PHONE, views=views)
    yield THUMB, thumbnail(front)
    # Both pictures of a small piece stand on one page.
    high = _ONE_PAGE if len(plan.placements) <= _FEW else {}
    yield LETTERS, letters_picture(plan, views=views, **high.get(LETTERS, {}))
    yield LETTERS + NARROW, letters_picture(plan, width=_PHONE, height=_PHONE, views=views)
    yield EXPLODED, exploded_picture(plan, views=views, **high.get(EXPLODED, {}))
    yield EXPLODED + NARROW, exploded_picture(plan, width=_PHONE, height=_PHONE, views=views)
    yield THREE_VIEW, three_view_picture(plan, views=views)
    joints = joint_sections_picture(plan, views=views)
    if joints is not None:
        yield JOINTS, joints
    for part in plan.parts:
        if part.role is Role.PART and (part.cuts or part.holes or part.shape or part.trims or part.eased):
            yield f"part-{part.letter}", part_picture(plan, part.key)
    for step in plan.steps:
        picture = step_picture(plan, step.number, views=views)
        if picture is not None:
            yield f"step-{step.slug}", picture
            narrow = step_picture(plan, step.number, width=_PHONE, views=views)
            if narrow is not None:
                yield f"step-{step.slug}{NARROW}", narrow
    yield from template_pictures(plan)
    for suffix, days in (("", own_time_line(plan, None)), (NARROW, own_time_line(plan, _PHONE))):
        if days is not None:
            yield f"{TIME_LINE}{suffix}", days


def thumbnail(picture: Picture) -> Picture:
    """Return the lines of a picture alone, without sizes and letters, in the size of a stamp."""
    from dataclasses import replace

    from planbook.drawing.style import SOLID_KINDS

    lines = tuple(stroke for stroke in picture.strokes if stroke.kind in SOLID_KINDS)
    if not lines:
        return picture
    left, bottom, right, top = replace(picture, strokes=lines, areas=(), labels=()).bounds
    scale = _THUMB / max(right - left, top - bottom)

    def moved(point: tuple[float, float]) -> tuple[float, float]:
        return (round((point[0] - left) * scale + 1, 3), round((point[1] - bottom) * scale + 1, 3))

    return replace(
        picture,
        width=(right - left) * scale + 2,
        height=(top - bottom) * scale + 2,
        strokes=tuple(replace(line, points=tuple(map(moved, line.points))) for line in lines),
        areas=(),
        labels=(),
    )
