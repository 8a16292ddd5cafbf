"""A browser that looks at one page, and what it saw."""

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any, Literal

from axe_playwright_python.sync_playwright import (  # type: ignore[import-untyped]
    Axe,  # it ships neither stubs nor py.typed
)
from playwright.sync_api import (
    Browser,
    ConsoleMessage,
    Error,
    Frame,
    Page,
    Playwright,
    Request,
)

FLAGS = [
    "--no-sandbox",  # as root in a container; the pages are our own
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    # Nobody watches: no process for drawing alone, and a page that is left is thrown
    # away. A visit costs a third less.
    "--in-process-gpu",
    "--disable-features=BackForwardCache,RenderDocument",
]
# Where nobody moves in a page either, no thread waits for a movement: a look costs a
# third less, a print too.
STILL = "--disable-threaded-compositing"
# Level A and AA of the Web Content Accessibility Guidelines up to 2.2. Only what is
# violated is described, and only what is asserted on leaves the browser. Styles are not
# fetched for it once more: a page forbids that, and would complain.
LEVELS = {
    "type": "tag",
    "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"],
}
# Of these, what a dark page may violate alone: nothing but its colours is another.
OF_COLOURS = {"type": "rule", "values": ["color-contrast", "link-in-text-block"]}
AXE = """(rules) => axe.run(document, {
    runOnly: rules,
    resultTypes: ["violations"],
    preload: false,
}).then(({passes, violations}) => [passes.length, violations.flatMap(rule =>
    rule.nodes.map(({html, failureSummary}) =>
        `${rule.id}: ${html.slice(0, 200)} ${failureSummary}`))])
"""
# A page has a dozen colours in ten thousand places: each is read once.
COLOURS_ONCE = """() => {
    const {prototype} = axe.commons.color.Color;
    const parse = prototype.parseString, known = new Map();
    prototype.parseString = function (text) {
        if (!known.has(text)) {
            parse.call(this, text);
            known.set(text, [this.r, this.g, this.b, this.alpha]);
        }
        [this.r, this.g, this.b, this.alpha] = known.get(text);
        return this;
    };
}
"""
AXE_SCRIPT = Axe().axe_script
# Of the rows of a list that are made alike, tag by tag and class by class, axe judges
# three: it takes time for each, and for each pair. The rest is taken out of the page,
# and put back when it has done, unless a script has written the list anew meanwhile.
THREE_ALIKE = """() => {
    const made = one => [one.tagName, one.className, one.getAttribute("style"),
        one.getAttribute("role"), one.textContent.trim() === "",
        ...[...one.children].map(made)].join();
    window.alike = [];
    for (const list of document.querySelectorAll("tbody, ul, ol")) {
        const seen = {};
        for (const row of [...list.children]) {
            if (!row.checkVisibility()) continue;
            const its = made(row);
            seen[its] = (seen[its] || 0) + 1;
            if (seen[its] > 3) {
                window.alike.push([list, row, row.nextSibling]);
                row.remove();
            }
        }
    }
}
"""
ALL_AGAIN = """() => {
    for (const [list, row, next] of window.alike.reverse())
        if (!next || next.parentNode === list) list.insertBefore(row, next);
}
"""
# What takes the focus and does not show it, or takes it out of the order of the page.
UNSEEN_FOCUS = """() => [...document.querySelectorAll(
    "a[href], button, input, select, summary, iframe, [tabindex]")]
    .filter(one => one.tabIndex >= 0 && !one.disabled && one.checkVisibility())
    .filter(one => {
        one.focus({preventScroll: true, focusVisible: true});
        const {outlineStyle, outlineWidth} = getComputedStyle(one);
        return document.activeElement !== one || one.tabIndex > 0
            || outlineStyle === "none" || parseFloat(outlineWidth) < 2;
    }).map(one => one.outerHTML.slice(0, 200))
"""
# Text that is wider than the place it is cut off in; what is one pixel wide is for
# those who hear the page.
CUT = """() => [...document.querySelectorAll("body *")]
    .filter(one => one.clientWidth > 1 && one.scrollWidth > one.clientWidth + 1
        && one.checkVisibility()
        && ["hidden", "clip"].includes(getComputedStyle(one).overflowX))
    .map(one => one.outerHTML.slice(0, 200))
"""
# What moves though the reader asked for rest, and figures whose colours are replaced.
RESTLESS = """() => [
    ...document.getAnimations().map(String),
    ...[document.documentElement, ...document.querySelectorAll("figure img")]
        .filter(one => getComputedStyle(one).scrollBehavior === "smooth"
            || one.tagName === "IMG"
            && getComputedStyle(one).forcedColorAdjust !== "none")
        .map(one => one.outerHTML.slice(0, 200))]
"""
Scheme = Literal["light", "dark"]


