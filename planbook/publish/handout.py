"""Handouts: one plan in one edition, set on Letter or A4 by Typst, as tagged PDF.

What a handout says comes from the sheet and travels as JSON; it never becomes Typst source, so no
character of a plan can be taken for a command. Files are made as PDF/UA-1 and checked by the compiler,
which is not a validator.
"""

from __future__ import annotations

import datetime
import json
import re
from collections.abc import Iterable, Mapping
from html import unescape
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

from planbook.drawing.text import CAP_UNITS, UNITS_PER_EM
from planbook.publish.pictures import NARROW
from planbook.publish.typst_tree import FACES, MAIN, Workplace, workplace
from planbook.source.diagnostics import Diagnostic, Severity

if TYPE_CHECKING:
    import typst

Paper = Literal["letter", "a4"]

UNDATED = datetime.date(2000, 1, 1)
"""Date in the file of a plan whose revision has none: any fixed day keeps the bytes the same."""

LEAST_CAPITAL = 2.4
"""Height in mm of the smallest capitals that are still read at arm's length; our own choice, tried on paper."""

_TEACHER_ONLY = ("accepted", "findings")
_TITLE = re.compile(r"<title[^>]*>(.*?)</title>", re.DOTALL)
_DESC = re.compile(r"<desc[^>]*>(.*?)</desc>", re.DOTALL)
_FAMILY = re.compile(r'font-family\s*(?:=\s*"|:)([^;"]*)|\bfont:([^;"]*)')
_FONT_SIZE = re.compile(r"font(?:-size)?\s*[:=]\s*\"?[^;\"]*?([\d.]+)px")
_SVG = re.compile(r"<svg\b[^>]*>")
_WIDTH = re.compile(r'\bwidth="([\d.]+)(pt|mm)"')
_VIEW = re.compile(r'\bviewBox="[-\d.]+[ ,]+[-\d.]+[ ,]+([\d.]+)')
_BEFORE_FAMILY = re.compile(r"^.*?[\d.]+(?:px|pt|em|%)?\s+(?=\D)")
_NO_GLYPH = re.compile(r"the text `\"(.+?)\"` could not be displayed with font")
_WHERE = re.compile(r"┌─ ([^\s:]+):(\d+):(\d+)")
_FATAL_WARNINGS = ("unknown font family", "did not converge")


class HandoutError(Exception):
    """A handout could not be made; `diagnostic` says why, for the reader of the terminal."""

    def __init__(self, diagnostic: Diagnostic) -> None:
        super().__init__(diagnostic.message)
        self.diagnostic = diagnostic


def handout(
    sheet: Mapping[str, Any],
    pictures: Mapping[str, str],
    *,
    paper: Paper,
    theme_dir: Path | tuple[Path, ...],
    large: bool = False,
    main: str = MAIN,
) -> bytes:
    """Return the student's handout of a sheet as a PDF, in `large` print (18 pt) where that is wished.

    `main` is the template of the theme that makes its pages, `TEMPLATES` for the templates at full size alone.

    `pictures` holds SVG text made for print, by the keys that the sheet names; `theme_dir` is the
    folder of the theme, or several of which the first that has a file wins. The same arguments give
    the same bytes, in any process. Notes for the teacher are not in it. Raises `HandoutError`.
    """
    place = _place((theme_dir,) if isinstance(theme_dir, Path) else theme_dir, main)
    drawn = _drawn(sheet, pictures, place.families, large)
    data = {
        "paper": paper,
        "print": "large" if large else "normal",
        "sheet": json.dumps(for_students(sheet), ensure_ascii=False),
        "pictures": json.dumps(drawn, ensure_ascii=False),
    }
    return _compiled(place, data, _timestamp(sheet), str(sheet["title"]), main=main)


def set_pages(inputs: dict[str, str], *, revised: str, title: str, theme_dirs: tuple[Path, ...], main: str) -> bytes:
    """Return the pages that another template of the theme makes of its inputs. Raises `HandoutError`."""
    place = _place(theme_dirs, main)
    return _compiled(place, inputs, _timestamp({"revised": revised}), title, main=main)


def _place(theme_dirs: tuple[Path, ...], main: str = MAIN) -> Workplace:
    if not any((theme / "print" / main).is_file() for theme in theme_dirs):
        raise _fault("template-fault", f"the theme has no file `print/{main}`")
    try:
        place = workplace(theme_dirs)
    except OSError as fault:
        raise _fault("template-fault", f"the templates of the handouts cannot be read: {fault.strerror}") from fault
    for family in FACES:
        if family not in place.families:
            raise _fault(
                "unknown-face",
                f"the theme has no file for the face `{family}`",
                help="put its files into `static/fonts` of the theme",
            )
    return place


def drawn_pictures(
    sheet: Mapping[str, Any], pictures: Mapping[str, str], *, theme_dirs: tuple[Path, ...], large: bool = False
) -> dict[str, Any]:
    """Return the pictures that the handout of a sheet shows, as its templates want them. Raises `HandoutError`."""
    return _drawn(sheet, pictures, _place(theme_dirs).families, large)


def for_students(sheet: Mapping[str, Any]) -> dict[str, Any]:
    """Return the sheet without what is for the teacher alone, so that no template can let it slip."""
    kept = {key: value for key, value in sheet.items() if key not in _TEACHER_ONLY}
    kept["steps"] = [{key: value for key, value in step.items() if key != "teacher"} for step in sheet["steps"]]
    return kept


