"""Faults in the YAML itself, in a woodworker's words and with what to write instead.

The reader stops at the first fault of this kind, so each must be told well. The sentences of the
YAML library are matched here and nowhere else; an unknown one is passed on as it is.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

import yaml

from planbook.source.diagnostics import Diagnostic, Findings, Severity, Span

MOST_LOST = 20
"""Most findings about one kind of slip from one document."""

_TAB_INDENT = re.compile(r"^ *\t[ \t]*(?=[^\s])")


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault of the YAML reader, in places of the text (characters from 0)."""

    problem: str
    place: int
    """Where the reader noticed."""
    opened: int
    """Where what it was reading began; equal to `place` where it does not say."""
    last: int
    """Where the last good value before the fault begins."""
    after: int
    """Where it ends."""
    text: str
    spans: Callable[[int, int], Span]

    def char(self) -> str:
        """Return the character at the place of the fault."""
        return self.text[self.place : self.place + 1]

    def rest(self, start: int) -> str:
        """Return what stands from `start` to the end of that line."""
        return self.text[start:].split("\n", 1)[0].strip()

    def line(self, place: int) -> str:
        """Return the whole line around a place."""
        begin = self.text.rfind("\n", 0, place) + 1
        return self.rest(begin)

    def same_line(self, first: int, second: int) -> bool:
        """Whether no line end stands between two places."""
        return "\n" not in self.text[first:second]


@dataclass(frozen=True, slots=True)
class _Told:
    message: str
    start: int
    end: int
    help: str | None = None
    further: tuple[tuple[int, str], ...] = ()
    slug: str = "broken-yaml"


def explain(fault: Fault) -> Diagnostic:
    """Return the diagnostic for a fault of the YAML reader."""
    told = None
    for needle, teller in _TELLERS:
        if needle in fault.problem:
            told = teller(fault)
            break
    if told is None:
        told = _Told(f"the file cannot be read from here on ({fault.problem})", fault.place, fault.place + 1)
    further = tuple((fault.spans(place, place + 1), remark) for place, remark in told.further)
    span = fault.spans(told.start, told.end)
    return Diagnostic(told.slug, Severity.STOP, told.message, span, further, told.help)


def quoted(text: str) -> str:
    """Return a value in the kind of quotes that needs the fewest changes."""
    if len(text) > 2 and text[0] == text[-1] and text[0] in "'\"":
        text = text[1:-1]
    return "'" + text.replace("'", "''") + "'" if '"' in text or "\\" in text else f'"{text}"'


def _short(text: str) -> str:
    return text if len(text) <= 40 else text[:39] + "…"


def _second_colon(fault: Fault) -> _Told:
    if not fault.same_line(fault.last, fault.place):
        line = fault.line(fault.place)
        return _Told(
            f"`{_short(line)}` is indented as if it went on with the line above, which has a value already",
            fault.text.rfind("\n", 0, fault.place) + 1,
            fault.place,
            "line it up with the word above, or leave the value above empty",
            ((fault.last, "this value is read as going on"),),
        )
    value = fault.rest(fault.last)
    return _Told(
        f"a second `:` with a space after it stands in `{_short(value)}`",
        fault.place,
        fault.place + 1,
        f"write {_short(quoted(value))}, or begin a new line",
    )


def _unclosed(fault: Fault) -> _Told:
    opening = fault.text[fault.opened : fault.opened + 1]
    closing = {"[": "]", "{": "}"}.get(opening, "]")
    return _Told(
        f"the `{opening}` that opens here has neither a comma nor its `{closing}` where one must come",
        fault.opened,
        fault.opened + 1,
        f"close it with `{closing}`, or put a comma between the values",
        ((min(fault.place, len(fault.text)), "a comma or the closing mark is missed here"),),
    )


def _bad_start(fault: Fault) -> _Told:
    value = re.split(r"[,\]}]", fault.rest(fault.place))[0].strip()
    char = fault.char()
    return _Told(
        "a value cannot begin with a backtick" if char == "`" else f"a value cannot begin with `{char}`",
        fault.place,
        fault.place + 1,
        f"put it in quotes: {_short(quoted(value))}",
    )


def _no_colon(fault: Fault) -> _Told:
    line = fault.line(fault.opened)
    return _Told(
        f"`{_short(line)}` has no `:` after its first word",
        fault.opened,
        fault.opened + max(1, len(fault.rest(fault.opened))),
        "write `word: value`, or indent the line if it goes on with the one above",
    )


def _no_key(fault: Fault) -> _Told:
    after = fault.rest(fault.place)
    if fault.place and fault.same_line(fault.after, fault.place) and fault.after > 0:
        closing = fault.text[fault.after - 1 : fault.after]
        value = fault.rest(fault.last)
        return _Told(
            f"`{_short(after)}` stands after the closing `{closing}`",
            fault.place,
            fault.place + max(1, len(after)),
            f"put the whole value in quotes: {_short(quoted(value))}",
        )
    if after.startswith("- "):
        return _Told(
            "a list item stands among lines of the kind `word: value`",
            fault.place,
            fault.place + 1,
            "indent the list under the word it belongs to",
        )
    return _Told(
        f"`{_short(after)}` does not line up with the words above it",
        fault.place,
        fault.place + max(1, len(after)),
        "indent it by as many spaces as the lines it belongs with",
        ((fault.opened, "these lines are read together from here"),),
    )


def _no_dash(fault: Fault) -> _Told:
    after = fault.rest(fault.place)
    return _Told(
        f"`{_short(after)}` stands in a list but does not begin with `- `",
        fault.place,
        fault.place + max(1, len(after)),
        f"write `- {_short(after)}`, or change its indentation",
        ((fault.opened, "the list begins here"),),
    )


