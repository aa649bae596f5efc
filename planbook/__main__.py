"""Lets `python -m planbook` do the same as `planbook`."""

from __future__ import annotations

from planbook.cli.entry import main

if __name__ == "__main__":
    main()
