"""What planbook wrote into an output folder: path, content and time of every file."""

from __future__ import annotations

import hashlib
import json
import os
from dataclasses import dataclass, field
from pathlib import Path

MANIFEST = ".planbook-manifest.json"
_FORM = 1


@dataclass(frozen=True, slots=True)
class Entry:
    """One file as it was written."""

    sha256: str
    size: int
    mtime_ns: int


@dataclass(frozen=True, slots=True)
class Manifest:
    """Everything that the last complete run left behind."""

    fingerprint: str = ""
    """Of all inputs of that run; empty if it is not known."""
    files: dict[str, Entry] = field(default_factory=dict)


def digest(data: bytes) -> str:
    """Return the SHA-256 of some bytes."""
    return hashlib.sha256(data).hexdigest()


def read_manifest(folder: Path) -> Manifest:
    """Return the manifest of an output folder; an empty one if there is none that can be read."""
    try:
        raw = json.loads((folder / MANIFEST).read_text("utf-8"))
        if raw["form"] != _FORM:
            return Manifest()
        files = {str(path): Entry(str(e[0]), int(e[1]), int(e[2])) for path, e in raw["files"].items()}
        return Manifest(str(raw["fingerprint"]), {path: e for path, e in files.items() if safe(path)})
    except (OSError, ValueError, KeyError, TypeError, IndexError, AttributeError):
        return Manifest()


def manifest_bytes(manifest: Manifest) -> bytes:
    """Return a manifest as it is stored."""
    files = {path: [e.sha256, e.size, e.mtime_ns] for path, e in sorted(manifest.files.items())}
    return (json.dumps({"form": _FORM, "fingerprint": manifest.fingerprint, "files": files}, indent=0) + "\n").encode()


def safe(path: str) -> bool:
    """Return whether a path stays inside the folder it is joined to."""
    parts = path.split("/")
    return bool(path) and all(part not in ("", ".", "..") and "\\" not in part and ":" not in part for part in parts)


def untouched(folder: Path, path: str, entry: Entry) -> bool:
    """Return whether a file still is what was written; its time is trusted, otherwise it is read."""
    place = folder / path
    try:
        now = os.lstat(place)
        if now.st_size != entry.size or place.is_symlink():
            return False
        return now.st_mtime_ns == entry.mtime_ns or digest(place.read_bytes()) == entry.sha256
    except OSError:
        return False
