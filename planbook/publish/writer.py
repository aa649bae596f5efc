"""The one way by which files reach the output folder.

A run hands over everything it has made; nothing is written before that. What differs from the disk is
first written in full into a staging folder inside the output folder, so that a full disk is met while
the old site is whole. Then it is moved into place, each file in one step: files that pages need, new
pages, changed pages; then what is no longer made is removed; the manifest comes last. Stopped at any
moment, every page of the old site still finds all it links to. Files that planbook did not write are
never touched.
"""

from __future__ import annotations

import errno
import json
import os
import shutil
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from planbook.publish.manifest import MANIFEST, Entry, Manifest, digest, manifest_bytes, read_manifest, safe, untouched
from planbook.source.diagnostics import Findings

STAGING = ".planbook-staging"
_INTENT = "intent.json"


@dataclass(frozen=True, slots=True)
class Result:
    """One finished file: its path below the output folder, with forward slashes, and its bytes."""

    path: str
    data: bytes


@dataclass(frozen=True, slots=True)
class Written:
    """What a commit did, as paths in order."""

    written: tuple[str, ...] = ()
    removed: tuple[str, ...] = ()
    unchanged: tuple[str, ...] = ()


SOURCES = ("classes", "pages", "plans", "themes")
"""Folders of a book that hold what its author wrote."""


def _among_sources(target: Path, book: Path) -> bool:
    return any(target.is_relative_to(book / name) for name in SOURCES)


def check_output(into: Path, book_root: Path, findings: Findings) -> bool:
    """Return whether a folder can be written to, or record why not."""
    target, book = into.resolve(), book_root.resolve()
    if book.is_relative_to(target) or _among_sources(target, book):
        findings.stop(
            "output-in-book",
            f"the output folder `{into}` lies among the sources of the book `{book_root}`",
            help="choose a folder of its own, for example `--into site`",
        )
        return False
    for place in (target, *target.parents):
        if place.exists():
            if not place.is_dir():
                findings.stop("not-a-folder", f"`{place}` is a file, a folder is wanted for the output")
                return False
            if not os.access(place, os.W_OK | os.X_OK):
                findings.stop("not-writable", f"the folder `{place}` may not be written to")
                return False
            return True
    return True


def commit(results: Sequence[Result], into: Path, findings: Findings, *, fingerprint: str = "") -> Written | None:
    """Bring an output folder to hold exactly these files of ours; None and a `stop` if it cannot.

    `fingerprint` is kept in the manifest for the next run.
    """
    folder = into.resolve()
    try:
        folder.mkdir(parents=True, exist_ok=True)
        plan = _prepare(results, folder, findings)
        if plan is None:
            return None
        return _carry_out(plan, folder, fingerprint, findings)
    except OSError as fault:
        _report(fault, into, findings)
        _quietly_clear(folder)
        return None


@dataclass(frozen=True, slots=True)
class _Plan:
    """What is to be done to an output folder."""

    old: Manifest
    write: tuple[Result, ...]
    """In the order in which they are moved into place."""
    keep: dict[str, Entry]
    remove: tuple[str, ...]


def _prepare(results: Sequence[Result], folder: Path, findings: Findings) -> _Plan | None:
    old = _recovered(folder)
    if not _paths_fit(results, folder, findings):
        return None
    keep: dict[str, Entry] = {}
    new: list[Result] = []
    changed: list[Result] = []
    for result in sorted(results, key=lambda result: result.path):
        place = folder / result.path
        known = old.files.get(result.path)
        if known and known.sha256 == digest(result.data) and untouched(folder, result.path, known):
            keep[result.path] = known
        elif not os.path.lexists(place):
            new.append(result)
        elif not place.is_symlink() and place.is_file() and place.read_bytes() == result.data:
            keep[result.path] = _entry(place, digest(result.data))
        elif known is None or not (place.is_file() or place.is_symlink()):
            findings.stop(
                "file-in-the-way",
                f"`{result.path}` in the output folder was not written by planbook",
                help="move it away, or publish into an empty folder",
            )
        else:
            if not untouched(folder, result.path, known):
                findings.warn("changed-by-hand", f"`{result.path}` was changed by hand and is written anew")
            changed.append(result)
    if findings.stopped:
        return None
    names = {result.path for result in results}
    gone = tuple(path for path in sorted(old.files) if path not in names)
    return _Plan(old, tuple(sorted(new + changed, key=_is_page)), keep, gone)


def _carry_out(plan: _Plan, folder: Path, fingerprint: str, findings: Findings) -> Written:
    staging = folder / STAGING
    entries = dict(plan.keep)
    if plan.write:
        staging.mkdir()
        intent = {result.path: digest(result.data) for result in plan.write}
        _write(staging / _INTENT, json.dumps(intent).encode())
        for number, result in enumerate(plan.write):
            _write(staging / str(number), result.data)
        for number, result in enumerate(plan.write):
            place = folder / result.path
            place.parent.mkdir(parents=True, exist_ok=True)
            os.replace(staging / str(number), place)
            entries[result.path] = _entry(place, digest(result.data))
    removed = _remove(plan, folder, findings)
    _finish(Manifest(fingerprint, entries), plan.old, folder)
    return Written(tuple(result.path for result in plan.write), removed, tuple(sorted(plan.keep)))


