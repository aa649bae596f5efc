from __future__ import annotations

import pytest
from sample_site import info

from planbook.publish.addresses import Addresses, content_page, folder_pages, part_id, relative, term_id


@pytest.mark.parametrize(
    ("page", "path", "fragment", "link"),
    [
        ("index.html", "a/index.html", "", "a/index.html"),
        ("a/b/index.html", "index.html", "", "../../index.html"),
        ("a/b/index.html", "a/b/index.html", "x", "#x"),
        ("a/b/index.html", "a/b/index.html", "", "index.html"),
        ("a/index.html", "static/x.css", "", "../static/x.css"),
        ("index.html", "plans/boot bench?#/index.html", "", "plans/boot%20bench%3F%23/index.html"),
    ],
)
def test_relative_links(page: str, path: str, fragment: str, link: str) -> None:
    assert relative(page, path, fragment) == link


def test_ids_differ_where_slugs_would_not() -> None:
    keys = ["side", "бок", "дно", "côté", "cote", "Side"]
    assert len({part_id(key) for key in keys}) == len(keys)
    assert part_id("loose shelf") == "part-loose-shelf"
    assert len({term_id(key) for key in keys}) == len(keys)
    assert len({content_page(key) for key in keys}) == len(keys)
    assert len(set(folder_pages("tools", keys).values())) == len(keys)


def test_targets() -> None:
    book = info()
    addresses = Addresses(
        book, ("imperial", "metric"), ("bench",), ("about",),
        folder_pages("tools", book.tools), folder_pages("materials", book.materials),
    )  # fmt: skip

    def to(target: str, edition: str | None = None) -> str | None:
        return addresses.resolve(target, page="plans/bench/metric/index.html", edition=edition)

    assert to("step:cut") == "#step-cut"
    assert to("part:loose shelf") == "#part-loose-shelf"
    assert to("word:Dado") == "../../../words/index.html#word-dado"
    assert to("term:dado") == to("word:dado")
    assert to("tool:table saw") == "../../../tools/table-saw/index.html"
    assert to("page:about") == "../../../pages/about/index.html"
    assert to("plan:bench", "metric") == "index.html"
    assert to("plan:bench") == "../imperial/index.html"
    assert to("https://example.org/") == "https://example.org/"
    for nowhere in ("tool:lathe", "word:x", "page:x", "plan:x", "material:x", "x", "", "javascript:x", "#", "data:x"):
        assert to(nowhere) is None
