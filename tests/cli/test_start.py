"""What the program imports to check one file: `check` must start fast."""

import subprocess
import sys
from pathlib import Path

from pydantic.plugin import _loader

ROOT = Path(__file__).parents[2]
PROGRAM = """
import atexit, sys
atexit.register(lambda: print(*sys.modules, sep="\\n"))
from buildsite.cli import main
main()
"""
NEVER = {
    "numpy",
    "scipy",
    "matplotlib",
    "jinja2",
    "segno",
    "importlib.metadata",
    "email.message",
}
# Kinds that the record below does not meet, and what is no part of checking it.
NOT_MET = {
    "buildsite.kinds.equipment.pycnometer",
    "buildsite.kinds.equipment.sand_cone",
    "buildsite.kinds.equipment.drive_cylinder",
    "buildsite.kinds.equipment.gauge",
    "buildsite.kinds.equipment.balloon",
    "buildsite.kinds.tests.water_content",
    "buildsite.kinds.tests.specific_gravity",
    "buildsite.kinds.tests.coarse_fraction",
    "buildsite.pages",
    "buildsite.history",
    "buildsite.issuing",
}


def test_checking_one_record_imports_only_what_it_meets() -> None:
    record = "records/heron-flats/tests/HF-0117.yaml"

    ran = subprocess.run(
        [sys.executable, "-c", PROGRAM, "check", record],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )

    loaded = set(ran.stdout.splitlines())
    assert "buildsite.kinds.tests.moisture_density" in loaded
    assert loaded & (NEVER | NOT_MET) == set()


def test_whether_anything_changed_is_told_before_anything_is_imported() -> None:
    program = (
        "import sys; from buildsite.cli import main;"
        "from buildsite.cache import unchanged; print(*sys.modules)"
    )

    ran = subprocess.run(
        [sys.executable, "-S", "-c", program],  # what is installed may import more
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )

    loaded = set(ran.stdout.split())
    assert "buildsite.cache.unchanged" in loaded
    slow = {"pathlib", "re", "json", "sqlite3", "hashlib", "typing", "dataclasses"}
    assert loaded & slow == set()


def test_pydantic_has_what_the_program_puts_in_its_place() -> None:
    # Where this fails, pydantic looks for its plugins in another way: see
    # buildsite.cli.light_imports.without_plugins.
    assert callable(_loader.get_plugins)
