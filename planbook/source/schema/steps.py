"""The words of the facts block under the title of a step."""

from __future__ import annotations

from pydantic import Field

from planbook.source.schema.words import Many, Value, Words
from planbook.source.text import Text


class TimeSource(Words):
    """Minutes of a step."""

    set_up: Text | None = Field(None, alias="set up", description="Setting up, once, however many are made.")
    each: Text | None = Field(None, description="Hands-on time for one piece, or `4 min per side`.")
    wait: Text | None = Field(None, description="Waiting afterwards, as `1 h` or `1 h for glue`.")


class TestSource(Words):
    """A test piece: it becomes part of the cut list and the kit."""

    of: Text = Field(description="Stock it is cut from: the thickness that the step will meet.")
    length: Value = Field(description="Length of the test piece.")
    width: Value | None = Field(None, description="Width of the test piece; 3 in (75 mm) if not given.")
    count: Text | None = Field(None, description="How many; 1 if not given.")


class StepFacts(Words):
    """What a step claims, needs and takes. Each cut and each joint belongs to exactly one step."""

    cuts: Many = Field((), description="Parts sawn out, and cuts or holes made.")
    joins: Many = Field((), description="Joints closed and edgings glued on.")
    sets: Many = Field((), description="Parts put in place without a joint.")
    trims: Many = Field((), description="Edgings, and parts left long, brought to their final size.")
    finishes: Many = Field(
        (),
        description="What is finished: words of `before assembly`, `the rest`; or `all faces`, or coat by coat "
        "`first coat`, `second coat`.",
    )
    marks: Many = Field((), description="Parts marked out.")
    works: Many = Field((), description="Parts worked on otherwise (sanded, eased, turned over).")
    test: TestSource | None = Field(None, description="Test piece to be cut first.")
    with_: Many = Field(
        (), alias="with", description="Tools, with their number: `router`, `2 clamps`, `bit for shelf dados`."
    )
    holds: dict[Text, Text] = Field(
        default_factory=dict, description="What stays occupied while the step waits: `clamps: 6`."
    )
    teachers_eye: Text | None = Field(None, alias="teacher's eye", description="What the teacher looks at here.")
    hands: Text | None = Field(None, description="Persons needed at once; 1 if not given.")
    time: TimeSource = Field(description="Set-up, hands-on and waiting time.")
