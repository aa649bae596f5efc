"""Which book a command means."""

from __future__ import annotations

from pathlib import Path

import click

from planbook.publish.defaults import shipped

BOOK_FILE = "planbook.yaml"

book_argument = click.argument("book", required=False, type=click.Path(path_type=Path))
book_option = click.option(
    "--book", metavar="BOOK", type=click.Path(path_type=Path), help="Folder of the book; found by itself if not given."
)


def book_root(given: Path | None) -> Path:
    """Return the folder of the book: the one given, `content` here, here itself, or the demo book."""
    if given is not None:
        return given
    for folder in (Path("content"), Path()):
        if (folder / BOOK_FILE).is_file():
            return folder
    demo = shipped("content")
    if demo is None:
        raise click.UsageError("there is no book here: give the folder that holds planbook.yaml")
    click.echo(f"no planbook.yaml here, so this is the demo book: {demo}", err=True)
    return demo
