"""Checks that every link inside the site leads to a file, and every fragment to an id, that is there."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Iterable
from functools import cache
from html import unescape
from urllib.parse import unquote, urlsplit

from planbook.publish.writer import Result
from planbook.source.diagnostics import Findings

_LINK = re.compile(r'\s(?:href|src|poster)="([^"]*)"')
_ID = re.compile(r'\sid="([^"]*)"')
_CSS = re.compile(r'url\("?([^")]+)"?\)')


def check_links(results: Iterable[Result], findings: Findings, *, root: str = "") -> None:
    """Record each link that leads nowhere; addresses with a scheme lead elsewhere and are not followed.

    `root` is the path of the site on its server, for links that begin with it.
    """
    files = {result.path: result.data for result in results}

    @cache
    def ids(path: str) -> frozenset[str]:
        return frozenset(_ID.findall(files[path].decode("utf-8")))

    for path in sorted(files):
        for link in _links(path, files[path]):
            fault = _fault(path, link, files.keys(), ids, root)
            if fault:
                findings.stop("dead-link", f"the page `{path}` links to `{link}`, {fault}")


def _links(path: str, data: bytes) -> list[str]:
    if path.endswith(".html"):
        return [unescape(link) for link in dict.fromkeys(_LINK.findall(data.decode("utf-8")))]
    if path.endswith(".css"):
        return [link for link in dict.fromkeys(_CSS.findall(data.decode("utf-8"))) if not link.startswith("data:")]
    return []


def _fault(page: str, link: str, files: Iterable[str], ids: object, root: str) -> str:
    """Return what is wrong with a link, or nothing."""
    parts = urlsplit(link)
    if parts.scheme or parts.netloc:
        return "" if parts.scheme in ("https", "http", "mailto") else "an address of a kind that pages may not hold"
    target = unquote(parts.path)
    if target.startswith("/"):
        if not root or not target.startswith(root):
            return "which leads out of the site"
        target = target.removeprefix(root)
    elif target:
        target = posixpath.normpath(posixpath.join(posixpath.dirname(page), target))
    else:
        target = page
    if target not in files:
        return "a file that is not there"
    fragment = unquote(parts.fragment)
    if fragment and target.endswith(".html") and callable(ids) and fragment not in ids(target):
        return "a place that is not on that page"
    return ""
