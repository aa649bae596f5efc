from __future__ import annotations

import re
import shutil
from html import unescape
from pathlib import Path

import html5lib
import pytest

from planbook.checks.table import CHECKS
from planbook.publish.checked_pages import shown
from planbook.publish.site import make_site
from planbook.source.diagnostics import Findings
from planbook.source.files import Sources
from planbook.units.editions import IMPERIAL, METRIC

FIXTURE = Path(__file__).parents[1] / "fixtures" / "target-a"


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    book = tmp_path_factory.mktemp("checked") / "book"
    shutil.copytree(FIXTURE, book, ignore=shutil.ignore_patterns(".planbook"))
    plan = book / "plans/bookcase/plan.yaml"
    text = plan.read_text("utf-8")
    changed = text.replace("bottom: books}", "bottom: 300 lb/ft}\naccept: {shelf-sag: it is only a trial}")
    assert changed != text
    plan.write_text(changed, "utf-8")
    findings = Findings()
    results = make_site(book, findings, Sources(), handouts=False)
    assert results is not None, [item.message for item in findings]
    return {result.path: unescape(result.data.decode()) for result in results if result.path.endswith(".html")}


def page(pages: dict[str, str], edition: str) -> str:
    return pages[f"plans/bookcase/{edition}/checked/index.html"]


@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_every_check_stands_on_the_page(pages: dict[str, str], edition: str) -> None:
    text = page(pages, edition)
    for slug, _ in CHECKS:
        assert f'-{slug}"' in text
    assert f"{len(CHECKS)} checks looked at" in text


def test_it_says_what_was_computed_and_never_safe(pages: dict[str, str]) -> None:
    text = re.sub(r"\s+", " ", re.sub(r"<[^>]+>", "", page(pages, "imperial")))
    assert "None of them says that the work is safe" in text
    assert "sags 0.041 in over 28⁹⁄₁₆ in under books, after years" in text
    assert "What no check looks at" in text


def test_what_is_accepted_shows_its_reason(pages: dict[str, str]) -> None:
    assert "<strong>Accepted:</strong> it is only a trial" in page(pages, "metric")


@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_it_is_strict_html(pages: dict[str, str], edition: str) -> None:
    html5lib.HTMLParser(strict=True).parse(page(pages, edition))


def test_every_source_is_listed_once_and_led_to(pages: dict[str, str]) -> None:
    text = page(pages, "imperial")
    linked = {int(number) for number in re.findall(r'href="#source-(\d+)"', text)}
    listed = [int(number) for number in re.findall(r'id="source-(\d+)"', text)]
    assert listed == list(range(1, len(listed) + 1))
    assert linked == set(listed)
    assert text.count("Wood Handbook, FPL-GTR-190 (2010), Table 12-1, static bending") == 1


def test_the_plan_leads_to_it_and_the_editions_to_one_another(pages: dict[str, str]) -> None:
    assert 'href="checked/index.html"' in pages["plans/bookcase/imperial/index.html"]
    assert 'href="../../metric/checked/index.html"' in page(pages, "imperial")


def test_fractions_are_built_and_ticks_left_out() -> None:
    assert shown("`side` is 3/4 in, 28 9/16 in", IMPERIAL) == "side is ³⁄₄ in, 28⁹⁄₁₆ in"
    assert shown("`side` is 19 mm", METRIC) == "side is 19 mm"
