"""The files of a new archive: workflows that parse, pinned as our own are."""

import re
import subprocess
from pathlib import Path
from typing import Any

import pytest
import yaml

from buildsite.cli import COMMANDS
from buildsite.exports.schema import schema_files
from buildsite.starting.archive import (
    ROLES,
    NewLaboratory,
    Person,
    archive_files,
    faults_of,
    guide,
)

ROOT = Path(__file__).parents[2]
OWN = "\n".join(path.read_text() for path in ROOT.glob(".github/workflows/*.yml"))


def files(*, public: bool, branch: str = "main", source: str = "") -> dict[str, bytes]:
    told = NewLaboratory(
        name="Our laboratory",
        place="Our town",
        since="2026-01-05",
        staff=tuple(Person(f"P{i}", role) for i, role in enumerate(ROLES)),
        standards=("ASTM D698",),
        density="",
        public=public,
        branch=branch,
        source=source,
        lock=b"lock\n",
        fingerprint="f" * 64,
    )
    return archive_files(told, "records/**/*.yaml diff=x")


def workflows(made: dict[str, bytes]) -> dict[str, Any]:
    return {
        name: yaml.load(data, yaml.CBaseLoader)  # noqa: S506  `on` is a text
        for name, data in made.items()
        if name.startswith(".github/")
    }


BOTH = pytest.mark.parametrize("public", [True, False])


@BOTH
def test_the_laboratorys_record_has_no_fault(*, public: bool) -> None:
    assert faults_of(files(public=public)) == []


@BOTH
def test_workflows_hold_no_right_that_they_do_not_need(*, public: bool) -> None:
    for name, one in workflows(files(public=public)).items():
        assert one["permissions"] == {}, name
        for job in one["jobs"].values():
            assert job["permissions"], name
            assert "uses" in job or int(job["timeout-minutes"]) <= 15


@BOTH
def test_each_action_is_pinned_as_in_our_own_workflows(*, public: bool) -> None:
    # upload-artifact, which ours don't use, is pinned as its own repository tags it.
    other = "actions/upload-artifact@bbbca2ddaa5d8feaa63e36b76fdaad77386f024f # v7.0.0"
    text = b"\n".join(files(public=public).values()).decode()

    found = set(re.findall(r"uses: (actions/\S+ # \S+)", text))

    assert found
    assert {one for one in found if one not in OWN} <= {other}


def test_workflows_go_with_the_branch() -> None:
    made = files(public=True, branch="trunk")
    text = b"\n".join(made.values()).decode()

    assert "@BRANCH@" not in text
    assert workflows(made)[".github/workflows/publish.yml"]["on"]["push"] == {
        "branches": ["trunk"]
    }
    assert "origin/main" not in text


def test_the_address_of_the_site_is_asked_for_and_not_guessed() -> None:
    ours = (ROOT / ".github/workflows/publish.yml").read_bytes()
    theirs = files(public=True)[".github/workflows/publish.yml"]

    for text in (ours, theirs):
        assert b"github.io" not in text
        job = yaml.load(text, yaml.CBaseLoader)["jobs"]["build"]  # noqa: S506
        steps = job["steps"]
        (asks,) = (i for i, one in enumerate(steps) if one.get("id") == "pages")
        (uses,) = (
            i for i, one in enumerate(steps) if "--base-url" in one.get("run", "")
        )
        wanted = "${{ vars.PUBLISHED_AT || steps.pages.outputs.base_url }}"
        assert asks < uses
        assert steps[asks]["uses"].startswith("actions/configure-pages@")
        assert steps[uses]["env"]["ADDRESS"] == wanted
        assert job["permissions"] == {"contents": "read", "pages": "read"}


def test_the_program_stands_at_one_commit_with_what_it_runs_on() -> None:
    source = f"git+https://host.example/b@{'a' * 40}"
    made = files(public=False, source=source)
    lines = made["program/source.txt"].decode().splitlines()

    assert [x for x in lines if not x.startswith("#")] == [source]
    assert made["program/requirements.lock"] == b"lock\n"
    named = made["program/fingerprint.txt"].decode().splitlines()
    assert [x for x in named if not x.startswith("#")] == ["f" * 64]
    assert schema_files().items() <= made.items()


@BOTH
def test_the_guide_is_short_and_names_commands_that_there_are(*, public: bool) -> None:
    text = guide("Our  laboratory\n", "T01", public=public)

    assert text.startswith("# Our laboratory\n")
    assert len(text.splitlines()) < 80
    named = set(re.findall(r"\bbuildsite ([a-z-]+)", text))
    assert named <= set(COMMANDS)
    assert {"new", "check", "review", "issue", "build"} <= named


def test_without_a_source_the_installer_says_what_is_missing(tmp_path: Path) -> None:
    for name, data in files(public=False).items():
        if name.startswith("program/"):
            (tmp_path / name).parent.mkdir(exist_ok=True)
            (tmp_path / name).write_bytes(data)

    done = subprocess.run(
        ["bash", tmp_path / "program/install"], capture_output=True, check=False
    )

    assert done.returncode == 3
    assert b"does not say where the program comes from" in done.stderr


@pytest.mark.parametrize("named", ["f" * 64, "e" * 64, ""])
def test_the_installer_compares_the_fingerprint_that_the_archive_names(
    tmp_path: Path, named: str
) -> None:
    made = files(public=False, source=f"git+https://host.example/b@{'a' * 40}")
    for name in ("install", "source.txt", "fingerprint.txt", "requirements.lock"):
        data = made[f"program/{name}"].replace(b"f" * 64, named.encode())
        (tmp_path / "program").mkdir(exist_ok=True)
        (tmp_path / "program" / name).write_bytes(data)
    # Stands for a python3 with the program installed: pip does nothing.
    python = tmp_path / "bin/python3"
    python.parent.mkdir()
    python.write_text(f'#!/bin/sh\n[ "$1" = -m ] || echo {"f" * 64}\n')
    python.chmod(0o755)

    done = subprocess.run(
        ["bash", tmp_path / "program/install"],
        capture_output=True,
        check=False,
        text=True,
        env={"PATH": f"{python.parent}:/usr/bin:/bin"},
    )

    assert done.returncode == (0 if named == "f" * 64 else 3), done.stderr
    assert ("f" * 64 in done.stderr) == (named != "f" * 64)
