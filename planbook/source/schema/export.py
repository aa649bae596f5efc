"""The words of the language as JSON Schema (draft 2020-12), for editors that complete and check YAML.

Editors read YAML with guesses of their own: `24` reaches the schema as a number, `yes` as a truth value,
a date as a date, and under YAML 1.1 the key `on` as the truth value true. The schema lets these pass, since
planbook itself keeps the characters as they were typed.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from planbook.source.schema.words import Words

DIALECT = "https://json-schema.org/draft/2020-12/schema"
KINDS = ("book", "shop", "words", "plan", "class", "notes", "step")
"""What has a schema: six kinds of files, and the facts block of a step."""
FILES = KINDS[:-1]

_SCALAR = "written"
_ONE_OR_MANY = "x-one-or-many"
_NO_WORD = frozenset({"title", "discriminator", _ONE_OR_MANY})
_TRUTH_IN_YAML_1_1 = {"on": True, "yes": True, "off": False, "no": False}

Schema = dict[str, Any]


def schema_of(kind: str) -> Schema:
    """Return the schema of one of `KINDS`; raises KeyError for another name."""
    model = _models()[kind]
    raw = model.model_json_schema(by_alias=True)
    definitions = _definitions({name: _plain(part) for name, part in raw.pop("$defs", {}).items()})
    whole: Schema = {"$schema": DIALECT, **_plain(raw), "$defs": definitions}
    for group in (whole, *definitions.values()):
        for facts in group.get("properties", {}).values():
            if "description" not in facts:
                # Pydantic leaves it away where the group it points to says the same.
                facts["description"] = definitions[facts["$ref"].rpartition("/")[2]]["description"]
    return whole


def schema_of_files() -> Schema:
    """Return one schema that any YAML file of a book meets by exactly one of its kinds."""
    definitions: Schema = {}
    for kind in FILES:
        whole = schema_of(kind)
        definitions.update(whole.pop("$defs"))
        del whole["$schema"]
        # A file without a word would be of two kinds.
        definitions[kind] = {**whole, "minProperties": 1}
    return {
        "$schema": DIALECT,
        "description": "A file of a book: planbook.yaml, shop.yaml, words.yaml, plan.yaml, a class or its notes.",
        "oneOf": [{"$ref": f"#/$defs/{kind}"} for kind in FILES],
        "$defs": _definitions(definitions),
    }


def _models() -> dict[str, type[Words]]:
    from planbook.source.schema.book import BookFacts, GlossaryFacts, ShopFacts
    from planbook.source.schema.classes import ClassSource, NotesSource
    from planbook.source.schema.plan import PlanSource
    from planbook.source.schema.steps import StepFacts

    models = (BookFacts, ShopFacts, GlossaryFacts, PlanSource, ClassSource, NotesSource, StepFacts)
    return dict(zip(KINDS, models, strict=True))


def _definitions(found: Schema) -> Schema:
    scalar = {
        "description": "A text; planbook reads it as it is typed.",
        "type": ["string", "number", "boolean"],
    }
    return {_SCALAR: scalar, **{name: found[name] for name in sorted(found) if name != _SCALAR}}


def _plain(part: Any) -> Any:
    """Return a piece of pydantic's schema in the fewest words, with one-or-many lists spelled out."""
    if isinstance(part, list):
        return [_plain(item) for item in part]
    if not isinstance(part, dict):
        return part
    if "properties" in part:
        return _mapping(part)
    kept = {key: _plain(value) for key, value in part.items() if key not in _NO_WORD}
    if "oneOf" in kept:
        # Readings are told apart by a word that names them; an editor must not mind if two would fit.
        kept["anyOf"] = kept.pop("oneOf")
    if part.get("default", "") in (None, []):
        kept.pop("default", None)
    if isinstance(kept.get("default"), (list, tuple)):
        kept["default"] = [str(item) for item in kept["default"]]
    if kept.get("format") == "date":
        # PyYAML makes a date of it, which has no type in JSON Schema.
        kept.pop("type", None)
        return _without_null(kept, dated=True)
    if part.get(_ONE_OR_MANY):
        items = kept.pop("items")
        del kept["type"]
        return {**kept, "anyOf": [items, {"type": "array", "items": items}]}
    if kept.get("type") == ["string", "number", "boolean"]:
        del kept["type"]
        return {"$ref": f"#/$defs/{_SCALAR}", **kept}
    return _without_null(kept)


def _mapping(part: Schema) -> Schema:
    """Return the schema of a mapping that allows only its own words."""
    words = {name: _plain(value) for name, value in part["properties"].items()}
    kept: Schema = {"type": "object", "description": " ".join(part["description"].split()), "properties": words}
    if part.get("required"):
        kept["required"] = part["required"]
    guessed = [truth for word, truth in _TRUTH_IN_YAML_1_1.items() if word in words]
    if guessed:
        kept["propertyNames"] = {"enum": [*words, *guessed]}
    else:
        kept["additionalProperties"] = False
    return kept


def _without_null(part: Schema, *, dated: bool = False) -> Schema:
    """Drop the `null` that stands for a word left out: a word that is written has a value."""
    choices = [choice for choice in part.get("anyOf", ()) if choice != {"type": "null"}]
    if dated:
        part.pop("anyOf", None)
    elif len(choices) == 1:
        del part["anyOf"]
        return {**choices[0], **part}
    elif choices:
        part["anyOf"] = choices
    return part
