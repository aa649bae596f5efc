"""Pages as a browser, a reader without sight, and a search for dead links meet them."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Mapping
from itertools import pairwise
from urllib.parse import unquote, urlsplit
from xml.etree import ElementTree

import html5lib
import pytest

X = "{http://www.w3.org/1999/xhtml}"
S = "{http://www.w3.org/2000/svg}"
PLAN = "plans/bookcase/imperial/index.html"
METRIC = "plans/bookcase/metric/index.html"


@pytest.fixture(scope="module")
def trees(pages: Mapping[str, str]) -> dict[str, ElementTree.Element]:
    """Pages parsed strictly: any parse error of the HTML standard fails here."""
    parsed = {}
    for path, text in pages.items():
        parser = html5lib.HTMLParser(strict=True)
        parsed[path] = parser.parse(text)
    return parsed


def text_of(element: ElementTree.Element) -> str:
    return " ".join("".join(element.itertext()).split())


def test_every_kind_of_page_is_there(pages: Mapping[str, str]) -> None:
    assert {
        "index.html", "metric/index.html", PLAN, METRIC, "plans/bookcase/index.html", "tools/index.html",
        "tools/table-saw/index.html", "materials/index.html", "materials/birch-plywood/index.html",
        "words/index.html", "pages/measure/index.html", "404.html",
    } <= set(pages)  # fmt: skip


def test_pages_parse_without_an_error(trees: Mapping[str, ElementTree.Element]) -> None:
    assert len(trees) >= 15


def test_ids_are_unique(trees: Mapping[str, ElementTree.Element]) -> None:
    for path, tree in trees.items():
        ids = [element.get("id") for element in tree.iter() if element.get("id")]
        assert len(ids) == len(set(ids)), path


def test_every_internal_link_and_fragment_is_there(
    site: Mapping[str, bytes], trees: Mapping[str, ElementTree.Element]
) -> None:
    ids = {path: {element.get("id") for element in tree.iter()} for path, tree in trees.items()}
    checked = 0
    for path, tree in trees.items():
        for element in tree.iter():
            for name in ("href", "src"):
                link = element.get(name)
                if link is None or urlsplit(link).scheme:
                    continue
                parts = urlsplit(link)
                target = path
                if parts.path:
                    target = posixpath.normpath(posixpath.join(posixpath.dirname(path), unquote(parts.path)))
                assert target in site, f"{path}: {link}"
                if parts.fragment:
                    assert unquote(parts.fragment) in ids[target], f"{path}: {link}"
                checked += 1
    assert checked > 300


def test_references_to_ids_on_the_page_are_there(trees: Mapping[str, ElementTree.Element]) -> None:
    for path, tree in trees.items():
        ids = {element.get("id") for element in tree.iter()}
        for element in tree.iter():
            for name in ("aria-labelledby", "aria-describedby", "for"):
                for wanted in (element.get(name) or "").split():
                    assert wanted in ids, f"{path}: {name}={wanted}"


def test_nothing_is_asked_of_other_sites(site: Mapping[str, bytes], trees: Mapping[str, ElementTree.Element]) -> None:
    for path, tree in trees.items():
        for element in tree.iter():
            for name in ("src", "srcset", "poster", "data", "action"):
                assert not urlsplit(element.get(name) or "").scheme, f"{path}: {element.get(name)}"
            if element.tag == f"{X}link":
                assert not urlsplit(element.get("href") or "").scheme, path
    for path, data in site.items():
        if path.endswith((".css", ".js")):
            assert b"http:" not in data, path
            assert b"https:" not in data, path


def test_one_heading_of_the_first_level_and_no_level_skipped(trees: Mapping[str, ElementTree.Element]) -> None:
    for path, tree in trees.items():
        levels = [int(e.tag[-1]) for e in tree.iter() if e.tag in {f"{X}h{n}" for n in range(1, 7)}]
        assert levels.count(1) == 1, path
        assert levels[0] == 1, path
        assert all(after - before <= 1 for before, after in pairwise(levels)), (path, levels)


def test_landmarks_language_and_skip_link(trees: Mapping[str, ElementTree.Element]) -> None:
    for path, tree in trees.items():
        assert tree.get("lang") == "en", path
        for tag in ("main", "header", "footer", "title"):
            assert len(list(tree.iter(f"{X}{tag}"))) == 1 or tag in ("header", "title"), (path, tag)
        body = tree.find(f"{X}body")
        assert body is not None
        assert body[0].tag == f"{X}a", path
        assert body[0].get("href") == "#main", path
        names = [nav.get("aria-label") or nav.get("aria-labelledby") for nav in tree.iter(f"{X}nav")]
        assert all(names), path
        assert len(names) == len(set(names)), path


def test_titles_of_pages_differ(trees: Mapping[str, ElementTree.Element]) -> None:
    titles = [text_of(tree.find(f"{X}head/{X}title")) for path, tree in trees.items() if path != "metric/index.html"]
    assert all(titles)
    assert len(titles) == len(set(titles))


def test_pictures_say_what_they_show(trees: Mapping[str, ElementTree.Element]) -> None:
    drawings = 0
    for path, tree in trees.items():
        hidden = {id(below) for e in tree.iter() if e.get("aria-hidden") == "true" for below in e.iter()}
        for element in tree.iter(f"{X}img"):
            assert element.get("alt") is not None, path
        for element in tree.iter(f"{S}svg"):
            if id(element) in hidden:
                continue
            drawings += 1
            assert element.get("role") == "img", path
            assert text_of(element.find(f"{S}title")), path
            assert text_of(element.find(f"{S}desc")), path
    assert drawings > 20


def test_controls_have_names(trees: Mapping[str, ElementTree.Element]) -> None:
    boxes = 0
    for path, tree in trees.items():
        labelled = {id(box) for label in tree.iter(f"{X}label") if text_of(label) for box in label.iter(f"{X}input")}
        for box in tree.iter(f"{X}input"):
            boxes += 1
            assert box.get("aria-label") or id(box) in labelled, path
        for link in tree.iter(f"{X}a"):
            assert text_of(link) or link.get("aria-label"), (path, link.get("href"))
    assert boxes > 80


def test_tables_have_heads(trees: Mapping[str, ElementTree.Element]) -> None:
    for path, tree in trees.items():
        for head in tree.iter(f"{X}th"):
            if tree is not trees["pages/measure/index.html"]:
                assert head.get("scope") in ("col", "row", "rowgroup"), (path, text_of(head))


def test_the_current_page_and_edition_are_marked(trees: Mapping[str, ElementTree.Element]) -> None:
    for path, title in ((PLAN, "inches"), (METRIC, "millimetres")):
        switch = next(nav for nav in trees[path].iter(f"{X}nav") if nav.get("aria-label") == "Edition")
        links = list(switch.iter(f"{X}a"))
        assert [text_of(link) for link in links] == ["inches", "millimetres"]
        assert [text_of(link) for link in links if link.get("aria-current") == "page"] == [title]


def test_reading_order_of_a_plan(trees: Mapping[str, ElementTree.Element]) -> None:
    words = text_of(trees[PLAN])
    order = ["Bookcase with two loose shelves", "30\"", "On this page", "It cannot promise safety",
             "Kickback, step 2", "Length runs with the grain", "Measure today", "Step 1: Measure the plywood",
             "Step 2: Saw the plywood parts", "Water-borne varnish, 3 coats", "These sizes drive"]  # fmt: skip
    places = [words.find(each) for each in order]
    assert -1 not in places, dict(zip(order, places, strict=True))
    assert places == sorted(places)


def test_steps_stand_in_the_fixed_order(trees: Mapping[str, ElementTree.Element]) -> None:
    step = next(e for e in trees[PLAN].iter(f"{X}section") if e.get("id") == "step-saw-the-plywood-parts")
    words = text_of(step)
    order = ["Saw the plywood parts", "WARNING", "Usual here", "set up", "Rip the strips", "Good enough when",
             "If it went wrong"]  # fmt: skip
    places = [words.find(each) for each in order]
    assert places == sorted(places)
    assert -1 not in places


def test_teachers_notes_are_not_published(pages: Mapping[str, str]) -> None:
    assert not any("Let each pair cut one dado" in text for text in pages.values())


def test_text_is_escaped(pages: Mapping[str, str]) -> None:
    assert "&lt;&#34;bold&#34;&gt; &amp; more" in pages[PLAN]
    assert "does its &lt;work&gt; &amp; more" in pages["tools/router/index.html"]
    assert "&lt;b&gt; is no tag" in pages["pages/measure/index.html"]


def test_editions_hold_their_own_numbers(trees: Mapping[str, ElementTree.Element]) -> None:
    inches, metric = text_of(trees[PLAN]), text_of(trees[METRIC])
    assert "29¹⁄₃₂ × 10³⁄₄" in inches
    assert "735 × 278" in metric
    assert "all sizes in mm" in metric
    assert "all sizes in mm" not in inches
    assert re.search(r"\d ?mm\b", inches) is None


def test_a_page_without_edition_gives_both(pages: Mapping[str, str]) -> None:
    text = pages["pages/measure/index.html"].replace("&#34;", '"')
    assert '<span class="size"><span class="fraction">³⁄₄</span>"</span> (19 mm)' in text
    assert '<span class="size">18 mm</span> (<span class="fraction">²³⁄₃₂</span>")' in text


def test_tools_and_materials_lead_to_where_they_are_used(trees: Mapping[str, ElementTree.Element]) -> None:
    links = [link.get("href") for link in trees["tools/router/index.html"].iter(f"{X}a")]
    assert "../../plans/bookcase/imperial/index.html#step-trim-the-edgings-flush" in links
    assert "../../plans/bookcase/metric/index.html#step-trim-the-edgings-flush" in links
    used = [link.get("href") for link in trees["materials/birch-plywood/index.html"].iter(f"{X}a")]
    assert any("#step-saw-the-plywood-parts" in str(link) for link in used)


def test_photos_and_pictures_of_pages_come_along(site: Mapping[str, bytes]) -> None:
    assert site["plans/bookcase/photos/in/side.png"] == site["pages/measure/sheet.png"]


def test_static_files_are_named_by_their_content(site: Mapping[str, bytes]) -> None:
    import hashlib

    named = [path for path in site if path.startswith("static/") and "LICENSE" not in path]
    assert len(named) >= 5
    for path in named:
        assert path.split(".")[-2] == hashlib.sha256(site[path]).hexdigest()[:8], path
    assert "static/fonts/LICENSE_DEJAVU" in site


def test_no_blank_fields(trees: Mapping[str, ElementTree.Element]) -> None:
    for path, tree in trees.items():
        for tag in ("dd", "dt", "li", "h1", "h2", "h3", "td", "th", "p"):
            for element in tree.iter(f"{X}{tag}"):
                full = text_of(element) or any(e.tag in (f"{X}input", f"{X}img", f"{S}svg") for e in element.iter())
                assert full, (path, tag)
