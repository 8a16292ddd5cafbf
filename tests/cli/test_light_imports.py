"""Pydantic and PyYAML, loaded lightly, read and refuse what they do as ever."""

import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from buildsite.cli.light_imports import COMPARED, is_compared, shared_methods

ROOT = Path(__file__).parents[2]
READS = """
import random, sys
from pathlib import Path
if sys.argv[1] == "light":
    from buildsite.cli.light_imports import load_pydantic, load_yaml
    load_pydantic()
    load_yaml()
import yaml
from pydantic.types import StringConstraints
from buildsite.archive.archive import compute_standalone
from buildsite.exports.schema import schema_files
from buildsite.kinds import KIND_FILES

print(hasattr(StringConstraints, "_shape"), file=sys.stderr)
for name, data in sorted(schema_files(KIND_FILES).items()):
    print(name, data)
chance = random.Random(1)
for path in sorted(Path("records").rglob("*.yaml")):
    if path.name.endswith(".issued.yaml"):
        continue
    lines = path.read_bytes().splitlines(keepends=True)
    for way in range(3):
        here = list(lines)
        if way:  # a value that is none, a field that is none
            at = chance.randrange(len(here))
            key, _, rest = here[at].partition(b":")
            here[at] = key + (b": -1\\n" if way == 1 else b"x:" + rest)
        made, flags = compute_standalone(b"".join(here), str(path))
        print(path, way, made and made.used, *map(str, flags))
print(yaml.safe_load("{a: 1, b: 2026-03-10, c: no, d: [1.5, '1']}"))
print(yaml.safe_dump({"a": "1", "b": "no", "c": "2026-03-10", "d": 1.5}))
try:
    yaml.safe_load("a: \\x07")
except yaml.YAMLError as error:
    print(error)
"""


def reads(way: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-c", READS, way],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )


def test_what_is_loaded_lightly_reads_and_refuses_the_same() -> None:
    light, usual = reads("light"), reads("usual")

    assert (light.stderr, usual.stderr) == ("True\n", "False\n")
    assert "out-of-range" in usual.stdout
    assert "unknown-field" in usual.stdout
    assert "special characters are not allowed" in usual.stdout
    assert light.stdout == usual.stdout


@pytest.mark.parametrize(
    "there",
    [
        "dataclasses.dataclass.__module__ == 'dataclasses'",
        "re.compile.__module__ == 're'",
        "typing.TypedDict.__module__ == 'typing'",
    ],
)
def test_what_was_put_in_place_is_taken_away(there: str) -> None:
    program = (
        "import dataclasses, re, typing\n"
        "from buildsite.cli.light_imports import load_pydantic, load_yaml\n"
        f"load_pydantic(); load_yaml(); assert {there}\n"
    )
    subprocess.run([sys.executable, "-c", program], cwd=ROOT, check=True)


def test_a_data_class_that_asks_for_more_is_as_ever() -> None:
    @shared_methods(order=True)
    class Ordered:
        number: int

    @shared_methods(frozen=True, slots=True)
    class Plain:
        number: int = 1

    ordered: Any = Ordered
    assert ordered(1) < ordered(2)
    assert Plain() == Plain()
    assert len({Plain(), Plain()}) == 1


def test_who_imports_the_package_gets_the_libraries_as_they_are() -> None:
    program = (
        "import buildsite.notebook\n"
        "from pydantic.types import StringConstraints\n"
        "assert not hasattr(StringConstraints, '_shape')\n"
    )
    subprocess.run([sys.executable, "-c", program], cwd=ROOT, check=True)


def test_only_the_versions_of_the_lock_file_are_loaded_lightly(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    lock = (ROOT / "requirements.lock").read_text().splitlines()
    for package, version in COMPARED.items():
        assert f"{package}=={version} \\" in lock
    assert is_compared("pydantic", "pydantic")
    assert is_compared("pyyaml", "yaml")
    monkeypatch.setitem(COMPARED, "pydantic", "2.0")
    assert not is_compared("pydantic", "pydantic")
