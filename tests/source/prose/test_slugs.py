from __future__ import annotations

import re

from hypothesis import given, settings
from hypothesis import strategies as st

from planbook.source.prose.slugs import UniqueSlugs, slugify


def test_titles() -> None:
    assert slugify("Cut the dados, both sides in one go") == "cut-the-dados-both-sides-in-one-go"
    assert slugify("Säge & Fräse: größer") == "sage-frase-grosser"
    assert slugify("Teacher's eye") == "teachers-eye"
    assert slugify("Øre, Łódź, Æble") == "ore-lodz-aeble"
    assert slugify("Bore 3⁄8 in, ½ deep") == "bore-3-8-in-1-2-deep"
    assert slugify("木工") == "section"
    assert slugify("") == "section"


def test_second_of_a_kind_is_numbered() -> None:
    slugs = UniqueSlugs()
    made = [slugs.make(title) for title in ("Rails", "rails", "Rails 2", "RAILS")]
    assert made == ["rails", "rails-2", "rails-2-2", "rails-3"]


@settings(deadline=None)
@given(st.text())
def test_always_a_usable_id(title: str) -> None:
    slug = slugify(title)
    assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", slug)
    assert slugify(slug) == slug


@settings(deadline=None)
@given(st.lists(st.sampled_from(["a", "A", "a 2", "a-2", "b"]), max_size=20))
def test_never_twice_the_same(titles: list[str]) -> None:
    slugs = UniqueSlugs()
    made = [slugs.make(title) for title in titles]
    assert len(set(made)) == len(made)
