"""
Measure what the program costs as whole processes, on an archive of N tests.

Example: python -m tests.benchmarks 1000 --rounds 3
"""

import json
import shutil
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import click

from tests.benchmarks.archive import (
    Past,
    corrected,
    edits_in,
    make_archive,
    revisions_in,
)
from tests.benchmarks.measure import (
    BUILDSITE,
    PYTHON,
    Line,
    Spent,
    at_most,
    faster,
    in_turn,
    peak,
    run,
    spent,
    timed,
)
from tests.benchmarks.past import past_lines

CHECK_TIMES_PASS = 18.0
BUILD_TIMES_NAIVE = 7.0
READER_OF_CSAFE = 0.5
RECORDS_A_TEST = 10  # of the long past: 10,000 records at 1,000 tests
UNWANTED = ("jinja2", "matplotlib", "numpy", "scipy")
NAIVE_AT_MOST = 100  # its cost a test does not depend on how many there are
PASTS: tuple[Past, ...] = ("none", "edits", "revisions")

COMMIT = (
    *("git", "-c", "user.name=bench", "-c", "user.email=bench@invalid"),
    *("commit", "--quiet", "--all"),
)
SPY = (
    "import atexit, sys;"
    "atexit.register(lambda: print('imported', *sorted({m.partition('.')[0]"
    " for m in sys.modules}), file=sys.stderr));"
)


@dataclass(frozen=True)
class Bench:
    """What is measured on, and how often."""

    folder: Path
    tests: list[Path]  # of the archive with edits and issued revisions
    rounds: int
    jobs: int

    def archive(self, past: Past) -> Path:
        """Return the archive with this past."""
        return self.folder / past

    def build(self, root: Path, site: str) -> tuple[str | Path, ...]:
        """Return the command that builds a site."""
        out = ("--out", self.folder / site, "--jobs", str(self.jobs))
        return (*BUILDSITE, "build", "--root", root, *out)

    def naive(self, out: str) -> tuple[str | Path, ...]:
        """Return the command of the afternoon's pipeline, on some of the tests."""
        pipeline = (PYTHON, "-m", "tests.benchmarks.naive", self.folder / out)
        return (*pipeline, *self.tests[:NAIVE_AT_MOST])


def start_up(bench: Bench) -> Iterator[Line]:
    """Yield what one test checked by itself costs, beside an idle Python."""
    one, root = bench.tests[0], bench.archive("revisions")
    found = in_turn(
        {
            "python -c pass": lambda _: timed((PYTHON, "-c", "pass"), root),
            "check one test": lambda _: timed((*BUILDSITE, "check", one), root),
            "--help": lambda _: timed((*BUILDSITE, "--help"), root),
        },
        3 * bench.rounds,
    )
    nothing = Line("python -c pass", found["python -c pass"])
    yield nothing
    yield at_most(Line("--help", found["--help"]), nothing)
    check = Line("check one test", found["check one test"])
    yield at_most(check, nothing, CHECK_TIMES_PASS)
    every = in_turn({"": lambda _: timed((*BUILDSITE, "check"), root)}, bench.rounds)
    yield at_most(Line("check every test", every[""], len(bench.tests), "test"), check)


def imported(bench: Bench) -> list[str]:
    """Name the heavy packages that checking one test imports: there should be none."""
    spied = (PYTHON, "-c", SPY + BUILDSITE[2], "check", bench.tests[0])
    names = run(spied, bench.archive("revisions")).stderr.splitlines()[-1].split()
    return [name for name in UNWANTED if name in names]


def reading(bench: Bench) -> Iterator[Line]:
    """Compare the strict reader with the fastest safe loader of PyYAML."""
    some = bench.tests[:200]
    reader = (PYTHON, "-m", "tests.benchmarks.reader", str(3 * bench.rounds))
    seconds = json.loads(run((*reader, *some), bench.folder).stdout)
    theirs = Line("CSafeLoader", tuple(seconds["theirs"]), len(some), "record")
    yield theirs
    ours = Line("our reader", tuple(seconds["ours"]), len(some), "record")
    yield at_most(ours, theirs, READER_OF_CSAFE)


