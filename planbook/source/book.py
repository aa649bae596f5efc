"""A book as its author wrote it: which files it has, read and checked for their words.

A book is a folder::

    planbook.yaml       the book as a whole
    shop.yaml           tools and materials (may be missing)
    words.yaml          glossary (may be missing)
    pages/*.md          pages (may be missing)
    plans/NAME/         one folder for each plan: plan.yaml, steps.md, photos
    classes/NAME.yaml   one file for each class (may be missing)
    classes/NAME.notes.yaml   what that class took the last time (may be missing)
    themes/NAME/        templates that win over those of the theme (may be missing)
"""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeVar

from planbook.source.diagnostics import Findings
from planbook.source.files import Sources, inside_path
from planbook.source.nearest import did_you_mean, one_of
from planbook.source.options import chosen
from planbook.source.prose.inlines import Block
from planbook.source.prose.pages import PageSource, read_page
from planbook.source.prose.steps import StepSource, read_steps
from planbook.source.schema.book import BookFacts, GlossaryFacts, ShopFacts
from planbook.source.schema.classes import ClassSource, NotesSource
from planbook.source.schema.plan import PlanSource
from planbook.source.schema.steps import StepFacts
from planbook.source.schema.words import Words
from planbook.source.text import Text
from planbook.source.validate import validated
from planbook.source.yaml_nodes import load

Facts = TypeVar("Facts", bound=Words)

NOTES = ".notes.yaml"
"""End of the name of a file with notes after a class."""
BOOK_FILE = "planbook.yaml"
TOOL_KINDS = ("machine", "power tool", "hand tool", "measuring", "supply")


@dataclass(frozen=True, slots=True)
class WrittenStep:
    """A step: its facts, checked for their words, and its prose."""

    facts: StepFacts
    prose: StepSource


@dataclass(frozen=True, slots=True)
class WrittenPlan:
    """A plan folder with its facts and steps."""

    slug: str
    """Name of the folder, which is also its address on the site."""
    name: str
    """Path of `plan.yaml`, relative to the book."""
    folder: Path
    facts: PlanSource
    introduction: tuple[Block, ...]
    """What stands before the first step."""
    steps: tuple[WrittenStep, ...]
    other_ways: tuple[tuple[Text, WrittenPlan], ...] = ()
    """The plan as it would be with each option of its own the other way round, by the name of the option."""


@dataclass(frozen=True, slots=True)
class WrittenClass:
    """A file of a class, checked for its words."""

    slug: str
    """Name of the file, which is also its address on the site."""
    name: str
    """Path of the file, relative to the book."""
    facts: ClassSource
    notes: NotesSource | None = None


@dataclass(frozen=True, slots=True)
class Book:
    """Everything the author wrote, as far as it could be read."""

    root: Path
    facts: BookFacts
    shop: ShopFacts
    glossary: GlossaryFacts
    pages: tuple[PageSource, ...]
    plans: tuple[WrittenPlan, ...]
    sources: Sources = field(default_factory=Sources)
    classes: tuple[WrittenClass, ...] = ()


def read_book(root: Path, findings: Findings, sources: Sources) -> Book | None:
    """Read all files of a book; faults are recorded, and what could not be read is left out.

    Returns None where there is no book, or where its shop could not be read. A plan or page with a fault is left out,
    so a caller looks at `findings.stopped` before it writes anything.
    """
    if not root.is_dir():
        findings.stop("no-book", f"there is no folder `{root}`", help="give the folder that holds `planbook.yaml`")
        return None
    if not (root / BOOK_FILE).is_file():
        findings.stop(
            "no-book",
            f"the folder `{root}` holds no `{BOOK_FILE}`",
            help="give the folder of a book, or write a `planbook.yaml` with `shop:` and `title:`",
        )
        return None
    facts = _facts(BookFacts, root, BOOK_FILE, findings, sources)
    shop = _optional(ShopFacts, root, "shop.yaml", findings, sources)
    glossary = _optional(GlossaryFacts, root, "words.yaml", findings, sources)
    plans = _plans(root, facts, findings, sources)
    pages = _pages(root, facts, findings, sources)
    classes = _classes(root, findings, sources)
    if facts is None or (shop is None and (root / "shop.yaml").exists()):
        return None  # without its tools and materials every plan of the book would seem to be wrong
    shop, glossary = shop or ShopFacts.model_validate({}), glossary or GlossaryFacts()
    _check_kinds(shop, findings)
    return Book(root, facts, shop, glossary, pages, plans, sources, classes)


