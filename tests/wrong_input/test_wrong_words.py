"""Slips in the words and sizes of a plan: each is told where it stands, in words that help."""

from __future__ import annotations

import time
from pathlib import Path

import pytest
from fixtures.small_books import BOOK, CASE, SHOP, STEPS, Check, claiming, plan_text, step_text, write_book

PLAN = "plans/piece/plan.yaml"


def changed(group: str, old: str, new: str) -> str:
    """Return the plain case with one text of one group replaced."""
    assert CASE[group].count(old) == 1
    return plan_text({**CASE, group: CASE[group].replace(old, new)})


# What was replaced by what, and the finding: its name, the characters it marks, and words of message or help.
SLIPS = [
    ("dims", "deep: 10 in", "deep: 10", "wrong-unit", "10", "write `10 in` or `10 mm`"),
    ("dims", "deep: 10 in", "deep: 12 inch - 30 deg", "wrong-unit", "-", "angle"),
    ("dims", "deep: 10 in", "deep: 10 in / 0", "zero-below", "0", "divides by zero"),
    ("dims", "deep: 10 in", "deep: 10/0 in", "zero-below", "10/0", "divides by zero"),
    ("dims", "deep: 10 in", "deep: hihg / 4", "unknown-name", "hihg", "write `high`"),
    ("dims", "deep: 10 in", "deep: ten inches", "unknown-name", "ten inches", "not known here"),
    ("dims", "deep: 10 in", "deep: 10,5 in", "decimal-comma", "10,5", "10.5"),
    ("dims", "deep: 10 in", "deep: 10nin", "unknown-unit", "nin", "write `10 in`"),
    ("dims", "deep: 10 in", "deep: high-1/2 in", "tight-minus", "high-1/2 in", "write `high - 1/2 in`"),
    ("dims", "deep: 10 in", "deep: 2 high", "missing-mark", "2 high", "*"),
    ("dims", "deep: 10 in", "deep: (high", "open-bracket", "(", "has no `)`"),
    ("dims", "deep: 10 in", "deep:", "missing-value", "", ""),
    ("dims", "deep: 10 in", "deep: -10 in", "no-size", "deep", "-10 in"),
    ("dims", "deep: 10 in", "deep: 0 in", "no-size", "deep", "0 in"),
    ("dims", "deep: 10 in", f"deep: {'9' * 29} in", "too-large", f"{'9' * 29} in", "more than 100 m"),
    ("dims", "deep: 10 in", f"deep: {'9' * 31} in", "long-number", "9" * 31, "30 digits"),
    ("dims", "deep: 10 in", "deep: 1e30 in", "unknown-unit", "e30", ""),
    ("dims", "deep: 10 in", "deep: " + "(" * 90 + "10 in" + ")" * 90, "nested-too-deep", "(", ""),
    ("dims", "deep: 10 in", "deep: 1 in" + " + 1 in" * 300, "too-long", "", "1000 are allowed"),
    ("dims", "deep: 10 in", "deep: {is: 10 in, may: 20 in .. 8 in}", "wrong-range", "20 in .. 8 in", "8 in .. 20 in"),
    ("dims", "deep: 10 in", "deep: {is: 10 in, my: 8 in .. 20 in}", "unknown-word", "my", "write `may`"),
    ("parts", "width: deep, on", "width: side.length / side.width, on", "cycle", "side", "needs itself"),
    ("parts", "between: side", "between: bottom", "not-a-pair", "bottom", "between itself"),
    ("parts", "between: side", "between: [bottom, side]", "not-a-pair", "bottom", "between itself"),
    ("parts", "between: side", "betwen: side", "unknown-word", "betwen", "write `between`"),
    ("parts", "underside: 4 in above floor", "underside: 4 in abvoe floor", "unknown-name", "abvoe", "write `above`"),
    ("parts", "underside: 4 in above floor", "underside: 4 in above flour", "unknown-name", "flour", "write `floor`"),
    ("parts", "underside: 4 in above floor", "underside: 4 in above bottom", "cycle", "bottom", "needs itself"),
    ("parts", "underside: 4 in above floor", "underside: 50 in above floor", "joint-apart", "dados", "does not meet"),
    ("parts", "width: deep, underside", "width: 0 in, underside", "no-size", "0 in", "the width of `bottom` is 0 in"),
    ("parts", "width: deep, underside", "width: 1/200 in, underside", "no-size", "bottom", "1/32 in"),
    ("parts", "width: deep, underside", "width: front to frnt, underside", "unknown-name", "frnt", "write `front`"),
    ("parts", "pair: left right", "pair: front back", "unknown-pair", "front back", "write `pair: left right`"),
    ("parts", "between: side", "count: two, between: side", "unknown-name", "two", "not known here"),
    ("parts", "of: ply, between", "of: pyl, between", "unknown-stock", "pyl", "write `ply`"),
    ("parts", "of: ply, between", "between", "no-stock", "bottom", "add `of:`"),
    ("parts", "of: ply, between: side", "like: bottom", "cycle", "bottom", "like one another: `bottom -> bottom`"),
    ("joints", "1/4 in deep", "1 in deep", "cut-through", "dados", "`side` is 3/4 in thick"),
    ("joints", "1/4 in deep", "0 in deep", "no-size", "0 in", "more than nothing"),
    ("joints", "dado: 1/4 in deep, in: side, for: bottom", "rabbet: 1/4 in deep, in: side, along: foot",
     "no-size", "dados", "has no `wide`"),
    ("joints", "for: bottom", "for: [bottom, side]", "joint-apart", "side", "cannot enter or meet itself"),
    ("joints", "in: side", "in: [side, botom]", "unknown-part", "botom", "write `bottom`"),
    ("stock", "birch plywood", "birch plywod", "unknown-panel", "birch plywod", "write `birch plywood`"),
]  # fmt: skip


