"""The archive is found and read; what may not stand there is flagged."""

import os
from pathlib import Path

import pytest

from buildsite.errors import EnvironmentFault
from buildsite.files import find_root, list_archive, read_archive
from buildsite.record.flags import Flag, Severity
from buildsite.record.letters import LARGEST


def put(root: Path, *names: str) -> None:
    for name in names:
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(name.encode())


@pytest.fixture
def root(tmp_path: Path) -> Path:
    put(tmp_path, "records/lab.yaml")
    return tmp_path


def told(root: Path) -> list[tuple[str, str, str]]:
    return [(flag.flag, flag.file, flag.found) for flag in read_archive(root).flags]


def test_the_archive_is_the_first_folder_above_that_holds_one(root: Path) -> None:
    inner = root / "records" / "heron-flats" / "tests"
    inner.mkdir(parents=True)

    assert find_root(root) == find_root(inner) == root


def test_an_archive_within_an_archive_is_found_first(root: Path) -> None:
    put(root, "demo/records/lab.yaml")

    assert find_root(root / "demo" / "records") == root / "demo"


def test_without_an_archive_the_remedy_is_told(tmp_path: Path) -> None:
    with pytest.raises(EnvironmentFault) as caught:
        find_root(tmp_path)

    assert str(tmp_path) in caught.value.cause
    assert "buildsite init DIR" in caught.value.remedy
    assert "--root" in caught.value.remedy


def test_a_folder_called_like_the_laboratory_is_no_archive(tmp_path: Path) -> None:
    (tmp_path / "records" / "lab.yaml").mkdir(parents=True)

    with pytest.raises(EnvironmentFault):
        find_root(tmp_path)


def test_every_file_is_put_where_its_name_says(root: Path) -> None:
    put(
        root,
        "records/heron-flats/tests/HF-0117.yaml",
        "records/heron-flats/tests/HF-0117.issued.yaml",
        "records/heron-flats/tests/HF-0117.r0.html",
        "records/heron-flats/tests/HF-0117.r0.json",
        "records/heron-flats/tests/HF-0117-bench.pdf",
        "records/heron-flats/tests/HF-0117.rx.html",
        "records/heron-flats/tests/deep/er/HF-0118.yaml",
        "records/heron-flats/project.yaml",
        "records/equipment/M-04.yaml",
        "records/.git/config.yaml",
        "records/heron-flats/.HF-0117.yaml.swp",
        "records/heron-flats/tests/.HF-0119.yaml",
        "records/README.md",
        "elsewhere/HF-0120.yaml",
    )

    read = read_archive(root)

    assert list(read.records) == [
        "records/equipment/M-04.yaml",
        "records/heron-flats/project.yaml",
        "records/heron-flats/tests/HF-0117.yaml",
        "records/heron-flats/tests/deep/er/HF-0118.yaml",
        "records/lab.yaml",
    ]
    assert list(read.issued) == ["records/heron-flats/tests/HF-0117.issued.yaml"]
    assert read.kept == (
        "records/heron-flats/tests/HF-0117.r0.html",
        "records/heron-flats/tests/HF-0117.r0.json",
    )
    assert read.flags == ()
    assert all(data == name.encode() for name, data in read.records.items())


def test_a_record_in_a_hidden_folder_is_flagged_and_not_read(root: Path) -> None:
    put(
        root,
        "records/.attic/HF-0117.yaml",
        "records/heron-flats/.old/2026/HF-0118.issued.yaml",
        "records/heron-flats/.old/notes.txt",
        "records/.schema/mold.json",
        "records/.vscode/settings.json",
        "records/heron-flats/._HF-0119.yaml",
    )

    assert told(root) == [
        ("hidden-record", "records/.attic/HF-0117.yaml", "HF-0117.yaml"),
        (
            "hidden-record",
            "records/heron-flats/.old/2026/HF-0118.issued.yaml",
            "HF-0118.issued.yaml",
        ),
    ]
    assert list_archive(root).names == ("records/lab.yaml",)


def test_a_listing_reads_file_by_file(root: Path) -> None:
    put(root, "records/p/tests/A.r0.html")
    (root / "records/p/tests/A.r0.html").write_bytes(b"x" * (LARGEST + 100))

    listing = list_archive(root)

    assert listing.names == ("records/lab.yaml",)
    assert listing.read("records/lab.yaml") == b"records/lab.yaml"
    assert len(listing.read("records/p/tests/A.r0.html")) == LARGEST + 100
    with pytest.raises(EnvironmentFault, match="No such file"):
        listing.read("records/gone.yaml")


def test_a_record_larger_than_may_be_is_not_read_to_its_end(root: Path) -> None:
    (root / "records" / "lab.yaml").write_bytes(b"x" * (LARGEST + 100))

    assert len(read_archive(root).records["records/lab.yaml"]) == LARGEST + 1


def test_links_are_flagged_and_not_followed(root: Path, tmp_path: Path) -> None:
    put(tmp_path, "secret/passwords.yaml")
    (root / "records" / "link.yaml").symlink_to(root / "records" / "lab.yaml")
    (root / "records" / "folder").symlink_to(tmp_path / "secret")
    (root / "records" / "dangling.pdf").symlink_to("nowhere")
    (root / "records" / ".#lab.yaml").symlink_to("an-editor's-lock")

    assert told(root) == [
        ("symbolic-link", f"records/{name}", "a symbolic link")
        for name in ("dangling.pdf", "folder", "link.yaml")
    ]
    assert list(read_archive(root).records) == ["records/lab.yaml"]


