"""How wide a label is, from the advances of DejaVu Sans, the face of all drawings.

A size with a fraction is one string of superscript digits, U+2044 and subscript digits, so its width
is a sum of advances like that of any other label (the writers set it without kerning).
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from matplotlib.ft2font import FT2Font

FAMILY = "DejaVu Sans"
UNITS_PER_EM = 2048
CAP_UNITS = 1493
"""Height of the capitals and digits of DejaVu Sans in font units (read from its glyph `H`)."""


def em_size(cap_height: float) -> float:
    """Return the type size whose capitals are `cap_height` high, in the same unit."""
    return cap_height * UNITS_PER_EM / CAP_UNITS


@cache
def text_width(text: str, cap_height: float, *, bold: bool = False) -> float:
    """Return the width of a line of text in the unit of `cap_height`.

    A character that the face does not have counts as one em: another face will show it on a screen.
    """
    return sum(_advance(char, bold) for char in text) * cap_height / CAP_UNITS


def missing_characters(text: str) -> str:
    """Return the characters that the face does not have, each once: they would be lost on paper."""
    return "".join(dict.fromkeys(char for char in text if _face(False).get_char_index(ord(char)) == 0))


@cache
def _face(bold: bool) -> FT2Font:
    import matplotlib
    from matplotlib.ft2font import FT2Font

    name = "DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf"
    return FT2Font(str(Path(matplotlib.get_data_path()) / "fonts" / "ttf" / name))


@cache
def _advance(char: str, bold: bool) -> int:
    from matplotlib.ft2font import LoadFlags

    face = _face(bold)
    if face.get_char_index(ord(char)) == 0:
        return UNITS_PER_EM
    return int(face.load_char(ord(char), flags=LoadFlags.NO_SCALE).horiAdvance)
