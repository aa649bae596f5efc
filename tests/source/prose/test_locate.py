from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from planbook.source.diagnostics import Findings, Span
from planbook.source.files import SourceFile
from planbook.source.prose.inlines import (
    Break,
    Code,
    Emphasis,
    Inlines,
    Link,
    Plain,
    Reference,
    Strong,
    leaves,
    plain_text,
    references,
)
from planbook.source.prose.locate import Line, Passage, read_inlines, read_text
from planbook.source.prose.pages import read_page
from planbook.source.text import Text


def inlines_of(*lines: str, findings: Findings | None = None) -> Inlines:
    passage = Passage("f.md", tuple(Line(line, number, 1) for number, line in enumerate(lines, 1)))
    return read_inlines(passage, findings if findings is not None else Findings())


def under(span: Span, lines: tuple[str, ...]) -> str:
    """The characters of the source that a span covers."""
    if span.line == span.end_line:
        return lines[span.line - 1][span.column - 1 : span.end_column - 1]
    first = lines[span.line - 1][span.column - 1 :]
    last = lines[span.end_line - 1][: span.end_column - 1]
    return "\n".join([first, *lines[span.line : span.end_line - 1], last])


def test_kinds_of_pieces() -> None:
    pieces = inlines_of("a **b** *c* `d` {e} [f](g)\\", "h")
    assert pieces == (
        Plain(Text("a ")),
        Strong((Plain(Text("b")),)),
        Plain(Text(" ")),
        Emphasis((Plain(Text("c")),)),
        Plain(Text(" ")),
        Code(Text("d")),
        Plain(Text(" ")),
        Reference(Text("e")),
        Plain(Text(" ")),
        Link((Plain(Text("f")),), Text("g")),
        Break(),
        Plain(Text("h")),
    )


def test_columns_in_bold_lists_quotes_and_on_later_lines() -> None:
    source = SourceFile(
        "f.md",
        "# T\n\n- one **bold {a.b} x\n     tail {c d}** é {e}\n\n  > 1. deep {f}\n  >    more *{g}*\n",
    )
    page = read_page(source, Findings())
    assert page is not None
    found = [(str(piece.text), piece.text.span) for passage in page.passages for piece in references(passage)]
    assert [name for name, _ in found] == ["a.b", "c d", "e", "f", "g"]
    for name, span in found:
        assert under(span, source.lines) == name


def test_columns_of_table_cells_also_when_cells_repeat() -> None:
    source = SourceFile("f.md", "# T\n\n| {a} | {a} |\n|---|---|\n| x | {b} and {a} |\n| {a} |\n")
    page = read_page(source, Findings())
    assert page is not None
    spans = [piece.text.span for passage in page.passages for piece in references(passage)]
    assert [(span.line, span.column) for span in spans] == [(3, 4), (3, 10), (5, 8), (5, 16), (6, 4)]


def test_columns_of_a_heading_with_closing_hashes() -> None:
    source = SourceFile("f.md", "# T\n\n##   About {a} ##\n")
    page = read_page(source, Findings())
    assert page is not None
    (reference,) = references(page.passages[0])
    assert under(reference.text.span, source.lines) == "a"


def test_reference_wrapped_over_two_lines_is_one_name() -> None:
    (_, reference, _) = inlines_of("at {bottom.underside", "  from foot} now")
    assert isinstance(reference, Reference)
    assert reference.text == "bottom.underside from foot"
    assert (reference.text.span.line, reference.text.span.column) == (1, 5)
    assert (reference.text.span.end_line, reference.text.span.end_column) == (2, 12)


def test_reference_keeps_stars_underscores_and_slashes() -> None:
    pieces = inlines_of("{a*b*c} {wall_strap_x} { 3/8 in } **{x**y}**")
    assert [str(piece.text) for piece in references(pieces)] == ["a*b*c", "wall_strap_x", "3/8 in", "x**y"]


