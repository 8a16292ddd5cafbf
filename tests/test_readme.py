"""The README's own archive: each line tried as typed, as a new user would."""

import os
import re
import shlex
import subprocess
from pathlib import Path

import pytest

from buildsite.record.source import read_source
from tests.cli.running import run

README = (Path(__file__).parents[1] / "README.md").read_text("utf-8")
BLOCK = re.compile(r"^```(\w*)\n(.*?)^```$", re.MULTILINE | re.DOTALL)


def walk() -> list[tuple[list[str], str]]:
    """Commands from `init` on, in order, each with what is typed into it."""
    found: list[tuple[list[str], str]] = []
    for language, text in BLOCK.findall(README[README.index("**2. Start") :]):
        if language == "text":
            words, _ = found[-1]
            found[-1] = (words, text)
        elif language != "python":  # of a notebook: tests/test_notebook.py
            found += [(shlex.split(line), "") for line in text.splitlines()]
    return found


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A user whom git knows, and who has nothing else."""
    for name in [name for name in os.environ if name.startswith("GIT_")]:
        monkeypatch.delenv(name)
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    (tmp_path / ".gitconfig").write_text(
        "[user]\n\tname = A\n\temail = e01@lab.example\n"
    )
    return tmp_path


def test_the_readme_leads_from_nothing_to_an_issued_report(
    home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder, said = home, {}
    monkeypatch.chdir(folder)
    commands = walk()
    for words, typed in commands:
        if words[0] == "cd":
            folder = folder / words[1]
            monkeypatch.chdir(folder)
            continue
        assert words[0] == "buildsite", words
        ran = run(*words[1:], stdin=typed.encode())
        assert ran.status == 0, f"{shlex.join(words)}\n{ran.out}{ran.err}"
        said[words[1]] = ran.out + ran.err

    assert [words[1] for words, _ in commands][:1] == ["init"]
    assert {"new", "enter", "check", "review", "issue", "build"} <= said.keys()
    assert "0 errors, 0 warnings" in said["check"]
    assert (folder / "records/mill-road/tests/MR-0001.r0.html").is_file()
    assert (folder / "site/tests/MR-0001/r0/report.html").is_file()
    left = subprocess.run(
        ["git", "status", "--porcelain"],
        cwd=folder,
        capture_output=True,
        text=True,
        check=True,
    )
    assert left.stdout == ""
    told = read_source(
        "x", (folder / "records/mill-road/tests/MR-0001.yaml").read_bytes()
    )
    assert told.tree["status"] == "complete"
    assert len(told.tree["points"]) == 5
