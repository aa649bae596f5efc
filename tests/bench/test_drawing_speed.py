"""How long pictures take, by kind, in time of the processor. Figures: `pytest tests/bench -s`."""

from __future__ import annotations

import hashlib
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from planbook.drawing.picture import Picture
from planbook.drawing.svg import to_svgs
from planbook.plan.model import Plan
from planbook.plan.resolve import resolve
from planbook.publish import pictures
from planbook.source.book import read_book
from planbook.source.diagnostics import Findings
from planbook.source.files import Sources
from planbook.units.editions import EDITIONS

ROOT = Path(__file__).parents[2]
KINDS: dict[str, Callable[[str], bool]] = {
    "finished piece": lambda key: key.startswith(("front", "letters", "exploded")),
    "front, side and top": lambda key: key == "three-view",
    "parts": lambda key: key.startswith("part-"),
    "steps": lambda key: key.startswith("step-") and not key.endswith("-narrow"),
    "steps for phones": lambda key: key.startswith("step-") and key.endswith("-narrow"),
}


@pytest.fixture(scope="module")
def plans() -> dict[str, Plan]:
    """Return the demo plan in each edition."""
    book = read_book(ROOT / "content", Findings(), Sources())
    assert book is not None
    made = {name: resolve(book.plans[0], book.shop, edition, Findings()) for name, edition in EDITIONS.items()}
    return {name: plan for name, plan in made.items() if plan is not None}


def drawn(plan: Plan) -> tuple[dict[str, float], float, dict[str, Picture]]:
    """Return the ms of each picture, those of writing all of them, and the pictures."""
    spent, made = {}, {}
    every = iter(pictures._all(plan))
    while True:
        start = time.process_time()
        found = next(every, None)
        if found is None:
            break
        spent[found[0]] = 1e3 * (time.process_time() - start)
        made[found[0]] = found[1]
    start = time.process_time()
    for key, picture in made.items():
        to_svgs(picture, ids=key, media=("web",) if key.endswith("-narrow") else ("web", "print"))
    return spent, 1e3 * (time.process_time() - start), made


@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_all_pictures_of_an_edition(plans: dict[str, Plan], edition: str) -> None:
    plan = plans[edition]
    drawn(plan)
    runs = [drawn(plan) for _ in range(3)]
    spent, written, made = min(runs, key=lambda run: sum(run[0].values()) + run[1])
    whole = sum(spent.values()) + written
    each = whole / len(made)
    print(f"\n{edition}: {len(made)} pictures in {whole:.0f} ms, {each:.1f} ms each; written in {written:.0f} ms")
    for kind, wanted in KINDS.items():
        some = [ms for key, ms in spent.items() if wanted(key)]
        mean = sum(some) / len(some)
        print(f"  {kind}: {len(some)} in {sum(some):.0f} ms, {mean:.1f} ms each, at most {max(some):.0f}")
    # Four times what it takes on a busy machine of two cores: a fault of growth shows, a busy minute does not.
    assert each < 50


@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_the_same_bytes_twice(plans: dict[str, Plan], edition: str) -> None:
    def print_of(plan: Plan) -> str:
        made = pictures.drawn(plan)
        return hashlib.sha256("".join([*made.screen.values(), *made.paper.values()]).encode()).hexdigest()

    assert print_of(plans[edition]) == print_of(plans[edition])
