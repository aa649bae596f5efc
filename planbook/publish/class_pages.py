"""The page of each class, for those who think of coming: what, when, what to bring, what it costs.

Nothing about persons is on it, and nothing of the teacher's: run sheets are made by `planbook handout --class`.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from planbook.publish.addresses import CLASSES, plan_page
from planbook.publish.cache import Store
from planbook.publish.class_facts import Class
from planbook.publish.class_files import class_calendar
from planbook.publish.class_lists import money
from planbook.publish.class_sheet import head
from planbook.publish.class_solved import FITS, answer_key, solve_class
from planbook.publish.class_work import class_work
from planbook.publish.plan_pages import PlanView
from planbook.publish.web import Web
from planbook.publish.writer import Result


def class_page(slug: str) -> str:
    """Return the page of a class."""
    return f"classes/{slug}/index.html"


def class_results(web: Web, classes: Sequence[Class], views: Sequence[PlanView], store: Store) -> list[Result]:
    """Return the page and the calendar of each class, and the list of classes; what does not fit is recorded."""
    if not classes:
        return []
    results = []
    for one in classes:
        _checked(one, web, store)
        calendar = f"classes/{one.slug}/{one.slug}.ics"
        results.append(Result(calendar, class_calendar(one, web.book)))
        view = next(
            (view for view in views if (view.slug, view.edition) == (one.plan.slug, one.plan.edition.name)), None
        )
        results.append(
            web.page(
                "class.html",
                class_page(one.slug),
                title=one.title,
                section="classes",
                sheet=_facts(one, web),
                view=view,
                plan_path=plan_page(one.plan.slug, one.plan.edition.name),
                calendar=calendar,
            )
        )
    rows = [(class_page(one.slug), _facts(one, web)) for one in classes]
    results.append(web.page("classes.html", CLASSES, title="Classes", section="classes", rows=rows))
    return results


def _facts(one: Class, web: Web) -> dict[str, Any]:
    work = class_work(one, web.book)
    used = {share.station for share in work.shares if share.step.slug not in one.prepared}
    ages = [(station.minimum_age, station.key) for station in one.stations if station.key in used]
    oldest = max(ages, default=(0, ""))
    titles = {step.slug: step.title for step in one.plan.steps}
    return {
        **head(one, web.book),
        "bring": list(one.brings),
        "price": money(one, one.price) if one.price is not None else "",
        "age": oldest[0],
        "age_for": oldest[1],
        "level": one.plan.level,
        "prepared": [titles[slug] for slug in one.prepared],
        "at_home": [titles[slug] for slug in one.at_home],
        "in_class": [
            step.title for step in one.plan.steps if step.slug not in one.prepared and step.slug not in one.at_home
        ],
    }


def _checked(one: Class, web: Web, store: Store) -> None:
    """Solve a class once to see whether it fits; that it does is kept from run to run."""
    key = answer_key(class_work(one, web.book))
    if store.get("timetables", key) != FITS:
        store.put("timetables", key, FITS if solve_class(one, web.book, web.findings) is not None else b"does not")
