from __future__ import annotations

import html5lib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planbook.source.diagnostics import Findings
from planbook.source.files import SourceFile
from planbook.source.prose.inlines import Link, Reference, plain_text
from planbook.source.prose.pages import PageSource, read_page, to_html
from planbook.source.text import Text


def page_of(text: str) -> PageSource:
    findings = Findings()
    page = read_page(SourceFile("pages/a.md", text), findings)
    assert page is not None, list(findings)
    return page


def html_of(page: PageSource, *, offset: int = 0) -> str:
    def reference(item: Reference) -> str:
        return f"<i>{item.text}</i>".replace("&", "&amp;")

    def link(item: Link) -> str | None:
        return None if item.target.startswith("gone") else f"/to/{item.target}"

    def image(source: Text) -> str | None:
        return None if source == "gone.png" else f"/pictures/{source}"

    return to_html(page, reference=reference, link=link, image=image, heading_offset=offset)


def faults(text: str) -> list[tuple[str, int, int]]:
    findings = Findings()
    read_page(SourceFile("pages/a.md", text), findings)
    return [(item.slug, item.span.line, item.span.column) for item in findings if item.span]


def test_title_facts_and_body() -> None:
    page = page_of("---\nkind: handout\nfor: {level: beginner}\n---\n\n# *Sharpening* stones\n\nSoak {stone}.\n")
    assert (page.name, page.title) == ("pages/a.md", "Sharpening stones")
    assert (page.title.span.line, page.title.span.column) == (6, 3)
    assert page.facts is not None
    assert page.facts.data["for"]["level"] == "beginner"
    assert page.facts.data["for"]["level"].span.line == 3
    assert [plain_text(passage) for passage in page.passages] == ["Soak {stone}."]
    assert html_of(page) == "<p>Soak <i>stone</i>.</p>\n"


def test_page_without_facts() -> None:
    page = page_of("# A\n\nb\n")
    assert page.facts is None
    assert html_of(page) == "<p>b</p>\n"


def test_headings_move_down_and_have_ids() -> None:
    page = page_of("# T\n\n## Über {a}\n\n## Über {a}\n\n###### Six\n")
    assert html_of(page, offset=1) == (
        '<h3 id="uber-a">Über <i>a</i></h3>\n<h3 id="uber-a-2">Über <i>a</i></h3>\n<h6 id="six">Six</h6>\n'
    )


def test_links_are_resolved_or_left_as_words() -> None:
    page = page_of('# T\n\n[a](glossary#kerf "say \\"k\\"") [*b* {c}](gone) <http://x.example>\n')
    assert html_of(page) == (
        '<p><a href="/to/glossary#kerf" title="say &quot;k&quot;">a</a> <em>b</em> <i>c</i> '
        '<a href="/to/http://x.example">http://x.example</a></p>\n'
    )


def test_links_with_an_address_given_below() -> None:
    page = page_of("# T\n\nsee [a][b] and [b]\n\n[b]: gone/there\n")
    assert html_of(page) == "<p>see a and b</p>\n"


def test_pictures_are_resolved_or_told_in_words() -> None:
    page = page_of('# T\n\n![a "side" \\*](s.png) ![no *more*](gone.png)\n')
    assert html_of(page) == ('<p><img src="/pictures/s.png" alt="a &quot;side&quot; *" /> no more</p>\n')


def test_tables() -> None:
    page = page_of("# T\n\n| wood | size |\n|---|---:|\n| {a} | b \\| c |\n")
    assert html_of(page) == (
        "<table>\n<thead>\n<tr>\n<th>wood</th>\n"
        '<th style="text-align:right">size</th>\n</tr>\n</thead>\n<tbody>\n<tr>\n'
        '<td><i>a</i></td>\n<td style="text-align:right">b | c</td>\n</tr>\n</tbody>\n</table>\n'
    )


def test_html_is_shown_not_obeyed() -> None:
    page = page_of('# T\n\n<script>alert("x")</script>\n\n{<b>}\n')
    assert html_of(page).startswith("<p>&lt;script&gt;alert(&quot;x&quot;)&lt;/script&gt;</p>\n")


def test_rendering_leaves_the_page_as_it_was() -> None:
    page = page_of("# T\n\n## A\n\n[a](b) ![c](d.png) {e}\n")
    assert html_of(page) == html_of(page)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("words\n", [("no-page-title", 1, 1)]),
        ("\n\n## Second\n", [("no-page-title", 3, 1)]),
        ("---\na: b\n---\nwords\n", [("no-page-title", 4, 1)]),
        ("---\na: b\n", [("unclosed-facts", 1, 1), ("no-page-title", 2, 1)]),
        ("#\n\nwords\n", [("no-title", 1, 2)]),
        ("# A {b}\n", [("marks-in-title", 1, 3)]),
        ("# A\n\nb {\n", [("unclosed-reference", 3, 3)]),
        ("# A\n\n| b |\n|---|\n| {} |\n", [("empty-reference", 5, 3)]),
        ("# A\n\nb\x1fc\n", [("not-text", 3, 2)]),
        ("# A\n\n![](b.png)\n", [("no-alt-text", 3, 1)]),
        ("# A\n\n![{b}](b.png)\n", [("reference-in-alt-text", 3, 1)]),
        ("---\nb: 1\nb: 2\n---\n# A\n", [("repeated-word", 3, 1)]),
        ("# A\n\n" + "> " * 30 + "b\n", [("nested-too-deep", 3, 1)]),
    ],
)
def test_faults_are_located_each_once(text: str, expected: list[tuple[str, int, int]]) -> None:
    assert faults(text) == expected


MARKS = st.sampled_from(
    ["word ", "{a b}", "{", "**", "*", "`", "[", "](b)", "](gone)", "![", "](gone.png)", "](c.png)", "<b>", "&amp;"]
).flatmap(lambda mark: st.sampled_from([mark, "\n", "\n\n", "\n- ", "\n> ", "\n## ", "\n|a|b|\n|-|-|\n|", "|", "    "]))


@settings(max_examples=300, deadline=None)
@given(st.text(max_size=200) | st.lists(MARKS, max_size=30).map("".join))
def test_any_text_becomes_well_formed_html(text: str) -> None:
    findings = Findings()
    page = read_page(SourceFile("pages/a.md", f"# T\n\n{text}"), findings)
    if page is not None:
        parser = html5lib.HTMLParser(strict=True)
        parser.parseFragment(html_of(page))


@settings(max_examples=200, deadline=None)
@given(st.text(max_size=60))
def test_no_text_breaks_reading(text: str) -> None:
    read_page(SourceFile("pages/a.md", text), Findings())
