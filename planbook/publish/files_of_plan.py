"""The files of a plan besides its page: photos, handouts, tables."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable
from concurrent.futures import Executor
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from planbook.plan.model import Plan
from planbook.plan.templates import TemplateKind
from planbook.publish.cache import Store, program
from planbook.publish.manifest import safe
from planbook.publish.pictures import Pictures
from planbook.publish.plan_pages import Download, file_stem
from planbook.publish.theme import Theme
from planbook.publish.typst_tree import MAIN
from planbook.publish.writer import Result
from planbook.source.diagnostics import Diagnostic, Findings, Span
from planbook.source.files import inside_path

if TYPE_CHECKING:
    from planbook.publish.handout import Paper

PICTURE_FILES = (".png", ".jpg", ".jpeg", ".webp", ".gif", ".avif")
"""Kinds of picture that every browser shows; drawings in SVG are made by planbook itself."""

_PAPERS: dict[str, tuple[Paper, Paper]] = {"imperial": ("letter", "a4"), "metric": ("a4", "letter")}
# Pages of a tree node: ISO 32000-1:2008, table 29.
_PAGE_TREE = re.compile(rb"/Type\s*/Pages\b[^>]*?/Count\s+(\d+)")
_PAPER_NAMES = {"letter": "Letter", "a4": "A4"}


@dataclass(frozen=True, slots=True)
class Handouts:
    """How handouts are made: from which theme, and where finished ones are kept."""

    theme: Theme
    theme_print: str
    """Digest of the templates and faces."""
    store: Store
    apart: Executor | None = None
    """A process of its own to set them in: what the setter remembers is then not held beside all the rest."""

    def make(
        self,
        sheet: dict[str, Any],
        pictures: Pictures,
        paper: Paper,
        findings: Findings,
        *,
        main: str = MAIN,
        large: bool = False,
    ) -> bytes:
        """Return one handout, or what another template of the theme makes; a fault is recorded and leaves it empty."""
        key = "\0".join((
            program(), self.theme_print, paper, main, "large" if large else "",
            json.dumps(sheet, ensure_ascii=False), json.dumps(dict(pictures.paper), ensure_ascii=False),
        ))  # fmt: skip
        kept = self.store.get("handouts", key)
        if kept is not None:
            return kept
        made = self._set((sheet, dict(pictures.paper), paper, self.theme.folders, main, large))
        if isinstance(made, Diagnostic):
            findings.add(made)
            return b""
        self.store.put("handouts", key, made)
        return made

    def _set(self, job: _Job) -> bytes | Diagnostic:
        from concurrent.futures import BrokenExecutor

        if self.apart is None:
            return set_handout(job)
        try:
            return self.apart.submit(set_handout, job).result()
        except BrokenExecutor:
            # The process was ended from outside (no memory, say): the work is done here instead.
            return set_handout(job)


_Job = tuple[dict[str, Any], dict[str, str], "Paper", tuple[Path, ...], str, bool]
"""Sheet, pictures for print, paper, folders of the theme, template, whether in large print."""


def set_handout(job: _Job) -> bytes | Diagnostic:
    """Return a handout, or why it cannot be set: as data, for a fault does not go from process to process."""
    from planbook.publish.handout import HandoutError, handout

    sheet, pictures, paper, folders, main, large = job
    try:
        return handout(sheet, pictures, paper=paper, theme_dir=folders, main=main, large=large)
    except HandoutError as fault:
        return fault.diagnostic


def papers(edition: str) -> tuple[Paper, ...]:
    """Return the papers of an edition's handouts, its own first."""
    return _PAPERS[edition]


def handout_download(slug: str, edition: str, paper: str, *, pages: int = 0) -> Download:
    """Return where a handout stands."""
    text = f"Handout to print, {_PAPER_NAMES[paper]}"
    return Download(kind="handout", text=text, path=f"{file_stem(slug, edition)}-{paper}.pdf", pages=pages)


