"""The words of `planbook reckon`: its own examples work, and a rare unit is understood."""

from __future__ import annotations

import json
import shlex

import click
import pytest
from sample_commands import Command

from planbook.cli import exits
from planbook.cli.reckon import reckon


def examples() -> list[list[str]]:
    text = reckon.get_help(click.Context(reckon, terminal_width=200)).partition("\nOptions:")[0]
    lines = [line.strip() for line in text.split("  planbook reckon ")[1:]]
    return [shlex.split(" ".join(line.split())) for line in lines]


def test_there_is_an_example_of_every_question() -> None:
    assert sorted(words[0] for words in examples()) == sorted(reckon.commands)


@pytest.mark.parametrize("words", examples(), ids=lambda words: words[0])
def test_an_example_is_answered_with_its_sources(planbook: Command, words: list[str]) -> None:
    told = planbook("reckon", *words)
    assert told.code == exits.FINE
    assert "Source" in told.out


# A rod is 16 1/2 ft (from memory), so 1 in x 6 in x 1 rod is 1 x 6 x 198 / 144 = 8.25 board feet; pint counts the rod
# in survey feet, two millionths longer.
def test_a_unit_outside_our_own_table_is_understood(planbook: Command) -> None:
    words = ("reckon", "boardfeet", "--thick", "1 in", "--width", "6 in", "--length")
    told = planbook(*words, "1 rod", "--as", "json")
    assert told.code == exits.FINE
    rows = {row["what"]: row["value"] for row in json.loads(told.out)["figures"]}
    assert rows["by volume"] == pytest.approx(8.25, rel=1e-5)
    wrong = planbook(*words, "6 foo")
    assert wrong.code != exits.FINE
    assert "`foo` is not a unit" in wrong.err


@pytest.mark.parametrize("length", ["2 in wide", "1 furlong 3", "5 radian"])
def test_what_no_table_knows_is_told(planbook: Command, length: str) -> None:
    told = planbook("reckon", "boardfeet", "--thick", "1 in", "--width", "6 in", "--length", length)
    assert told.code == exits.WRONG_USE
    assert "--length" in told.err
