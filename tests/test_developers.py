"""What DEVELOPERS.md names is there: files, folders, modules, a room's imports."""

import re
from pathlib import Path

import pytest

from tests.test_rooms import ROOMS

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "buildsite"
TEXT = (ROOT / "DEVELOPERS.md").read_text("utf-8")
QUOTED = sorted(set(re.findall(r"`([a-z_0-9./\-]+)`", TEXT)))

SMALLEST = PACKAGE / "kinds/tests/water_content"
BASES = (
    ROOT,
    PACKAGE,
    PACKAGE / "pages",
    PACKAGE / "pages/figure",
    PACKAGE / "kinds/tests",
    SMALLEST,
    SMALLEST.parent / "moisture_density",
)
"""Where a path of the guide may begin."""

PATHS = [name for name in QUOTED if "/" in name or name.endswith((".py", ".md"))]
TOPS = {path.stem for path in PACKAGE.iterdir()}
MODULES = [
    name
    for name in QUOTED
    if name not in PATHS and name.partition(".")[0] in TOPS and "." in name
]
OWN_LINE = re.compile(r"^\| `(\w+)/` \|[^|]*\| ((?:`\w+`(?:, )?)+) \|", re.MULTILINE)
"""A room that names, one by one, the rooms it may import."""


def test_a_path_is_there() -> None:
    gone = [one for one in PATHS if not any((base / one).exists() for base in BASES)]

    assert gone == []


@pytest.mark.parametrize("name", MODULES)
def test_a_module_or_what_it_holds_is_there(name: str) -> None:
    place, parts = PACKAGE, name.split(".")
    while parts and (place / parts[0]).is_dir():
        place /= parts.pop(0)
    inside = (place / parts[0]).with_suffix(".py").exists() if parts else False
    file = (
        (place / parts.pop(0)).with_suffix(".py") if inside else place / "__init__.py"
    )

    assert file.exists()
    assert all(re.search(rf"\b{part}\b", file.read_text("utf-8")) for part in parts)


@pytest.mark.parametrize(("room", "uses"), OWN_LINE.findall(TEXT))
def test_a_room_may_import_what_the_guide_says(room: str, uses: str) -> None:
    assert {*re.findall(r"\w+", uses), room} == ROOMS[room] | {room}


def test_the_guide_names_enough_to_be_held_to() -> None:
    assert len(PATHS) > 30
    assert len(MODULES) > 10
    assert len(OWN_LINE.findall(TEXT)) > 7