def test_records_may_not_be_a_link_itself(root: Path, tmp_path: Path) -> None:
    other = tmp_path / "other"
    other.mkdir()
    (other / "records").symlink_to(root / "records")

    assert told(other) == [("symbolic-link", "records", "a symbolic link")]
    assert dict(read_archive(other).records) == {}


def test_a_link_put_there_after_listing_is_not_followed(root: Path) -> None:
    listing = list_archive(root)
    (root / "records" / "lab.yaml").rename(root / "other.yaml")
    (root / "records" / "lab.yaml").symlink_to(root / "other.yaml")

    with pytest.raises(EnvironmentFault):
        listing.read("records/lab.yaml")


def test_a_pipe_does_not_hold_the_reader(root: Path) -> None:
    os.mkfifo(root / "records" / "pipe.yaml")

    assert told(root) == [
        ("unreadable-file", "records/pipe.yaml", "a pipe, a socket or a device")
    ]


def test_wrong_suffixes_are_flagged_not_read(root: Path) -> None:
    put(root, "records/a.yml", "records/b.YAML", "records/c.Yml", "records/d.yaml.bak")

    assert told(root) == [
        ("wrong-suffix", "records/a.yml", ".yml"),
        ("wrong-suffix", "records/b.YAML", ".YAML"),
        ("wrong-suffix", "records/c.Yml", ".Yml"),
    ]


@pytest.mark.parametrize(
    ("name", "found"),
    [
        ("HF 1.yaml", "'HF 1'"),
        ("-HF.yaml", "'-HF'"),
        ("é.yaml", "'é'"),
        (f"{'a' * 65}.yaml", f"'{'a' * 59}…'"),
        ("HF-1.r0.yaml", "'HF-1.r0'"),
        ("HF-1.issued.issued.yaml", "'HF-1.issued'"),
        ("HF 1.issued.yaml", "'HF 1'"),
    ],
)
def test_a_name_that_is_no_id_is_flagged(root: Path, name: str, found: str) -> None:
    put(root, f"records/{name}")

    assert told(root) == [("bad-file-name", f"records/{name}", found)]
    assert list(read_archive(root).records) == ["records/lab.yaml"]


@pytest.mark.parametrize("name", ["HF-1.r.yaml", "HF-1.red.yaml", "a" * 64 + ".yaml"])
def test_a_name_that_is_nearly_no_id_is_taken(root: Path, name: str) -> None:
    put(root, f"records/{name}")

    assert told(root) == []
    assert f"records/{name}" in read_archive(root).records


def test_a_name_that_cannot_be_printed_is_spelled_out(root: Path) -> None:
    (root / "records" / os.fsdecode(b"HF-\xe9.yaml")).write_bytes(b"")
    (root / "records" / "two\nlines.yaml").write_bytes(b"")
    folder = root / "records" / os.fsdecode(b"\xff")
    folder.mkdir()
    (folder / "HF-1.yaml").write_bytes(b"")

    flags = told(root)

    assert flags == [
        ("bad-file-name", r"records/HF-\xe9.yaml", r"HF-\xe9.yaml"),
        ("bad-file-name", r"records/\xff", r"\xff"),
        ("bad-file-name", r"records/two\nlines.yaml", r"two\nlines.yaml"),
    ]
    assert "\n".join(file for _, file, _ in flags).encode()  # it can be written


def test_folders_that_some_disks_would_make_one_are_flagged(root: Path) -> None:
    put(root, "records/Heron/project.yaml", "records/heron/project.yaml")

    assert told(root) == [
        ("same-name", "records/heron", "records/heron beside Heron"),
    ]
    assert len(read_archive(root).records) == 3


def test_every_flag_is_an_error_with_a_mend(root: Path) -> None:
    put(root, "records/a.yml", "records/b c.yaml", "records/X/a.pdf", "records/x/a.pdf")
    (root / "records" / "link").symlink_to("nowhere")

    flags = read_archive(root).flags

    assert len(flags) == 4
    for flag in flags:
        assert (flag.line, flag.column) == (1, 1)
        assert flag.severity is Severity.ERROR
        assert flag.basis
        assert flag.expected
        assert flag.mend


def test_a_file_that_cannot_be_read_is_flagged_and_others_are_read(
    root: Path,
) -> None:
    # It vanishes between listing and reading: file modes do not bind every user.
    put(root, "records/gone.yaml")
    listing = list_archive(root)
    (root / "records" / "gone.yaml").unlink()
    flags: list[Flag] = []

    read = listing.read_all(listing.names, flags)

    assert list(read) == ["records/lab.yaml"]
    assert [(flag.flag, flag.file, flag.found) for flag in flags] == [
        ("unreadable-file", "records/gone.yaml", "No such file or directory")
    ]


def test_a_folder_that_is_not_there_is_a_fault_of_the_world(tmp_path: Path) -> None:
    with pytest.raises(EnvironmentFault, match="No such file"):
        list_archive(tmp_path)
