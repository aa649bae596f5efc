"""The words of a template: a part, or some of its cuts and holes, printed at full size."""

from __future__ import annotations

from pydantic import Field

from planbook.source.schema.words import Many, Words
from planbook.source.text import Text


class TemplateSource(Words):
    """A paper template at full size, tiled over the pages of the handout."""

    of: Text = Field(description="The part that is shown.")
    as_: Text = Field(
        Text("sheet"),
        alias="as",
        description="`sheet`: a face of the part; `story stick`: a strip with every place along it, or every diameter.",
    )
    shows: Many = Field(
        (),
        description="`outline`, `cuts`, `holes`, or names of joints and rows of holes; everything if not given. "
        "Without `outline` only the corner round what is shown is printed.",
    )
    face: Text | None = Field(
        None, description="The face that is seen; if not given, the one into which what is shown is cut or bored."
    )
    note: Text | None = Field(None, description="How to use it, in one sentence.")
