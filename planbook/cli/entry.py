"""The command `planbook` itself, and the guard round it."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from importlib import import_module
from pathlib import Path
from typing import NoReturn

import click

from planbook import __version__
from planbook.cli import exits

TRACE = "PLANBOOK_TRACE"
"""Environment variable that makes a fault of planbook itself show where it happened."""

COMMANDS = {
    "check": "List everything that is wrong with a book.",
    "handout": "Write one handout, or the papers of a class, as PDF.",
    "layout": "Lay out a list of pieces on sheets or sticks.",
    "publish": "Write the website with handouts and tables.",
    "reckon": "Answer a question of the shop without a plan.",
    "schema": "Print the words of the language as JSON Schema.",
    "show": "Print one table of a plan.",
    "why": "Explain a finding.",
}
"""Each command with its line in the list: its module of the same name is loaded when it is called."""


class _Commands(click.Group):
    """The commands, none of them loaded before it is wanted: the start of `check` is most of its time."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 - given by click
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002 - given by click
        if cmd_name not in COMMANDS:
            return None
        member: click.Command = getattr(import_module(f"planbook.cli.{cmd_name}"), cmd_name)
        return member

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002 - as above
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


_HELP = """Turn a folder of woodworking plans into a website and printable handouts.

A plan is written once, in words of the trade: plan.yaml for sizes, parts and joints, steps.md for the order of
work. planbook works out the cut list, draws the piece and every step, and writes all of it in an imperial and a
metric edition. BOOK is the folder with planbook.yaml; where it is not given, planbook takes `content` in the folder
here, then the folder here, then the demo book that comes with it.

\b
The usual order:
  planbook check                  read everything, list what is wrong
  planbook why SLUG               explain one finding
  planbook show PLAN cutlist      look at the numbers
  planbook publish --into site    write the website with its handouts
  planbook layout FILE            lay out a list of pieces on sheets or sticks
  planbook handout PLAN --edition metric --paper a4 --into bench.pdf
  planbook reckon movement ...    answer a question without a plan
"""
_CODES = """\b
Exit codes:
  0    fine; warnings and notes do not change it
  1    findings that stop: nothing was written, a site that was there is as before
  2    the command was not used rightly, or the folder named is not a book
  3    the disk could not be read or written
  70   a fault of planbook itself
  130  interrupted
"""


@click.group(
    cls=_Commands,
    help=_HELP,
    epilog=_CODES,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)
@click.version_option(__version__, prog_name="planbook", message="%(prog)s %(version)s")
def command() -> None:
    """Turn a folder of woodworking plans into a website and printable handouts."""


def main() -> NoReturn:
    """Run the command line and leave Python with its exit code."""
    sys.exit(run(sys.argv[1:]))


def run(arguments: Sequence[str]) -> int:
    """Run a command and return its exit code; no exception gets out, unless `PLANBOOK_TRACE` is set."""
    try:
        code = command.main(args=list(arguments), prog_name="planbook", standalone_mode=False)
        sys.stdout.flush()
    except click.ClickException as fault:
        fault.show()
        return fault.exit_code
    except (click.Abort, KeyboardInterrupt):
        click.echo("planbook: interrupted", err=True)
        return exits.INTERRUPTED
    except BrokenPipeError:
        # The reader of a pipe (`| head`) has seen enough. Python would complain at its own end, too.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return exits.FINE
    except OSError as fault:
        if TRACE in os.environ:
            raise
        click.echo(f"planbook: {_disk(fault)}", err=True)
        return exits.DISK
    except Exception as fault:
        if TRACE in os.environ:
            raise
        click.echo(f"planbook: this is a fault of planbook itself: {_own(fault)}", err=True)
        return exits.OWN_FAULT
    return code if isinstance(code, int) else exits.FINE


def _disk(fault: OSError) -> str:
    reason = (fault.strerror or str(fault) or "no reason given").lower()
    return f"`{fault.filename}`: {reason}" if fault.filename else reason


def _own(fault: Exception) -> str:
    """Return what broke and where, on one line, and what to do about it."""
    words = " ".join(f"{type(fault).__name__}: {fault}".split())
    trace = fault.__traceback__
    while trace is not None and trace.tb_next is not None:
        trace = trace.tb_next
    where = f" ({Path(trace.tb_frame.f_code.co_filename).name}, line {trace.tb_lineno})" if trace else ""
    advice = (
        f"please run it again with {TRACE}=1 and send what it prints, with the book, to whoever keeps planbook for you"
    )
    return f"{words[:200]}{where}; {advice}"
