"""The fingerprint: of the bytes that git stores, whatever machine holds them."""

import hashlib
import subprocess
import sys
from pathlib import Path

import pytest

from buildsite import software

ROOT = Path(__file__).parents[1]


@pytest.fixture
def copy(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A small program in the shape of ours, in place of ours."""
    for name, text in {
        "buildsite/soil/water.py": "DENSITY = 998.2\n",
        "buildsite/standards/t180.yaml": "blows: 25\n",
        "templates/base.html": "<p>µ</p>\n",
        "requirements.lock": "numpy==2.4.6\n",
    }.items():
        path = tmp_path / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text.encode())
    monkeypatch.setattr(software, "_PACKAGE", tmp_path / "buildsite")
    software.fingerprint.cache_clear()
    monkeypatch.setattr(software, "fingerprint", software.fingerprint.__wrapped__)
    return tmp_path


def test_sha256sum_and_sort_give_the_same(copy: Path) -> None:
    # By GNU's tools alone, as the docstring promises; -b is not used: two spaces.
    script = "find * -type f | LC_ALL=C sort | xargs sha256sum | sha256sum"

    repeated = subprocess.run(
        ["sh", "-c", script], cwd=copy, capture_output=True, text=True, check=True
    ).stdout

    assert software.fingerprint() == repeated.split()[0]


@pytest.mark.parametrize(
    "name",
    [
        "buildsite/soil/water.py",
        "buildsite/standards/t180.yaml",
        "templates/base.html",
        "requirements.lock",
    ],
)
def test_a_changed_file_moves_it(copy: Path, name: str) -> None:
    before = software.fingerprint()

    (copy / name).write_bytes((copy / name).read_bytes() + b"#\n")

    assert software.fingerprint() != before


def test_a_new_file_and_a_new_name_move_it(copy: Path) -> None:
    water = copy / "buildsite" / "soil" / "water.py"
    seen = {software.fingerprint()}

    water.with_name("phase.py").write_bytes(b"")
    seen.add(software.fingerprint())
    water.rename(water.with_name("liquid.py"))
    seen.add(software.fingerprint())

    assert len(seen) == 3


def test_line_ends_compiled_files_and_leavings_do_not_move_it(copy: Path) -> None:
    before = software.fingerprint()

    water = copy / "buildsite" / "soil" / "water.py"
    water.write_bytes(water.read_bytes().replace(b"\n", b"\r\n"))
    (copy / "buildsite" / "soil" / "water.cpython-311.pyc").write_bytes(b"x")
    (copy / "buildsite" / "soil" / "water.py~").write_bytes(b"x")

    assert software.fingerprint() == before


def test_templates_inside_the_package_count_as_those_beside_it(copy: Path) -> None:
    before = software.fingerprint()

    for name in ("templates", "requirements.lock"):
        (copy / name).rename(copy / "buildsite" / name)

    assert software.fingerprint() == before


def test_the_lock_digest_is_that_of_the_file() -> None:
    digest = hashlib.sha256((ROOT / "requirements.lock").read_bytes()).hexdigest()

    assert software.lock_digest() == digest


def test_importing_computes_no_fingerprint() -> None:
    ask = "from buildsite import software as s; print(s.fingerprint.cache_info())"

    done = subprocess.run(
        [sys.executable, "-c", ask], capture_output=True, text=True, check=True
    )

    assert "currsize=0" in done.stdout
