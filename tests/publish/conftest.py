"""A whole site of the invented bookcase, made once for all tests that look at pages."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest
from sample_site import material, theme

from planbook.publish.site import site_of
from planbook.publish.writer import Result, commit
from planbook.source.diagnostics import Findings


@pytest.fixture(scope="session")
def book_root(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("book")


@pytest.fixture(scope="session")
def site(book_root: Path) -> Mapping[str, bytes]:
    """Every file of the site by path."""
    findings = Findings()
    results = site_of(material(book_root), theme(book_root), findings, handouts=False)
    assert results is not None, [item.message for item in findings]
    return {result.path: result.data for result in results}


@pytest.fixture(scope="session")
def pages(site: Mapping[str, bytes]) -> Mapping[str, str]:
    """Every page of the site by path."""
    return {path: data.decode("utf-8") for path, data in site.items() if path.endswith(".html")}


@pytest.fixture(scope="session")
def site_folder(site: Mapping[str, bytes], tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The same site on disk."""
    folder = tmp_path_factory.mktemp("site")
    assert commit([Result(path, data) for path, data in site.items()], folder, Findings()) is not None
    return folder
