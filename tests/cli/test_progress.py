"""Long work shows itself at a terminal, says nothing in a pipe, and stops when told."""

import io
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from buildsite.cli.progress import Shown
from buildsite.files import replace_site
from buildsite.workers import CHUNK, chunks
from tests.benchmarks.archive import archive_records
from tests.cli.running import run
from tests.clones import clone
from tests.entering.terminal import PROGRAM, Person

OLD = {
    "index.html": b"old",
    "manifest.json": b'{"software": {"name": "buildsite"}, "files": {}}',
}

MANY = 3 * CHUNK
"""So many that a build has not ended when a key is pressed after the first of them."""


class AtOnce(Person):
    """Sees every count, where a screen shows a few a second, and none of short work."""

    program = (
        "from buildsite.cli import progress; progress.WAIT = progress.EVERY = -1;"
        + PROGRAM
    )


class Screen(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.fixture(scope="module")
def many(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A clone with more tests than one worker takes at once; no test writes to it."""
    root = tmp_path_factory.mktemp("many")
    records = {f"records/{name}": text for name, text in archive_records(MANY, 1)}
    clone(root, {name: text.encode() for name, text in records.items()})
    return root


def ticking(*times: float) -> Iterator[float]:
    yield from times
    while True:
        yield times[-1]


def test_a_screen_shows_count_rate_and_time_left() -> None:
    # 250 of 1000 in 10 s are 25 a second; 750 more take 30 s.
    clock = ticking(0, 0, 0, 10)
    screen = Screen()
    shown = Shown(screen, verbose=False, clock=lambda: next(clock))

    shown.stage("pages", 1000)
    shown.done(250)
    shown.end()

    last = screen.getvalue().split("\r\x1b[K")
    assert last == ["", "", "pages: 250 of 1000, 25 a second, 30 s left", ""]


def test_short_work_shows_nothing() -> None:
    clock = ticking(0, 0.1)
    screen = Screen()
    shown = Shown(screen, verbose=False, clock=lambda: next(clock))

    shown.stage("pages", 1000)
    shown.done(999)
    shown.end()

    assert screen.getvalue().replace("\r\x1b[K", "") == ""


def test_a_pipe_gets_the_times_of_stages_if_asked_and_nothing_else() -> None:
    clock = ticking(0, 1, 3.5)
    quiet, told = io.StringIO(), io.StringIO()
    Shown(quiet, verbose=False).stage("pages", 1000)
    shown = Shown(told, verbose=True, clock=lambda: next(clock))

    shown.stage("pages", 1000)
    shown.done(250)
    shown.end()

    assert quiet.getvalue() == ""
    assert told.getvalue() == "pages (250): 2.50 s\n"


def test_check_and_verify_say_how_long_each_stage_took(lab: Path) -> None:
    number = len([*lab.rglob("records/**/*.yaml")])
    plain = run("check", "--root", lab)
    checked = run("check", "--verbose", "--root", lab)
    verified = run("verify", "--first-publication", "--verbose", "--root", lab)

    assert checked.out == plain.out
    assert "comparing tests: " in checked.err
    assert f"checking records ({number}): " in checked.err
    assert plain.err in checked.err
    assert "checking records" not in plain.err
    assert "reading the history: " in verified.err


@pytest.mark.parametrize("jobs", ["1", "2"])
def test_ctrl_c_ends_a_build_and_its_workers_with_the_old_site_whole(
    many: Path, tmp_path: Path, jobs: str
) -> None:
    site = tmp_path / "site"
    replace_site(site, lambda stage: [stage.put(*one) for one in OLD.items()])
    person = AtOnce(many, "build", "--out", str(site), "--jobs", jobs)

    first = len(chunks(range(MANY), int(jobs))[0])
    person.waits_for(f"making the pages of tests: {first} of {MANY}, ")
    person.waits_for(" a second, ")
    person.waits_for(" left")
    person.presses("\x03")

    assert person.ends() == 130
    assert "Traceback" not in person.seen
    assert person.seen.splitlines()[-1].endswith("\x1b[KStopped.")
    assert {path.name: path.read_bytes() for path in site.iterdir()} == OLD
    assert [path.name for path in tmp_path.iterdir()] == ["site"]
    assert alive_in(person.pid) == []


def alive_in(group: int) -> list[str]:
    """Processes of a group that still run, some moments after it was stopped."""
    found: list[str] = []
    for _ in range(100):
        found = [*processes_of(group)]
        if not found:
            break
        time.sleep(0.1)
    return found


def processes_of(group: int) -> Iterator[str]:
    for path in Path("/proc").glob("[0-9]*/stat"):
        try:
            name, _, rest = path.read_text().rpartition(") ")
        except OSError:
            continue  # it ended as we looked
        state, _, its_group, *_ = rest.split()
        if int(its_group) == group and state != "Z":
            yield name