def test_escaped_braces_are_plain() -> None:
    findings = Findings()
    pieces = inlines_of("\\{not a name\\} and `{code}`", findings=findings)
    assert plain_text(pieces) == "{not a name} and {code}"
    assert not list(references(pieces))
    assert len(findings) == 0


def test_faults_of_braces_are_located_each_once() -> None:
    cases = {
        "a {b c": ("unclosed-reference", 3, 4),
        "a } c": ("unclosed-reference", 3, 4),
        "a {} c": ("empty-reference", 3, 5),
        "a {  } c": ("empty-reference", 3, 7),
        "a {b {c} d} e": ("nested-reference", 3, 12),
        "a { b {c}": ("unclosed-reference", 3, 4),
    }
    for line, (slug, column, end) in cases.items():
        findings = Findings()
        inlines_of(line, findings=findings)
        (found,) = findings
        assert found.span is not None
        assert (found.slug, found.span.column, found.span.end_column) == (slug, column, end), line


def test_html_is_text_and_reported() -> None:
    findings = Findings()
    pieces = inlines_of('x <b class="y">bold</b> <!-- note --> 3 < 4 <http://a.example>', findings=findings)
    assert plain_text(pieces) == 'x <b class="y">bold</b> <!-- note --> 3 < 4 http://a.example'
    spans = [(item.slug, item.span.column) for item in findings if item.span]
    assert spans == [("html-in-prose", 3), ("html-in-prose", 20), ("html-in-prose", 25)]


def test_link_targets_have_their_own_place() -> None:
    lines = ('see [the *list*](glossary#kerf "words") and [b]( <c d.md> ), <mailto:a@b.example>',)
    pieces = inlines_of(*lines)
    links = [piece for piece in pieces if isinstance(piece, Link)]
    assert [str(link.target) for link in links] == ["glossary#kerf", "c d.md", "mailto:a@b.example"]
    for link in links:
        assert under(link.target.span, lines) == link.target


def test_addresses_that_run_programs_are_no_links() -> None:
    pieces = inlines_of("[x](javascript:alert(1)) <javascript:alert(1)>")
    assert not any(isinstance(piece, Link) for piece in pieces)


def test_text_from_yaml() -> None:
    one = Text("see {a}", Span("p.yaml", 7, 10, 7, 17))
    (reference,) = references(read_text(one, Findings()))
    assert reference.text.span == Span("p.yaml", 7, 15, 7, 16)
    folded = Text("see {a} and {b}", Span("p.yaml", 7, 10, 9, 3))
    assert [item.text.span for item in references(read_text(folded, Findings()))] == [folded.span] * 2


def test_marks_too_deep_are_reported_not_fatal() -> None:
    findings = Findings()
    pieces = inlines_of("*a **b " * 3000 + "b** a*" * 3000, findings=findings)
    assert [item.slug for item in findings] == ["nested-too-deep"]
    assert len(pieces) == 1


WORDS = st.sampled_from(
    ["word", "3/4 in", "{a b}", "{c.d}", "**", "*", "_", "`", "``", "[", "](x y)", "](z)", "![", "\\{", "\\"]
).flatmap(
    lambda word: st.sampled_from([word, "&amp;", "<b>", "<http://x.example>", "{", "}", "é", "日本", " ", "\n   "])
)


@settings(deadline=None)
@given(st.lists(WORDS, max_size=25).map("".join))
def test_every_plain_piece_stands_where_it_says(text: str) -> None:
    lines = tuple(text.strip().split("\n"))
    for piece in leaves(inlines_of(*lines)):
        if isinstance(piece, Reference):
            assert under(piece.text.span, lines).split() == piece.text.split()
        elif isinstance(piece, Code):
            assert under(piece.text.span, lines).replace("\n", " ") == piece.text
        elif isinstance(piece, Plain):
            written = under(piece.text.span, lines).replace("\n", " ")
            # Escapes, entities, line ends and pictures are written otherwise than they read.
            assert written == piece.text or written.startswith(("\\", "&", "![")) or piece.text == " "
