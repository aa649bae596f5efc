from __future__ import annotations

import pytest

from planbook.source.nearest import did_you_mean, nearest, one_of

WORDS = ("high", "wide", "deep", "upper face", "upper edge", "set back")


@pytest.mark.parametrize(
    ("typed", "first"),
    [
        ("hihg", "high"),
        ("Wide", "wide"),
        ("uper face", "upper face"),
        ("set-back", "set back"),
        ("set_back", "set back"),
    ],
)
def test_the_likeliest_word_comes_first(typed: str, first: str) -> None:
    assert nearest(typed, WORDS)[0] == first


@pytest.mark.parametrize("typed", ["", "zzz", "x" * 5000])
def test_nothing_is_offered_for_what_resembles_nothing(typed: str) -> None:
    assert nearest(typed, WORDS) == ()
    assert did_you_mean(typed, WORDS) is None


def test_ties_keep_the_given_order_and_repeats_count_once() -> None:
    assert nearest("ax", ("ay", "az", "ay", "ax")) == ("ax",)
    assert nearest("abc", ("abd", "abe", "abd")) == ("abd", "abe")


def test_help_is_ready_to_type() -> None:
    assert did_you_mean("upper fase", WORDS) == "write `upper face` or `upper edge`"


def test_a_long_choice_is_cut_and_says_so() -> None:
    assert one_of("abc", most=2) == "`a`, `b` (and 1 more)"
    assert one_of("ab") == "`a` or `b`"
    assert one_of(()) == ""
