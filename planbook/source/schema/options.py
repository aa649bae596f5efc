"""The words of an option: with or without a drawer."""

from __future__ import annotations

from pydantic import Field

from planbook.source.schema.words import Many, Words
from planbook.source.text import Text


class OptionSource(Words):
    """Something that a plan is made with or without."""

    is_: Text = Field(alias="is", description="`yes` or `no`: whether this plan has it.")
    with_: Many = Field((), alias="with", description="Parts, joints, holes, cuts and bought things that belong to it.")
    steps: Many = Field((), description="Titles of the steps that are done only with it.")
    without: Many = Field((), description="Parts, joints and so on that are there only without it.")
    other_steps: Many = Field((), alias="other steps", description="Titles of the steps that are done only without it.")
    about: Text | None = Field(None, description="A remark for whoever chooses.")