def find_browser() -> str | None:
    """Chromium from the system's packages, or the Chrome of a hosted runner."""
    names = ("chromium", "chromium-browser", "google-chrome")
    return next((path for name in names if (path := shutil.which(name))), None)


def start_browser(playwright: Playwright, path: str, *more: str) -> Browser:
    return playwright.chromium.launch(executable_path=path, args=[*FLAGS, *more])


@dataclass
class Visit:
    """One page as opened, and everything that it complained of or asked for."""

    page: Page
    home: str
    complaints: list[str] = field(default_factory=list)
    foreign: list[str] = field(default_factory=list)
    there: bool = False
    """Whether the page is open: what is heard before is of the one visited last."""

    def on_arrival(self, frame: Frame) -> None:
        self.there = self.there or frame == self.page.main_frame

    def on_console(self, message: ConsoleMessage) -> None:
        if self.there and message.type in ("error", "warning"):
            self.complaints.append(message.text)

    def on_error(self, error: Error) -> None:
        if self.there:
            self.complaints.append(str(error))

    def on_request(self, request: Request) -> None:
        ours = self.there or request.is_navigation_request()
        if ours and not request.url.startswith((self.home, "data:")):
            self.foreign.append(request.url)

    def on_failure(self, request: Request) -> None:
        if self.there:
            self.complaints.append(request.url)

    def violations(self, *, colours: bool = False) -> list[str]:
        """What axe finds against the guidelines, rule by rule, with the elements."""
        if not self.page.evaluate("'axe' in window"):
            self.page.evaluate(AXE_SCRIPT)
            self.page.evaluate(COLOURS_ONCE)
        self.page.evaluate(THREE_ALIKE)
        passed, violated = self.page.evaluate(AXE, OF_COLOURS if colours else LEVELS)
        self.page.evaluate(ALL_AGAIN)
        assert passed, "axe judged nothing: is the page empty?"
        return list(violated)

    def sideways(self) -> int:
        """Pixels by which the page is wider than the window."""
        width = "document.documentElement.scrollWidth - window.innerWidth"
        return max(0, int(self.page.evaluate(width)))

    def cut(self) -> list[str]:
        """Elements that hide a part of their text."""
        return list(self.page.evaluate(CUT))

    def unseen_focus(self) -> list[str]:
        """Controls on which a reader without a mouse does not see where they are."""
        return list(self.page.evaluate(UNSEEN_FOCUS))

    def restless(self) -> list[str]:
        """What does not heed a reader who wants rest, and colours of their own."""
        self.page.emulate_media(reduced_motion="reduce", forced_colors="active")
        found = list(self.page.evaluate(RESTLESS))
        self.page.emulate_media(reduced_motion="null", forced_colors="null")
        return found

    def broken_images(self) -> list[str]:
        """Figures that were not drawn."""
        ask = "[...document.images].filter(i => !i.naturalWidth).map(i => i.src)"
        return list(self.page.evaluate(ask))

    def turns(self, *, width: int, scheme: Scheme) -> None:
        """Make the window as wide, and its colours light or dark."""
        self.page.set_viewport_size({"width": width, "height": 800})
        self.page.emulate_media(media="null", color_scheme=scheme)

    def lines(self) -> list[str]:
        """Text of the page's main part as a person sees it, without blank lines."""
        text = self.page.inner_text("main")
        return [line.strip() for line in text.splitlines() if line.strip()]


@cache
def window(browser: Browser, *, scripts: bool) -> Page:
    """Open the window that every visit uses: one with scripts, one without."""
    return browser.new_context(java_script_enabled=scripts).new_page()


@contextmanager
def visit(
    browser: Browser,
    path: Path,
    *,
    home: Path,
    width: int = 1280,
    scheme: Scheme = "light",
    scripts: bool = True,
) -> Iterator[Visit]:
    """Open one page of the site below `home` straight from the disk."""
    page = window(browser, scripts=scripts)
    seen = Visit(page, home.as_uri() + "/")
    seen.turns(width=width, scheme=scheme)
    heard: dict[Any, Any] = {
        "framenavigated": seen.on_arrival,
        "console": seen.on_console,
        "pageerror": seen.on_error,
        "request": seen.on_request,
        "requestfailed": seen.on_failure,
    }
    for event, hears in heard.items():
        page.on(event, hears)
    try:
        page.goto(path.as_uri(), wait_until="load")
        yield seen
    finally:
        for event, hears in heard.items():
            page.remove_listener(event, hears)
