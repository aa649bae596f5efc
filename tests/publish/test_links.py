from __future__ import annotations

import pytest

from planbook.publish.links import check_links
from planbook.publish.writer import Result
from planbook.source.diagnostics import Findings


def faults(page: str, *, root: str = "") -> list[str]:
    findings = Findings()
    pages = {
        "a/index.html": page,
        "index.html": '<p id="here">x</p>',
        "static/look.css": 'a { background: url("x.png"); b: url(data:x) }',
        "static/x.png": "",
    }
    check_links([Result(path, text.encode()) for path, text in pages.items()], findings, root=root)
    assert all(item.slug == "dead-link" for item in findings)
    return [item.message for item in findings]


@pytest.mark.parametrize(
    "link",
    [
        "../index.html",
        "../index.html#here",
        "#own",
        "",
        "../static/x.png",
        "https://example.org/x",
        "mailto:a@example.org",
    ],
)
def test_good_links(link: str) -> None:
    assert faults(f'<p id="own"><a href="{link}">x</a></p>') == []


@pytest.mark.parametrize(
    "link",
    ["index2.html", "../index.html#there", "#other", "../../index.html", "/index.html", "javascript:x", "file:///x"],
)
def test_dead_links(link: str) -> None:
    [message] = faults(f'<p id="own"><a href="{link}">x</a></p>')
    assert f"`{link}`" in message
    assert "`a/index.html`" in message


def test_links_from_the_root_need_a_known_address() -> None:
    assert faults('<a href="/shop/index.html">x</a>', root="/shop/") == []
    assert len(faults('<a href="/other/index.html">x</a>', root="/shop/")) == 1


def test_stylesheets_are_checked_too() -> None:
    findings = Findings()
    check_links([Result("static/a.css", b'a { b: url("gone.woff") }')], findings)
    assert [item.slug for item in findings] == ["dead-link"]