def building(bench: Bench) -> Iterator[Line]:
    """Compare clean builds with the afternoon's pipeline, and pasts with none."""
    number = len(bench.tests)

    def clean(past: Past, turn: int) -> Spent:
        command = bench.build(bench.archive(past), f"site-{past}-{turn}")
        return spent(command, bench.folder)

    found = in_turn(
        {
            "naive": lambda turn: spent(bench.naive(f"naive-{turn}"), bench.folder),
            "none": lambda turn: clean("none", turn),
            "edits": lambda turn: clean("edits", turn),
            "revisions": lambda turn: clean("revisions", turn),
        },
        bench.rounds,
    )
    wall = {name: tuple(one.wall for one in each) for name, each in found.items()}
    cpu = {name: tuple(one.cpu for one in each) for name, each in found.items()}
    some = min(number, NAIVE_AT_MOST)
    naive = Line("naive pipeline", wall["naive"], some, "test")
    yield naive
    plain = Line(f"clean build, {bench.jobs} jobs", wall["none"], number, "test")
    yield faster(plain, naive, BUILD_TIMES_NAIVE)
    test = Line("clean build, of processors", cpu["none"], number, "test")
    yield test
    yield at_most(difference("edit", cpu["edits"], cpu["none"], edits_in(number)), test)
    revisions = revisions_in(number)
    more = difference("revision", cpu["revisions"], cpu["edits"], revisions)
    yield at_most(more, test)
    yield from rebuilding(bench, Line("whole build", wall["revisions"]))


def difference(
    unit: str, more: tuple[float, ...], less: tuple[float, ...], share: int
) -> Line:
    """Return what so many units cost that one build has more than another."""
    pairs = zip(more, less, strict=True)
    return Line(f"one more {unit}", tuple(a - b for a, b in pairs), share, unit)


def rebuilding(bench: Bench, whole: Line) -> Iterator[Line]:
    """Yield what a rebuild costs beside a clean build of the same archive."""
    yield whole
    roots = [bench.folder / f"copy-{turn}" for turn in range(bench.rounds)]
    for root in roots:
        shutil.copytree(bench.archive("revisions"), root)

    def again(turn: int) -> float:
        return timed(bench.build(roots[turn], f"site-revisions-{turn}"), bench.folder)

    def after_correction(turn: int) -> float:
        last = bench.tests[-1].relative_to(bench.archive("revisions"))
        path = roots[turn] / last
        path.write_bytes(corrected(path.read_text("utf-8"), 1).encode())
        run((*COMMIT, f"--message={last.stem}: read point 1 again"), roots[turn])
        return again(turn)

    found = in_turn({"same": again, "one": after_correction}, bench.rounds)
    yield at_most(Line("rebuild, nothing changed", found["same"]), whole)
    yield at_most(Line("rebuild, one reading corrected", found["one"]), whole)


def memory(bench: Bench) -> Iterator[Line]:
    """Compare the largest process of a clean build with the afternoon's pipeline."""
    build = bench.build(bench.archive("revisions"), "site-memory")
    measured = {
        "peak of the naive pipeline": bench.naive("naive-memory"),
        "peak of a clean build": build,
        "peak of check, every test": (*BUILDSITE, "check"),
    }
    naive, *ours = (
        Line(name, (peak(words, bench.archive("revisions")),), measure="MiB")
        for name, words in measured.items()
    )
    yield naive
    yield from (at_most(line, naive) for line in ours)


def report(lines: list[Line], heavy: list[str], *, as_json: bool) -> None:
    """Print what was found, and end with 1 where a bound was missed."""
    if as_json:
        plain = {"lines": [line.plain() for line in lines], "heavy_imports": heavy}
        click.echo(json.dumps(plain, indent=1, sort_keys=True))
    else:
        for line in lines:
            click.echo(line.text())
        click.echo(f"heavy packages imported by check: {', '.join(heavy) or 'none'}")
    raise SystemExit(0 if not heavy and all(line.kept for line in lines) else 1)


@click.command(epilog="Example: python -m tests.benchmarks 1000 --rounds 3")
@click.argument("tests", type=click.IntRange(min=1), default=1000)
@click.option("--rounds", type=click.IntRange(min=1), default=3, show_default=True)
@click.option("--jobs", type=click.IntRange(min=1), default=2, show_default=True)
@click.option("--seed", type=int, default=1, show_default=True)
@click.option(
    "--json", "as_json", is_flag=True, help="Standard output holds JSON alone."
)
def main(tests: int, rounds: int, jobs: int, seed: int, *, as_json: bool) -> None:
    """Measure start-up, check, reader, build, rebuild on an archive of TESTS tests."""
    with tempfile.TemporaryDirectory(prefix="bench-") as name:
        folder = Path(name).resolve()
        click.echo(f"Making an archive of {tests} tests …", err=True)
        made = [make_archive(folder / past, tests, past, seed) for past in PASTS]
        bench = Bench(folder, made[-1], rounds, jobs)
        click.echo(f"Python {sys.version.split()[0]}; measuring …", err=True)
        lines = [*start_up(bench), *reading(bench), *building(bench), *memory(bench)]
        lines += past_lines(folder, RECORDS_A_TEST * tests, rounds)
        heavy = imported(bench)
    report(lines, heavy, as_json=as_json)


if __name__ == "__main__":
    main()
