"""Noise of a class day, against OSHA's table and the demo class."""

from __future__ import annotations

from fractions import Fraction

import pytest
from publish.test_class_sheets import demo

from planbook.publish.class_noise import noise
from planbook.trade.noise import noise_day
from planbook.trade.sourced import Span


def level(low: int, high: int) -> Span:
    return Span(Fraction(low), Fraction(high), "a test", "practice")


def test_doses_of_a_day_follow_the_tables() -> None:
    # 29 CFR 1910.95, Table G-16: 8 h at 90 dBA, 4 h at 95, 2 h at 100. NIOSH 98-126: 8 h at 85 dBA, 4 h at 88.
    day = noise_day([(level(90, 95), Fraction(2)), (level(95, 100), Fraction(1))])
    assert day.osha_pct == pytest.approx((100 * (2 / 8 + 1 / 4), 100 * (2 / 4 + 1 / 2)))
    quiet = noise_day([(level(85, 88), Fraction(4))])
    assert quiet.niosh_pct == pytest.approx((50, 100))
    assert quiet.osha_pct[0] < 50


def test_the_class_is_told_what_its_loudest_place_hears() -> None:
    solved, info = demo()
    told = noise(solved, info)
    assert told["rows"]
    first = told["rows"][0]
    assert "router" in first["machines"]
    low, high = (int(word) for word in first["niosh"].removesuffix(" %").split(" to "))
    assert 0 < low < high
    # NIOSH counts 3 dB as twice as loud and begins at 85 dBA: its dose is always the larger one.
    assert high > int(first["osha"].removesuffix(" %").split(" to ")[-1])
    assert any("1910.95" in source for source in told["sources"])


def test_hand_tools_alone_make_no_noise_worth_telling() -> None:
    from dataclasses import replace

    solved, info = demo()
    quiet = replace(info, tools={})
    steps = tuple(replace(step, tools=()) for step in solved.one.plan.steps)
    silent = replace(solved, one=replace(solved.one, plan=replace(solved.one.plan, steps=steps)))
    assert noise(silent, quiet)["rows"] == []
