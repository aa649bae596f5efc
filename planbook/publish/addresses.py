"""Where each page of the site stands, and what the targets in running text lead to.

All links of the site are relative and name `index.html`, so that it works from a disk, below any path
of a server, and from an archive.
"""

from __future__ import annotations

import hashlib
import posixpath
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from urllib.parse import quote

from planbook.publish.book_info import BookInfo
from planbook.source.prose.slugs import UniqueSlugs, slugify

HOME = "index.html"
NOT_FOUND = "404.html"
CLASSES = "classes/index.html"
TOOLS = "tools/index.html"
MATERIALS = "materials/index.html"
WORDS = "words/index.html"


def relative(page: str, path: str, fragment: str = "") -> str:
    """Return the address of `path` as a link on `page` has to write it."""
    tail = f"#{quote(fragment)}" if fragment else ""
    if page == path and tail:
        return tail
    return quote(posixpath.relpath(path, posixpath.dirname(page) or ".")) + tail


def plan_folder(slug: str, edition: str) -> str:
    """Return the folder of a plan in an edition, with a slash at the end."""
    return f"plans/{slug}/{edition}/"


def plan_page(slug: str, edition: str) -> str:
    """Return the page of a plan in an edition."""
    return f"{plan_folder(slug, edition)}index.html"


def checked_page(slug: str, edition: str) -> str:
    """Return the page that tells what was checked on a plan in an edition."""
    return f"{plan_folder(slug, edition)}checked/index.html"


def plan_choice(slug: str) -> str:
    """Return the page of a plan that leads to its editions."""
    return f"plans/{slug}/index.html"


def home_page(edition: str, editions: tuple[str, ...]) -> str:
    """Return the first page in an edition: at the top of the site for the first one."""
    return HOME if edition == editions[0] else f"{edition}/index.html"


def content_page(stem: str) -> str:
    """Return the page made from `pages/STEM.md`."""
    return f"pages/{_own_slug(stem)}/index.html"


def step_id(slug: str) -> str:
    """Return the id of a step on its plan's page."""
    return f"step-{slug}"


def part_id(key: str) -> str:
    """Return the id of a part in the cut list."""
    return f"part-{_own_slug(key)}"


def term_id(key: str) -> str:
    """Return the id of a word in the glossary."""
    return f"word-{_own_slug(key)}"


def _own_slug(key: str) -> str:
    """Return a slug that no other key has: with a mark behind it where letters of the key had to be left out."""
    slug = slugify(key)
    if slug.replace("-", " ") == key.replace("-", " "):
        return slug
    return f"{slug}-{hashlib.sha256(key.encode()).hexdigest()[:6]}"


@dataclass(frozen=True, slots=True)
class Addresses:
    """The pages of a book that running text may point to."""

    book: BookInfo
    editions: tuple[str, ...]
    plans: tuple[str, ...]
    pages: tuple[str, ...]
    """Stems of the page files."""
    tools: Mapping[str, str] = field(default_factory=dict)
    """Path by key."""
    materials: Mapping[str, str] = field(default_factory=dict)

    def resolve(self, target: str, *, page: str, edition: str | None = None) -> str | None:
        """Return the link for a target such as `tool:router` on a page, or None where it leads nowhere.

        `edition` is that of the page, if it has one; a plan is then shown in the same edition.
        """
        kind, colon, key = target.partition(":")
        if target.startswith(("https://", "http://", "mailto:")) or (target.startswith("#") and len(target) > 1):
            return target
        if not colon:
            return None
        place = self._place(kind, key.strip(), edition)
        if place is None:
            return None
        path, fragment = place
        return relative(page, path or page, fragment)

    def _place(self, kind: str, key: str, edition: str | None) -> tuple[str, str] | None:
        """Return path and fragment of a target; an empty path is the page itself."""
        if kind == "step":
            return "", step_id(key)
        if kind == "part":
            return "", part_id(key)
        if kind in ("term", "word"):
            return self._term(key)
        if kind == "tool":
            info = self.book.tool(key)
            return (self.tools[info.key], "") if info else None
        if kind == "material":
            return (self.materials[key], "") if key in self.materials else None
        if kind == "page":
            return (content_page(key), "") if key in self.pages else None
        if kind == "plan" and key in self.plans:
            return plan_page(key, edition or self.editions[0]), ""
        return None

    def _term(self, key: str) -> tuple[str, str] | None:
        wanted = key.casefold()
        found = next((term for term in self.book.terms if term.casefold() == wanted), None)
        return (WORDS, term_id(found)) if found is not None else None


def folder_pages(folder: str, keys: Iterable[str]) -> dict[str, str]:
    """Return the path of a page for each key, `FOLDER/SLUG/index.html`, no two alike."""
    slugs = UniqueSlugs()
    return {key: f"{folder}/{slugs.make(key)}/index.html" for key in keys}
