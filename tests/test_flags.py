"""
Every flag has one bad archive that raises it, and a near miss that raises nothing.

`tests/faults/README.md` says how such a folder is written.
"""

from pathlib import Path

import pytest
import yaml

from buildsite.archive import drift as moved
from buildsite.archive import identity, issued_flags, other_projects, references
from buildsite.kinds import across, all_kinds, outcome
from buildsite.record.faults import FAULTS
from buildsite.record.flags import Flag, Known
from tests.archives import FAULTS as FOLDERS
from tests.archives import briefly, changed, computed, flags_of, flags_of_one, sound

RECORD = Path(__file__).parent / "record"

CATALOGUES: dict[str, tuple[Known, ...]] = {
    "reader": tuple(fault.known for fault in FAULTS),
    "archive": (*identity.KNOWN, *other_projects.KNOWN),
    "references": references.KNOWN,
    "outcome": outcome.KNOWN,
    "issued": (moved.MOVED, *issued_flags.KNOWN),
    "across": across.KNOWN,
    **{
        f"kind {kind.name}": tuple(rule.known for rule in kind.rules)
        for kind in all_kinds()
    },
}
READER = {fault.flag for fault in FAULTS}
OTHERS = sorted(path.name for path in (FOLDERS / "with").iterdir())
NAMED = sorted({known.flag for catalogue in CATALOGUES.values() for known in catalogue})
FOLDED = [name for name in NAMED if name not in READER]


def found(pattern: str) -> list[Path]:
    return sorted(FOLDERS.glob(pattern))


def flags_at(path: Path) -> list[Flag]:
    changes = yaml.load(path.read_bytes(), yaml.CSafeLoader)
    alone = changes.pop("alone", None)
    beside = changes.pop("with", ())
    files = changed(changes, changes.pop("issued", ()), beside)
    if alone is not None:
        return flags_of_one(files, alone)
    return flags_of(files, computed(beside))


def test_a_name_stands_for_one_fault() -> None:
    seen: dict[str, tuple[str, Known]] = {}

    for catalogue, rows in CATALOGUES.items():
        names = [known.flag for known in rows]
        assert sorted(names) == sorted(set(names)), catalogue
        for known in rows:
            first, same = seen.setdefault(known.flag, (catalogue, known))
            shared = first.startswith("kind") and catalogue.startswith("kind")
            assert first == catalogue or shared, (known.flag, first, catalogue)
            assert same.severity == known.severity, (known.flag, first, catalogue)


@pytest.mark.parametrize("catalogue", CATALOGUES)
def test_every_flag_says_what_it_sees_and_on_what_it_rests(catalogue: str) -> None:
    for known in CATALOGUES[catalogue]:
        assert known.flag == known.flag.lower().replace("_", "-")
        assert known.says.endswith("."), known.flag
        assert known.basis, known.flag


@pytest.mark.parametrize("beside", ["", *OTHERS])
def test_the_sound_archive_raises_no_flag(beside: str) -> None:
    found = flags_of(sound((beside,) if beside else ()))

    assert briefly(found) == [], "\n".join(map(str, found))


def test_every_flag_has_its_folder() -> None:
    assert [one for one in FOLDED if not found(f"{one}/fault*.yaml")] == []
    assert [one for one in FOLDED if not found(f"{one}/near-miss*.yaml")] == []


def test_every_folder_is_that_of_a_flag() -> None:
    folders = {path.name for path in FOLDERS.iterdir() if path.is_dir()}

    assert sorted(folders - {"base", "with"} - set(FOLDED)) == []


def test_every_fault_of_the_reader_is_raised_in_its_own_tests() -> None:
    texts = [path.read_text(encoding="utf-8") for path in RECORD.glob("test_*.py")]

    for name in READER:
        assert any(f'"{name}"' in text for text in texts), name


def label(path: Path) -> str:
    return f"{path.parent.name}/{path.stem}"


@pytest.mark.parametrize("path", found("*/fault*.yaml"), ids=label)
def test_a_bad_archive_raises_exactly_what_its_list_names(path: Path) -> None:
    listed = path.with_name(path.stem.replace("fault", "expected") + ".txt")
    expected = listed.read_text(encoding="utf-8").splitlines()
    assert any(line.endswith(f": {path.parent.name}") for line in expected)

    flags = flags_at(path)

    assert briefly(flags) == expected, "\n".join(map(str, flags))
    assert all(flag.found and flag.expected and flag.mend for flag in flags)


@pytest.mark.parametrize("path", found("*/near-miss*.yaml"), ids=label)
def test_a_near_miss_raises_nothing(path: Path) -> None:
    flags = flags_at(path)

    assert briefly(flags) == [], "\n".join(map(str, flags))
