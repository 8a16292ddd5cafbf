"""A kept report that could run, send or load something is refused, whoever made it."""

from pathlib import Path

import pytest

from buildsite import software
from buildsite.errors import ENVIRONMENT
from buildsite.record.canonical import digest
from tests.cli.running import run
from tests.clones import git, write
from tests.issuing.clones import TESTS
from tests.verify.tampering import Fault, caught, chained, commit, items, put

NAME = f"{TESTS}/ML-101.r1.html"
HOSTILE = {
    "<script>alert(1)</script>": "an element <script>",
    '<form action="https://a.example/"></form>': "an element <form>",
    '<img src="https://a.example/x.png" alt="">': "not embedded",
    "<!-- 108.0 -->": "no plain element",
}


def with_more(root: Path, more: str, **about: str) -> str:
    """Put something into the last kept report, and correct every digest after it."""
    data = (root / NAME).read_bytes().replace(b"</body>", f"{more}</body>".encode())
    trees = items(root)
    if about:
        old = trees[-1]["content"].encode()
        trees[-1]["software"] = {**trees[-1]["software"], **about}
        trees = chained(trees)
        data = data.replace(old, trees[-1]["content"].encode())
    trees[-1]["report"] = digest(data)
    write(root, {NAME: data})
    put(root, trees)
    return commit(root, "Issue ML-101 r1")


@pytest.mark.parametrize("more", HOSTILE)
@pytest.mark.parametrize("about", [{}, {"fingerprint": "a" * 64}])
def test_verify_names_what_a_kept_report_may_not_hold(
    root: Path, more: str, about: dict[str, str]
) -> None:
    take_back(root)
    came = with_more(root, more, **about)

    caught(root, Fault("ML-101", 1, NAME, came), HOSTILE[more])


def take_back(root: Path) -> None:
    """Take the commit of the last revision back: its files are not committed."""
    git(root, "reset", "--quiet", "--soft", "HEAD~1")


@pytest.mark.parametrize("options", [(), ("--release",)])
def test_build_refuses_it_and_writes_nothing(
    root: Path, tmp_path: Path, options: tuple[str, ...]
) -> None:
    take_back(root)
    project = root / "records/marsh-lane/project.yaml"
    write(root, {str(project): project.read_bytes() + b"publish: yes\n"})
    with_more(root, "<script>alert(1)</script>", fingerprint="a" * 64)
    out = tmp_path / "site"

    ran = run("build", *options, "--root", root, "--out", out)

    assert ran.status == ENVIRONMENT
    assert f"{NAME} holds what no kept report may" in ran.err
    assert "an element <script>" in ran.err
    assert not out.exists()


def test_the_program_in_use_is_not_asked(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    take_back(root)
    came = with_more(root, "<script>alert(1)</script>")
    monkeypatch.setattr(software, "fingerprint", lambda: "b" * 64)

    caught(root, Fault("ML-101", 1, NAME, came), "an element <script>", alone=False)
