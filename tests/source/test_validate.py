from __future__ import annotations

from typing import Annotated

from pydantic import BaseModel, BeforeValidator, ConfigDict, Discriminator, Field, Tag
from pydantic_core import PydanticCustomError

from planbook.source.diagnostics import Diagnostic, Findings
from planbook.source.files import SourceFile
from planbook.source.text import Text
from planbook.source.validate import validated
from planbook.source.yaml_nodes import load


class Strict(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, strict=True)


class Pair(Strict):
    imperial: Text
    metric: Text = Field(description="The value in the metric edition.")


class Dado(Strict):
    dado: Text
    wide: Text | None = None


class Butt(Strict):
    butt: Text
    to: Text


def one_or_many(value: object) -> object:
    return tuple(value) if isinstance(value, list) else (value,)


def odd(value: Text) -> Text:
    if value == "odd":
        raise PydanticCustomError("odd_value", "`odd` is not even")
    if value == "bad":
        raise ValueError("This is bad.")
    return value


def which(value: object) -> str | None:
    words = value if isinstance(value, dict) else {}
    return next((word for word in ("dado", "butt") if word in words), None)


Joint = Annotated[Annotated[Dado, Tag("dado")] | Annotated[Butt, Tag("butt")], Discriminator(which)]


class Plan(Strict):
    title: Text
    high: Text | Pair | None = None
    stock: dict[Text, Pair] = {}
    joints: dict[Text, Joint] = {}
    upper_face: Text | None = Field(None, alias="upper face")
    parts: Annotated[tuple[Text, ...], BeforeValidator(one_or_many)] = ()
    checked: Annotated[Text, BeforeValidator(odd)] | None = None


def faults(text: str) -> list[tuple[str, str, str | None]]:
    """Return slug, marked words and help of each fault."""
    findings = Findings()
    node = load(SourceFile("plan.yaml", text), findings)
    assert node is not None
    facts = validated(Plan, node, findings)
    assert (facts is None) == bool(len(findings))
    return [(item.slug, marked(text, item), item.help) for item in findings]


def marked(text: str, item: Diagnostic) -> str:
    assert item.span is not None
    return text.split("\n")[item.span.line - 1][item.span.column - 1 : item.span.end_column - 1]


def test_good_data_become_facts() -> None:
    text = "title: x\nhigh: {imperial: 3 in, metric: 80 mm}\nparts: a\nupper face: top\njoints: {j: {dado: x}}\n"
    assert faults(text) == []


def test_an_unknown_word_is_marked_with_the_nearest_ones() -> None:
    assert faults("title: x\nuper face: 3\n") == [("unknown-word", "uper face", "write `upper face`")]
    assert faults("title: x\nstock: {ply: {imperial: a, metric: b, metrik: c}}\n") == [
        ("unknown-word", "metrik", "write `metric`")
    ]
    ((slug, word, cure),) = faults("title: x\nzzz: 3\n")
    assert (slug, word) == ("unknown-word", "zzz")
    assert cure == ("the words here are `title`, `high`, `stock`, `joints`, `upper face`, `parts` or `checked`")


def test_a_missing_word_is_told_where_it_belongs() -> None:
    assert faults("high: 3\n") == [("missing-word", "high: 3", "add `title: ...`")]
    assert faults("title: x\nstock: {ply: {imperial: a}}\n") == [
        ("missing-word", "ply", "add `metric: ...` (the value in the metric edition)")
    ]


def test_a_mistyped_word_is_not_missing_as_well() -> None:
    assert faults("titel: x\n") == [("unknown-word", "titel", "write `title`")]


def test_wrong_shapes_are_told_in_plain_words() -> None:
    findings = Findings()
    node = load(SourceFile("plan.yaml", "title: [x]\nstock: ply\njoints: {a: [b]}\nparts: {a: b}\n"), findings)
    assert node is not None
    assert validated(Plan, node, findings) is None
    assert [(item.slug, item.message) for item in findings] == [
        ("wrong-shape", "`title` wants a single value, a list stands there"),
        ("wrong-shape", "`stock` wants lines of the kind `word: value`, `ply` is a single value"),
        ("missing-word", "`a` wants one of the words `dado` or `butt`"),
        ("wrong-shape", "`parts` wants a single value, a group of words stands there"),
    ]


def test_a_reading_is_chosen_and_the_others_are_silent() -> None:
    assert faults("title: x\nhigh: {imperial: 3 in, metrc: 2}\n") == [("unknown-word", "metrc", "write `metric`")]
    assert faults("title: x\nhigh: [3 in]\n") == [("wrong-shape", "[3 in]", None)]


def test_the_word_that_names_a_joint_is_no_step_of_the_path() -> None:
    assert faults("title: x\njoints: {shelf: {dado: 1/4 in, wid: 2}}\n") == [("unknown-word", "wid", "write `wide`")]
    assert faults("title: x\njoints: {shelf: {butt: a}}\n") == [("missing-word", "shelf", "add `to: ...`")]


def test_faults_of_the_schema_itself_keep_their_name() -> None:
    assert faults("title: x\nchecked: odd\n") == [("odd-value", "odd", None)]
    assert faults("title: x\nchecked: bad\n") == [("wrong-value", "bad", None)]
