"""What every page and handout of a book shares, as plain data."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


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

    def tool(self, name: str) -> ToolInfo | None:
        """Return the tool of that name or other name, if the shop has it."""
        found = self.tools.get(name)
        if found is not None:
            return found
        return next((tool for tool in self.tools.values() if name in tool.also), None)
