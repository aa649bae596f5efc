"""What can be wrong with a class, each through the command: told where it stands, with the mend, nothing written."""

from __future__ import annotations

from pathlib import Path

import pytest
from fixtures.small_classes import SHOP, STEPS, class_book

from planbook.cli.entry import run

ONE = '{date: 2026-10-06, start: "09:00", end: "12:00"}'
CLASS, IN_STEPS = "classes/day.yaml", "plans/piece/steps.md"
LONG = "time: {set up: 10 min, each: 15 min, wait: 30 days}"
CASES: dict[str, tuple[dict[str, str], dict[str, str], str, str, str]] = {
    # words of the class, `shop` or `steps` of the book; the finding, its file, and what the mend begins with
    "zero students": ({"students": "0"}, {}, "no-students", CLASS, "students: "),
    "fewer than none": ({"students": "-3"}, {}, "wrong-count", CLASS, "students: "),
    "a step longer than a session": (
        {"sessions": '[{date: 2026-10-06, start: "09:00", end: "09:55"}]'}, {}, "step-longer-than-session", IN_STEPS,
        "make the session longer"),
    "fewer clamps than one step holds": (
        {}, {"shop": SHOP.replace("count: 20", "count: 1")}, "station-short", IN_STEPS, "count: 2"),
    "a station of no tool": (
        {}, {"shop": SHOP.replace("of: clamp}", "of: cramp}")}, "unknown-tool", "shop.yaml", "write `clamp`"),
    "sessions that overlap": ({"sessions": f"[{ONE}, {ONE}]"}, {}, "sessions-overlap", CLASS, "write the sessions"),
    "a session that runs backwards": (
        {"sessions": '[{date: 2026-10-06, start: "12:00", end: "09:00"}]'}, {}, "session-backwards", CLASS, "swap"),
    # Oslo leaves out 2 to 3 in the night to 29 March 2026.
    "an hour that the clocks leave out": (
        {"sessions": '[{date: 2026-03-29, start: "02:30", end: "09:00"}]'}, {},
        "clock-changes", CLASS, "write for example"),
    "a wait longer than the class": (
        {}, {"steps": STEPS.replace("time: {set up: 10 min, each: 15 min}", LONG)},
        "wait-too-long", IN_STEPS, "prepare"),
    "prepared, but made later": ({"prepared": "Cut the dados"}, {}, "made-later", CLASS,
        "prepared: [..., Saw the parts]"),
    "all prepared": (
        {"prepared": "[Saw the parts, Cut the dados, Close the case]"}, {}, "no-step", CLASS, "take one out"),
    "more students than stand at a bench": ({"students": "400"}, {}, "wrong-count", CLASS, "students: "),
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_it_is_told_where_it_stands_and_nothing_is_written(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words, parts, slug, file, mend = CASES[name]
    book, into = class_book(tmp_path / "book", words, **parts), tmp_path / "out"  # type: ignore[arg-type]
    assert run(["handout", "--class", "day", "--into", str(into), "--book", str(book)]) == 1
    told = capsys.readouterr()
    assert "Traceback" not in told.err
    head = told.err.index(f"stop[{slug}]")
    place = told.err.index(f"--> {file}:", head)
    assert told.err.index(f"help: {mend}", place)
    assert not into.exists()
    assert "nothing was written" in told.out
    # The same is found without printing anything.
    assert run(["check", str(book)]) == 1 or slug == "no-step"
    assert slug in capsys.readouterr().err or slug == "no-step"


@pytest.mark.parametrize(("students", "makers", "threes"), [(13, 6, 1), (12, 6, 0), (3, 1, 1), (1, 1, 0)])
def test_an_odd_student_makes_a_three(students: int, makers: int, threes: int, tmp_path: Path) -> None:
    book = class_book(tmp_path / "book", {"students": str(students)})
    assert run(["handout", "--class", "day", "--into", str(tmp_path / "out"), "--book", str(book)]) == 0
    import pypdf

    def text(sheet: str) -> str:
        (path,) = (tmp_path / "out").glob(f"*-{sheet}.pdf")
        return " ".join(" ".join(page.extract_text().split()) for page in pypdf.PdfReader(path).pages)

    # As many lines to sign as students, as many kits as pieces.
    assert f" {students} teacher" in text("sign-off") or f"{students} teacher" in text("sign-off")
    assert f"{makers} kit" in text("kits")
    assert ("one pair is three" in text("run-sheet")) == bool(threes)
