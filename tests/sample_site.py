"""What a site of the invented bookcase is made from: a shop, its words, a page and pictures. All invented."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from sample_plan import bookcase, line

from planbook.plan.model import Photo, Plan, Run, RunKind
from planbook.publish.book_info import BookInfo, MaterialInfo, TermInfo, ToolInfo
from planbook.publish.reading import Material
from planbook.publish.theme import Theme, find_theme
from planbook.source.diagnostics import Findings, Span
from planbook.source.files import SourceFile
from planbook.source.prose.pages import read_page
from planbook.units.editions import EDITIONS

SPAN = Span("plans/bookcase/steps.md", 1, 1, 1, 2)
PAGE = """# Measure the plywood

A sheet of {3/4 in} is thinner than {18 mm} & more; see [dado](word:dado), [the router](tool:router),
[ply](material:birch plywood), [the case](plan:bookcase) and [outside](https://example.org/).

![a sheet](sheet.png)

| word | means |
|---|---|
| A | <b> is no tag |
"""
# One black pixel.
PNG = bytes.fromhex(
    "89504e470d0a1a0a0000000d4948445200000001000000010000000037"
    "6ef9240000000a49444154789c6360000002000148afa4710000000049454e44ae426082"
)


def tool(key: str, kind: str, wear: tuple[str, ...] = (), care: str = "") -> ToolInfo:
    return ToolInfo(key=key, does=f"The {key} does its <work> & more.", kind=kind, wear=wear, care=care)


def info(address: str = "") -> BookInfo:
    tools = (
        tool("router", "power tool", ("eyes", "ears", "mask"), "Feed it against the turn of the bit."),
        tool("table saw", "machine", ("eyes", "ears")),
        tool("clamp", "hand tool"),
        tool("caliper", "measuring"),
    )
    return BookInfo(
        shop="Invented Shop",
        title="Plans to build from",
        summary="Sizes in inches & millimetres.",
        notice="The shop is invented.",
        address=address,
        tools={each.key: each for each in tools},
        materials={"birch plywood": MaterialInfo(key="birch plywood", text="Layers of birch.", pick="See the edges.")},
        terms={
            "dado": TermInfo(key="dado", means="A channel across the grain.", see=("rabbet",)),
            "rabbet": TermInfo(key="rabbet", means="A step along an edge."),
        },
    )


def plans() -> tuple[Plan, ...]:
    """The bookcase in both editions, with a photo, links and characters that HTML cares about."""
    made = []
    for name in ("imperial", "metric"):
        plan = bookcase(name)
        first = plan.steps[0]
        links = (
            Run(RunKind.LINK, "the dado", "word:dado"),
            Run(RunKind.LINK, "step 2", f"step:{plan.steps[1].slug}"),
            Run(RunKind.LINK, "the side", "part:side"),
            Run(RunKind.LINK, "router", "tool:router"),
            Run(RunKind.STRONG, '<"bold"> & more'),
            Run(RunKind.BREAK, ""),
            Run(RunKind.CODE, "code"),
            Run(RunKind.EMPHASIS, "well"),
        )
        photo = Photo(path="in/side.png", alt="The side, inside face up", span=SPAN)
        first = replace(first, actions=(*first.actions, line(*links)), photos=(photo,), tips=(line("A tip."),))
        made.append(replace(plan, steps=(first, *plan.steps[1:]), accepted=(("thin-lip", "it is meant to be thin"),)))
    return tuple(made)


def material(root: Path, *, given: tuple[Plan, ...] | None = None, address: str = "") -> Material:
    (root / "pages").mkdir(parents=True, exist_ok=True)
    (root / "plans/bookcase/in").mkdir(parents=True, exist_ok=True)
    (root / "pages/sheet.png").write_bytes(PNG)
    (root / "plans/bookcase/in/side.png").write_bytes(PNG)
    page = read_page(SourceFile("pages/measure.md", PAGE), Findings())
    assert page is not None
    editions = (EDITIONS["imperial"], EDITIONS["metric"])
    return Material(root, info(address), "workshop", editions, given or plans(), (("measure", page),))


def theme(root: Path) -> Theme:
    found = find_theme("workshop", root, Findings())
    assert found is not None
    return found
