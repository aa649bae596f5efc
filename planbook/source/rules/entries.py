"""Reading the entries that explain findings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """What there is to say about one finding."""

    slug: str
    finds: str
    """What is found, in one sentence."""
    matters: str
    """Why that matters at the bench or to the reader."""
    example: str
    """A case as it stands in a source; empty where there is nothing to show."""
    instead: str
    """What to write or do instead."""
    source: str
    """The rule's publication, `common practice, no source`, `exact` or `planbook's own rule`."""


@cache
def entries() -> Mapping[str, Entry]:
    """Return all entries by slug, in the order of the alphabet; raises ValueError for a slug told twice."""
    import yaml

    found: dict[str, Entry] = {}
    for path in sorted(files(__package__).iterdir(), key=lambda path: path.name):
        if path.name.endswith(".yaml"):
            for slug, facts in yaml.load(path.read_text("utf-8"), Loader=yaml.CSafeLoader).items():
                if slug in found:
                    raise ValueError(f"the finding {slug} is told twice")
                found[slug] = _entry(slug, facts)
    return {slug: found[slug] for slug in sorted(found)}


def _entry(slug: str, facts: Mapping[str, str]) -> Entry:
    return Entry(
        slug=slug,
        finds=" ".join(facts["finds"].split()),
        matters=" ".join(facts["matters"].split()),
        example=facts.get("example", "").rstrip("\n"),
        instead=facts["instead"].rstrip("\n"),
        source=facts.get("source", "planbook's own rule"),
    )
