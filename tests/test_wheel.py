"""The installed wheel is whole: it works without the repository that it came from."""

import json
import os
import subprocess
import sys
import sysconfig
import zipfile
from pathlib import Path

import pytest

from buildsite import software
from tests.archives import sound
from tests.clones import clone

ROOT = Path(__file__).parents[1]
BIN = "Scripts" if os.name == "nt" else "bin"
SITE_PACKAGES = Path(sysconfig.get_path("purelib"))


def run(*words: str | Path, cwd: Path) -> str:
    """Standard output of a command that must succeed, without the clone's settings."""
    kept = {k: v for k, v in os.environ.items() if k not in {"PYTHONPATH", "CI"}}
    done = subprocess.run(
        words, cwd=cwd, env=kept, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr + done.stdout
    return done.stdout


def build(folder: Path, source: Path, kind: str) -> Path:
    hatch = (sys.executable, "-m", "hatchling", "build", "--target", kind)
    run(*hatch, "--directory", folder, cwd=source)
    (built,) = folder.iterdir()
    return built


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return build(tmp_path_factory.mktemp("wheel"), ROOT, "wheel")


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory, wheel: Path) -> Path:
    """The folder of commands of a fresh environment that holds the wheel."""
    home = tmp_path_factory.mktemp("elsewhere")
    run(sys.executable, "-m", "venv", "--without-pip", home, cwd=home)
    python = home / BIN / "python"
    pip = (sys.executable, "-m", "pip", "--python", python, "install", "--quiet")
    run(*pip, "--no-deps", "--no-index", wheel, cwd=home)
    # What the wheel depends on is taken from the tests' own environment: nothing is
    # downloaded. The clone's own .pth is not read there, so the clone stays unseen.
    ask = "import sysconfig; print(sysconfig.get_path('purelib'))"
    own = Path(run(python, "-c", ask, cwd=home).strip())
    (own / "dependencies.pth").write_text(f"{SITE_PACKAGES}\n", "utf-8")
    return home / BIN


def test_every_file_of_the_program_is_in_the_wheel(wheel: Path) -> None:
    tracked = run("git", "ls-files", "-z", "buildsite", "templates", cwd=ROOT)
    wanted = {name.removeprefix("buildsite/") for name in tracked.split("\0") if name}

    names = {n.removeprefix("buildsite/") for n in zipfile.ZipFile(wheel).namelist()}

    assert wanted - names == set()
    assert {"requirements.lock", "templates/record.html"} <= names


def test_every_file_of_the_wheel_counts_in_the_fingerprint(wheel: Path) -> None:
    inside = [n for n in zipfile.ZipFile(wheel).namelist() if ".dist-info/" not in n]

    uncounted = {n for n in inside if Path(n).suffix not in software.SHIPPED}

    # The lock is counted apart; py.typed is empty and changes nothing.
    assert uncounted == {"buildsite/requirements.lock", "buildsite/py.typed"}


def test_the_wheel_of_the_source_archive_is_the_same(
    tmp_path: Path, wheel: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1577836800")
    for folder in ("sdist", "unpacked", "wheel"):
        (tmp_path / folder).mkdir()
    packed = build(tmp_path / "sdist", ROOT, "sdist")
    run("tar", "-xzf", packed, "-C", tmp_path / "unpacked", cwd=tmp_path)
    (source,) = (tmp_path / "unpacked").iterdir()

    second = zipfile.ZipFile(build(tmp_path / "wheel", source, "wheel"))

    first = zipfile.ZipFile(wheel)
    assert second.namelist() == first.namelist()
    assert [i.CRC for i in second.infolist()] == [i.CRC for i in first.infolist()]


def test_the_wheel_is_the_same_software_as_the_clone(installed: Path) -> None:
    ask = "import json, buildsite.software as s; print(json.dumps(s.software()))"

    told = json.loads(run(installed / "python", "-c", ask, cwd=installed))

    assert told == software.software()


def test_the_installed_command_helps(installed: Path) -> None:
    assert "build" in run(installed / "buildsite", "--help", cwd=installed)


def test_an_archive_builds_outside_the_repository(
    installed: Path, tmp_path: Path
) -> None:
    archive, site = tmp_path / "archive", tmp_path / "site"
    archive.mkdir()
    clone(archive, sound())

    command = (installed / "buildsite", "build", "--root", archive, "--out", site)
    run(*command, cwd=tmp_path)

    assert (site / "index.html").is_file()
    assert json.loads((site / "manifest.json").read_text("utf-8"))
