"""`planbook why`: what a finding means and what to do about it."""

from __future__ import annotations

import textwrap

import click

from planbook.source.nearest import did_you_mean
from planbook.source.rules.entries import Entry, entries

WIDE = 96
"""Columns of a line of an explanation."""


@click.command(short_help="Explain a finding.")
@click.argument("slug", required=False)
def why(slug: str | None) -> None:
    """Explain a finding by the word in its brackets, such as `wrong-unit`.

    Says what is found, why it matters, shows a case, what to write instead, and the source of the rule.
    Without SLUG all findings are listed.
    """
    known = entries()
    if slug is None:
        for entry in known.values():
            click.echo(f"{entry.slug:24} {entry.finds}")
        return
    word = slug.strip().strip("[]`")
    if word not in known:
        hint = did_you_mean(word, list(known)) or "`planbook why` alone lists all findings"
        raise click.UsageError(f"there is no finding `{word}`; {hint}")
    click.echo(_page(known[word]))


def _page(entry: Entry) -> str:
    blocks = [entry.slug, _filled(entry.finds), _filled(entry.matters)]
    blocks += [f"For example:\n{_indented(entry.example)}"] if entry.example else []
    blocks += [f"Instead:\n{_indented(entry.instead)}", f"Source: {entry.source}"]
    return "\n\n".join(blocks)


def _indented(text: str) -> str:
    return "\n".join(_filled(line, indent="  ") for line in text.split("\n"))


def _filled(line: str, *, indent: str = "") -> str:
    """Return a line on as many lines as it needs; blanks before it are kept."""
    own = line[: len(line) - len(line.lstrip())]
    return textwrap.fill(line.strip(), WIDE, initial_indent=indent + own, subsequent_indent=indent + own)
