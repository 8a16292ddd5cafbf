"""Files written whole or not at all."""

from errno import EROFS
from pathlib import Path

import pytest

from buildsite.errors import EnvironmentFault
from buildsite.files import write_whole


def test_a_file_is_replaced_whole_and_keeps_its_mode(tmp_path: Path) -> None:
    path = tmp_path / "HF-0117.yaml"
    path.write_bytes(b"old")
    path.chmod(0o640)

    write_whole(path, b"new")

    assert path.read_bytes() == b"new"
    assert path.stat().st_mode & 0o777 == 0o640
    assert list(tmp_path.iterdir()) == [path]


def test_a_new_file_has_the_mode_that_is_usual_here(tmp_path: Path) -> None:
    (tmp_path / "usual").write_bytes(b"")

    write_whole(tmp_path / "new", b"")

    assert (tmp_path / "new").stat().st_mode == (tmp_path / "usual").stat().st_mode


def test_what_cannot_be_written_leaves_nothing_behind(tmp_path: Path) -> None:
    (tmp_path / "folder" / "inner").mkdir(parents=True)

    with pytest.raises(EnvironmentFault, match="Can't write"):
        write_whole(tmp_path / "folder", b"a file cannot replace a folder")
    with pytest.raises(EnvironmentFault, match="No such file"):
        write_whole(tmp_path / "missing" / "file", b"")

    assert [path.name for path in tmp_path.iterdir()] == ["folder"]


def test_a_disk_that_may_only_be_read_is_said_to_be(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused(*_: object, **__: object) -> None:
        raise OSError(EROFS, "Read-only file system")

    monkeypatch.setattr(Path, "open", refused)
    monkeypatch.setattr(Path, "unlink", refused)

    with pytest.raises(EnvironmentFault, match="Read-only file system"):
        write_whole(tmp_path / "file", b"new")