def _check_kinds(shop: ShopFacts, findings: Findings) -> None:
    """Record tools of a kind that is none: cautions and the noise of a class day go by it."""
    for name, tool in shop.tools.items():
        if tool.kind not in TOOL_KINDS:
            findings.warn(
                "wrong-word",
                f"`{tool.kind}` is no kind of tool, so nothing is known of the dangers of `{name}`",
                tool.kind.span,
                help=did_you_mean(tool.kind, TOOL_KINDS) or f"write {one_of(TOOL_KINDS)}",
            )


def _facts(model: type[Facts], root: Path, relative: str, findings: Findings, sources: Sources) -> Facts | None:
    source = sources.read(root, relative, findings)
    node = load(source, findings) if source is not None else None
    return validated(model, node, findings) if node is not None else None


def _optional(model: type[Facts], root: Path, relative: str, findings: Findings, sources: Sources) -> Facts | None:
    return _facts(model, root, relative, findings, sources) if (root / relative).exists() else None


def _ordered(found: list[str], wanted: tuple[Text, ...], what: str, findings: Findings) -> list[str]:
    """Put the names the author ordered first, all others behind them by name."""
    for name in wanted:
        if name not in found:
            findings.stop("unknown-name", f"there is no {what} `{name}`", name.span, help=did_you_mean(name, found))
    first = [str(name) for name in wanted if name in found]
    return first + [name for name in found if name not in first]


def _plans(root: Path, facts: BookFacts | None, findings: Findings, sources: Sources) -> tuple[WrittenPlan, ...]:
    folder = root / "plans"
    found = sorted(entry.name for entry in folder.iterdir() if entry.is_dir()) if folder.is_dir() else []
    found = [name for name in found if not name.startswith(".")]
    if not found:
        findings.stop(
            "no-plans",
            f"the book `{root}` has no plans",
            help="make a folder `plans/NAME` with a `plan.yaml` and a `steps.md`",
        )
        return ()
    order = _ordered(found, facts.plans if facts else (), "plan", findings)
    plans = (_plan(root, name, findings, sources) for name in order)
    return tuple(plan for plan in plans if plan is not None)


def _plan(root: Path, slug: str, findings: Findings, sources: Sources) -> WrittenPlan | None:
    base = f"plans/{slug}"
    facts = _facts(PlanSource, root, f"{base}/plan.yaml", findings, sources)
    source = sources.read(root, f"{base}/steps.md", findings)
    if source is None:
        return None
    written = read_steps(source, findings)
    steps = [_step(prose, findings) for prose in written.steps]
    for prose in written.steps:
        for photo in prose.photos:
            inside_path(root, f"{base}/{photo.path}", findings, span=photo.span)
    if facts is None or any(step is None for step in steps):
        return None
    complete = tuple(step for step in steps if step is not None)
    plan = WrittenPlan(slug, f"{base}/plan.yaml", root / base, facts, written.introduction, complete)
    return chosen(plan, findings)


def _step(prose: StepSource, findings: Findings) -> WrittenStep | None:
    facts = validated(StepFacts, prose.facts, findings) if prose.facts is not None else None
    return WrittenStep(facts, prose) if facts is not None else None


def _pages(root: Path, facts: BookFacts | None, findings: Findings, sources: Sources) -> tuple[PageSource, ...]:
    folder = root / "pages"
    found = sorted(entry.stem for entry in folder.glob("*.md")) if folder.is_dir() else []
    pages = []
    for name in _ordered(found, facts.pages if facts else (), "page", findings):
        source = sources.read(root, f"pages/{name}.md", findings)
        page = read_page(source, findings) if source is not None else None
        if page is not None:
            pages.append(page)
    return tuple(pages)


def _classes_of(folder: Path) -> list[str]:
    return sorted(path.stem for path in folder.glob("*.yaml") if not path.name.endswith(NOTES))


def _classes(root: Path, findings: Findings, sources: Sources) -> tuple[WrittenClass, ...]:
    """Read the classes by the names of their files; one with a fault is left out."""
    folder = root / "classes"
    found = []
    for path in sorted(folder.glob("*.yaml")) if folder.is_dir() else ():
        name = f"classes/{path.name}"
        if path.name.endswith(NOTES):
            if not (folder / f"{path.name.removesuffix(NOTES)}.yaml").is_file():
                findings.stop(
                    "unknown-name",
                    f"`{name}` is about a class that is not there",
                    help=did_you_mean(path.name.removesuffix(NOTES), _classes_of(folder)) or "name it after its class",
                )
            continue
        facts = _facts(ClassSource, root, name, findings, sources)
        if facts is not None:
            notes = _optional(NotesSource, root, f"classes/{path.stem}{NOTES}", findings, sources)
            found.append(WrittenClass(path.stem, name, facts, notes))
    return tuple(found)
