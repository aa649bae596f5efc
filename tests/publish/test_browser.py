"""Pages in a real browser: nothing sticks out sideways, ticks are remembered, the switch keeps the place."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
from html import unescape
from pathlib import Path

import pytest

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")

pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(CHROMIUM is None and not os.environ.get("CI"), reason="no Chromium here"),
]

PAGES = (
    "index.html",
    "plans/bookcase/imperial/index.html",
    "plans/bookcase/metric/index.html",
    "plans/bookcase/index.html",
    "tools/router/index.html",
    "words/index.html",
    "pages/measure/index.html",
    "404.html",
)
WIDTHS = (360, 390, 699, 700, 900, 1400)
# A frame of the asked width, because a window cannot be made narrower than a browser likes.
HARNESS = """<!DOCTYPE html><meta charset="utf-8"><title>x</title><pre id="out"></pre>
<iframe id="f" style="width:{width}px;height:900px;border:0"></iframe>
<script>
const frame = document.getElementById("f");
const out = (value) => {{ document.getElementById("out").textContent = JSON.stringify(value); }};
const wait = (ms) => new Promise((done) => setTimeout(done, ms));
const load = (url) => new Promise((done) => {{ frame.onload = done; frame.src = url; }});
(async () => {{ try {{ {script} }} catch (fault) {{ out({{fault: String(fault)}}); }} }})();
</script>"""


def run(folder: Path, script: str, *, width: int) -> object:
    """Run a script beside the site in a frame of that width, and return what it gives to `out`."""
    page = folder / "harness.html"
    page.write_text(HARNESS.format(width=width, script=script), "utf-8")
    try:
        done = subprocess.run(
            [
                str(CHROMIUM), "--headless", "--no-sandbox", "--disable-gpu", "--allow-file-access-from-files",
                "--virtual-time-budget=20000", "--window-size=1500,1000", "--dump-dom", page.as_uri(),
            ],
            capture_output=True, text=True, timeout=120, check=False,
        )  # fmt: skip
    finally:
        page.unlink()
    found = re.search(r'<pre id="out">(.*?)</pre>', done.stdout, re.DOTALL)
    assert found is not None, done.stderr[-2000:]
    assert found[1], "the script did not finish"
    return json.loads(unescape(found[1]))


def test_no_page_scrolls_sideways(site_folder: Path) -> None:
    script = f"""
    const found = [];
    for (const page of {json.dumps(PAGES)}) {{
      await load(page);
      for (const width of {json.dumps(WIDTHS)}) {{
        frame.style.width = `${{width}}px`;
        const root = frame.contentDocument.documentElement;
        found.push([page, width, root.scrollWidth, root.clientWidth]);
      }}
    }}
    out(found);"""
    found = run(site_folder, script, width=1400)
    assert len(found) == len(PAGES) * len(WIDTHS)
    for page, width, scroll, client in found:
        assert client > width - 30, (page, width)
        assert scroll <= client, f"{page} is {scroll} px wide in {client} px"


def test_a_phone_gets_its_own_picture(site_folder: Path) -> None:
    script = """
    await load("plans/bookcase/imperial/index.html");
    const shown = (name) => frame.contentDocument.querySelector(name).getBoundingClientRect().width > 0;
    out([shown(".front .on-wide"), shown(".front .on-narrow")]);"""
    assert run(site_folder, script, width=390) == [False, True]
    assert run(site_folder, script, width=1280) == [True, False]


def test_ticks_are_remembered_in_both_editions(site_folder: Path) -> None:
    script = """
    const first = () => frame.contentDocument.querySelector('input[data-tick^="step-saw"]');
    await load("plans/bookcase/imperial/index.html");
    const before = first().checked;
    first().click();
    await load("plans/bookcase/metric/index.html");
    const after = first().checked;
    first().click();
    await load("plans/bookcase/imperial/index.html");
    out([before, after, first().checked]);"""
    assert run(site_folder, script, width=390) == [False, True, False]


def test_the_edition_switch_keeps_the_place(site_folder: Path) -> None:
    script = """
    await load("plans/bookcase/imperial/index.html");
    const page = frame.contentDocument;
    const link = page.querySelector('.switch a[data-edition="metric"]');
    const at_top = link.getAttribute("href");
    page.getElementById("step-close-the-case").scrollIntoView();
    await wait(100);
    link.dispatchEvent(new frame.contentWindow.PointerEvent("pointerdown", {bubbles: true}));
    out([at_top, link.getAttribute("href")]);"""
    assert run(site_folder, script, width=1280) == [
        "../metric/index.html",
        "../metric/index.html#step-close-the-case",
    ]


def test_touch_targets_are_large_enough(site_folder: Path) -> None:
    """WCAG 2.2, 2.5.8: 24 CSS px, or the same space around; links in sentences are excepted."""
    script = """
    await load("plans/bookcase/imperial/index.html");
    const small = [];
    for (const box of frame.contentDocument.querySelectorAll("input, .bar a, .columns a")) {
      const {width, height} = (box.closest("label") || box.closest("td") || box).getBoundingClientRect();
      if (height < 24 || width < 24) small.push(`${box.outerHTML} ${width} x ${height}`);
    }
    out(small);"""
    assert run(site_folder, script, width=390) == []
