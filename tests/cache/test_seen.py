"""What a build saw last is believed only if all changes are certainly past."""

from pathlib import Path

from buildsite.cache.seen import Seen, keep
from buildsite.cache.unchanged import SUFFIX


def seen(tmp_path: Path) -> Seen:
    record = tmp_path / "lab.yaml"
    record.write_text("format: 1\n")
    found = Seen()
    found.note_file(str(record))
    return found


def test_it_is_kept_beside_the_store(tmp_path: Path) -> None:
    store = tmp_path / "site.sqlite"
    store.touch()

    assert keep(seen(tmp_path), tmp_path, store, tmp_path / "site", {}, ["1 test"])
    assert store.with_suffix(SUFFIX).stat().st_size > 0


def test_without_a_clock_to_wait_for_nothing_is_believed(tmp_path: Path) -> None:
    store = tmp_path / "gone/site.sqlite"  # somebody deleted what was kept meanwhile

    assert not keep(seen(tmp_path), tmp_path, store, tmp_path / "site", {}, ["1 test"])
    assert not store.with_suffix(SUFFIX).exists()
