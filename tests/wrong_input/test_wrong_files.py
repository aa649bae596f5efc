"""Files that are missing, broken, hostile or of another kind."""

from __future__ import annotations

import time
from pathlib import Path
from typing import Any

import pytest
from fixtures.small_books import BOOK, CASE, SHOP, STEPS, Check, Found, plan_text, write_book

GOOD = plan_text(CASE)
PLAN = "plans/piece/plan.yaml"


def only(found: Found, slug: str) -> dict[str, Any]:
    """Return the one finding, which must be of this name."""
    assert [item["slug"] for item in found] == [slug], [(item["slug"], item["message"]) for item in found]
    return found[0]


def where(item: dict[str, Any]) -> tuple[str, int, int]:
    return item["file"], item["line"], item["column"]


def test_no_folder(tmp_path: Path, check: Check) -> None:
    assert "there is no folder" in only(check(tmp_path / "nowhere"), "no-book")["message"]


def test_a_folder_that_is_no_book(tmp_path: Path, check: Check) -> None:
    assert "planbook.yaml" in only(check(tmp_path), "no-book")["help"]


def test_a_file_instead_of_a_folder(tmp_path: Path, check: Check) -> None:
    (tmp_path / "book").write_text("x")
    only(check(tmp_path / "book"), "no-book")


def test_a_book_without_plans(tmp_path: Path, check: Check) -> None:
    (tmp_path / "planbook.yaml").write_text(BOOK)
    assert "plans/NAME" in only(check(tmp_path), "no-plans")["help"]


@pytest.mark.parametrize("name", ["plan.yaml", "steps.md"])
def test_a_missing_file_of_a_plan(tmp_path: Path, check: Check, name: str) -> None:
    write_book(tmp_path, GOOD)
    (tmp_path / "plans/piece" / name).unlink()
    assert only(check(tmp_path), "missing-file")["message"] == f"there is no file `plans/piece/{name}` in the book"


@pytest.mark.parametrize("name", ["planbook.yaml", "shop.yaml", "plans/piece/plan.yaml", "plans/piece/steps.md"])
@pytest.mark.parametrize(
    ("data", "slug"),
    [
        (b"", "empty-file"),
        (b"\n\n  \n", "empty-file"),
        (b"\x89PNG\r\n\x1a\n\x00\x01", "not-text"),
        (b"a: \xff\n", "not-text"),
    ],
)
def test_empty_and_binary_files(tmp_path: Path, check: Check, name: str, data: bytes, slug: str) -> None:
    write_book(tmp_path, GOOD)
    (tmp_path / name).write_bytes(data)
    item = only(check(tmp_path), slug)
    assert item["file"] == name


def test_a_file_in_utf_16(tmp_path: Path, check: Check) -> None:
    write_book(tmp_path, GOOD.encode("utf-16"))
    assert only(check(tmp_path), "not-text")["help"] == "save the file again with the encoding UTF-8"


def test_a_file_of_50_megabytes_is_not_read(tmp_path: Path, check: Check) -> None:
    write_book(tmp_path, GOOD)
    with (tmp_path / PLAN).open("wb") as stream:
        stream.truncate(50_000_000)
    begun = time.perf_counter()
    assert "50.0 MB" in only(check(tmp_path), "file-too-large")["message"]
    assert time.perf_counter() - begun < 5


def test_line_ends_of_other_systems_and_a_byte_order_mark_are_no_fault(tmp_path: Path, check: Check) -> None:
    wrong = "\ufeff" + GOOD.replace("high: 40 in", "high: 40").replace("\n", "\r\n")
    write_book(tmp_path, wrong.encode(), ("\ufeff" + STEPS.replace("\n", "\r\n")).encode())
    # The only fault is the one that was put there, at its own place.
    assert where(only(check(tmp_path), "wrong-unit")) == (PLAN, 6, 9)


