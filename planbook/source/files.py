"""Reading the files of a book as text, and keeping them for reports.

A path never leads out of the book's folder, not even through a symbolic link: a plan may come from
a stranger, and its pictures end up on a public page.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from planbook.source.diagnostics import Findings, Span
from planbook.source.nearest import did_you_mean

LARGEST = 2_000_000
"""Most bytes of one source file: a hundred times a long plan, and still read at once."""

BYTE_ORDER_MARK = "\ufeff"


@dataclass(frozen=True, slots=True)
class SourceFile:
    """One text file, line ends normalised to a line feed, a leading byte order mark removed."""

    name: str
    """Path relative to the book's folder, with forward slashes."""
    text: str
    lines: tuple[str, ...] = field(init=False, repr=False, compare=False)
    """The lines without their ends; line 1 of a report is `lines[0]`."""

    def __post_init__(self) -> None:
        object.__setattr__(self, "lines", tuple(self.text.split("\n")))

    def whole(self) -> Span:
        """Return the span of the first line, for what concerns the file as such."""
        return Span(self.name, 1, 1, 1, max(2, len(self.lines[0]) + 1))

    def excerpt(self, first_line: int, last_line: int) -> SourceFile:
        """Return lines `first_line` to `last_line` (from 1, inclusive) as a source of the same name."""
        return SourceFile(self.name, "\n".join(self.lines[first_line - 1 : last_line]))


@dataclass(slots=True)
class Sources:
    """The files read so far, by name, so that a report can show their lines."""

    _files: dict[str, SourceFile] = field(default_factory=dict)

    def add(self, source: SourceFile) -> SourceFile:
        """Keep a file and return it; a file read again replaces the earlier reading."""
        self._files[source.name] = source
        return source

    def read(self, root: Path, relative: str, findings: Findings, *, span: Span | None = None) -> SourceFile | None:
        """Read a file with `read_source` and keep it."""
        source = read_source(root, relative, findings, span=span)
        return self.add(source) if source is not None else None

    def get(self, name: str) -> SourceFile | None:
        """Return the file of that name, if it was read."""
        return self._files.get(name)

    def line(self, name: str, number: int) -> str | None:
        """Return line `number` (from 1) of a file, or None where there is no such line."""
        source = self._files.get(name)
        if source is None or not 1 <= number <= len(source.lines):
            return None
        return source.lines[number - 1]

    def __iter__(self) -> Iterator[SourceFile]:
        return iter(self._files.values())


def read_source(root: Path, relative: str, findings: Findings, *, span: Span | None = None) -> SourceFile | None:
    """Read one text file of the book, or record why not and return None.

    `root` is the book's folder, `relative` the path below it as the author would type it; `span` is
    where the author typed it, if anywhere.
    """
    path = inside_path(root, relative, findings, span=span)
    if path is None:
        return None
    data = _read_bytes(path, relative, findings, span)
    if data is None:
        return None
    text = _decode(data, relative, findings)
    if text is None:
        return None
    text = text.removeprefix(BYTE_ORDER_MARK).replace("\r\n", "\n").replace("\r", "\n")
    if not text.strip():
        findings.stop("empty-file", f"`{relative}` is empty", span or Span(relative, 1, 1, 1, 2))
        return None
    return SourceFile(relative, text)


def inside_path(root: Path, relative: str, findings: Findings, *, span: Span | None = None) -> Path | None:
    """Return the real path of an existing plain file inside the book, or record why not.

    Used for pictures and other files that are not text, too.
    """
    book = root.resolve()
    path = root / relative
    try:
        real = path.resolve()
        inside = real.is_relative_to(book) and not Path(relative).is_absolute()
        is_file, exists = real.is_file(), real.exists()
    except (OSError, ValueError, RuntimeError):
        # Too long a name, a zero byte in it, links that go round in a circle.
        findings.stop("missing-file", f"`{_shown(relative)}` is not a path that can be opened", span)
        return None
    if not inside:
        findings.stop(
            "outside-the-book",
            f"`{relative}` leads out of the book's folder",
            span,
            help="copy the file into the plan's folder and give its path from there",
        )
        return None
    if not exists:
        _report_missing(path, relative, findings, span)
        return None
    if not is_file:
        what = "a folder" if real.is_dir() else "not a plain file"
        findings.stop("not-a-file", f"`{relative}` is {what}, a file is wanted", span)
        return None
    return real


def _report_missing(path: Path, relative: str, findings: Findings, span: Span | None) -> None:
    """Record a missing file with the nearest name in the same folder."""
    hint = None
    if "\\" in relative:
        hint = f"write the path with forward slashes: `{relative.replace(chr(92), '/')}`"
    elif path.parent.is_dir():
        try:
            names = sorted(entry.name for entry in path.parent.iterdir())
        except OSError:
            names = []
        hint = did_you_mean(path.name, names)
    findings.stop("missing-file", f"there is no file `{relative}` in the book", span, help=hint)


def _read_bytes(path: Path, relative: str, findings: Findings, span: Span | None) -> bytes | None:
    """Return the bytes of a file that is not too large."""
    try:
        size = path.stat().st_size
        if size <= LARGEST:
            with path.open("rb") as stream:
                return stream.read(LARGEST)
    except OSError as fault:
        reason = (fault.strerror or "no reason given").lower()
        findings.stop("unreadable-file", f"`{relative}` cannot be read: {reason}", span)
        return None
    findings.stop(
        "file-too-large",
        f"`{relative}` has {size / 1e6:.1f} MB, a source file may have {LARGEST / 1e6:.0f} MB",
        span,
        help="move pictures and tables of data into files of their own",
    )
    return None


def _decode(data: bytes, relative: str, findings: Findings) -> str | None:
    """Return the bytes as text, or record the first place that is not UTF-8 text."""
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        findings.stop(
            "not-text",
            f"`{relative}` is written as UTF-16, UTF-8 is wanted",
            Span(relative, 1, 1, 1, 2),
            help="save the file again with the encoding UTF-8",
        )
        return None
    try:
        text = data.decode("utf-8")
        place = text.find("\0")
        if place < 0:
            return text
        before, what = text[:place], "a zero byte stands here"
    except UnicodeDecodeError as fault:
        before = data[: fault.start].decode("utf-8")
        what = f"the byte 0x{data[fault.start]:02x} is not UTF-8"
    before = before.removeprefix(BYTE_ORDER_MARK).replace("\r\n", "\n").replace("\r", "\n")
    line = before.count("\n") + 1
    column = len(before) - (before.rfind("\n") + 1) + 1
    findings.stop(
        "not-text",
        f"`{relative}` is not plain text: {what}",
        Span(relative, line, column, line, column + 1),
        help="save the file again with the encoding UTF-8",
    )
    return None


def _shown(text: str) -> str:
    """Return a path short and printable enough for a message."""
    printable = "".join(char if char.isprintable() else "\ufffd" for char in text)
    return printable if len(printable) <= 60 else printable[:59] + "…"