def _open_quote(fault: Fault) -> _Told:
    mark = fault.text[fault.opened : fault.opened + 1]
    return _Told(
        f"the quote {mark} that opens here is never closed",
        fault.opened,
        fault.opened + 1,
        f"add {mark} at the end of the value; inch marks need no quotes round them",
    )


def _bad_escape(fault: Fault) -> _Told:
    return _Told(
        "a backslash means something else inside double quotes",
        fault.place,
        fault.place + 2,
        "use single quotes round the value",
    )


def _dash_inline(fault: Fault) -> _Told:
    item = fault.rest(fault.place).removeprefix("-").strip()
    return _Told(
        "a list cannot begin on the same line as its word",
        fault.place,
        fault.place + 1,
        f"begin it on the next line, or write `[{_short(item)}]`",
    )


def _nothing_here(fault: Fault) -> _Told:
    char = fault.char().strip()
    what = f"`{char}` stands" if char else "the list or the group ends"
    return _Told(f"{what} where a value is wanted", fault.place, fault.place + 1, "write the value")


def _block_text(fault: Fault) -> _Told:
    mark = fault.text[fault.opened : fault.opened + 1]
    return _Told(
        f"text stands on the same line as `{mark}`",
        fault.place,
        fault.place + 1,
        f"begin the text on the next line, or put the value in quotes if `{mark}` belongs to it",
    )


def _bad_name(fault: Fault) -> _Told:
    value = fault.rest(fault.opened)
    return _Told(
        f"a value cannot begin with `{fault.text[fault.opened : fault.opened + 1]}`",
        fault.opened,
        fault.opened + 1,
        f"put it in quotes: {_short(quoted(value))}",
    )


def _too_deep(fault: Fault) -> _Told:
    return _Told(
        "values are nested too deep, 20 levels are allowed",
        fault.place,
        fault.place + 1,
        slug="nested-too-deep",
    )


def _tab(fault: Fault) -> _Told:
    return _Told(
        "a tab stands where only spaces may indent",
        fault.place,
        fault.place + 1,
        "indent with spaces, two for each level",
        slug="tab-indent",
    )


_TELLERS: tuple[tuple[str, Callable[[Fault], _Told]], ...] = (
    ("mapping values are not allowed", _second_colon),
    ("did not find expected ',' or", _unclosed),
    ("tab character", _tab),
    ("cannot start any token", _bad_start),
    ("could not find expected ':'", _no_colon),
    ("did not find expected key", _no_key),
    ("did not find expected '-'", _no_dash),
    ("found unexpected end of stream", _open_quote),
    ("found unknown escape", _bad_escape),
    ("block sequence entries are not allowed", _dash_inline),
    ("did not find expected node content", _nothing_here),
    ("did not find expected comment or line break", _block_text),
    ("did not find expected alphabetic or numeric", _bad_name),
    ("exceeded maximum nesting depth", _too_deep),
)


def report_tabs(fault: Fault, findings: Findings) -> bool:
    """Record every line indented with a tab if that is what the reader stumbled over."""
    line = fault.text[: fault.place].count("\n")
    lines = fault.text.split("\n")
    if not (line < len(lines) and _TAB_INDENT.match(lines[line])):
        return False
    place, tabs = 0, []
    for content in lines:
        if found := _TAB_INDENT.match(content):
            tabs.append((place + content.index("\t"), place + found.end()))
        place += len(content) + 1
    for start, end in tabs[:MOST_LOST]:
        findings.stop(
            "tab-indent",
            "a tab stands where only spaces may indent",
            fault.spans(start, end),
            help="indent with spaces, two for each level",
        )
    return True


def lost_comments(text: str, values: list[tuple[int, int]]) -> list[int]:
    """Return where `#` and a digit begin a remark that was meant as part of a value.

    `values` are the places of all scalars, in order; a `#` inside one is text. Only the first remark
    of a line counts, and a line that holds nothing else is left alone.
    """
    lost = []
    following = iter(values)
    nowhere = (len(text) + 1, len(text) + 1)
    start, end = next(following, nowhere)
    line_end = 0
    text += "\n"
    for found in re.finditer("#", text):
        place = found.start()
        if place < line_end:
            continue
        while end <= place:
            start, end = next(following, nowhere)
        if start <= place:
            continue
        line_start = text.rfind("\n", 0, place) + 1
        line_end = text.index("\n", place)
        if text[place + 1 : place + 2].isdigit() and text[line_start:place].strip():
            lost.append(place)
    return lost


def report_lost(text: str, places: list[int], spans: Callable[[int, int], Span], findings: Findings) -> None:
    """Record each place of `lost_comments`, up to a bearable number of them."""
    for place in places[:MOST_LOST]:
        word = re.match(r"#\d[\w/]*", text[place:])
        gauge = word.group() if word else "#"
        findings.stop(
            "lost-after-hash",
            f"everything from `{gauge}` to the end of the line is lost, because ` #` begins a comment",
            spans(place, place + len(gauge)),
            help=f"write `No. {gauge[1:]}`, or put the whole value in quotes",
        )


def yaml_fault(error: yaml.YAMLError) -> tuple[str, int, int]:
    """Return problem, place and opening place of an error of the YAML library."""
    mark = getattr(error, "problem_mark", None)
    opened = getattr(error, "context_mark", None)
    place = mark.index if mark is not None else int(getattr(error, "position", 0) or 0)
    problem = getattr(error, "problem", None) or getattr(error, "reason", None) or "unknown fault"
    return problem, place, opened.index if opened is not None else place
