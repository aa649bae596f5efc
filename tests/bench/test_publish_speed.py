"""How long publishing takes, against the bare libraries at the same work. Figures: `pytest tests/bench -s`."""

from __future__ import annotations

import io
import shutil
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from sample_processes import Measured

from planbook.publish.site import make_site
from planbook.source.diagnostics import Findings
from planbook.source.files import Sources

LIBRARIES = (
    "import yaml, pydantic, markdown_it, jinja2, numpy, manifold3d, shapely, typst, matplotlib.figure, "
    "matplotlib.backends.backend_svg"
)


@dataclass(slots=True)
class Work:
    """Every call of a library that making the site asked for, with what it was given."""

    pages: list[tuple[Any, dict[str, Any]]] = field(default_factory=list)
    figures: list[tuple[Any, dict[str, Any]]] = field(default_factory=list)
    fonts: list[dict[str, Any]] = field(default_factory=list)
    compilers: list[dict[str, Any]] = field(default_factory=list)
    handouts: list[dict[str, Any]] = field(default_factory=list)
    workplaces: list[Any] = field(default_factory=list)
    """The folders of templates, which go when nobody holds them."""


@pytest.fixture
def work(demo: Path, monkeypatch: pytest.MonkeyPatch) -> Work:
    """Make the site once in this process and keep what the libraries were asked."""
    import jinja2
    import typst
    from matplotlib.figure import Figure

    from planbook.publish import typst_tree

    found = Work()
    render, savefig = jinja2.Template.render, Figure.savefig
    fonts_class, compiler_class = typst.Fonts, typst.Compiler

    def rendered(template: Any, *args: Any, **kwargs: Any) -> str:
        found.pages.append((template, dict(*args, **kwargs)))
        return render(template, *args, **kwargs)

    def saved(figure: Any, _stream: Any, **kwargs: Any) -> None:
        found.figures.append((figure, kwargs))
        savefig(figure, _stream, **kwargs)

    def fonts(**kwargs: Any) -> Any:
        found.fonts.append(kwargs)
        return fonts_class(**kwargs)

    class Compiler:
        def __init__(self, **kwargs: Any) -> None:
            found.compilers.append(kwargs)
            self.real = compiler_class(**kwargs)

        def compile_with_warnings(self, **kwargs: Any) -> Any:
            found.handouts.append(kwargs)
            return self.real.compile_with_warnings(**kwargs)

        def compile(self, **kwargs: Any) -> Any:
            return self.real.compile(**kwargs)

    with monkeypatch.context() as patch:
        patch.setattr(jinja2.Template, "render", rendered)
        patch.setattr(Figure, "savefig", saved)
        patch.setattr(typst, "Fonts", fonts)
        patch.setattr(typst, "Compiler", Compiler)
        # Neither a compiler kept from before nor this one kept for later.
        patch.setattr(typst_tree, "_kept", found.workplaces)
        findings = Findings()
        assert make_site(demo, findings, Sources()) is not None, list(findings)
    return found


def timed(job: Callable[[], object]) -> Measured:
    start, cpu = time.perf_counter(), time.process_time()
    job()
    return Measured(time.perf_counter() - start, time.process_time() - cpu)


def sources(book: Path) -> None:
    """Compose every YAML file and render every Markdown file, and nothing else with them."""
    import yaml
    from markdown_it import MarkdownIt

    for path in sorted(book.rglob("*.yaml")):
        yaml.compose(path.read_text("utf-8"), Loader=yaml.CSafeLoader)
    parser = MarkdownIt("commonmark").enable("table")
    for path in sorted(book.rglob("*.md")):
        parser.render(path.read_text("utf-8"))


def pages(work: Work) -> None:
    """Compile the templates and render every page."""
    fresh = work.pages[0][0].environment.overlay(cache_size=400)
    for template, context in work.pages:
        fresh.get_template(template.name).render(context)


def figures(work: Work) -> None:
    """Write every figure as SVG."""
    for figure, options in work.figures:
        figure.savefig(io.StringIO(), **options)


def handouts(work: Work) -> None:
    """Set every handout, with a compiler of its own for all of them."""
    import typst

    fonts = typst.Fonts(**work.fonts[0])
    compiler = typst.Compiler(**{**work.compilers[0], "font_paths": fonts})
    for options in work.handouts:
        compiler.compile_with_warnings(**options)


def test_publish_against_the_bare_libraries(
    work: Work, demo: Path, planbook_process: Callable[..., Measured], bare: Callable[[str], Measured], tmp_path: Path
) -> None:
    assert len(work.pages) > 10
    assert len(work.figures) > 20
    assert len(work.handouts) > 4
    parts = {
        "imports": bare(LIBRARIES),
        "sources": timed(lambda: sources(demo)),
        "pages": timed(lambda: pages(work)),
        "figures": timed(lambda: figures(work)),
        "handouts": timed(lambda: handouts(work)),
    }
    plain, plain_cpu = (sum(getattr(part, unit) for part in parts.values()) for unit in ("seconds", "cpu"))
    # One run before, so that the bytecode is there; each run finds an empty output folder and no kept results.
    runs = []
    for number in range(3):
        shutil.rmtree(demo / ".planbook", ignore_errors=True)
        runs.append(planbook_process("publish", demo, "--into", tmp_path / f"site-{number}"))
    cold = min(runs[1:], key=lambda run: run.seconds)
    told = ", ".join(f"{name} {part.seconds:.2f}" for name, part in parts.items())
    print(
        f"\npublish of the demo book, nothing kept: {cold.seconds:.2f} s ({cold.cpu:.2f} s of processor) for "
        f"{len(work.pages)} pages, {len(work.figures)} figures, {len(work.handouts)} handouts; "
        f"the libraries alone, one after the other: {plain:.2f} s ({plain_cpu:.2f}; {told}); "
        f"ratio {cold.seconds / plain:.2f} (of processor time {cold.cpu / plain_cpu:.2f}); "
        f"peak memory {cold.own_mb:.0f} MB, of its largest helper {cold.children_mb:.0f} MB"
    )
    assert cold.own_mb < 400
    assert cold.children_mb < 400


def test_publish_again(demo: Path, planbook_process: Callable[..., Measured], tmp_path: Path) -> None:
    site = tmp_path / "site"
    planbook_process("publish", demo, "--into", site)
    before = {path: path.stat().st_mtime_ns for path in site.rglob("*")}
    runs = [planbook_process("publish", demo, "--into", site) for _ in range(3)]
    best = min(runs, key=lambda run: run.seconds)
    loaded = ", ".join(best.modules) or "nothing heavy"
    print(f"\npublish again with nothing changed: {best.seconds:.2f} s, loaded: {loaded}")
    assert best.modules == ()
    assert {path: path.stat().st_mtime_ns for path in site.rglob("*")} == before
    page = demo / "pages" / "about.md"
    page.write_text(page.read_text("utf-8") + "\nOne sentence more.\n", "utf-8")
    changed = planbook_process("publish", demo, "--into", site)
    print(f"publish again with one page changed: {changed.seconds:.2f} s, loaded: {', '.join(changed.modules)}")
    assert "matplotlib" not in changed.modules
