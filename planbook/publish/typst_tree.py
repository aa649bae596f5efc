"""The templates of a theme as one folder for Typst, and the compiler that is kept for it.

A book may bring single templates of its own; they win over the shipped ones. Typst wants one root, so
the files are gathered in a temporary folder. A compiler is kept while no template and no face changes,
because making one costs more than a page.
"""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from threading import Lock
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import typst

MAIN = "handout.typ"
TEMPLATES = "template-pages.typ"
"""The template of the theme that prints full-size templates by themselves."""
FACES = ("DejaVu Sans", "Libertinus Serif")
"""Families that the templates set text in; the second is inside Typst."""

Stamp = tuple[str, str, int, int]
"""Name below the root, path, time of change and size of a file."""


@dataclass(frozen=True, slots=True)
class Workplace:
    """A root folder with the templates, the compiler that works in it, and the faces it knows."""

    stamps: tuple[Stamp, ...]
    folder: tempfile.TemporaryDirectory[str]
    root: Path
    compiler: typst.Compiler
    idle: typst.Compiler
    """Sets an empty page: what is remembered is shared by all compilers of a process."""
    families: frozenset[str]
    lock: Lock = field(default_factory=Lock)
    """Held while it sets pages: data and pages of two handouts must not mix."""

    def forget(self) -> None:
        """Let go of what was kept from the pages just set: some 90 MB for one handout.

        Typst drops a remembered result that has not been used for a number of compilations, which cannot
        be asked for otherwise; empty ones cost about a millisecond each.
        """
        for _ in range(GENERATIONS):
            self.idle.compile(format="pdf")
        _give_back()

    def source(self, reported: str) -> str:
        """Return the theme's own path of a template, from the path by which the compiler reports it."""
        below = os.path.relpath(os.path.abspath(reported), os.path.abspath(self.root))
        name = f"print/{Path(below).as_posix()}"
        return next((path for given, path, *_ in self.stamps if given == name), Path(reported).name)


def _give_back() -> None:
    """Ask the C library to return what was freed to the system, where it can be asked (glibc)."""
    import ctypes

    try:
        ctypes.CDLL(None).malloc_trim(0)
    except (OSError, AttributeError, TypeError):
        return


GENERATIONS = 11
"""Compilations after which Typst has dropped what none of them used (10 are kept, measured)."""

_kept: list[Workplace] = []
_lock = Lock()


def workplace(theme_dirs: tuple[Path, ...]) -> Workplace:
    """Return the workplace for a theme, the one made before where nothing has changed since.

    The first folder that has a file wins. Raises OSError where a file cannot be read or copied.
    """
    stamps = tuple(sorted({**_stamps(theme_dirs, "print"), **_stamps(theme_dirs, "static/fonts")}.values()))
    with _lock:
        if not _kept or _kept[0].stamps != stamps:
            _kept[:] = [_gathered(stamps)]
        return _kept[0]


def _stamps(theme_dirs: tuple[Path, ...], below: str) -> dict[str, Stamp]:
    found: dict[str, Stamp] = {}
    for theme in reversed(theme_dirs):
        for path in _files(theme / below):
            name = path.relative_to(theme).as_posix()
            about = path.stat()
            found[name] = (name, str(path), about.st_mtime_ns, about.st_size)
    return found


def _files(folder: Path) -> Iterator[Path]:
    if folder.is_dir():
        yield from (path for path in sorted(folder.rglob("*")) if path.is_file())


def _gathered(stamps: tuple[Stamp, ...]) -> Workplace:
    import typst

    folder = tempfile.TemporaryDirectory(prefix="planbook-")
    top = Path(folder.name)
    for name, path, *_ in stamps:
        (top / name).parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(path, top / name)
    root = top / "print"
    # Faces of the machine are left out: another machine would set other pages.
    fonts = typst.Fonts(
        include_system_fonts=False, include_embedded_fonts=True, font_paths=[str(top / "static" / "fonts")]
    )
    compiler = typst.Compiler(input=str(root / MAIN), root=str(root), font_paths=fonts, ignore_system_fonts=True)
    blank = top / "blank.typ"
    blank.write_text("")
    idle = typst.Compiler(input=str(blank), root=str(top), ignore_system_fonts=True)
    return Workplace(stamps, folder, root, compiler, idle, frozenset(fonts.families()))
