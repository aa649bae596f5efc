"""YAML as plain data with the place of every word.

Every scalar stays the characters that the author typed: YAML's own guesses turn `2:1` into 121 and
`no` into false. The data are dictionaries with `Text` keys, lists and `Text`; a table beside them says
where each key and value stands, so that a fault found later by its path can be shown.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import yaml

from planbook.source.diagnostics import Findings, Span
from planbook.source.files import SourceFile
from planbook.source.text import Text
from planbook.source.yaml_faults import (
    Fault,
    explain,
    lost_comments,
    quoted,
    report_lost,
    report_tabs,
    yaml_fault,
)

Path = tuple[str | int, ...]
Value = dict[Text, Any] | list[Any] | Text

DEEPEST = 20
MOST_VALUES = 20_000
MOST_REFUSED = 20
"""Most findings about aliases, anchors and tags from one document."""

_MARK = re.compile(r"\s*([&!]\S*)\s*")

# What YAML 1.1 section 5.1 calls printable, less the line ends that only YAML knows.
_UNREADABLE = re.compile(r"[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]")


@dataclass(frozen=True, slots=True)
class Table:
    """Where the keys and values of one document stand, by path (keys of mappings, places in lists)."""

    keys: Mapping[Path, Span]
    values: Mapping[Path, Span]

    def key(self, path: Path) -> Span:
        """Return the span of the key at `path`, or of the nearest thing around it that has one."""
        for length in range(len(path), 0, -1):
            found = self.keys.get(path[:length])
            if found is not None:
                return found
        return self.values[()]

    def value(self, path: Path) -> Span:
        """Return the span of the value at `path`, or of the nearest value around it."""
        for length in range(len(path), -1, -1):
            found = self.values.get(path[:length])
            if found is not None:
                return found
        return self.values[()]


@dataclass(frozen=True, slots=True)
class Node:
    """One document: its data and the places of all its parts."""

    data: dict[Text, Any]
    table: Table
    span: Span


@dataclass(slots=True)
class _Frame:
    """A mapping or list that is still open."""

    holds: dict[Text, Any] | list[Any]
    path: Path
    start: int
    key: Text | None = None
    repeated: bool = False
    """The open key was written before in this mapping: its value goes nowhere."""
    within_repeated: bool = False


@dataclass(slots=True)
class _Reader:
    """One walk over the events of a document.

    Events, not composed nodes: they show anchors, aliases and tags with their places, and nothing is
    built before the limits are checked.
    """

    name: str
    text: str
    findings: Findings
    first_line: int
    first_column: int
    starts: list[int] = field(default_factory=list)
    keys: dict[Path, Span] = field(default_factory=dict)
    values: dict[Path, Span] = field(default_factory=dict)
    scalars: list[tuple[int, int]] = field(default_factory=list)
    frames: list[_Frame] = field(default_factory=list)
    anchors: dict[str, Span] = field(default_factory=dict)
    called: set[str] = field(default_factory=set)
    refused: int = 0
    top: Value | None = None
    documents: int = 0
    count: int = 0
    last: tuple[int, int] = (0, 0)
    usable: bool = True
    """Whether the data are whole enough to be looked at further."""

    def __post_init__(self) -> None:
        self.starts = [0, *(found.end() for found in re.finditer("\n", self.text))]

    def span(self, start: int, end: int) -> Span:
        """Return the span of characters `start` to `end` of the text, at least one wide."""
        start = min(start, len(self.text))
        end = max(start + 1, min(end, len(self.text)))
        line = bisect_right(self.starts, start) - 1
        end_line = bisect_right(self.starts, end - 1) - 1
        return Span(
            self.name,
            self.first_line + line,
            self.first_column + start - self.starts[line],
            self.first_line + end_line,
            self.first_column + end - self.starts[end_line],
        )

    def read(self) -> None:
        """Walk all events; a fault ends the walk or is noted on the way."""
        try:
            for event in yaml.parse(self.text, Loader=yaml.CSafeLoader):
                if not self.take(event):
                    self.usable = False
                    break
        except yaml.YAMLError as error:
            self.usable = False
            self.broken(error)
        else:
            lost = lost_comments(self.text, self.scalars)
            # Behind the place where a walk was ended the values are not known.
            lost = lost if self.usable else [place for place in lost if place < self.last[1]]
            report_lost(self.text, lost, self.span, self.findings)
        for name, span in self.anchors.items():
            if name not in self.called:
                self.refuse(
                    "alias-refused",
                    f"`&{name}` names a value for repetition, a plan writes each value once",
                    span,
                    help="take the name away, or put the value in quotes if `&` belongs to it",
                )
                self.usable = False

    def broken(self, error: yaml.YAMLError) -> None:
        """Record the fault at which the YAML reader gave up, or what caused it."""
        problem, place, opened = yaml_fault(error)
        start, end = self.last
        fault = Fault(problem, min(place, len(self.text)), opened, start, end, self.text, self.span)
        bracket = next((frame.start for frame in self.frames if self.text[frame.start] in "[{"), None)
        # Behind the line of the last good value a `#` may stand inside a value that was not read.
        known = place if bracket is not None else (self.text + "\n").find("\n", end)
        lost = [at for at in lost_comments(self.text, self.scalars) if at < known]
        report_lost(self.text, lost, self.span, self.findings)
        # A closing bracket that was lost with it is no second fault.
        if bracket is not None and any(at > bracket for at in lost):
            return
        if not report_tabs(fault, self.findings):
            self.findings.add(explain(fault))

    def take(self, event: Any) -> bool:
        """Take one event in; return False to end the walk."""
        if isinstance(event, yaml.ScalarEvent):
            return self.scalar(event)
        if isinstance(event, (yaml.MappingStartEvent, yaml.SequenceStartEvent)):
            return self.open(event)
        if isinstance(event, (yaml.MappingEndEvent, yaml.SequenceEndEvent)):
            self.close(event)
        elif isinstance(event, yaml.AliasEvent):
            return self.alias(event)
        elif isinstance(event, yaml.DocumentStartEvent):
            return self.document(event)
        return True

    def document(self, event: Any) -> bool:
        """Count a document; a file holds one."""
        self.documents += 1
        if self.documents == 1:
            return True
        start = event.start_mark.index
        self.findings.stop(
            "several-documents",
            "a second document begins here, a file holds one",
            self.span(start, start + 3),
            help="take the line `---` away, or use two files",
        )
        return False

    def refuse(
        self, slug: str, message: str, span: Span, *, help: str, further: tuple[tuple[Span, str], ...] = ()
    ) -> None:
        """Record a mark of YAML that planbook does without, up to a bearable number of them."""
        self.refused += 1
        if self.refused <= MOST_REFUSED:
            self.findings.stop(slug, message, span, help=help, further=further)

    def alias(self, event: Any) -> bool:
        """Refuse a repeated value; the walk goes on to find more faults."""
        self.usable = False
        start, end = event.start_mark.index, event.end_mark.index
        self.last = (start, end)
        self.called.add(event.anchor)
        named = self.anchors.get(event.anchor)
        value = self.text[start:].split("\n", 1)[0].strip()
        self.refuse(
            "alias-refused",
            f"`*{event.anchor}` repeats another value, a plan writes each value once",
            self.span(start, end),
            further=((named, "the value it repeats"),) if named is not None else (),
            help=f"write the value out, or put it in quotes if `*` belongs to it: {quoted(value)}",
        )
        return self.put(Text("", self.span(start, end)), start, end)

    def marks(self, event: Any) -> int:
        """Note the anchor and refuse the tag of a value; return where the value itself begins."""
        start: int = event.start_mark.index
        if event.anchor is None and event.tag is None:
            return start
        for _ in range(2):
            found = _MARK.match(self.text, start)
            if found is None:
                break
            span = self.span(found.start(1), found.end(1))
            shown = found.group(1)
            start = min(found.end(), event.end_mark.index)
            if shown.startswith("&"):
                self.anchors.setdefault(event.anchor, span)
                continue
            self.refuse(
                "tag-refused",
                f"`{shown[:40]}` is a tag of YAML, but every value is read as text",
                span,
                help="take it away, or put the value in quotes if `!` belongs to it",
            )
        return start

    def scalar(self, event: Any) -> bool:
        """Take a scalar in as a key or a value; its span is the inside of its quotes."""
        start, end = self.marks(event), event.end_mark.index
        self.scalars.append((start, end))
        self.last = (start, end)
        if event.style in ("'", '"') and end - start >= 2:
            start, end = start + 1, end - 1
        return self.put(Text(event.value, self.span(start, end)), start, end)

    def put(self, text: Text, start: int, end: int) -> bool:
        """Store a text as the next key or as a value; return False to end the walk."""
        frame = self.frames[-1] if self.frames else None
        if frame is not None and isinstance(frame.holds, dict) and frame.key is None:
            self.new_key(frame, text)
            return True
        return self.store(text, start, end) is not None

    def new_key(self, frame: _Frame, key: Text) -> None:
        """Begin the pair of a key; a key that was there before is reported with both places."""
        path = (*frame.path, str(key))
        frame.key = key
        frame.repeated = key in frame.holds
        if frame.repeated:
            first = next(known for known in frame.holds if known == key)
            self.findings.stop(
                "repeated-word",
                f"`{key}` is written twice in the same place",
                key.span,
                further=((first.span, "written here first"),),
                help="keep one of the two, or give the second another name",
            )
        elif not frame.within_repeated:
            self.keys[path] = key.span

    def store(self, value: Value, start: int, end: int) -> Path | None:
        """Put a value into the open container; return its path, or None to end the walk."""
        frame = self.frames[-1] if self.frames else None
        path: Path = ()
        if frame is None:
            self.top = value
        elif isinstance(frame.holds, list):
            path = (*frame.path, len(frame.holds))
            frame.holds.append(value)
        else:
            assert frame.key is not None
            path = (*frame.path, str(frame.key))
            if not frame.repeated:
                frame.holds[frame.key] = value
            frame.key = None
        if frame is None or not (frame.repeated or frame.within_repeated):
            self.values[path] = self.span(start, end)
        self.count += 1
        if self.count <= MOST_VALUES:
            return path
        self.findings.stop(
            "too-many-values",
            f"the file holds more than {MOST_VALUES} values",
            self.span(start, end),
            help="divide it into several plans",
        )
        return None

    def open(self, event: Any) -> bool:
        """Open a mapping or a list; return False to end the walk."""
        start = self.marks(event)
        parent = self.frames[-1] if self.frames else None
        if parent is not None and isinstance(parent.holds, dict) and parent.key is None:
            self.findings.stop(
                "wrong-shape",
                f"`{self.text[start : start + 1]}` opens a group where a word is wanted",
                self.span(start, start + 1),
                help="put the whole value in quotes if the mark belongs to it",
            )
            return False
        if len(self.frames) == DEEPEST:
            self.findings.stop(
                "nested-too-deep",
                f"a value is nested deeper than {DEEPEST} levels",
                self.span(start, start + 1),
            )
            return False
        holds: dict[Text, Any] | list[Any] = {} if isinstance(event, yaml.MappingStartEvent) else []
        path = self.store(holds, start, start + 1)
        if path is None:
            return False
        within = parent is not None and (parent.repeated or parent.within_repeated)
        self.frames.append(_Frame(holds, path, start, within_repeated=within))
        return True

    def close(self, event: Any) -> None:
        """Close the open container and give its value the span of all it holds."""
        frame = self.frames.pop()
        end = event.end_mark.index
        if self.text[end - 1 : end] not in ("}", "]"):
            end = max(self.last[1], frame.start + 1)
        self.last = (frame.start, end)
        if not frame.within_repeated and not (self.frames and self.frames[-1].repeated):
            self.values[frame.path] = self.span(frame.start, end)


def load(source: SourceFile, findings: Findings, *, first_line: int = 1, first_column: int = 1) -> Node | None:
    """Read one YAML document, a mapping at its top, or record why not and return None.

    `first_line` and `first_column` are the place of the text in its file where `source` is a part of
    it, such as the facts block of a step. A node comes back only where the data are whole; smaller
    faults (a repeated word, a value cut off by `#`) are recorded beside a node.
    """
    reader = _Reader(source.name, source.text, findings, first_line, first_column)
    unreadable = _UNREADABLE.search(source.text)
    if unreadable is not None:
        place = unreadable.start()
        findings.stop(
            "not-text",
            f"the character U+{ord(unreadable.group()):04X} cannot stand in a source",
            reader.span(place, place + 1),
            help="delete it",
        )
        return None
    reader.read()
    if not reader.usable:
        return None
    if not isinstance(reader.top, dict):
        _report_top(reader)
        return None
    return Node(reader.top, Table(reader.keys, reader.values), reader.values[()])


def _report_top(reader: _Reader) -> None:
    """Record a document that is not a mapping."""
    kinds = {type(None): "nothing but remarks", list: "a list", Text: "a text"}
    what = kinds[type(reader.top)]
    reader.findings.stop(
        "wrong-shape",
        f"lines of the kind `word: value` are wanted here, this is {what}",
        reader.values.get((), reader.span(0, 1)),
    )