def test_a_link_that_leads_out_of_the_book(tmp_path: Path, check: Check) -> None:
    secret = tmp_path / "secret.yaml"
    secret.write_text(GOOD)
    book = write_book(tmp_path / "book", GOOD)
    (book / PLAN).unlink()
    (book / PLAN).symlink_to(secret)
    item = only(check(book), "outside-the-book")
    assert "secret" not in item["message"]


@pytest.mark.parametrize("path", ["../../../etc/passwd", "/etc/passwd", "photo.jpg", ".", "a" * 300 + ".jpg"])
def test_a_photo_that_is_not_in_the_book(tmp_path: Path, check: Check, path: str) -> None:
    write_book(tmp_path, GOOD, STEPS + f"\nPhoto: {path}, the case\n")
    found = check(tmp_path)
    assert {item["slug"] for item in found} <= {"outside-the-book", "missing-file", "not-a-file"}
    assert {item["file"] for item in found} == {"plans/piece/steps.md"}
    assert {item["line"] for item in found} == {17}


@pytest.mark.parametrize(
    ("text", "slug", "place"),
    [
        ("plan: {title: A\nparts: {}\n", "broken-yaml", None),
        ("plan:\n\ttitle: A\n", "tab-indent", (2, 1)),
        ("plan: {title: A}\nparts: {a: &x {of: ply}, b: *x}\n", "alias-refused", (2, 29)),
        ("plan: {title: A}\nparts: {a: !!python/object:os.system {}}\n", "tag-refused", (2, 12)),
        ("plan: {title: A}\nplan: {title: B}\nparts: {a: {}}\n", "repeated-word", (2, 1)),
        ("plan: {title: A}\n---\nparts: {a: {}}\n", "several-documents", (2, 1)),
        ("plan: {title: A}\nparts: {a: {of: ply, by: wood screw #8 x 2 in}}\n", "lost-after-hash", (2, 37)),
        ("- a\n- b\n", "wrong-shape", (1, 1)),
        ("just words\n", "wrong-shape", (1, 1)),
        ("plan: {title: A}\nparts: " + "{a: " * 60 + "x" + "}" * 60 + "\n", "nested-too-deep", None),
        ("plan: {title: A}\nparts: " + "[" * 100_000 + "\n", "nested-too-deep", None),
        ("plan: {title: A}\nparts: [" + "a, " * 30_000 + "]\n", "too-many-values", None),
        ("plan: {title: {a: b}}\nparts: {a: {}}\n", "wrong-shape", (1, 15)),
        ("plan: [A]\nparts: {a: {}}\n", "wrong-shape", (1, 7)),
        ("plan: {title: A}\nparts: {a: ply}\n", "wrong-shape", (2, 12)),
        ("plan: {title: A}\nparts: {a: {of: [ply]}}\n", "wrong-shape", (2, 17)),
        ("plan: {title: A}\n", "missing-word", (1, 1)),
        ("plan: {titel: A}\nparts: {a: {}}\n", "unknown-word", (1, 8)),
    ],
)
def test_plans_that_are_no_plan(
    tmp_path: Path, check: Check, text: str, slug: str, place: tuple[int, int] | None
) -> None:
    write_book(tmp_path, text)
    begun = time.perf_counter()
    found = check(tmp_path)
    assert time.perf_counter() - begun < 5
    item = next((item for item in found if item["slug"] == slug), None)
    assert item is not None, [(other["slug"], other["message"]) for other in found]
    assert item["file"] == PLAN
    if place is not None:
        assert (item["line"], item["column"]) == place


def test_an_alias_bomb_is_refused_at_once(tmp_path: Path, check: Check) -> None:
    rows = ["plan: {title: A}", "parts:", "  a0: &a0 {of: ply}"]
    rows += [f"  a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 9)}]" for n in range(1, 30)]
    write_book(tmp_path, "\n".join(rows))
    begun = time.perf_counter()
    assert {item["slug"] for item in check(tmp_path)} == {"alias-refused"}
    assert time.perf_counter() - begun < 5