def _finish(manifest: Manifest, old: Manifest, folder: Path) -> None:
    """Write the manifest if it changed, wait once for the disk, and clear the staging folder."""
    staging = folder / STAGING
    if manifest != old or staging.exists():
        staging.mkdir(exist_ok=True)
        _write(staging / MANIFEST, manifest_bytes(manifest), wait=True)
        os.replace(staging / MANIFEST, folder / MANIFEST)
        shutil.rmtree(staging)


def _recovered(folder: Path) -> Manifest:
    """Return the last manifest with the files of an interrupted run added, and clear its leftovers."""
    staging, old = folder / STAGING, read_manifest(folder)
    if not os.path.lexists(staging):
        return old
    if staging.is_symlink() or not staging.is_dir():
        staging.unlink()
        return old
    manifest = Manifest("", {**old.files, **_placed(folder)})
    # Noted on disk before the list is lost, so that a second interruption forgets nothing either.
    _write(staging / MANIFEST, manifest_bytes(manifest))
    os.replace(staging / MANIFEST, folder / MANIFEST)
    shutil.rmtree(staging)
    return manifest


def _placed(folder: Path) -> dict[str, Entry]:
    """Return the files that an interrupted run had moved into place already."""
    try:
        intent = json.loads((folder / STAGING / _INTENT).read_text("utf-8"))
        wanted = {str(path): str(sha) for path, sha in intent.items() if safe(str(path))}
    except (OSError, ValueError, AttributeError):
        return {}
    found = {}
    for path, sha in wanted.items():
        place = folder / path
        plain = place.is_file() and not place.is_symlink() and not _through_link(folder, path)
        if plain and digest(place.read_bytes()) == sha:
            found[path] = _entry(place, sha)
    return found


def _remove(plan: _Plan, folder: Path, findings: Findings) -> tuple[str, ...]:
    """Remove what is no longer made, unless somebody changed it."""
    removed = []
    for path in plan.remove:
        place = folder / path
        if not os.path.lexists(place):
            continue
        if _through_link(folder, path) or not untouched(folder, path, plan.old.files[path]):
            findings.warn("left-in-place", f"`{path}` is no longer made but was changed by hand, so it was left")
            continue
        place.unlink()
        removed.append(path)
        for parent in place.parents:
            if parent == folder or any(parent.iterdir()):
                break
            parent.rmdir()
    return tuple(removed)


def _paths_fit(results: Sequence[Result], folder: Path, findings: Findings) -> bool:
    """Return whether every path stays inside the folder and no two fall together, or record which."""
    seen: dict[str, str] = {}
    for result in results:
        if not safe(result.path) or result.path.split("/")[0] in (STAGING, MANIFEST):
            findings.stop(
                "unusable-name",
                f"`{result.path}` cannot be the path of a file on every system",
                help="name folders and files with letters, digits and hyphens",
            )
            continue
        folded = result.path.casefold()
        if folded in seen:
            findings.stop("same-address", f"`{seen[folded]}` and `{result.path}` are one file on many disks")
        seen[folded] = result.path
        if _through_link(folder, result.path):
            findings.stop(
                "link-in-the-way",
                f"a folder on the way to `{result.path}` is a symbolic link or a file, which is not followed",
                help="remove it from the output folder, or publish into another folder",
            )
    return not findings.stopped


def _through_link(folder: Path, path: str) -> bool:
    """Return whether a folder on the way is a symbolic link, or no folder at all."""
    place = folder
    for part in path.split("/")[:-1]:
        place = place / part
        if place.is_symlink() or (place.exists() and not place.is_dir()):
            return True
    return False


def _is_page(result: Result) -> bool:
    return result.path.endswith(".html")


def _entry(place: Path, sha256: str) -> Entry:
    now = os.lstat(place)
    return Entry(sha256, now.st_size, now.st_mtime_ns)


def _write(place: Path, data: bytes, *, wait: bool = False) -> None:
    with place.open("wb") as stream:
        stream.write(data)
        if wait:
            stream.flush()
            os.fsync(stream.fileno())


def _quietly_clear(folder: Path) -> None:
    """Free the space of the staging folder, but keep the list that the next run needs."""
    staging = folder / STAGING
    try:
        for entry in staging.iterdir():
            if entry.name != _INTENT:
                entry.unlink()
    except OSError:
        pass


def _report(fault: OSError, into: Path, findings: Findings) -> None:
    where = fault.filename if isinstance(fault.filename, str) else str(into)
    if fault.errno in (errno.ENOSPC, errno.EDQUOT):
        findings.stop("no-space", f"no space is left for `{into}`; the site that was there still works")
    elif fault.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        findings.stop("not-writable", f"`{where}` may not be written to")
    elif isinstance(fault, (NotADirectoryError, FileExistsError)):
        findings.stop("not-a-folder", f"`{where}` is a file, a folder is wanted for the output")
    else:
        reason = (fault.strerror or "no reason given").lower()
        findings.stop("not-written", f"`{where}` could not be written: {reason}")