@pytest.mark.parametrize(("group", "old", "new", "slug", "marked", "says"), SLIPS)
def test_a_slip_is_told_at_its_place(
    tmp_path: Path, check: Check, group: str, old: str, new: str, slug: str, marked: str, says: str
) -> None:
    text = changed(group, old, new)
    found = check(write_book(tmp_path, text))
    item = next((item for item in found if item["slug"] == slug), None)
    assert item is not None, [(other["slug"], other["message"], other["help"]) for other in found]
    assert item["file"] == PLAN
    line = text.splitlines()[item["line"] - 1]
    if marked:
        assert line[item["column"] - 1 : item["end_column"] - 1] == marked
    assert says in item["message"] + " " + (item["help"] or "")


@pytest.mark.parametrize(
    ("dims", "chain"),
    [
        ("a: a + 1 in", "`a` needs itself: `a -> a`"),
        ("a: b\nb: c + 1 in\nc: a / 2", "`a` needs itself: `a -> b -> c -> a`"),
        ("a: bottom.underside + 1 in", None),
    ],
)
def test_a_circle_is_shown_as_a_chain(tmp_path: Path, check: Check, dims: str, chain: str | None) -> None:
    groups = {**CASE, "dims": f"{CASE['dims']}\n{dims}"}
    if chain is None:
        groups["parts"] = CASE["parts"].replace("4 in above", "a above")
        chain = "`a` needs itself: `a -> bottom (up and down) -> a`"
    found = check(write_book(tmp_path, plan_text(groups)))
    assert [item["message"] for item in found] == [chain]
    assert len(found[0]["further"]) == chain.count("->") - 1


def test_holes_without_an_end(tmp_path: Path, check: Check) -> None:
    holes = "pins: {in: side, rows: [2 in from front], start: 8 in from foot, every: 2 in, drill: 1/4 in}"
    groups = {**CASE, "holes": holes}
    found = check(write_book(tmp_path, plan_text(groups), claiming(groups)))
    assert [(item["slug"], item["help"]) for item in found] == [
        ("how-many-holes", "give `stop` and `every`, or `count` and `every`, or `count` and `stop`")
    ]


def test_two_slips_in_one_plan_are_both_told(tmp_path: Path, check: Check) -> None:
    text = changed("dims", "deep: 10 in", "deep: 10 in\nkick: 5 lb")
    text = text.replace("4 in above floor", "4 in above flor").replace("in: side", "in: sdie")
    found = check(write_book(tmp_path, text))
    assert [item["slug"] for item in found] == ["wrong-unit", "unknown-name", "unknown-part"]
    assert [item["line"] for item in found] == sorted(item["line"] for item in found)


def test_a_fault_does_not_bring_a_tail_of_others(tmp_path: Path, check: Check) -> None:
    # Every part rests on `deep`; it is told once, and nothing else.
    found = check(write_book(tmp_path, changed("dims", "deep: 10 in", "deep: 10 lb")))
    assert [item["slug"] for item in found] == ["wrong-unit"]


def test_names_of_other_tongues_are_marked_at_their_columns(tmp_path: Path, check: Check) -> None:
    parts = (
        CASE["parts"]
        + "\nTürbrett: {like: bottom, underside: on 棚}\n棚: {like: bottom, underside: Türbret.width above floor}"
    )
    groups = {**CASE, "parts": parts}
    (item,) = check(write_book(tmp_path, plan_text(groups), claiming(groups)))
    line = plan_text(groups).splitlines()[item["line"] - 1]
    assert line[item["column"] - 1 : item["end_column"] - 1] == "Türbret"
    assert item["help"] == "write `Türbrett`"