def test_a_gauge_behind_a_hash_tells_what_to_write(tmp_path: Path, check: Check) -> None:
    write_book(tmp_path, GOOD.replace("by: glue}", "by: glue} #8").replace("side, for", "side, each: 3, for"))
    rest = GOOD + "bought:\n  screw: {count: 4, says: wood screw #8 x 2 in}\n"
    write_book(tmp_path, rest)
    item = next(item for item in check(tmp_path) if item["slug"] == "lost-after-hash")
    assert item["help"] == "write `No. 8`, or put the whole value in quotes"


@pytest.mark.parametrize(
    ("steps", "slug"),
    [
        ("Only words.\n", "no-steps"),
        ("## Saw\n\n- Do it.\n", "no-step-facts"),
        ("## Saw\n\n```step\n```\n", "no-step-facts"),
        ("## Saw\n\n```step\n{time: {}}\n", "unclosed-fence"),
        ("## Saw\n\n```step\n{cuts: [side]}\n```\n", "missing-word"),
        ("## Saw\n\n```step\n{cuts [side]}\n```\n", "broken-yaml"),
        ("## Saw\n\n```step\ncuts: [side\n```\n", "broken-yaml"),
        ("# Saw\n\n```step\n{time: {each: 5 min}}\n```\n", "wrong-heading"),
        ("## Saw\n\n```step\n{time: {each: 5 min}}\n```\n\nHazrad (death; will): x\n", "unknown-lead-word"),
        ("## Saw\n\n```step\n{time: {each: 5 min}}\n```\n\nHazard (pain; will): x\n", "unknown-harm"),
        ("## Saw\n\n```step\n{time: {each: 5 min}}\n```\n\n- See {nothing}.\n", "unknown-name"),
        ("## Saw\n\n```step\n{time: {each: 5 min}}\n```\n\n- See {.\n", "unclosed-reference"),
        ("## Saw\n\n```step\n{time: {each: 5 min}}\n```\n\n- See {}.\n", "empty-reference"),
        ("## Saw\n\n```step\n{time: {each: 5 min}}\n```\n\n" + "> " * 500 + "x\n", "unknown-block"),
        ("## Saw\n\n```step\n{time: {each: 5 min}}\n```\n\n- See " + "[" * 5000 + ".\n", "unclaimed-work"),
    ],
)
def test_steps_that_are_no_steps(tmp_path: Path, check: Check, steps: str, slug: str) -> None:
    write_book(tmp_path, GOOD, steps)
    found = check(tmp_path)
    item = next((item for item in found if item["slug"] == slug), None)
    assert item is not None, [(other["slug"], other["message"]) for other in found]
    assert item["file"] in ("plans/piece/steps.md", PLAN)


def test_two_mistakes_in_two_files_are_told_at_once(tmp_path: Path, check: Check) -> None:
    write_book(
        tmp_path, GOOD.replace("deep: 10 in", "deep: 10"), STEPS.replace("{set up", "{stu up"), shop="toools: {}\n"
    )
    found = check(tmp_path)
    assert [(item["slug"], item["file"]) for item in found] == [
        ("unknown-word", "plans/piece/steps.md"),
        ("unknown-word", "shop.yaml"),
    ]
    # What the words mean is looked at when all words are known.
    write_book(tmp_path, GOOD.replace("deep: 10 in", "deep: 10").replace("width: deep, on", "width: depe, on"))
    assert [(item["slug"], item["line"]) for item in check(tmp_path)] == [("wrong-unit", 5), ("unknown-name", 10)]


def test_a_good_book_passes(tmp_path: Path) -> None:
    from planbook.cli.entry import run

    assert run(["check", str(write_book(tmp_path, GOOD, shop=SHOP))]) == 0


def test_a_shop_that_cannot_be_read_does_not_make_every_plan_wrong(tmp_path: Path, check: Check) -> None:
    book = write_book(
        tmp_path, GOOD, STEPS.replace("{cuts: [side, bottom]", "{with: [track saw], cuts: [side, bottom]")
    )
    (book / "shop.yaml").write_text("tools: {track saw: {kind: machine}\n")
    assert where(only(check(book), "broken-yaml"))[0] == "shop.yaml"
