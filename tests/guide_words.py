"""The tables of all words at the end of the language guide, made from the schema.

`python tests/guide_words.py` writes them into the guide anew.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from planbook.source.schema.export import schema_of

GUIDE = Path(__file__).parent.parent / "content" / "pages" / "writing-a-plan.md"
HEADING = "## All words\n"
TITLES = {
    "book": "`planbook.yaml`",
    "shop": "`shop.yaml`",
    "words": "`words.yaml`",
    "plan": "`plan.yaml`",
    "class": "A file in `classes`",
    "notes": "Notes after a class, `classes/NAME.notes.yaml`",
    "step": "The facts of a step",
}
PAIR = "PerEdition"
GROUPS = {
    "ToolSource": "A tool",
    "MaterialSource": "A material",
    "StationSource": "A station",
    "WoodSource": "A wood of the book's own",
    "PanelSource": "A sheet good of the book's own",
    "ProductSource": "A product of the book's own",
    "LoadSource": "A load of the book's own",
    "RoomSource": "`room:`",
    "WordSource": "A word of the glossary",
    "TitleSource": "`plan:`",
    "DimSource": "A dim",
    "StockSource": "A stock",
    "SlabSource": "`slab:` of a stock",
    "MarkSource": "A mark of a slab",
    "EdgingSource": "An edging",
    "PartSource": "A part",
    "SpareSource": "`spare:` of a part",
    "DiscSource": "A part with `disc`",
    "ShapedSource": "A part with `shape`",
    "EndSpareSource": "`spare:` of a part with `shape`",
    "SlabPartSource": "A part with `natural edge`",
    "BoughtPartSource": "A part with `bought`",
    "BoughtHolesSource": "`holes:` of a bought part",
    "JigSource": "A part with `jig`",
    "JointSource": "A joint",
    "SocketSource": "A joint with `bore`",
    "BoltedSource": "A joint with `through`, at the holes of a bought part",
    "FastenedSource": "A joint with `through` and `into`",
    "BracketSource": "`bracket:` of a joint",
    "InsertSource": "`insert:` of a joint",
    "MortiseSource": "A joint with `mortise`",
    "HalfLapSource": "A joint with `half lap`",
    "OptionSource": "An option",
    "HolesSource": "A row of holes",
    "ShapingSource": "A cut",
    "ResinSource": "A pour of resin",
    "TemplateSource": "A template",
    "BoughtSource": "A bought thing",
    "FinishSource": "`finish:`",
    "OverallSource": "`overall:`",
    "SessionSource": "A session of a class",
    "CostSource": "An item of `costs:` of a class",
    "StepNotesSource": "A step in the notes after a class",
    "TimeSource": "`time:` of a step",
    "TestSource": "`test:` of a step",
}


def word_tables() -> str:
    """Return all tables as Markdown, group by group in the order in which a reader meets them."""
    blocks = []
    told: set[str] = set()
    for kind, title in TITLES.items():
        whole = schema_of(kind)
        blocks.append(_table(title, whole))
        groups = {name: part for name, part in whole["$defs"].items() if "properties" in part and name != PAIR}
        order = [*(name for name in GROUPS if name in groups), *sorted(set(groups) - set(GROUPS))]
        for name in order:
            if name not in told:
                blocks.append(_table(GROUPS.get(name) or _named(groups[name]), groups[name]))
                told.add(name)
    return "\n".join(blocks)


def _named(group: dict[str, Any]) -> str:
    """Return a title for a group that has none of its own: the beginning of what it is."""
    return re.split(r"[.:,;]", str(group["description"]))[0]


def _table(title: str, group: dict[str, Any]) -> str:
    rows = ["| word | value | meaning |", "|---|---|---|"]
    for word, facts in group["properties"].items():
        star = " *" if word in group.get("required", ()) else ""
        rows.append(f"| `{word}`{star} | {_value(facts)} | {facts['description']} |")
    return f"### {title}\n\n" + "\n".join(rows) + "\n"


def _value(facts: dict[str, Any]) -> str:
    """Return in words what may stand behind a word."""
    choices = facts.get("anyOf")
    if choices is None:
        if facts.get("type") == "object":
            return "a group of your own names"
        target = facts.get("$ref", "").rpartition("/")[2]
        return "one value" if target in ("", "written") else "a group"
    if any(choice.get("type") == "array" for choice in choices):
        return "one or several"
    targets = {choice.get("$ref", "").rpartition("/")[2] for choice in choices}
    return "one value or a pair" if "PerEdition" in targets else "one value or a group"


def with_tables(guide: str) -> str:
    """Return the guide with its tables made anew: all that follows the first paragraph of their section."""
    before, heading, section = guide.partition(HEADING)
    introduction = section.strip().split("\n\n")[0]
    return f"{before}{heading}\n{introduction}\n\n{word_tables()}"


if __name__ == "__main__":
    GUIDE.write_text(with_tables(GUIDE.read_text("utf-8")), "utf-8")
