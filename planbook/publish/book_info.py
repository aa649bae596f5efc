"""What every page and handout of a book shares, as plain data."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from planbook.plan.shop_rows import ShopRows, shop_rows
from planbook.source.diagnostics import Findings
from planbook.source.schema.words import PerEdition

if TYPE_CHECKING:
    from planbook.source.book import Book
    from planbook.source.schema.book import ToolSource
    from planbook.source.schema.words import Value


@dataclass(frozen=True, slots=True, kw_only=True)
class ToolInfo:
    """A tool of the shop."""

    key: str
    does: str
    kind: str = "hand tool"
    """`machine`, `power tool`, `hand tool`, `measuring` or `supply`."""
    wear: tuple[str, ...] = ()
    """`eyes`, `ears`, `mask`, `gloves`."""
    care: str = ""
    also: tuple[str, ...] = ()
    takes: tuple[tuple[str, str], ...] = ()
    """What it can take, as the shop wrote it: `widest piece`, `12 in (300 mm)`."""

    @property
    def powered(self) -> bool:
        """Whether a motor turns it."""
        return self.kind in ("machine", "power tool")


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialInfo:
    """A material described for the reader."""

    key: str
    text: str
    pick: str = ""
    care: str = ""
    derived: bool = False
    """Whether nobody described it: the page is there for what the tables know."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TermInfo:
    """A word of the glossary."""

    key: str
    means: str
    see: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class BookInfo:
    """The book as a whole; all mappings keep the author's order."""

    shop: str
    title: str
    summary: str = ""
    notice: str = ""
    language: str = "en"
    address: str = ""
    """Where the site will stand, without a slash at the end, or empty."""
    tools: Mapping[str, ToolInfo] = field(default_factory=dict)
    materials: Mapping[str, MaterialInfo] = field(default_factory=dict)
    terms: Mapping[str, TermInfo] = field(default_factory=dict)
    rows: ShopRows = field(default_factory=ShopRows)
    """The book's own woods, products and loads, and the air of its room."""

    def tool(self, name: str) -> ToolInfo | None:
        """Return the tool of that name or other name, if the shop has it."""
        found = self.tools.get(name)
        if found is not None:
            return found
        return next((tool for tool in self.tools.values() if name in tool.also), None)


def book_info(book: Book) -> BookInfo:
    """Return what the author wrote about the book, shop and glossary as plain data."""
    facts = book.facts
    terms = {}
    for key, entry in book.glossary.words.items():
        means, see = (entry, ()) if isinstance(entry, str) else (entry.means, entry.see)
        terms[str(key)] = TermInfo(key=str(key), means=_plain(means), see=tuple(str(word) for word in see))
    return BookInfo(
        shop=_plain(facts.shop),
        title=_plain(facts.title),
        summary=_plain(facts.summary),
        notice=_plain(facts.notice),
        language=_plain(facts.language),
        address=_plain(facts.address).rstrip("/"),
        tools={str(key): _tool(str(key), tool) for key, tool in book.shop.tools.items()},
        materials={
            str(key): MaterialInfo(key=str(key), text=_plain(item.is_), pick=_plain(item.pick), care=_plain(item.care))
            for key, item in book.shop.materials.items()
        },
        terms=terms,
        rows=shop_rows(book.shop, Findings()),
    )


def _tool(key: str, tool: ToolSource) -> ToolInfo:
    return ToolInfo(
        key=key,
        does=_plain(tool.does),
        kind=_plain(tool.kind),
        wear=tuple(str(sign) for sign in tool.wear),
        care=_plain(tool.care),
        also=tuple(str(name) for name in tool.also),
        takes=_takes(tool),
    )


def _takes(tool: ToolSource) -> tuple[tuple[str, str], ...]:
    """Return the limits of a tool; its page is one for both editions, so it shows both values."""
    limits = (
        ("widest piece", tool.widest),
        ("thickest piece", tool.thickest),
        ("stroke", tool.stroke),
        ("opens", tool.opens),
    )
    return tuple((word, _both(value)) for word, value in limits if value is not None)


def _both(value: Value) -> str:
    return f"{value.imperial} ({value.metric})" if isinstance(value, PerEdition) else _plain(value)


def _plain(text: str | None) -> str:
    """Return a text of a source on one line, without its place."""
    return " ".join(str(text).split()) if text else ""
