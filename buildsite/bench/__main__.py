"""
Measure start-up, check, reader, build, rebuild on an archive of N tests; a long past.

Example: python -m buildsite.bench 1000 --rounds 3
"""

import json
import shutil
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import click

from buildsite.bench.archive import commit, make_archive
from buildsite.bench.measure import (
    BUILDSITE,
    PYTHON,
    Line,
    Spread,
    at_most,
    faster,
    in_turn,
    run,
    spread,
    timed,
)
from buildsite.bench.past import remembering

CHECK_TIMES_PASS = 25.0
BUILD_TIMES_NAIVE = 7.0
READER_OF_CSAFE = 0.5
RECORDS_A_TEST = 10  # of the long past: 10,000 records at 1,000 tests
UNWANTED = ("jinja2", "matplotlib", "numpy", "scipy")
NAIVE_AT_MOST = 100  # its cost a test does not depend on how many there are

SPY = (
    "import atexit, sys;"
    "atexit.register(lambda: print('imported', *sorted({m.partition('.')[0]"
    " for m in sys.modules}), file=sys.stderr));"
)


@dataclass(frozen=True)
class Bench:
    """What is measured on, and how often."""

    folder: Path
    root: Path
    tests: list[Path]
    rounds: int
    jobs: int

    def archive(self, number: int) -> Path:
        """Give the copy of the archive that a round of builds works on."""
        return self.folder / f"archive-{number}"

    def site(self, number: int) -> Path:
        """Give the site that a round of builds makes."""
        return self.folder / f"site-{number}"

    def build(self, number: int) -> float:
        """Build the site of one round: clean at first, again later."""
        root, site = self.archive(number), self.site(number)
        words = ("build", "--root", root, "--out", site, "--jobs", str(self.jobs))
        return timed((*BUILDSITE, *words), self.folder)


def start_up(bench: Bench) -> Iterator[Line]:
    """One test checked by itself, against a Python that does nothing."""
    one = bench.tests[0]
    rounds = 3 * bench.rounds
    found = in_turn(
        {
            "python -c pass": lambda _: timed((PYTHON, "-c", "pass"), bench.root),
            "check one test": lambda _: timed((*BUILDSITE, "check", one), bench.root),
            "--help": lambda _: timed((*BUILDSITE, "--help"), bench.root),
        },
        rounds,
    )
    nothing = Line("python -c pass", found["python -c pass"])
    yield nothing
    yield at_most(Line("--help", found["--help"]), nothing)
    check = Line("check one test", found["check one test"])
    yield at_most(check, nothing, CHECK_TIMES_PASS)
    once = Line("check every test", _check_all(bench), len(bench.tests), "test")
    yield at_most(once, check)


def _check_all(bench: Bench) -> Spread:
    return in_turn(
        {"all": lambda _: timed((*BUILDSITE, "check"), bench.root)}, bench.rounds
    )["all"]


def imported(bench: Bench) -> list[str]:
    """Name the heavy packages that checking one test imports: there should be none."""
    spied = (PYTHON, "-c", SPY + BUILDSITE[2], "check", bench.tests[0])
    told = run(spied, bench.root).stderr.splitlines()[-1].split()
    return [name for name in UNWANTED if name in told]


def reading(bench: Bench) -> Iterator[Line]:
    """Compare the strict reader with the fastest safe loader of PyYAML."""
    some = bench.tests[:200]
    reader = (PYTHON, "-m", "buildsite.bench.reader", str(3 * bench.rounds))
    seconds = json.loads(run((*reader, *some), bench.root).stdout)
    theirs = Line("CSafeLoader", spread(seconds["theirs"]), len(some), "record")
    yield theirs
    ours = Line("our reader", spread(seconds["ours"]), len(some), "record")
    yield at_most(ours, theirs, READER_OF_CSAFE)


def building(bench: Bench) -> Iterator[Line]:
    """Compare clean builds with the afternoon's pipeline; then rebuild what stands."""
    some = bench.tests[:NAIVE_AT_MOST]
    for number in range(bench.rounds):
        shutil.copytree(bench.root, bench.archive(number))

    def naive(number: int) -> float:
        out = bench.folder / f"naive-{number}"
        pipeline = (PYTHON, "-m", "buildsite.bench.naive", out)
        return timed((*pipeline, *some), bench.folder)

    def corrected(number: int) -> float:
        _correct(bench.archive(number), bench.tests[0].relative_to(bench.root))
        return bench.build(number)

    found = in_turn({"naive": naive, "build": bench.build}, bench.rounds)
    again = in_turn({"same": bench.build, "one": corrected}, bench.rounds)
    theirs = Line("naive pipeline", found["naive"], len(some), "test")
    yield theirs
    clean = Line(
        f"clean build, {bench.jobs} jobs", found["build"], len(bench.tests), "test"
    )
    yield faster(clean, theirs, BUILD_TIMES_NAIVE)
    whole = Line("clean build", found["build"])
    yield at_most(Line("rebuild, nothing changed", again["same"]), whole)
    yield at_most(Line("rebuild, one reading corrected", again["one"]), whole)


def _correct(root: Path, name: Path) -> None:
    """Correct one container's mass by a hundredth of a gram, and commit it."""
    text = (root / name).read_text("utf-8")
    _, _, rest = text.partition("container_and_dry: ")
    mass = rest.partition("}")[0]
    mended = text.replace(
        f"container_and_dry: {mass}", f"container_and_dry: {float(mass) + 0.01:.2f}", 1
    )
    (root / name).write_bytes(mended.encode())
    commit(root, f"{name.stem}: read point 1 again")


def table(lines: list[Line]) -> Iterator[str]:
    """Write the lines for a person: milliseconds, and what they compare with."""
    for line in lines:
        every = f"a {line.unit}" if line.unit else ""
        shown = [1000 * s / line.share for s in (line.spread.least, line.spread.most)]
        text = (
            f"{line.name:32}{1000 * line.each:10.3f} ms {every:9}"
            f" [{shown[0]:.3f} to {shown[1]:.3f}, {line.spread.runs} runs]"
        )
        if line.ratio is not None:
            text += f"  {line.ratio:.2f} {line.against}"
        if line.bound:
            text += f" ({line.bound}: {'kept' if line.kept else 'MISSED'})"
        yield text


def report(lines: list[Line], heavy: list[str], *, as_json: bool) -> None:
    """Say what was found, and end with 1 where a bound was missed."""
    if as_json:
        plain = {"lines": [line.plain() for line in lines], "heavy_imports": heavy}
        click.echo(json.dumps(plain, indent=1, sort_keys=True))
    else:
        for text in table(lines):
            click.echo(text)
        click.echo(f"heavy packages imported by check: {', '.join(heavy) or 'none'}")
    raise SystemExit(0 if not heavy and all(line.kept for line in lines) else 1)


@click.command(epilog="Example: python -m buildsite.bench 1000 --rounds 3")
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
        root = folder / "archive"
        bench = Bench(folder, root, make_archive(root, tests, seed), rounds, jobs)
        click.echo(f"Python {sys.version.split()[0]}; measuring …", err=True)
        lines = [*start_up(bench), *reading(bench), *building(bench)]
        lines += remembering(folder, RECORDS_A_TEST * tests, rounds)
        heavy = imported(bench)
    report(lines, heavy, as_json=as_json)


if __name__ == "__main__":
    main()
