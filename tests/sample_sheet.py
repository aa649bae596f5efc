"""Sheets of the sample bookcase with stand-in pictures, for tests of the handouts. All data is invented."""

from __future__ import annotations

import copy
from html import escape
from pathlib import Path
from typing import Any

from sample_plan import bookcase

from planbook.publish.book_info import BookInfo, ToolInfo
from planbook.publish.sheet import sheet

THEME = Path(__file__).parent.parent / "themes" / "workshop"
TEACHER_NOTE = "Let each pair cut one dado."
"""Stands in the sample plan as a note for the teacher."""

_TOOLS = (
    ToolInfo(key="table saw", does="saws", kind="machine", wear=("eyes", "ears")),
    ToolInfo(key="router", does="routs", kind="power tool", wear=("eyes", "ears", "mask")),
    ToolInfo(key="drill", does="bores", kind="power tool", wear=("eyes",)),
    ToolInfo(key="brush", does="brushes", kind="hand tool", wear=("gloves",)),
)
BOOK = BookInfo(
    shop="Test Shop", title="Plans for tests", notice="Invented for tests.", tools={tool.key: tool for tool in _TOOLS}
)


def drawing(name: str, *, wide: float = 170, high: float = 95) -> str:
    """A framed area with its name in it, of a size in mm, with a line of exactly 100 mm."""
    points = 72 / 25.4
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide * points:.4f}pt" height="{high * points:.4f}pt" '
        f'viewBox="0 0 {wide} {high}" role="img"><title>{escape(name)}</title>'
        f"<desc>Stand-in for {escape(name)}</desc>"
        f'<rect x="0.25" y="0.25" width="{wide - 0.5}" height="{high - 0.5}" fill="#fff" stroke="#000" '
        f'stroke-width="0.5"/><path d="M10 {high - 5} h100" stroke="#000" stroke-width="0.35"/>'
        f'<text x="{wide / 2}" y="{high / 2}" text-anchor="middle" '
        f"style=\"font: 4.8px 'DejaVu Sans'\">picture of {escape(name)}</text></svg>"
    )


def sample(edition: str = "imperial", *, pictured: bool = True) -> tuple[dict[str, Any], dict[str, str]]:
    """The bookcase as a sheet, and its pictures."""
    plan = bookcase(edition)
    pictures = {}
    if pictured:
        pictures = {"front": drawing("front", wide=120, high=110), "letters": drawing("letters")}
        pictures |= {"three-view": drawing("three view"), "part-A": drawing("side")}
        pictures |= {f"step-{step.slug}": drawing(step.slug) for step in plan.steps if step.number > 1}
    return sheet(plan, BOOK, pictures=dict.fromkeys(pictures, "a stand-in")), pictures


def text(words: str) -> list[dict[str, Any]]:
    """Running text of plain words."""
    return [{"k": "text", "s": words, "to": None}]


def crowded(edition: str = "imperial") -> tuple[dict[str, Any], dict[str, str]]:
    """Forty parts with long names and thirty steps, some with twelve actions and three hazards."""
    data, _ = sample(edition)
    pictures = {"front": drawing("front", wide=190, high=160)}
    first = data["cutlist"][0]["rows"]
    data["title"] = "A piece with a very long name that no head of a page was made for"
    data["pictures"] = {"front": {"svg": "front", "alt": ""}, "letters": None, "three_view": None, "steps": {}}
    data["cutlist"][0]["rows"] = [_part(first[k % len(first)], k) for k in range(40)]
    data["steps"] = [_step(data["steps"][k % 14], k) for k in range(30)]
    for step in data["steps"]:
        pictures[step["picture"]] = drawing(step["title"], high=90 + step["number"] % 4 * 9)
    data["safety"]["hazards"] = [hazard for step in data["steps"] for hazard in step["hazards"]]
    return data, pictures


def bare() -> dict[str, Any]:
    """A sheet in which all that can be empty is empty."""
    data, _ = sample(pictured=False)
    for key in ("changed", "learn", "ask_first", "introduction", "cutlist", "measured", "materials", "yard", "tools"):
        data[key] = []
    data |= {"finish": [], "dims": [], "safety": {"wear": [], "never": [], "hazards": []}}
    data |= dict.fromkeys(("summary", "level", "notice", "revision", "revised", "weight", "bench", "waiting"), "")
    kept = ("number", "of", "slug", "title", "picture", "alt")
    data["steps"] = [
        {key: value if key in kept else type(value)() for key, value in step.items()} for step in data["steps"][:2]
    ]
    return data


def _part(row: dict[str, Any], k: int) -> dict[str, Any]:
    row = copy.deepcopy(row)
    letter = chr(65 + k) if k < 26 else f"A{chr(65 + k - 26)}"
    for one in row["letters"]:
        one["letter"] = letter
    row |= {"name": f"part number {k} with a rather long name of its own", "note": "a remark of some length"}
    row |= {"rough_length": "131²³⁄₃₂", "finished_length": "129¹⁷⁄₃₂"}
    return row


def _step(step: dict[str, Any], k: int) -> dict[str, Any]:
    step = copy.deepcopy(step)
    slug = f"step-{k + 1}"
    step |= {"number": k + 1, "of": 30, "slug": slug, "picture": f"picture-{k + 1}", "title": f"Do number {k + 1}"}
    step["hazards"] = []
    step["actions"] = [text(f"Work {k + 1}.{j + 1} is done with care and attention.") for j in range(4)]
    if k % 3 == 0:
        step["actions"] = [text(f"Work {k + 1}.{j + 1} is done " + "with care " * (j % 3 * 6)) for j in range(12)]
        step["hazards"] = [
            {"signal": signal, "title": text(f"Harm {k + 1}"), "text": text("It hurts. Keep away from it. " * 6)}
            | {"step": k + 1, "slug": slug}
            for signal in ("DANGER", "WARNING", "CAUTION")
        ]
        step["good_enough"] = text("It is good enough. " * 6)
        step["went_wrong"] = text("Do it again. " * 9)
        step["look"] = "a thing of some length that the teacher must look at before anything else goes on"
        step["wait"] = "1 hour, for glue"
    return step
