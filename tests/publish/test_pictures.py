from __future__ import annotations

import concurrent.futures
from collections.abc import Mapping
from concurrent.futures import Future
from concurrent.futures.process import BrokenProcessPool
from pathlib import Path

import pytest
from sample_site import plans

from planbook.drawing.picture import Label, LabelKind, Picture, Stroke
from planbook.drawing.style import LineKind
from planbook.plan.model import Plan
from planbook.publish import pictures as drawing
from planbook.publish.cache import Store
from planbook.publish.pictures import NARROW, THUMB, pictures_of, pictures_of_all, thumbnail


def test_processes_draw_the_same(
    site: Mapping[str, bytes], book_root: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The site was drawn in this process; two others must give the same bytes."""
    monkeypatch.setattr(drawing, "PLANS_EACH", 1)
    one = [pictures_of(plan, Store(book_root)) for plan in plans()]
    two = list(pictures_of_all(plans(), Store(tmp_path), workers=2))
    assert one == two
    assert all(len(pictures.paper) >= 12 for pictures in two)
    for pictures in two:
        assert set(pictures.screen) - set(pictures.paper) == {THUMB}
        # Those for phones are blown up in large print.
        assert {key for key in pictures.paper if key.endswith(NARROW)}


def test_a_process_that_ends_does_not_end_the_run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    class Broken:
        def __init__(self, *_: object, **__: object) -> None: ...
        def __enter__(self) -> Broken:
            return self

        def __exit__(self, *_: object) -> None: ...
        def submit(self, *_: object) -> Future[object]:
            future: Future[object] = Future()
            future.set_exception(BrokenProcessPool("gone"))
            return future

    def all_(plan: Plan) -> list[tuple[str, Picture]]:
        label = Label(kind=LabelKind.SIZE, text=plan.edition.name, x=20, y=10, height=3.5)
        return [("front", Picture(title="Front", alt="A box.", width=40, height=20, labels=(label,)))]

    monkeypatch.setattr(concurrent.futures, "ProcessPoolExecutor", Broken)
    monkeypatch.setattr(drawing, "_all", all_)
    monkeypatch.setattr(drawing, "PLANS_EACH", 1)
    made = list(pictures_of_all(plans(), Store(tmp_path), workers=2))
    assert ["metric" in pictures.screen["front"] for pictures in made] == [False, True]


def test_a_thumbnail_has_lines_only() -> None:
    label = Label(kind=LabelKind.SIZE, text="42", x=20, y=10, height=3.5)
    wood = Stroke(LineKind.OUTLINE, ((20.0, 20.0), (120.0, 20.0), (120.0, 60.0)), closed=True)
    size = Stroke(LineKind.DIMENSION, ((0.0, 0.0), (200.0, 0.0)))
    whole = Picture(title="t", alt="a", width=200, height=100, strokes=(size, wood), labels=(label,))
    small = thumbnail(whole)
    assert small.labels == ()
    assert [stroke.kind for stroke in small.strokes] == [LineKind.OUTLINE]
    assert small.width == pytest.approx(52)
    left, bottom, right, top = small.bounds
    assert (left, bottom) == (1, 1)
    assert right <= small.width
    assert top <= small.height


def test_a_picture_without_lines_is_its_own_thumbnail() -> None:
    empty = Picture(title="t", alt="a", width=10, height=10)
    assert thumbnail(empty) == empty
