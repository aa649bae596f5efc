"""The parser of prose against the examples of the CommonMark specification itself.

Source: CommonMark Spec 0.31.2 (2024-01-28), John MacFarlane, https://spec.commonmark.org/0.31.2/,
CC-BY-SA 4.0; the examples lie beside this file. Left out are the examples with HTML in them, which
planbook prints as text, and those with a brace in them, which planbook reads as a reference.
"""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from planbook.source.prose.markdown import markdown

SPEC = json.loads((Path(__file__).parent / "commonmark-0.31.2.json").read_text(encoding="utf-8"))
EXAMPLES = SPEC["examples"]

TAG = re.compile(r"</?[a-zA-Z][^>]*>|<!|<\?|<[a-z]", re.IGNORECASE)
AUTOLINK = re.compile(r"<[a-zA-Z][a-zA-Z0-9+.-]{1,31}:[^<>\s]*>|<[^<>\s@]+@[^<>\s]+>")


def passes_html_through(example: dict[str, str]) -> bool:
    """Whether the expected output holds markup that was typed as HTML in the example."""
    typed = AUTOLINK.sub("", example["markdown"])
    return any(tag.group() in example["html"] for tag in TAG.finditer(typed))


def has_brace(example: dict[str, str]) -> bool:
    return "{" in example["markdown"] or "}" in example["markdown"]


RUN = [example for example in EXAMPLES if not passes_html_through(example) and not has_brace(example)]


def comparable(html: str) -> str:
    """Two spellings that mean the same to every reader of HTML.

    The scheme of an address is not case-sensitive (RFC 3986, 3.1), and an empty quotation may hold a
    line end.
    """
    return html.replace("MAILTO:", "mailto:").replace("<blockquote></blockquote>", "<blockquote>\n</blockquote>")


@pytest.mark.parametrize("example", RUN, ids=lambda example: str(example["example"]))
def test_example_gives_the_html_of_the_specification(example: dict[str, str]) -> None:
    assert comparable(markdown().render(example["markdown"])) == comparable(example["html"])


def test_how_many_examples_run() -> None:
    html = [example for example in EXAMPLES if passes_html_through(example)]
    braces = [example for example in EXAMPLES if has_brace(example) and example not in html]
    assert len(EXAMPLES) == 652
    assert (len(html), len(braces), len(RUN)) == (72, 1, 579)


@pytest.mark.parametrize(
    "example",
    [example for example in EXAMPLES if passes_html_through(example)],
    ids=lambda example: str(example["example"]),
)
def test_html_of_the_specification_never_reaches_a_page(example: dict[str, str]) -> None:
    html = markdown().render(example["markdown"])
    own = "a|blockquote|br|code|em|h[1-6]|hr|img|li|ol|p|pre|strong|ul|table|thead|tbody|tr|t[hd]"
    assert not re.search(rf"<(?!/?(?:{own})\b)", html)
