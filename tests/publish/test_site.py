"""Publishing as a whole: the same twice, overridden templates, and what stops it."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import pytest
from sample_plan import line
from sample_site import PNG, info, material, plans, theme

from planbook.drawing.picture import Label, LabelKind, Picture
from planbook.plan.model import Photo, Plan, Run, RunKind
from planbook.publish import pictures as drawing
from planbook.publish import shop_pages  # noqa: F401 - loaded before anything is replaced
from planbook.publish.cache import Store
from planbook.publish.site import publish, site_of
from planbook.source.diagnostics import Findings, Span

SPAN = Span("plans/bookcase/steps.md", 7, 3, 7, 9)
PLAN = "plans/bookcase/imperial/index.html"


@pytest.fixture(autouse=True)
def quick_pictures(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """One small picture instead of all; what a picture shows is tested elsewhere."""
    drawn = []

    def all_(plan: Plan) -> list[tuple[str, Picture]]:
        drawn.append(plan.edition.name)
        label = Label(kind=LabelKind.SIZE, text="42", x=20, y=10, height=3.5)
        return [("front", Picture(title="Front", alt="A box.", width=40, height=20, labels=(label,)))]

    monkeypatch.setattr(drawing, "_all", all_)
    return drawn


def make(root: Path, **given: object) -> tuple[dict[str, bytes], list[str]]:
    findings = Findings()
    results = site_of(material(root, **given), theme(root), findings, handouts=False)  # type: ignore[arg-type]
    return {r.path: r.data for r in results or ()}, [f"{item.slug}: {item.message}" for item in findings]


def with_first_action(*runs: Run) -> tuple[Plan, ...]:
    made = []
    for plan in plans():
        first = replace(plan.steps[0], actions=(line(*runs),))
        made.append(replace(plan, steps=(first, *plan.steps[1:])))
    return tuple(made)


def test_the_same_sources_give_the_same_bytes(tmp_path: Path) -> None:
    one, faults = make(tmp_path / "a")
    two, _ = make(tmp_path / "b")
    assert faults == []
    assert one == two


def test_pictures_are_drawn_once(tmp_path: Path, quick_pictures: list[str]) -> None:
    make(tmp_path)
    make(tmp_path)
    assert quick_pictures == ["imperial", "metric"]
    assert Store(tmp_path).book_root.joinpath(".planbook", "pictures").is_dir()


@pytest.mark.parametrize(
    "target", ["word:gouge", "tool:lathe", "step:no-such", "part:lid", "page:none", "nonsense", "x:y"]
)
def test_a_link_to_nowhere_stops(tmp_path: Path, target: str) -> None:
    results, faults = make(tmp_path, given=with_first_action(Run(RunKind.LINK, "x", target)))
    assert results == {}
    assert faults
    assert all(fault.startswith("dead-link: ") for fault in faults)


@pytest.mark.parametrize(
    ("path", "slug"),
    [
        ("gone.png", "missing-file"),
        ("../../../outside.png", "outside-the-book"),
        ("page.html", "not-a-picture"),
        ("in", "not-a-picture"),
    ],
)
def test_a_photo_that_cannot_be_shown_stops(tmp_path: Path, path: str, slug: str) -> None:
    (tmp_path / "outside.png").write_bytes(PNG)
    root = tmp_path / "book"
    first = plans()[0]
    step = replace(first.steps[0], photos=(Photo(path=path, alt="x", span=SPAN),))
    results, faults = make(root, given=(replace(first, steps=(step, *first.steps[1:])),))
    assert results == {}
    assert [fault.split(":")[0] for fault in faults] == [slug]


def test_a_template_of_the_book_wins(tmp_path: Path) -> None:
    web = tmp_path / "themes/workshop/web"
    web.mkdir(parents=True)
    (web / "tools.html").write_text('{% extends "base.html" %}{% block main %}<h1>My tools</h1>{% endblock %}')
    (web.parent / "static").mkdir()
    (web.parent / "static/workshop.css").write_text("h1 { color: green }")
    results, faults = make(tmp_path)
    assert faults == []
    assert b"<h1>My tools</h1>" in results["tools/index.html"]
    assert b"<h1>Words</h1>" in results["words/index.html"]
    [css] = [path for path in results if path.endswith(".css")]
    assert results[css] == b"h1 { color: green }"


@pytest.mark.parametrize(
    "text",
    [
        "{% if %}",
        "{{ no_such_name }}",
        '{% extends "none.html" %}',
        "{{ page.nothing.more }}",
        "{{ asset('gone.png') }}",
        "{{ 1 + 'a' }}",
        "{{ 1 / 0 }}",
        "{% include 'words.html' %}",
    ],
)
def test_a_faulty_template_is_told_in_one_line(tmp_path: Path, text: str) -> None:
    web = tmp_path / "themes/workshop/web"
    web.mkdir(parents=True)
    (web / "words.html").write_text(text)
    results, faults = make(tmp_path)
    assert results == {}
    assert len(faults) == 1
    assert "\n" not in faults[0]
    assert faults[0].startswith(("template-fault: ", "missing-file: "))


def test_an_address_gives_a_site_map_and_links_from_the_root(tmp_path: Path) -> None:
    results, faults = make(tmp_path, address="https://example.org/shop")
    assert faults == []
    site_map = results["sitemap.xml"].decode()
    assert "<loc>https://example.org/shop/plans/bookcase/metric/</loc>" in site_map
    assert "404" not in site_map
    assert b'<link rel="canonical" href="https://example.org/shop/plans/bookcase/imperial/">' in results[PLAN]
    assert b'href="/shop/index.html"' in results["404.html"]
    without, _ = make(tmp_path)
    assert "sitemap.xml" not in without


def test_one_edition_has_no_switch(tmp_path: Path) -> None:
    base = material(tmp_path)
    single = replace(base, editions=base.editions[:1], plans=base.plans[:1])
    findings = Findings()
    results = site_of(single, theme(tmp_path), findings, handouts=False)
    assert results is not None
    pages = {r.path: r.data for r in results}
    assert b'aria-label="Edition"' not in pages[PLAN]
    assert not any("metric" in path for path in pages)


def test_a_book_without_tools_words_or_pages(tmp_path: Path) -> None:
    base = material(tmp_path, given=tuple(
        replace(plan, steps=(replace(plan.steps[0], actions=(line("Do it."),)), *plan.steps[1:])) for plan in plans()
    ))  # fmt: skip
    bare = replace(base, info=replace(info(), tools={}, materials={}, terms={}), pages=())
    findings = Findings()
    results = site_of(bare, theme(tmp_path), findings, handouts=False)
    assert results is not None, [item.message for item in findings]
    names = {r.path.split("/")[0] for r in results}
    assert names.isdisjoint({"tools", "materials", "words", "pages"})


def test_faults_before_anything_is_read(tmp_path: Path) -> None:
    assert [item.slug for item in publish(tmp_path / "none", tmp_path / "out").findings] == ["no-book"]
    (tmp_path / "book").mkdir()
    assert [item.slug for item in publish(tmp_path / "book", tmp_path / "book/plans/out").findings] == [
        "output-in-book"
    ]
    outcome = publish(tmp_path / "book", tmp_path / "out")
    assert outcome.stopped
    assert not (tmp_path / "out").exists()


def test_a_book_can_be_published_into_a_folder_of_its_own_and_again(tmp_path: Path) -> None:
    book = tmp_path / "book"
    shutil.copytree(Path(__file__).parent.parent / "fixtures" / "target-a", book)
    first = publish(book, book / "site")
    assert first.written
    assert not publish(book, book / "site").written
