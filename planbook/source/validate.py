"""Data against the words that a schema allows, each fault at its place and told once."""

from __future__ import annotations

import types
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated, Any, TypeVar, Union, get_args, get_origin

from planbook.source.diagnostics import Findings
from planbook.source.nearest import did_you_mean, nearest, one_of
from planbook.source.yaml_nodes import Node, Path

if TYPE_CHECKING:
    from pydantic import BaseModel, ValidationError

    Facts = TypeVar("Facts", bound=BaseModel)

_WANTED = {
    "is_instance_of": "a single value",
    "string_type": "a single value",
    "dict_type": "lines of the kind `word: value`",
    "model_type": "lines of the kind `word: value`",
    "model_attributes_type": "lines of the kind `word: value`",
    "list_type": "a list",
    "tuple_type": "a list",
}
"""What is wanted where pydantic reports a value of another shape, by its name for the error."""


def validated(model: type[Facts], node: Node, findings: Findings) -> Facts | None:
    """Return the data as the model's facts, or record every fault and return None."""
    from pydantic import ValidationError

    try:
        return model.model_validate(node.data)
    except ValidationError as error:
        place_errors(error, model, node, findings)
        return None


def place_errors(error: ValidationError, model: type[BaseModel], node: Node, findings: Findings) -> None:
    """Record the faults that `model` found in the data of `node`, each where it stands."""
    faults = [_located(dict(item), model, node) for item in error.errors(include_url=False)]
    told = _one_reading(faults)
    # A word that is missing because it was mistyped is one fault, not two.
    mistyped = {(*fault.path[:-1], word) for fault in told for word in _meant(fault)}
    for fault in told:
        if fault.kind != "missing" or fault.path not in mistyped:
            _report(fault, node, findings)


@dataclass(frozen=True, slots=True)
class _Fault:
    """One error of pydantic with its place in the data."""

    kind: str
    said: str
    path: Path
    value: Any
    model: Any
    """The model whose words hold at the place, if it is known."""
    choices: tuple[str, ...]
    """Words that tell the readings of a value apart, where none of them was found."""
    turn: tuple[Path, str] | None
    """Where the first value with several readings stands, and the reading that this error is about."""


def _located(item: dict[str, Any], model: type[BaseModel], node: Node) -> _Fault:
    """Walk the model along pydantic's location, which mixes keys with names of readings."""
    hint: Any = model
    holder: Any = None
    path: Path = ()
    turn: tuple[Path, str] | None = None
    data: Any = node.data
    for step in item["loc"]:
        hint = _plain_hint(hint)
        if step == "[key]":
            continue
        members = _members(hint)
        if len(members) > 1:
            turn = turn or (path, str(step))
            hint = next((member for member in members if step in _labels(member)), None)
            continue
        inside = _holds(data, step)
        if hint is None and not inside and item["type"] not in ("missing", "extra_forbidden"):
            continue
        path = (*path, step if isinstance(step, int) else str(step))
        data = data[step] if inside else data
        holder, hint = hint, _inner(hint, step)
    members = _members(_plain_hint(hint))
    choices = tuple(str(label) for member in members for label in _labels(member)[:1])
    holder = holder if item["type"] in ("missing", "extra_forbidden") else hint
    return _Fault(item["type"], item["msg"], path, data, holder, choices, turn)


def _holds(data: Any, step: Any) -> bool:
    """Whether a step of a location leads into the data."""
    if isinstance(data, Mapping):
        return step in data
    return isinstance(data, list) and isinstance(step, int) and step < len(data)


def _plain_hint(hint: Any) -> Any:
    """Return a type without remarks, and without `None` beside it."""
    while True:
        if get_origin(hint) is Annotated:
            hint = get_args(hint)[0]
            continue
        members = _members(hint)
        if len(members) != 1 or members[0] is hint:
            return hint
        hint = members[0]


def _members(hint: Any) -> tuple[Any, ...]:
    """Return the types that a union chooses from, less `None`; of any other type the type itself."""
    if get_origin(hint) not in (Union, types.UnionType):
        return (hint,)
    return tuple(member for member in get_args(hint) if member is not type(None))


def _labels(member: Any) -> tuple[str, ...]:
    """Return the names by which pydantic's locations call one member of a union."""
    from pydantic import Tag

    tags = [remark.tag for remark in getattr(member, "__metadata__", ()) if isinstance(remark, Tag)]
    bare = _plain_hint(member)
    name = getattr(bare, "__name__", str(bare))
    return (*tags, name, f"is-instance[{name}]")


