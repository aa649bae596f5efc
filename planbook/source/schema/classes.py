"""The words of `classes/NAME.yaml`: who builds which plan, when, and what is done beforehand."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from planbook.source.schema.words import Many, Words
from planbook.source.text import Text


def _as_tuple(value: Any) -> Any:
    return tuple(value) if isinstance(value, list) else value


_Rows = BeforeValidator(_as_tuple)
"""A list of groups, kept as a tuple."""


class SessionSource(Words):
    """A stretch of teaching on one day."""

    date: Text = Field(description="Day, as `2026-10-06`.", json_schema_extra={"format": "date"})
    start: Text = Field(description="Time of the clock at which it starts, as `18:00`.")
    end: Text = Field(description="Time of the clock at which everybody leaves.")
    breaks: Many = Field((), description="Breaks in it, as `19:30 to 19:45`.")


class CostSource(Words):
    """One item of what the class costs: for each piece that is built, or once for the class."""

    what: Text = Field(description="What is paid for.")
    each: Text | None = Field(None, description="Money for each piece that is built.")
    once: Text | None = Field(None, description="Money for the class as a whole, however many come.")


class ClassSource(Words):
    """A class: a plan, its sessions, its students, and what is done beforehand."""

    title: Text = Field(description="Title of the class, at the head of its page and its sheets.")
    summary: Text | None = Field(None, description="One or two sentences for those who think of coming.")
    plan: Text = Field(description="The plan that is built: the name of its folder.")
    edition: Text | None = Field(None, description="Edition that everybody works by; the book's first if not given.")
    students: Text = Field(description="How many come.")
    working: Text = Field(Text("alone"), description="`alone` or `in pairs`: who builds one piece.")
    assistants: Text | None = Field(None, description="Helpers who may look in the teacher's place; none if not given.")
    zone: Text = Field(description="Time zone of all times, by its name in the IANA database: `Europe/Oslo`.")
    place: Text | None = Field(None, description="Room or house, for the page and the calendar.")
    sessions: Annotated[tuple[SessionSource, ...], _Rows] = Field(description="Sessions in their order.")
    welcome: Text | None = Field(
        None, description="Time at the start of the first session for the safety page; 20 min if not given."
    )
    clean_up: Text | None = Field(
        None, alias="clean up", description="Time at the end of each session; 20 min if not given."
    )
    slot: Text | None = Field(None, description="Times are counted in stretches of this length; 15 min if not given.")
    slowest: Text | None = Field(
        None, description="How many times the median the slowest student takes; 2 if not given."
    )
    demonstrate: Text | None = Field(
        None, description="Time in which a step with machines is shown to all; none if not given."
    )
    prepared: Many = Field((), description="Titles of the steps that the teacher does beforehand, for everybody.")
    at_home: Many = Field((), alias="at home", description="Titles of the steps that are left for home.")
    ready_made: dict[Text, Text] = Field(
        default_factory=dict,
        alias="ready-made",
        description="Parts kept ready for who is late or has spoiled one, with how many: `side: 1`.",
    )
    brings: Many = Field((), description="What each student brings.")
    costs: Annotated[tuple[CostSource, ...], _Rows] = Field((), description="What the class costs, item by item.")
    price: Text | None = Field(None, description="What each student pays.")
    money: Text | None = Field(None, description="Sign or name of the money, as `$`; none is printed if not given.")


class StepNotesSource(Words):
    """What one step took in a class that is over."""

    minutes: Many = Field(
        (), description="Minutes that each one worked at it, one number for each: talk, queue and drying left out."
    )
    spoiled: dict[Text, Text] = Field(
        default_factory=dict, description="Parts spoiled in it, with how many: `side: 1`."
    )


class NotesSource(Words):
    """Notes after a class, `classes/NAME.notes.yaml`: the times and spares of the next one come from them."""

    written: Text = Field(
        description="Day on which they were written, as `2026-10-21`.", json_schema_extra={"format": "date"}
    )
    makers: Text = Field(description="How many pieces were built: students alone, or pairs.")
    steps: dict[Text, StepNotesSource] = Field(description="What each step took, by the title of the step.")
    ran_out: Many = Field((), alias="ran out", description="What ran out, or was missing.")
    remarks: Many = Field((), description="What to do otherwise next time.")
