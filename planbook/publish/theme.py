"""A theme: templates of pages and handouts, and the files they need.

A book may bring single files of its own in `themes/NAME/`; they win over the shipped ones.
"""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass, field
from pathlib import Path, PurePosixPath

from planbook.publish.defaults import shipped
from planbook.publish.manifest import safe
from planbook.publish.writer import Result
from planbook.source.diagnostics import Findings
from planbook.source.nearest import did_you_mean
from planbook.source.text import Text

_URL = re.compile(r"url\(\s*(['\"]?)(?!data:|https?:|#)([^'\")]+)\1\s*\)")
_NAME = re.compile(r"[a-z0-9][a-z0-9_-]*")


@dataclass(frozen=True, slots=True)
class Theme:
    """Folders in which a theme's files are looked for, the book's own first."""

    name: str
    folders: tuple[Path, ...]

    def below(self, part: str) -> tuple[Path, ...]:
        """Return the existing folders `web`, `print` or `static` of the theme, the book's own first."""
        return tuple(folder / part for folder in self.folders if (folder / part).is_dir())

    def also(self, findings: Findings) -> tuple[str, ...]:
        """Return the files that go along although no page names them."""
        from planbook.source.files import read_source
        from planbook.source.yaml_nodes import load

        path = self.find("theme.yaml")
        source = read_source(path.parent, path.name, findings) if path is not None else None
        node = load(source, findings) if source is not None else None
        named = node.data.get(Text("also"), []) if node is not None else []
        return tuple(str(name) for name in named) if isinstance(named, list) else (str(named),)

    def find(self, relative: str) -> Path | None:
        """Return the file of that path below the theme, the book's own first."""
        return next((folder / relative for folder in self.folders if (folder / relative).is_file()), None)


def find_theme(name: str, book_root: Path, findings: Findings) -> Theme | None:
    """Return the theme of that name, or record that there is none."""
    shipped_themes = shipped("themes")
    roots = [root for root in (book_root / "themes", shipped_themes) if root is not None]
    folders = tuple(root / name for root in roots if _NAME.fullmatch(name) and (root / name).is_dir())
    if any((folder / "web" / "base.html").is_file() for folder in folders):
        return Theme(name, folders)
    names = sorted({entry.name for root in roots if root.is_dir() for entry in root.iterdir() if entry.is_dir()})
    findings.stop(
        "no-theme",
        f"there is no theme `{name}` with pages in it",
        help=did_you_mean(name, names) or "write `theme: workshop` in planbook.yaml",
    )
    return None


@dataclass(slots=True)
class Assets:
    """The static files that the pages of one run ask for, each named by its content."""

    theme: Theme
    findings: Findings
    _paths: dict[str, str] = field(default_factory=dict)
    _results: dict[str, Result] = field(default_factory=dict)

    def path(self, name: str) -> str:
        """Return the path in the site of `static/NAME` (or `print/NAME`) of the theme.

        A file that a stylesheet names by `url(...)` comes along. A missing file is recorded and
        leads to a path that is not there.
        """
        if name not in self._paths:
            self._paths[name] = self._add(name)
        return self._paths[name]

    def has(self, name: str) -> bool:
        """Return whether the theme has such a file."""
        return self._find(name) is not None

    def take_along(self) -> None:
        """Add the files that the theme's own `theme.yaml` names under `also`, by their plain names."""
        for name in self.theme.also(self.findings):
            found = self._find(name)
            if found is None:
                self.findings.stop("missing-file", f"the theme `{self.theme.name}` has no file `static/{name}`")
            elif safe(name):
                self._results[f"static/{name}"] = Result(f"static/{name}", found.read_bytes())

    def results(self) -> tuple[Result, ...]:
        """Return the files asked for so far, by path."""
        return tuple(self._results[path] for path in sorted(self._results))

    def _find(self, name: str) -> Path | None:
        return self.theme.find(f"static/{name}") or self.theme.find(f"print/{name}")

    def _add(self, name: str) -> str:
        found = self._find(name)
        if found is None:
            self.findings.stop("missing-file", f"the theme `{self.theme.name}` has no file `static/{name}`")
            return f"static/{name}"
        data = found.read_bytes()
        if name.endswith(".css"):
            data = self._with_urls(name, data.decode("utf-8")).encode("utf-8")
        pure = PurePosixPath(name)
        digest = hashlib.sha256(data).hexdigest()[:8]
        path = f"static/{pure.with_name(f'{pure.stem}.{digest}{pure.suffix}')}"
        self._results[path] = Result(path, data)
        return path

    def _with_urls(self, name: str, css: str) -> str:
        """Return a stylesheet with the names of its files replaced by the hashed ones."""
        here = PurePosixPath(name).parent

        def hashed(match: re.Match[str]) -> str:
            target = self.path(str(here / match[2]))
            up = "../" * len(here.parts)
            return f'url("{up}{target.removeprefix("static/")}")'

        return _URL.sub(hashed, css)