def test_very_long_names(tmp_path: Path, check: Check) -> None:
    name = "board " * 300
    groups = {**CASE, "parts": CASE["parts"] + f"\n{name.strip()}: {{like: bottom, underside: nothing}}"}
    begun = time.perf_counter()
    check(write_book(tmp_path, plan_text(groups), claiming(groups)))
    assert time.perf_counter() - begun < 5


def test_a_word_of_100_000_letters(tmp_path: Path, check: Check) -> None:
    begun = time.perf_counter()
    check(write_book(tmp_path, changed("dims", "deep: 10 in", "deep: " + "x" * 100_000)))
    check(write_book(tmp_path, changed("parts", "of: ply, between", f"of: {'x' * 100_000}, between")))
    assert time.perf_counter() - begun < 5


@pytest.mark.parametrize(
    ("group", "first", "link", "last"),
    [
        ("dims", "", "d{n}: d{m} + 1 in", "d{n}: 1 in"),
        ("parts", "", "d{n}: {{like: d{m}}}", "d{n}: {{like: bottom}}"),
        (
            "parts",
            "",
            "d{n}: {{of: ply, length: 3 in, width: 3 in, centred: across, on: d{m}}}",
            "d{n}: {{like: bottom}}",
        ),
    ],
)
def test_endless_chains_end(tmp_path: Path, check: Check, group: str, first: str, link: str, last: str) -> None:
    count = 400
    rows = [link.format(n=n, m=n + 1) for n in range(count)] + [last.format(n=count)]
    groups = {**CASE, group: CASE[group] + "\n" + "\n".join(rows)}
    begun = time.perf_counter()
    found = check(write_book(tmp_path, plan_text(groups), claiming(groups)))
    assert time.perf_counter() - begun < 10
    assert "nested-too-deep" in {item["slug"] for item in found}
    assert all(item["file"] for item in found)


def test_ten_thousand_parts_are_refused_with_a_place(tmp_path: Path, check: Check) -> None:
    rows = "\n".join(f"part {n}: {{of: ply, length: 3 in}}" for n in range(10_000))
    begun = time.perf_counter()
    (item,) = check(write_book(tmp_path, plan_text({**CASE, "parts": CASE["parts"] + "\n" + rows})))
    assert time.perf_counter() - begun < 10
    assert (item["slug"], item["file"]) == ("too-many-values", PLAN)


@pytest.mark.parametrize(
    ("text", "slug", "place"),
    [
        (BOOK + "plans: [peice]\n", "unknown-name", ("planbook.yaml", 3)),
        (BOOK + "editions: [imperail]\n", "unknown-edition", ("planbook.yaml", 3)),
        (BOOK.replace("title", "titel"), "unknown-word", ("planbook.yaml", 2)),
        ("title: only\n", "missing-word", ("planbook.yaml", 1)),
    ],
)
def test_slips_in_the_book_file(tmp_path: Path, check: Check, text: str, slug: str, place: tuple[str, int]) -> None:
    found = check(write_book(tmp_path, plan_text(CASE), book=text))
    assert [(item["slug"], item["file"], item["line"]) for item in found] == [(slug, *place)]


def test_slips_in_the_shop_file(tmp_path: Path, check: Check) -> None:
    found = check(write_book(tmp_path, plan_text(CASE), shop=SHOP.replace("does: Saws.", "dose: Saws.")))
    assert [(item["slug"], item["line"], item["help"]) for item in found] == [("unknown-word", 2, "write `does`")]


def test_a_tool_that_the_shop_has_not(tmp_path: Path, check: Check) -> None:
    steps = STEPS.replace("{cuts: [side, bottom],", "{cuts: [side, bottom], with: [saw, clapms],")
    (item,) = check(write_book(tmp_path, plan_text(CASE), steps))
    assert (item["slug"], item["help"], item["line"]) == ("unknown-tool", "write `clamp`", 4)


def test_a_step_with_nothing_in_it_claims_nothing(tmp_path: Path, check: Check) -> None:
    found = check(write_book(tmp_path, plan_text(CASE), step_text("Wait", "")))
    assert {item["slug"] for item in found} == {"unclaimed-work"}
    assert [item["message"] for item in found] == [
        "no step saws out `side`",
        "no step saws out `bottom`",
        "no step closes `dados`",
        "no step cuts `dados`",
    ]
