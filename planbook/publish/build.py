"""One run over a book: pictures, handouts, pages and files, in the order in which they need each other."""

from __future__ import annotations

from collections.abc import Mapping
from concurrent.futures import Executor, Future, ProcessPoolExecutor, ThreadPoolExecutor
from contextlib import ExitStack, closing
from dataclasses import dataclass, field
from multiprocessing import get_context
from typing import TYPE_CHECKING, Any

from planbook.cutting.practice import USUAL
from planbook.plan.model import Plan
from planbook.publish.addresses import Addresses, content_page, folder_pages
from planbook.publish.cache import Store, fingerprint
from planbook.publish.checked_pages import checked_pages
from planbook.publish.class_pages import class_results
from planbook.publish.files_of_plan import (
    Handouts,
    buying_download,
    fasteners_download,
    handout_download,
    holes_download,
    large_download,
    pages_in,
    papers,
    parts_download,
    photos_of,
    picture_file,
    template_drawings,
    templates_download,
)
from planbook.publish.layouts import Cutting, cutting_of
from planbook.publish.pictures import Pictures, pictures_of_all
from planbook.publish.plan_pages import PlanView, home_pages, plan_pages
from planbook.publish.reading import Material
from planbook.publish.season import season_of
from planbook.publish.sheet import sheet
from planbook.publish.sheet_buying import buying, buying_table
from planbook.publish.sheet_fasteners import fasteners_table
from planbook.publish.sheet_holes import holes_table
from planbook.publish.shop_pages import content_pages, shop_pages
from planbook.publish.site import Progress
from planbook.publish.slab_layouts import slabs_of
from planbook.publish.tables import parts_table
from planbook.publish.theme import Assets, Theme
from planbook.publish.typst_tree import MAIN, TEMPLATES
from planbook.publish.web import Web
from planbook.publish.writer import Result
from planbook.source.diagnostics import Findings
from planbook.source.text import Text

if TYPE_CHECKING:
    from planbook.cutting.practice import Practice
    from planbook.publish.handout import Paper


@dataclass(frozen=True, slots=True)
class _Drawn:
    """A plan with its pictures, and its handouts as they are being set."""

    plan: Plan
    sheet: dict[str, Any]
    pictures: Pictures
    handouts: tuple[tuple[Paper, Future[bytes]], ...]
    templates: tuple[tuple[Paper, Future[bytes]], ...] = ()
    large: tuple[tuple[Paper, Future[bytes]], ...] = ()


