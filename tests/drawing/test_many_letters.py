"""A picture of very many parts: the roomiest get their letters, the rest stand in the cut list alone."""

from __future__ import annotations

import pytest
from sample_plan import bookcase

from planbook.drawing import assembly
from planbook.drawing.assembly import letters_picture
from planbook.drawing.picture import LabelKind, Picture


def lettered(picture: Picture) -> set[str]:
    return {label.text for label in picture.labels if label.kind is LabelKind.LETTER}


def test_no_more_letters_than_are_found_again(monkeypatch: pytest.MonkeyPatch) -> None:
    plan = bookcase()
    whole = lettered(letters_picture(plan))
    assert len(whole) > 2
    monkeypatch.setattr(assembly, "MOST_LETTERS", 2)
    few = lettered(letters_picture(plan))
    assert few < whole
    assert len(few) <= 2
