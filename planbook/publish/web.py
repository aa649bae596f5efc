"""Pages from templates: what every page has, and how a template writes text, sizes and links."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any
from urllib.parse import urlsplit

from planbook.publish.addresses import (
    CLASSES,
    HOME,
    MATERIALS,
    NOT_FOUND,
    TOOLS,
    WORDS,
    Addresses,
    content_page,
    home_page,
    relative,
)
from planbook.publish.book_info import BookInfo
from planbook.publish.theme import Assets, Theme
from planbook.publish.writer import Result
from planbook.source.diagnostics import Findings
from planbook.source.prose.slugs import slugify

if TYPE_CHECKING:
    from jinja2 import Environment

_FRACTION = re.compile("(\\d*)([⁰¹²³⁴⁵⁶⁷⁸⁹]+\u2044[₀₁₂₃₄₅₆₇₈₉]+)")
_NUMBERS = (
    *("No", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine", "Ten", "Eleven", "Twelve"),
    *("Thirteen", "Fourteen", "Fifteen", "Sixteen", "Seventeen", "Eighteen", "Nineteen", "Twenty"),
)


class TemplateError(Exception):
    """A template could not be used; the message is one sentence for the reader of the terminal."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EditionLink:
    """One entry of the edition switch."""

    name: str
    title: str
    path: str


@dataclass(slots=True)
class Web:
    """Everything that pages share in one run."""

    book: BookInfo
    theme: Theme
    addresses: Addresses
    assets: Assets
    findings: Findings
    page_titles: Mapping[str, str]
    """Titles of the author's pages by stem, in order."""
    edition_titles: Mapping[str, str]
    """Titles of the published editions by name, the first one first."""
    classes: bool = False
    """Whether the book has classes to show."""
    _environment: Environment | None = field(default=None)

    def page(
        self,
        template: str,
        path: str,
        *,
        title: str,
        section: str,
        edition: str | None = None,
        switch: Mapping[str, str] | None = None,
        piece: str = "",
        **more: Any,
    ) -> Result:
        """Return a page made from `web/TEMPLATE`.

        `section` names the word of the navigation that it belongs to. `switch` gives the path of the
        same page in each edition, `piece` the plan whose ticks are kept. Raises `TemplateError`.
        """
        top = self._top(path)
        context: dict[str, Any] = {
            "book": self.book,
            "page": {"path": path, "title": title, "section": section, "edition": edition, "piece": piece},
            "nav": self._navigation(edition),
            "homes": {name: home_page(name, tuple(self.edition_titles)) for name in self.edition_titles},
            "pages": [{"title": text, "path": content_page(stem)} for stem, text in self.page_titles.items()],
            "switch": [
                EditionLink(name=name, title=self.edition_titles[name], path=to) for name, to in (switch or {}).items()
            ],
            "editions": self.edition_titles,
            "to": lambda target, fragment="": top(target, fragment),
            "asset": lambda name: top(self.assets.path(name), ""),
            "has_asset": self.assets.has,
            "link": lambda target: self._link(target, path, edition),
            "canonical": self._canonical(path),
        }
        return Result(path, self._render(template, {**context, **more}).encode("utf-8"))

    def _top(self, path: str) -> Callable[[str, str], str]:
        """Return how a page writes the address of another.

        The page for a wrong address is shown at any address, so its links begin at the site's root,
        where that is known.
        """
        root = urlsplit(self.book.address).path if self.book.address else ""
        if path == NOT_FOUND and self.book.address:
            return lambda target, fragment: f"{root}/{relative(HOME, target, fragment)}"
        return lambda target, fragment: relative(path, target, fragment)

    def _canonical(self, path: str) -> str:
        return f"{self.book.address}/{path.removesuffix('index.html')}" if self.book.address else ""

    def _navigation(self, edition: str | None) -> list[dict[str, str]]:
        names = tuple(self.edition_titles)
        home = home_page(edition or names[0], names)
        rows = [{"key": "plans", "text": "Plans", "path": home}]
        rows += [{"key": "classes", "text": "Classes", "path": CLASSES}] if self.classes else []
        rows += [{"key": "tools", "text": "Tools", "path": TOOLS}] if self.book.tools else []
        rows += [{"key": "materials", "text": "Materials", "path": MATERIALS}] if self.book.materials else []
        rows += [{"key": "words", "text": "Words", "path": WORDS}] if self.book.terms else []
        return rows

    def _link(self, target: str, path: str, edition: str | None) -> str:
        """Return the address of a target in running text; one that leads nowhere is recorded."""
        href = self.addresses.resolve(target, page=path, edition=edition)
        if href is None:
            self.findings.stop("dead-link", f"the page `{path}` links to `{target}`, which is not in the book")
            return "#main"
        return href

    def _render(self, template: str, context: Mapping[str, Any]) -> str:
        if self._environment is None:
            self._environment = environment(self.theme)
        try:
            return self._environment.get_template(template).render(context)
        except Exception as fault:
            # A template is a program of somebody else's: whatever it raises is a fault in it.
            where = getattr(fault, "name", None) or template
            line = getattr(fault, "lineno", None)
            place = f"`web/{where}`" + (f", line {line}" if line else "")
            words = " ".join(str(fault).split()) or type(fault).__name__
            raise TemplateError(f"the template {place} cannot be used: {words}") from fault


def environment(theme: Theme) -> Environment:
    """Return the template engine: escaping everything, refusing unknown names, the book's templates first."""
    from jinja2 import ChoiceLoader, Environment, FileSystemLoader, StrictUndefined

    loader = ChoiceLoader([FileSystemLoader(folder) for folder in theme.below("web")])
    env = Environment(loader=loader, autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True)
    env.filters["sizes"] = sizes
    env.filters["slug"] = slugify
    env.filters["in_words"] = in_words
    env.filters["first_upper"] = first_upper
    env.filters["plain"] = lambda stretch: "".join(piece["s"] for piece in stretch)
    env.tests["address"] = lambda target: str(target).startswith(("https:", "http:"))
    return env


def sizes(text: str) -> Any:
    """Return a text with its fractions marked, so that they are drawn large enough; copied, it is the same."""
    from markupsafe import Markup, escape

    return Markup(_FRACTION.sub(r'\1<span class="fraction">\2</span>', str(escape(text))))


def in_words(count: int) -> str:
    """Return a small number in words, at the beginning of a heading: `Nine`."""
    return _NUMBERS[count] if count < len(_NUMBERS) else str(count)


def first_upper(text: str) -> str:
    """Return a text with a capital in front, the rest as it was."""
    return text[:1].upper() + text[1:]