def _inner(hint: Any, step: Any) -> Any:
    """Return the type of what stands at a step inside a value of type `hint`."""
    fields = getattr(hint, "model_fields", None)
    if fields is not None:
        return next((field.annotation for name, field in fields.items() if step in (name, field.alias)), None)
    arguments = get_args(hint)
    if get_origin(hint) is dict:
        return arguments[1]
    return arguments[0] if get_origin(hint) in (list, tuple) and arguments else None


def _one_reading(faults: Sequence[_Fault]) -> list[_Fault]:
    """Drop the errors of all but the likeliest reading, where a value can be read in several ways."""
    readings: dict[Path, dict[str, list[_Fault]]] = {}
    for fault in faults:
        if fault.turn is not None:
            readings.setdefault(fault.turn[0], {}).setdefault(fault.turn[1], []).append(fault)
    best = {path: min(named, key=lambda name: _misfit(path, named[name])) for path, named in readings.items()}
    return [fault for fault in faults if fault.turn is None or best[fault.turn[0]] == fault.turn[1]]


def _meant(fault: _Fault) -> tuple[str, ...]:
    """Return the words that an unknown word may have been meant for."""
    return nearest(str(fault.path[-1]), _words(fault.model)) if fault.kind == "extra_forbidden" else ()


def _misfit(path: Path, faults: list[_Fault]) -> tuple[int, int]:
    """Return how badly a reading fits: not at all if the value has another shape, else by its errors."""
    shape = any(fault.path == path and fault.kind in _WANTED for fault in faults)
    return (int(shape), len(faults))


def _report(fault: _Fault, node: Node, findings: Findings) -> None:
    """Record one fault in the words of the trade."""
    word = str(fault.path[-1]) if fault.path else ""
    span = node.table.value(fault.path)
    if fault.kind == "extra_forbidden":
        words = _words(fault.model)
        near = did_you_mean(word, words) or (f"the words here are {one_of(words, most=30)}" if words else None)
        findings.stop(
            "unknown-word",
            f"`{word}` is not a word of {_owner(fault.path[:-1])}",
            node.table.key(fault.path),
            help=near,
        )
    elif fault.kind == "missing":
        around = fault.path[:-1]
        span = node.table.key(around) if around else node.span
        message = f"`{word}` is missing in {_owner(around)}"
        findings.stop("missing-word", message, span, help=_missing_help(fault.model, word))
    elif fault.kind in _WANTED:
        owner = _owner(fault.path)
        message = f"{owner} wants {_WANTED[fault.kind]}, {_given(fault.value)}"
        findings.stop("wrong-shape", message, span)
    elif fault.kind.startswith("union_tag"):
        message = f"{_owner(fault.path)} wants one of the words {one_of(fault.choices)}"
        findings.stop("missing-word", message, span)
    else:
        slug = _own_slug(fault.kind)
        message = fault.said.removeprefix("Value error, ").removeprefix("Assertion failed, ")
        findings.stop(slug, message[:1].lower() + message[1:].rstrip("."), span)


def _own_slug(kind: str) -> str:
    """Return the slug of an error that the schema itself defines; pydantic's own names share one."""
    from pydantic_core.core_schema import ErrorType

    return "wrong-value" if kind in get_args(ErrorType) else kind.replace("_", "-")


def _words(model: Any) -> list[str]:
    """Return the words that a model allows, as authors write them."""
    fields = getattr(model, "model_fields", {})
    return [field.alias or name for name, field in fields.items()]


def _missing_help(model: Any, word: str) -> str:
    """Return the line to add, with what the schema says about it."""
    fields = getattr(model, "model_fields", {})
    about = next((field.description for name, field in fields.items() if word in (name, field.alias)), None)
    return f"add `{word}: ...`" + (f" ({about[:1].lower()}{about[1:].rstrip('.')})" if about else "")


def _owner(path: Path) -> str:
    """Return what a path belongs to, in backticks: its last key."""
    keys = [step for step in path if isinstance(step, str)]
    return f"`{keys[-1]}`" if keys else "this file"


def _given(value: Any) -> str:
    """Return what stands in place of the wanted shape."""
    if isinstance(value, Mapping):
        return "a group of words stands there"
    if isinstance(value, list):
        return "a list stands there"
    if not str(value).strip():
        return "nothing is written there"
    text = str(value)
    return f"`{text if len(text) <= 40 else text[:39] + '…'}` is a single value"