def _drawn(
    sheet: Mapping[str, Any], pictures: Mapping[str, str], families: frozenset[str], large: bool
) -> dict[str, Any]:
    """Return the pictures that a handout shows, each with what it shows in words.

    In large print the picture made for a narrow column grows to the width of the page, and its letters with it.
    """
    drawn = {}
    for key in _keys(sheet):
        if key not in pictures:
            raise _fault("no-picture", f"there is no picture `{key}` for the handout of `{sheet['title']}`")
        narrow = pictures.get(key + NARROW) if large else None
        svg = narrow or pictures[key]
        unknown = sorted(set(_first_families(svg)) - families)
        if unknown:
            raise _fault("unknown-face", f"the picture `{key}` asks for the face `{unknown[0]}`, which no file has")
        drawn[key] = {"svg": svg, "alt": _alt(svg, key), "least": least_scale(svg), "grows": narrow is not None}
    return drawn


def _keys(sheet: Mapping[str, Any]) -> list[str]:
    named = sheet["pictures"]
    whole = [named.get(name) for name in ("front", "letters", "exploded", "three_view", "joints", "time_line")]
    keys = [entry["svg"] for entry in (*whole, *named.get("parts", ())) if entry]
    keys += [moving["picture"] for moving in [sheet.get("movement")] if moving and moving.get("picture")]
    keys += [row["picture"] for row in (*sheet["cutting"], *sheet.get("slabs", ()))]
    keys += [key for template in sheet.get("templates", ()) for pages in template["pages"].values() for key in pages]
    return list(dict.fromkeys(keys + [step["picture"] for step in sheet["steps"] if step["picture"]]))


def _first_families(svg: str) -> Iterable[str]:
    """Yield the first family of each list of faces; the setter falls back without a word, we do not."""
    for match in _FAMILY.finditer(svg.replace("&quot;", "'")):
        names = match[1] if match[1] is not None else _BEFORE_FAMILY.sub("", match[2].strip())
        first = names.split(",")[0].strip(" '")
        if first:
            yield first


def _alt(svg: str, key: str) -> str:
    """Return the description inside a drawing, else its title, else its key."""
    for pattern in (_DESC, _TITLE):
        found = pattern.search(svg)
        if found and found[1].strip():
            return " ".join(unescape(found[1]).split())
    return key


def least_scale(svg: str) -> float:
    """Return the scale to which a picture may be reduced with its smallest words still read; 1 at most.

    It is 0 for a picture without words, and 1 where the picture does not tell its size.
    """
    root = _SVG.search(svg)
    sizes = [float(size) for size in _FONT_SIZE.findall(svg)]
    if not sizes:
        return 0
    width, view = (pattern.search(root[0] if root else "") for pattern in (_WIDTH, _VIEW))
    if width is None or view is None:
        return 1
    millimetres = float(width[1]) * (25.4 / 72 if width[2] == "pt" else 1) / float(view[1])
    return min(LEAST_CAPITAL / (min(sizes) * millimetres * CAP_UNITS / UNITS_PER_EM), 1)


def _timestamp(sheet: Mapping[str, Any]) -> datetime.datetime:
    day = datetime.date.fromisoformat(sheet["revised"]) if sheet["revised"] else UNDATED
    return datetime.datetime.combine(day, datetime.time(), tzinfo=datetime.UTC)


def _compiled(
    place: Workplace, data: dict[str, str], timestamp: datetime.datetime, title: str, *, main: str = MAIN
) -> bytes:
    import typst

    try:
        with place.lock:
            pdf, warnings = place.compiler.compile_with_warnings(
                input=str(place.root / main), sys_inputs=data, format="pdf", pdf_standards=["ua-1"], timestamp=timestamp
            )
            place.forget()
    except typst.TypstError as fault:
        raise HandoutError(_explained(fault, place, title)) from fault
    for warning in warnings:
        if any(words in warning.message for words in _FATAL_WARNINGS):
            raise HandoutError(_explained(warning, place, title))
    if not isinstance(pdf, bytes):
        raise _fault("template-fault", f"no pages came out for the handout of `{title}`")
    return pdf


def _explained(fault: typst.TypstError | typst.TypstWarning, place: Workplace, title: str) -> Diagnostic:
    """Return a fault of the setter as a diagnostic: file, line and column of the template, and its words."""
    missing = _NO_GLYPH.search(fault.message)
    if missing:
        return Diagnostic(
            "no-letter",
            Severity.STOP,
            f"no face of the theme has the letter `{missing[1]}`, which is in `{title}`",
            help="write it in other letters, or add a face that has it to `static/fonts` of the theme",
        )
    found = _WHERE.search(fault.diagnostic)
    # The compiler counts columns from 0.
    where = f"{place.source(found[1])}, line {found[2]}, column {int(found[3]) + 1}: " if found else ""
    words = " ".join(fault.message.split()).rstrip(".")
    hints = "; ".join(fault.hints) or None
    return Diagnostic("template-fault", Severity.STOP, f"{where}{words} (in the handout of `{title}`)", help=hints)


def _fault(slug: str, message: str, *, help: str | None = None) -> HandoutError:
    return HandoutError(Diagnostic(slug, Severity.STOP, message, help=help))
