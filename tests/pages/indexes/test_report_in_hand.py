"""The list of digests: what stands in it, and how it is split when it is long."""

from pathlib import Path

import pytest

from buildsite.build import build
from buildsite.pages.indexes import report_in_hand
from buildsite.pages.site_sources import Options
from tests.cli.running import run
from tests.clones import clone
from tests.issuing.clones import ATTRIBUTES
from tests.pages.indexes.test_released import REASON, sound_with_secrets
from tests.test_build import contents

HIDDEN = "HL-101"
"""A test of a project that is not published."""


@pytest.fixture(scope="module")
def root(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = tmp_path_factory.mktemp("archive")
    clone(root, {**sound_with_secrets(), ".gitattributes": ATTRIBUTES})
    for test in ("ML-101", HIDDEN):
        ran = run(*("issue", test, *REASON, "--root", root))
        assert ran.status == 0, ran.err
    return root


def in_hand(root: Path, out: Path, options: Options) -> dict[str, str]:
    build(root, out, options, 1)
    return {
        path: data.decode()
        for path, data in contents(out).items()
        if path.startswith("report-in-hand/")
    }


def test_clients_are_told_of_released_reports_alone(root: Path, tmp_path: Path) -> None:
    own = in_hand(root, tmp_path / "own", Options())
    released = in_hand(root, tmp_path / "released", Options(release=True))

    assert set(own) == {"report-in-hand/index.html", "report-in-hand/data.js"}
    assert set(own) == set(released)
    for path in own:
        assert "ML-101 r0" in released[path], path
        assert HIDDEN in own[path], path
        assert HIDDEN not in released[path], path


def test_a_long_list_is_split_by_the_first_digits(
    root: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(report_in_hand, "MOST_ROWS", 1)
    own = in_hand(root, tmp_path / "own", Options())

    (start, *_) = [path.split("/")[1] for path in own if path.count("/") > 1]
    whole = own["report-in-hand/index.html"]
    assert "ML-101" not in whole
    assert f'href="{start}/index.html"' in whole
    lists = "".join(text for path, text in own.items() if path.count("/") > 1)
    assert "ML-101 r0" in lists
    assert f"{HIDDEN} r0" in lists