def large_download(slug: str, edition: str, paper: str, *, pages: int = 0) -> Download:
    """Return where a handout in large print stands."""
    text = f"The same in large print, {_PAPER_NAMES[paper]}"
    return Download(kind="large", text=text, path=f"{file_stem(slug, edition)}-large-{paper}.pdf", pages=pages)


def pages_in(pdf: bytes) -> int:
    """Return the number of pages that the root of a PDF's page tree counts, or 0 if it is not in the clear."""
    counts = [int(count) for count in _PAGE_TREE.findall(pdf)]
    return max(counts, default=0)


def templates_download(slug: str, edition: str, paper: str, *, pages: int = 0) -> Download:
    """Return where the full-size templates stand by themselves."""
    text = f"Templates at full size, {_PAPER_NAMES[paper]}"
    return Download(kind="templates", text=text, path=f"{file_stem(slug, edition)}-templates-{paper}.pdf", pages=pages)


def template_drawings(plan: Plan) -> list[tuple[Download, bytes]]:
    """Return the drawing of every sheet template for machines that cut and drill, and where each stands."""
    found = []
    for number, template in enumerate(plan.templates, 1):
        if template.kind is TemplateKind.SHEET:
            from planbook.drawing.template_dxf import template_dxf

            path = f"{file_stem(plan.slug, plan.edition.name)}-template-{number}.dxf"
            download = Download(kind="template", text=f"Template {template.name} as DXF", path=path)
            found.append((download, template_dxf(plan, template)))
    return found


def parts_download(slug: str, edition: str) -> Download:
    """Return where the table of parts stands."""
    return Download(kind="parts", text="Parts as CSV", path=f"{file_stem(slug, edition)}-parts.csv")


def fasteners_download(slug: str, edition: str) -> Download:
    """Return where the fastener schedule stands."""
    return Download(kind="fasteners", text="Fasteners as CSV", path=f"{file_stem(slug, edition)}-fasteners.csv")


def holes_download(slug: str, edition: str) -> Download:
    """Return where the hole schedule stands."""
    return Download(kind="holes", text="Holes as CSV", path=f"{file_stem(slug, edition)}-holes.csv")


def buying_download(slug: str, edition: str) -> Download:
    """Return where the buying list stands."""
    return Download(kind="buying", text="Buying list as CSV", path=f"{file_stem(slug, edition)}-buying.csv")


def photos_of(plans: Iterable[Plan], root: Path, findings: Findings) -> tuple[dict[tuple[str, str], str], list[Result]]:
    """Return where each photo stands in the site, by plan and path as written, and the files themselves."""
    paths: dict[tuple[str, str], str] = {}
    results = []
    for plan in plans:
        for step in plan.steps:
            for photo in step.photos:
                place = (plan.slug, photo.path)
                if place in paths:
                    continue
                base = f"plans/{plan.slug}"
                data = picture_file(root, f"{base}/{photo.path}", findings, photo.span)
                if data is not None:
                    paths[place] = f"{base}/photos/{photo.path}"
                    results.append(Result(paths[place], data))
    return paths, results


def picture_file(root: Path, relative: str, findings: Findings, span: Span | None) -> bytes | None:
    """Return the bytes of a picture of the author's, or record why it cannot be used."""
    if not relative.lower().endswith(PICTURE_FILES):
        kinds = ", ".join(kind.removeprefix(".") for kind in PICTURE_FILES)
        findings.stop("not-a-picture", f"`{relative}` is not a picture that pages can show", span, help=f"use {kinds}")
        return None
    path = inside_path(root, relative, findings, span=span)
    if path is None:
        return None
    if not safe(relative):
        findings.stop("missing-file", f"`{relative}` is not a plain path", span, help="write `photo.jpg`")
        return None
    try:
        return path.read_bytes()
    except OSError as fault:
        reason = (fault.strerror or "no reason given").lower()
        findings.stop("unreadable-file", f"`{relative}` cannot be read: {reason}", span)
        return None
