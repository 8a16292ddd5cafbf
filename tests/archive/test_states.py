"""The state of a revision is the one it was issued from, whichever way it came."""

from pathlib import Path

from tests.cli.running import run
from tests.clones import git
from tests.issuing.clones import edit, lab

WHY = ("--authorized-by", "E02", "--reason", "first issue", "--on", "2026-03-13")


def test_an_issue_that_a_merge_brought_with_later_edits(tmp_path: Path) -> None:
    root = lab(tmp_path)
    git(root, "switch", "--quiet", "--create", "office")
    assert run("issue", "ML-101", *WHY, "--root", root).status == 0
    edit(root, "marsh-lane/samples/ML-S1.yaml", "2.69", "2.71")
    git(root, "switch", "--quiet", "main")
    git(root, "merge", "--quiet", "--no-ff", "--message=merge the office's", "office")

    shown = run("diff", "ML-101", "--root", root)

    assert shown.status == 0, shown.err
    assert "specific gravity: 2.69 → 2.71" in shown.out
