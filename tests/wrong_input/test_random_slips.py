"""Slips of the keyboard at random: nothing ever raises, and a plan that fails says where."""

from __future__ import annotations

import random
import re
from pathlib import Path

import pytest
from fixtures.small_books import BOOK, CASE, SHOP, plan_text, read, step_text, write_book

BOOKCASE = Path(__file__).parent.parent / "fixtures" / "target-a"
RICH = plan_text(
    {
        **CASE,
        "edgings": "lip: {of: ply, thick: 1/4 in, over: 1/8 in}",
        "parts": CASE["parts"].replace("on: floor", "on: floor, front: lip")
        + "\nshelf: {of: ply, count: 2, between: side, play: 1/16 in, width: front to rabbet less 1/8 in, on: pins}"
        + "\npanel: {of: ply, between: side, covers: [bottom, shelf], fit: to the case}",
        "joints": CASE["joints"] + "\nback rabbet: {rabbet: 3/8 in deep, wide: ply.thick, in: side, along: back edge, "
        "for: panel, by: nails, every: 6 in}",
        "holes": "pins: {in: side, on: inside, rows: [2 in from front, 2 in from back], start: 4 in above bottom, "
        "stop: 4 in below end of side, every: 1 1/4 in, drill: 1/4 in, deep: 3/8 in}",
    },
    "bought: {pin: 4 for each shelf, glue: {amount: 6 fl oz, kind: glue}}\nfinish: {product: oil, coats: 2}\n"
    "overall: {wide: wide, deep: deep}\n",
)
STEPS = step_text(
    "Make it",
    "cuts: [side, bottom, shelf, panel, lip, dados, back rabbet, pins], "
    "joins: [lip, dados, back rabbet], sets: [shelf], "
    "trims: [lip], finishes: [all faces], with: [saw, 2 clamps, bit for pins], "
    "time: {set up: 5 min, each: 5 min per part}",
    "- Mark {bottom.underside from foot} on {left side} and {pins.drill}, {3/8 in}; {step Make it}.",
    "Hazard (serious injury; could): **Blade.** Mind it.",
)
JUNK = (
    "", "#8", "{", "}", "-", "- 1/2 in", "0", "1/0", "yes", "[]", "[a, b]", "{a: b}", "*x", "&y", "0 in", "-1 in",
    "1e30",
    "in", "from", "to", "2 in from", "left", "left side", "above floor", "..", "%", '"', ".", "side.length", "ply",
    "lip of side", "9" * 40, "9" * 25 + " in", "1/64 in", "0.1 mm", "step", "bit for", "through", "full", "flush",
    "|\n  a\n  b", "ply.thick + 1/4 in", "30 deg", "5 min", "é", "6 fl oz", '""', "\t", "棚", "{side}", "~", "!!x",
)  # fmt: skip
VALUE = re.compile(r"(?<=: )[^:,{}\[\]\n#]+")
WORD = re.compile(r"[\w/.]+")


def slipped(text: str, dice: random.Random) -> str:
    """Return the text with one to three slips: lines and words lost, doubled, swapped or replaced."""
    for _ in range(dice.choice((1, 1, 1, 2, 3))):
        pattern = dice.choice((VALUE, WORD))
        places = [match.span() for match in pattern.finditer(text)]
        kind = dice.randrange(6)
        if kind == 0:
            lines = text.split("\n")
            at = dice.randrange(len(lines))
            lines[at : at + 1] = dice.choice(([], [lines[at]] * 2))
            text = "\n".join(lines)
        elif kind == 1:
            at = dice.randrange(max(1, len(text)))
            text = text[:at] + text[at + 1 :]
        elif len(places) >= 2 and kind in (2, 3):
            (a, b), (c, d) = sorted(dice.sample(places, 2))
            text = text[:a] + text[c:d] + text[b:c] + text[a:b] + text[d:]
        elif places:
            a, b = dice.choice(places)
            text = text[:a] + (dice.choice(JUNK) if kind == 4 else f"{text[a:b]} {text[a:b]}") + text[b:]
    return text


def assert_survives(folder: Path, seed: object) -> None:
    found = read(folder)
    for item in found.findings:
        for span in (item.span, *(place for place, _ in item.further)):
            if span is not None:
                assert span.file, (seed, item)
                assert found.sources.get(span.file) is None or found.sources.line(span.file, span.line) is not None, (
                    seed
                )
    failed = not found.plans or any(plan is None for plan in found.plans.values())
    if failed:
        assert any(item.span is not None for item in found.stops()), (seed, found.stops())


@pytest.mark.parametrize("start", range(0, 300, 50))
def test_slips_in_a_small_plan(tmp_path: Path, start: int) -> None:
    for seed in range(start, start + 50):
        dice = random.Random(seed)
        plan, steps = RICH, STEPS
        if seed % 3:
            plan = slipped(plan, dice)
        else:
            steps = slipped(steps, dice)
        assert_survives(write_book(tmp_path, plan, steps, shop=SHOP, book=BOOK), seed)


def test_the_small_plan_itself_is_right(tmp_path: Path) -> None:
    assert not read(write_book(tmp_path, RICH, STEPS)).stops()


@pytest.mark.parametrize("start", range(0, 40, 20))
def test_slips_in_the_bookcase(tmp_path: Path, start: int) -> None:
    files = {
        path.relative_to(BOOKCASE): path.read_text("utf-8") for path in sorted(BOOKCASE.rglob("*")) if path.is_file()
    }
    for seed in range(start, start + 20):
        dice = random.Random(seed)
        wrong = dice.choice(sorted(files))
        for path, text in files.items():
            place = tmp_path / path
            place.parent.mkdir(parents=True, exist_ok=True)
            place.write_text(slipped(text, dice) if path == wrong else text, "utf-8")
        assert_survives(tmp_path, seed)