@dataclass(slots=True)
class Build:
    """The work of one run."""

    material: Material
    theme: Theme
    findings: Findings
    store: Store
    progress: Progress
    _done: int = 0
    _print: str = ""
    _apart: Executor | None = None
    _results: list[Result] = field(default_factory=list)

    def run(self, *, handouts: bool, workers: int) -> list[Result]:
        """Return all files of the site; faults are recorded. Raises `TemplateError`.

        With more than one of `workers`, pictures are drawn in that many processes, and handouts set in another.
        """
        photos, files = photos_of(self.material.plans, self.material.root, self.findings)
        self._results += files
        with ExitStack() as stack:
            # Handouts are set while the next plan is drawn: a thread waits for the setter.
            if handouts and workers > 1:
                self._apart = stack.enter_context(ProcessPoolExecutor(1, mp_context=get_context("spawn")))
            setter = stack.enter_context(ThreadPoolExecutor(max_workers=1))
            drawn = []
            with closing(pictures_of_all(self.material.plans, self.store, workers=workers)) as pictures:
                for plan in self.material.plans:
                    self._step(f"{plan.title}, {plan.edition.title}: pictures", handouts=handouts)
                    drawn.append(self._drawn(plan, next(pictures), setter if handouts else None))
            views = [self._view(each, photos) for each in drawn]
        self._pages(views)
        return self._results

    def _step(self, what: str, *, handouts: bool) -> None:
        self.progress(what, self._done, len(self.material.plans) * (2 if handouts else 1) + 1)
        self._done += 1

    def _drawn(self, plan: Plan, pictures: Pictures, setter: ThreadPoolExecutor | None) -> _Drawn:
        """Hand a plan and its pictures to the setter of handouts, if there is one."""
        cutting = self._cutting(plan)
        pictures = pictures.with_more(cutting.screen, cutting.paper, cutting.alts)
        slabs = slabs_of(plan, self._practice(plan), self.store)
        self.findings.extend(slabs.faults)
        pictures = pictures.with_more(slabs.screen, slabs.paper, slabs.alts)
        season = season_of(plan, self.material.info.rows, self.store)
        pictures = pictures.with_more(season.screen, season.paper, season.alts)
        data = sheet(
            plan,
            self.material.info,
            pictures=pictures.alts,
            cutting=cutting.rows,
            slabs=slabs.rows,
            buying=self._buying(plan, cutting),
        )
        mains = (MAIN, TEMPLATES) if data["templates"] else (MAIN,)
        jobs: dict[str, list[tuple[Paper, Future[bytes]]]] = {main: [] for main in (MAIN, TEMPLATES)}
        for main in mains if setter is not None else ():
            assert setter is not None
            maker = Handouts(self.theme, self._theme_print(), self.store, self._apart)
            for paper in papers(plan.edition.name):
                jobs[main].append((paper, setter.submit(maker.make, data, pictures, paper, self.findings, main=main)))
        large = []
        if setter is not None:
            # On the edition's own paper alone: the other one is made by the command, for those who ask.
            own = papers(plan.edition.name)[0]
            maker = Handouts(self.theme, self._theme_print(), self.store, self._apart)
            large.append((own, setter.submit(maker.make, data, pictures, own, self.findings, large=True)))
        return _Drawn(plan, data, pictures, tuple(jobs[MAIN]), tuple(jobs[TEMPLATES]), tuple(large))

    def _buying(self, plan: Plan, cutting: Cutting) -> dict[str, Any]:
        if self.material.book is None:
            return {}
        return buying(plan, cutting.lots, self._practice(plan), self.material.book.shop, self.material.info)

    def _practice(self, plan: Plan) -> Practice:
        return self.material.practices.get(plan.edition.name, USUAL[plan.edition.name])

    def _cutting(self, plan: Plan) -> Cutting:
        cutting = cutting_of(plan, self._practice(plan), self.store, accepted=self.material.accepted.get(plan.slug))
        self.findings.extend(cutting.faults)
        return cutting

    def _view(self, drawn: _Drawn, photos: Mapping[tuple[str, str], str]) -> PlanView:
        """Return what the page of a plan shows, once its handouts are there."""
        plan = drawn.plan
        slug, edition = plan.slug, plan.edition.name
        downloads = []
        if drawn.handouts:
            self._step(f"{plan.title}, {plan.edition.title}: handouts", handouts=True)
        groups = (
            (handout_download, drawn.handouts), (large_download, drawn.large), (templates_download, drawn.templates),
        )  # fmt: skip
        for named, jobs in groups:
            for paper, job in jobs:
                data = job.result()
                downloads.append(named(slug, edition, paper, pages=pages_in(data)))
                self._results.append(Result(downloads[-1].path, data))
        for download, drawing in template_drawings(plan):
            self._results.append(Result(download.path, drawing))
            downloads.append(download)
        table = parts_download(slug, edition)
        self._results.append(Result(table.path, parts_table(plan)))
        tables = [table]
        if drawn.sheet["buying"].get("groups"):
            tables.append(buying_download(slug, edition))
            self._results.append(Result(tables[-1].path, buying_table(drawn.sheet["buying"])))
        if drawn.sheet["fasteners"]:
            tables.append(fasteners_download(slug, edition))
            self._results.append(Result(tables[-1].path, fasteners_table(drawn.sheet["fasteners"])))
        if drawn.sheet["holes"]["bits"]:
            tables.append(holes_download(slug, edition))
            self._results.append(Result(tables[-1].path, holes_table(plan)))
        own = {path: place for (owner, path), place in photos.items() if owner == slug}
        return PlanView(
            plan=plan, sheet=drawn.sheet, pictures=drawn.pictures.screen, downloads=(*downloads, *tables), photos=own,
            checked=self.material.book is not None,
        )  # fmt: skip

    def _pages(self, views: list[PlanView]) -> None:
        info = self.material.info
        titles = {stem: str(page.title) for stem, page in self.material.pages}
        addresses = Addresses(
            info,
            tuple(edition.name for edition in self.material.editions),
            tuple(dict.fromkeys(view.slug for view in views)),
            tuple(titles),
            folder_pages("tools", info.tools),
            folder_pages("materials", info.materials),
        )
        assets = Assets(self.theme, self.findings)
        editions = {edition.name: edition.title for edition in self.material.editions}
        classes = self.material.classes
        web = Web(info, self.theme, addresses, assets, self.findings, titles, editions, classes=bool(classes))
        self._step("pages", handouts=any(view.downloads[1:] for view in views))
        self._results += plan_pages(web, views)
        self._results += checked_pages(web, views, self.material.book)
        self._results += home_pages(web, views)
        self._results += class_results(web, classes, views, self.store)
        self._results += shop_pages(web, views)
        self._results += content_pages(web, self.material.pages, self._page_picture)
        assets.take_along()
        self._results += assets.results()
        if info.address:
            self._results.append(self._site_map())

    def _page_picture(self, stem: str, name: Text) -> str | None:
        """Add a picture that a page names, and return where it stands; other sites' pictures are not shown."""
        data = picture_file(self.material.root, f"pages/{name}", self.findings, name.span)
        if data is None:
            return None
        path = f"{content_page(stem).removesuffix('index.html')}{name}"
        if all(result.path != path for result in self._results):
            self._results.append(Result(path, data))
        return path

    def _site_map(self) -> Result:
        """Return the list of all pages by the protocol of sitemaps.org, version 0.9."""
        from html import escape

        pages = sorted(result.path for result in self._results if result.path.endswith("/index.html"))
        addresses = [f"{self.material.info.address}/", *(
            f"{self.material.info.address}/{path.removesuffix('index.html')}" for path in pages
        )]  # fmt: skip
        rows = "\n".join(f"<url><loc>{escape(address)}</loc></url>" for address in addresses)
        head = '<?xml version="1.0" encoding="UTF-8"?>\n<urlset xmlns="http://www.sitemaps.org/schemas/sitemap/0.9">'
        return Result("sitemap.xml", f"{head}\n{rows}\n</urlset>\n".encode())

    def _theme_print(self) -> str:
        """Return a digest of the templates and faces of handouts."""
        if not self._print:
            folders = [*self.theme.below("print"), *(folder / "fonts" for folder in self.theme.below("static"))]
            self._print = fingerprint([folder for folder in folders if folder.is_dir()], [])
        return self._print
