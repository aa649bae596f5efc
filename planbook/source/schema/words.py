"""What all parts of the schema share: strict mappings, one-or-many lists, values per edition."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, Discriminator, Field, Tag

from planbook.source.text import Text


class Words(BaseModel):
    """A mapping that allows only the keys it names."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True, arbitrary_types_allowed=True)


class PerEdition(Words):
    """The author's own value for each edition; it wins over any conversion."""

    imperial: Text = Field(description="The value in the imperial edition, in inches or feet.")
    metric: Text = Field(description="The value in the metric edition, in millimetres.")


def _text_or_mapping(value: Any) -> str:
    return "mapping" if isinstance(value, (dict, Words)) else "text"


def _as_list(value: Any) -> Any:
    return value if isinstance(value, list) else [value]


Value = Annotated[Annotated[Text, Tag("text")] | Annotated[PerEdition, Tag("mapping")], Discriminator(_text_or_mapping)]
"""A value, or a pair of values for the two editions."""

Many = Annotated[
    tuple[Text, ...],
    BeforeValidator(lambda value: tuple(_as_list(value))),
    Field(json_schema_extra={"x-one-or-many": True}),
]
"""One text or a list of texts."""

ManyValues = Annotated[
    tuple[Value, ...],
    BeforeValidator(lambda value: tuple(_as_list(value))),
    Field(json_schema_extra={"x-one-or-many": True}),
]
"""One value or a list of values, each of which may be a pair for the two editions."""
