"""`planbook schema`: the words of the language for editors."""

from __future__ import annotations

import json

import click

from planbook.source.schema.export import KINDS, schema_of, schema_of_files


@click.command(short_help="Print the words of the language as JSON Schema.")
@click.argument("kind", required=False, type=click.Choice(KINDS))
def schema(kind: str | None) -> None:
    """Print the words that a file may hold as JSON Schema (draft 2020-12), each with what it means.

    Without KIND the schema fits every YAML file of a book. An editor that knows JSON Schema completes
    and explains words with it: planbook schema > planbook.schema.json
    """
    found = schema_of(kind) if kind else schema_of_files()
    click.echo(json.dumps(found, ensure_ascii=False, indent=1))
