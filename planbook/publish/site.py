"""Publishing a book: from its folder to a finished site in the output folder.

All results are made first and checked together; only then the writer touches the disk. A second run
over the same files, with the same program, sees that from one fingerprint and loads nothing else.
"""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

from planbook.publish.cache import Store, fingerprint, nothing_to_do
from planbook.publish.defaults import shipped
from planbook.publish.manifest import read_manifest
from planbook.publish.writer import Result, check_output, commit
from planbook.source.diagnostics import Diagnostic, Findings, Severity, Span
from planbook.source.files import Sources

if TYPE_CHECKING:
    from planbook.publish.reading import Material
    from planbook.publish.theme import Theme

Progress = Callable[[str, int, int], None]
"""Called with what is done next, how many units are done, and how many there are."""

_KEPT = ("timetables", "findings", "pictures", "layouts", "handouts", "seasons")


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a run found and did; paths are those of the site."""

    findings: tuple[Diagnostic, ...] = ()
    written: tuple[str, ...] = ()
    removed: tuple[str, ...] = ()
    unchanged: tuple[str, ...] = ()
    sources: Sources = field(default_factory=Sources)
    """The files that the findings are about."""

    @property
    def stopped(self) -> bool:
        """Whether a fault kept the site from being written."""
        return any(item.severity is Severity.STOP for item in self.findings)


def publish(book_root: Path, into: Path, *, theme: str | None = None, progress: Progress | None = None) -> Outcome:
    """Publish a book into a folder; nothing there is touched unless everything could be made.

    `theme` replaces the book's own choice.
    """
    findings, sources = Findings(), Sources()
    if not book_root.is_dir():
        findings.stop("no-book", f"there is no folder `{book_root}`", help="give the folder that holds `planbook.yaml`")
    if findings.stopped or not check_output(into, book_root, findings):
        return Outcome(findings.sorted())
    store = Store(book_root)
    print_ = _fingerprint(book_root, into, theme, findings)
    known = _known(into, print_, store) if print_ else None
    if known is not None:
        for item in known:
            if item.span is not None:
                sources.read(book_root, item.span.file, Findings())
        return Outcome(known, unchanged=tuple(sorted(read_manifest(into).files)), sources=sources)
    workers = os.cpu_count() or 1
    results = make_site(book_root, findings, sources, theme=theme, store=store, workers=workers, progress=progress)
    if results is None or findings.stopped:
        return Outcome(findings.sorted(), sources=sources)
    before = len(findings)
    done = commit(results, into, findings, fingerprint=print_)
    if done is None:
        return Outcome(findings.sorted(), sources=sources)
    if print_ and len(findings) == before:
        store.put("findings", print_, _findings_bytes(findings.sorted()))
    store.forget_unused(_KEPT)
    return Outcome(findings.sorted(), done.written, done.removed, done.unchanged, sources)


def make_site(
    book_root: Path,
    findings: Findings,
    sources: Sources,
    *,
    theme: str | None = None,
    store: Store | None = None,
    handouts: bool = True,
    workers: int = 1,
    progress: Progress | None = None,
) -> tuple[Result, ...] | None:
    """Return every file of a book's site without writing any; None, or a `stop`, where it cannot be made.

    Without `handouts` no PDF is made or linked, which is quicker while writing. With several `workers`
    pictures are drawn in that many processes; the result is the same.
    """
    from planbook.publish.reading import read_material
    from planbook.publish.theme import find_theme

    material = read_material(book_root, findings, sources)
    if material is None or findings.stopped:
        return None
    found = find_theme(theme or material.theme, book_root, findings)
    if found is None:
        return None
    return site_of(material, found, findings, store=store, handouts=handouts, workers=workers, progress=progress)


def site_of(
    material: Material,
    theme: Theme,
    findings: Findings,
    *,
    store: Store | None = None,
    handouts: bool = True,
    workers: int = 1,
    progress: Progress | None = None,
) -> tuple[Result, ...] | None:
    """Return every file of the site of plans that are resolved already; None where a fault stops it."""
    from planbook.publish.build import Build
    from planbook.publish.links import check_links
    from planbook.publish.web import TemplateError

    build = Build(material, theme, findings, store or Store(material.root), progress or (lambda *_: None))
    try:
        results = build.run(handouts=handouts, workers=workers)
    except TemplateError as fault:
        findings.stop("template-fault", str(fault))
        return None
    if findings.stopped:
        return None
    address = material.info.address
    check_links(results, findings, root=f"{urlsplit(address).path}/" if address else "")
    return None if findings.stopped else tuple(results)


def _fingerprint(book_root: Path, into: Path, theme: str | None, findings: Findings) -> str:
    """Return the fingerprint of all inputs, or nothing where a file cannot be read."""
    roots = [root for root in (book_root, shipped("themes")) if root is not None]
    try:
        return fingerprint(roots, [theme or ""], without=into)
    except OSError as fault:
        reason = (fault.strerror or "no reason given").lower()
        findings.stop("unreadable-file", f"`{fault.filename}` cannot be read: {reason}")
        return ""


def _known(into: Path, print_: str, store: Store) -> tuple[Diagnostic, ...] | None:
    """Return the findings of an earlier run over the same inputs, if its output is still there."""
    if not nothing_to_do(into, print_):
        return None
    kept = store.get("findings", print_)
    if kept is None:
        return None
    return tuple(_diagnostic(row) for row in json.loads(kept))


def _findings_bytes(findings: tuple[Diagnostic, ...]) -> bytes:
    def place(span: Span | None) -> list[object] | None:
        return [span.file, span.line, span.column, span.end_line, span.end_column] if span else None

    rows = [
        [
            item.slug, item.severity.value, item.message, place(item.span),
            [[place(span), remark] for span, remark in item.further], item.help, item.rule,
        ]
        for item in findings
    ]  # fmt: skip
    return json.dumps(rows, ensure_ascii=False).encode()


def _diagnostic(row: list[object]) -> Diagnostic:
    slug, severity, message, span, further, help, rule = row
    assert isinstance(further, list)
    return Diagnostic(
        str(slug),
        Severity(str(severity)),
        str(message),
        _span(span),
        tuple((place, remark) for raw, remark in further if (place := _span(raw)) is not None),
        str(help) if help is not None else None,
        str(rule) if rule is not None else None,
    )


def _span(raw: object) -> Span | None:
    if not isinstance(raw, list):
        return None
    file, line, column, end_line, end_column = raw
    return Span(str(file), int(line), int(column), int(end_line), int(end_column))
