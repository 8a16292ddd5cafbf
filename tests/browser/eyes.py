"""A browser that looks at one page, and what it saw."""

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Literal

from axe_playwright_python.sync_playwright import (  # type: ignore[import-untyped]
    Axe,  # it ships neither stubs nor py.typed
)
from playwright.sync_api import Browser, ConsoleMessage, Page, Playwright

FLAGS = [
    "--no-sandbox",  # as root in a container; the pages are our own
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
# Level A and AA of the Web Content Accessibility Guidelines up to 2.2.
AXE = {
    "runOnly": {
        "type": "tag",
        "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"],
    }
}
Scheme = Literal["light", "dark"]


def find_browser() -> str | None:
    """Chromium from the system's packages, or the Chrome of a hosted runner."""
    names = ("chromium", "chromium-browser", "google-chrome")
    return next((path for name in names if (path := shutil.which(name))), None)


def start_browser(playwright: Playwright, path: str) -> Browser:
    return playwright.chromium.launch(executable_path=path, args=FLAGS)


@dataclass
class Visit:
    """One page as opened, and everything that it complained of or asked for."""

    page: Page
    home: str
    complaints: list[str] = field(default_factory=list)
    foreign: list[str] = field(default_factory=list)

    def hear(self, message: ConsoleMessage) -> None:
        if message.type in ("error", "warning"):
            self.complaints.append(message.text)

    def asked(self, url: str) -> None:
        if not url.startswith((self.home, "data:")):
            self.foreign.append(url)

    def violations(self) -> list[str]:
        """What axe finds against the guidelines, rule by rule, with the elements."""
        found: dict[str, Any] = Axe().run(self.page, options=AXE).response
        assert found["passes"], "axe judged nothing: is the page empty?"
        return [
            f"{rule['id']}: {node['html'][:200]} {node['failureSummary']}"
            for rule in found["violations"]
            for node in rule["nodes"]
        ]

    def sideways(self) -> int:
        """Pixels by which the page is wider than the window."""
        width = "document.documentElement.scrollWidth - window.innerWidth"
        return max(0, int(self.page.evaluate(width)))

    def broken_images(self) -> list[str]:
        """Figures that were not drawn."""
        ask = "[...document.images].filter(i => !i.naturalWidth).map(i => i.src)"
        return list(self.page.evaluate(ask))

    def lines(self) -> list[str]:
        """Text of the page's main part as a person sees it, without blank lines."""
        text = self.page.inner_text("main")
        return [line.strip() for line in text.splitlines() if line.strip()]


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
    context = browser.new_context(
        color_scheme=scheme,
        viewport={"width": width, "height": 800},
        java_script_enabled=scripts,
    )
    page = context.new_page()
    seen = Visit(page, home.as_uri() + "/")
    page.on("console", seen.hear)
    page.on("pageerror", lambda error: seen.complaints.append(str(error)))
    page.on("request", lambda request: seen.asked(request.url))
    page.on("requestfailed", lambda request: seen.complaints.append(request.url))
    try:
        page.goto(path.as_uri(), wait_until="load")
        yield seen
    finally:
        context.close()
