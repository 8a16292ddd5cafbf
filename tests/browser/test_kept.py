"""A kept report as its receiver meets it: opened from the mail, and printed."""

import re
import shutil
from io import BytesIO
from pathlib import Path

import pytest
from playwright.sync_api import Browser
from pypdf import PdfReader

from tests.browser.eyes import Scheme, visit
from tests.cli.running import run
from tests.clones import git
from tests.conftest import ROOT

WHY = ("--authorized-by", "E02", "--reason", "first issue", "--to", "A customer")


MOST = 3
"""Tests of one kind that are issued here; of compaction tests all, for their sheets
differ most."""


def some_of_each_kind(records: Path) -> list[Path]:
    """Every compaction test, the first few and the longest record of other kinds."""
    of_kind: dict[str, list[Path]] = {}
    for path in sorted(records.glob("*/tests/*.yaml")):
        kind = re.search(r"^kind: (\S+)", path.read_text("utf-8"), re.M)
        assert kind
        of_kind.setdefault(kind[1], []).append(path)
    chosen = set(of_kind.pop("moisture-density"))
    for paths in of_kind.values():
        longest = max(paths, key=lambda path: path.stat().st_size)
        chosen |= {*paths[:MOST], longest}
    return sorted(chosen)


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    """Reports of the demo's tests that may be issued; one amended, withdrawn."""
    root = tmp_path_factory.mktemp("kept")
    left_out = shutil.ignore_patterns("*.issued.yaml", "*.r[0-9]*")
    shutil.copytree(ROOT / "records", root / "records", ignore=left_out)
    git(root, "init", "--quiet", "--initial-branch=main")
    git(root, "config", "user.name", "A")
    git(root, "config", "user.email", "a@lab.example")
    git(root, "add", "--all")
    git(root, "commit", "--quiet", "--message=records")
    for record in some_of_each_kind(root / "records"):
        words = (record.stem, *WHY, "--on", "2026-11-25", "--root", root)
        if run("issue", *words).status:
            run("issue", *words, "--preliminary")
    for mold in sorted((root / "records/equipment").glob("M-*.yaml")):
        text = mold.read_text("utf-8")
        mold.write_text(text.replace("next_due: 2027-01-1", "next_due: 2027-03-1"))
    git(root, "commit", "--quiet", "--all", "--message=molds are due later")
    for chain in sorted((root / "records").glob("*/tests/*.issued.yaml")):
        test = chain.name.removesuffix(".issued.yaml")
        words = (test, *WHY, "--on", "2026-11-25", "--root", root)
        run("issue", *words)
    run("issue", test, "--withdraw", *WHY, "--on", "2026-11-25", "--root", root)
    return sorted((root / "records").rglob("*.html"))


def number(path: Path) -> str:
    """Write the number of the report that a file is."""
    return path.stem.replace(".r", " r")


def last_of_each(kept: list[Path]) -> list[Path]:
    """
    The last report of every test: an amended one says most.

    The last test's is withdrawn, so the one before it is among them: no other lists
    as many departures.
    """
    last = {path.stem.rpartition(".")[0]: path for path in kept}
    return [*last.values(), kept[-2]]


def test_there_are_reports_of_many_tests(kept: list[Path]) -> None:
    assert len(last_of_each(kept)) >= 8


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_each_prints_on_one_page_that_bears_its_number(
    browser: Browser, kept: list[Path], paper: str
) -> None:
    long = {}
    for path in last_of_each(kept):
        with visit(browser, path, home=path.parent) as seen:
            printed = PdfReader(BytesIO(seen.page.pdf(format=paper)))
            content = seen.page.inner_text(".content").split()[-1]
        words = printed.pages[0].extract_text()
        assert words.count(number(path)) >= 3, path  # head, end, foot of the page
        assert words.count(content) == 2, path
        if len(printed.pages) != 1:
            long[path.name] = len(printed.pages)

    assert long == {}


@pytest.mark.parametrize("width", [320, 1280])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_each_is_quiet_whole_and_without_barrier(
    browser: Browser, kept: list[Path], width: int, scheme: Scheme
) -> None:
    largest = sorted(kept, key=lambda path: path.stat().st_size)
    for path in (largest[0], largest[-1]):
        with visit(
            browser, path, home=path.parent / "none", width=width, scheme=scheme
        ) as seen:
            # Only the file itself is asked for.
            assert seen.foreign == [path.as_uri()]
            assert seen.complaints == []
            assert seen.broken_images() == []
            assert seen.sideways() == 0
            assert seen.violations() == []
