"""One run over a book: pictures, handouts, pages and files, in the order in which they need each other."""

from __future__ import annotations

from collections.abc import Mapping
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, field

from planbook.plan.model import Plan
from planbook.publish.addresses import Addresses, content_page, folder_pages
from planbook.publish.cache import Store, fingerprint
from planbook.publish.files_of_plan import (
    Handouts,
    handout_download,
    papers,
    parts_download,
    photos_of,
    picture_file,
)
from planbook.publish.pictures import Pictures, pictures_of
from planbook.publish.plan_pages import PlanView, home_pages, plan_pages
from planbook.publish.reading import Material
from planbook.publish.sheet import sheet
from planbook.publish.shop_pages import content_pages, shop_pages
from planbook.publish.site import Progress
from planbook.publish.tables import parts_table
from planbook.publish.theme import Assets, Theme
from planbook.publish.web import Web
from planbook.publish.writer import Result
from planbook.source.diagnostics import Findings
from planbook.source.text import Text


@dataclass(slots=True)
class Build:
    """The work of one run."""

    material: Material
    theme: Theme
    findings: Findings
    store: Store
    progress: Progress
    _done: int = 0
    _results: list[Result] = field(default_factory=list)

    def run(self, *, handouts: bool) -> list[Result]:
        """Return all files of the site; faults are recorded. Raises `TemplateError`."""
        with ThreadPoolExecutor(max_workers=1) as setter:
            # Handouts are set in a thread while the next plan is drawn: the setter lets Python run.
            waiting: list[tuple[str, str, Future[bytes]]] = []
            views = self._views(setter if handouts else None, waiting)
            self._pages(views)
            for title, path, future in waiting:
                self._step(f"{title}: handout")
                self._results.append(Result(path, future.result()))
        return self._results

    @property
    def _total(self) -> int:
        return 3 * len(self.material.plans) + 1

    def _step(self, what: str) -> None:
        self.progress(what, self._done, self._total)
        self._done += 1

    def _views(
        self, setter: ThreadPoolExecutor | None, waiting: list[tuple[str, str, Future[bytes]]]
    ) -> list[PlanView]:
        maker = Handouts(self.theme, self._theme_print(), self.store)
        photos, files = photos_of(self.material.plans, self.material.root, self.findings)
        self._results += files
        views = []
        for plan in self.material.plans:
            title = f"{plan.title}, {plan.edition.title}"
            self._step(f"{title}: pictures")
            pictures = pictures_of(plan, self.store)
            data = sheet(plan, self.material.info, pictures=pictures.alts)
            for paper in papers(plan.edition.name) if setter else ():
                path = handout_download(plan.slug, plan.edition.name, paper).path
                job = setter.submit(maker.make, data, pictures, paper, self.findings) if setter else None
                if job is not None:
                    waiting.append((title, path, job))
            views.append(self._view(plan, data, pictures, photos, handouts=setter is not None))
        return views

    def _view(
        self,
        plan: Plan,
        data: dict[str, object],
        pictures: Pictures,
        photos: Mapping[tuple[str, str], str],
        *,
        handouts: bool,
    ) -> PlanView:
        slug, edition = plan.slug, plan.edition.name
        table = parts_download(slug, edition)
        self._results.append(Result(table.path, parts_table(plan)))
        printed = [handout_download(slug, edition, paper) for paper in papers(edition)] if handouts else []
        own = {path: place for (owner, path), place in photos.items() if owner == slug}
        return PlanView(plan=plan, sheet=data, pictures=pictures.screen, downloads=(*printed, table), photos=own)

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
        web = Web(info, self.theme, addresses, assets, self.findings, titles, editions)
        self._step("pages")
        self._results += plan_pages(web, views)
        self._results += home_pages(web, views)
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
        folders = [*self.theme.below("print"), *(folder / "fonts" for folder in self.theme.below("static"))]
        return fingerprint([folder for folder in folders if folder.is_dir()], [])
