"""What lets a second run be quick: a fingerprint of everything that goes in, and a small store.

The store is the folder `.planbook` inside the book: it is found beside what it was made from, goes when
the book goes, and never lies in the output folder, from where it would be uploaded. It holds a
`.gitignore` of its own. Where it cannot be written, planbook works without it.
"""

from __future__ import annotations

import hashlib
import os
import sys
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

from planbook.publish.defaults import package_folder
from planbook.publish.manifest import digest, read_manifest, untouched
from planbook.publish.writer import STAGING

STORE = ".planbook"
# Libraries whose version may change what is written.
_LIBRARIES = (
    *("highspy", "icalendar", "jinja2", "manifold3d", "markdown-it-py", "matplotlib", "numpy", "pint", "pyyaml"),
    *("segno", "shapely", "typst"),
)


def fingerprint(roots: Iterable[Path], options: Iterable[str], *, without: Path | None = None) -> str:
    """Return a digest over the files below some folders, the program, its libraries and the options.

    `without` is a folder to leave out: the output may lie in the book's own folder.
    """
    total = hashlib.sha256(program().encode())
    for option in options:
        total.update(b"option " + option.encode() + b"\0")
    for root in roots:
        total.update(b"root\0")
        for path in _files(root, without=without):
            total.update(path.relative_to(root).as_posix().encode() + b"\0")
            total.update(hashlib.sha256(path.read_bytes()).digest())
    return total.hexdigest()


@cache
def program() -> str:
    """Return a digest over planbook's own files, Python and the libraries in use."""
    from importlib.metadata import PackageNotFoundError, version

    total = hashlib.sha256(sys.version.encode())
    for name in _LIBRARIES:
        try:
            total.update(f"{name} {version(name)}\0".encode())
        except PackageNotFoundError:
            total.update(f"{name} missing\0".encode())
    folder = package_folder()
    for path in _files(folder):
        if path.suffix in (".py", ".yaml", ".json") and "defaults" not in path.relative_to(folder).parts:
            total.update(path.relative_to(folder).as_posix().encode() + b"\0" + path.read_bytes())
    return total.hexdigest()


def nothing_to_do(into: Path, print_: str) -> bool:
    """Return whether an output folder holds, untouched, what the same inputs made before."""
    manifest = read_manifest(into)
    if not print_ or manifest.fingerprint != print_ or os.path.lexists(into / STAGING):
        return False
    return all(untouched(into, path, entry) for path, entry in manifest.files.items())


@dataclass(slots=True)
class Store:
    """Bytes kept from run to run, by kind and key; a damaged or missing one is simply made again."""

    book_root: Path
    used: dict[Path, None] = field(default_factory=dict)

    def get(self, kind: str, key: str) -> bytes | None:
        """Return what was kept under that key, if it is whole."""
        path = self._path(kind, key)
        try:
            data = path.read_bytes()
        except OSError:
            return None
        check, _, body = data.partition(b"\n")
        if check != digest(body).encode():
            return None
        self.used[path] = None
        return body

    def put(self, kind: str, key: str, body: bytes) -> None:
        """Keep some bytes; without room or permission they are not kept."""
        path = self._path(kind, key)
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            ignore = self.book_root / STORE / ".gitignore"
            if not ignore.exists():
                ignore.write_text("*\n", "utf-8")
            beside = path.with_name(f"{path.name}.{os.getpid()}")
            beside.write_bytes(digest(body).encode() + b"\n" + body)
            os.replace(beside, path)
        except OSError:
            return
        self.used[path] = None

    def forget_unused(self, kinds: Iterable[str]) -> None:
        """Remove what this run neither read nor wrote."""
        for kind in kinds:
            folder = self.book_root / STORE / kind
            try:
                for path in sorted(folder.iterdir()):
                    if path not in self.used:
                        path.unlink()
            except OSError:
                continue

    def _path(self, kind: str, key: str) -> Path:
        return self.book_root / STORE / kind / digest(key.encode())[:40]


def _files(root: Path, *, without: Path | None = None) -> Iterator[Path]:
    """Give the plain files below a folder in order; hidden ones, links and bytecode are left out."""
    left_out = without.resolve() if without is not None else None
    for folder, folders, names in os.walk(root):
        if left_out is not None and Path(folder).resolve() == left_out:
            folders.clear()
            continue
        folders[:] = sorted(name for name in folders if not name.startswith(".") and name != "__pycache__")
        for name in sorted(names):
            path = Path(folder, name)
            if not name.startswith(".") and path.is_file():
                yield path
