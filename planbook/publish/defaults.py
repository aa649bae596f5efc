"""Where the files that come with planbook are: themes and the demo book.

In an installed planbook they lie inside the package; in a checkout they lie at its root.
"""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path


def shipped(name: str) -> Path | None:
    """Return the shipped folder `themes` or `content`, or None where it is missing."""
    package = Path(str(files("planbook")))
    for folder in (package / "defaults" / name, package.parent / name):
        if folder.is_dir():
            return folder
    return None


def package_folder() -> Path:
    """Return the folder of the program itself."""
    return Path(str(files("planbook")))
