"""The rows that are measured, each on archives of one size."""

import json
import os
import re
from collections.abc import Callable, Iterator, Mapping
from hashlib import sha256
from pathlib import Path
from time import perf_counter

from tests.benchmarks import mkdocs_site
from tests.benchmarks.archive import corrected, edits_in, revisions_in
from tests.benchmarks.bench import NAIVE_AT_MOST, Bench, forget
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
    within,
)
from tests.benchmarks.past import past_lines

CHECK_TIMES_PASS, CACHED_TIMES_PASS = 18.0, 8.0
CHECK_EACH, CACHED_EACH = 0.005, 0.0002  # s a test
READER_OF_CSAFE = 0.5
BUILD_TIMES_NAIVE, PAGE_TIMES_MKDOCS = 15.0, 3.0
EDIT_AT_MOST = 0.002  # s
NOTHING_TIMES_PASS, ONE_TIMES_PASS = 5.0, 30.0
VERIFY_TIMES_BUILD, NOTHING_NEW = 2.0, 3.0  # s
PEAK_AT_MOST = 150.0  # MiB
RECORDS_A_TEST = 10  # of the long past: 10,000 records at 1,000 tests
PAGES_AT_MOST = 1000  # of MkDocs, whose cost a page does not depend on how many

COMMIT = (
    *("git", "-c", "user.name=bench", "-c", "user.email=bench@invalid"),
    *("commit", "--quiet", "--all"),
)
PASS = (PYTHON, "-c", "pass")


def start(bench: Bench) -> Iterator[Line]:
    """Yield what one test checked by itself costs, beside an idle Python."""
    one, root = bench.tests("revisions")[0], bench.archive("revisions")
    check = (*BUILDSITE, "check", one)

    def cold(turn: int) -> float:
        forget(root)
        return bench.takes(check, root)

    found = in_turn(
        {
            "python -c pass": lambda _: bench.takes(PASS, root),
            "--help": lambda _: bench.takes((*BUILDSITE, "--help"), root),
            "check of one file": cold,
            "check of one file, cached": lambda _: bench.takes(check, root),
        },
        3 * bench.rounds,
    )
    nothing, *others = (Line(name, each) for name, each in found.items())
    yield nothing
    bounds = (None, CHECK_TIMES_PASS, CACHED_TIMES_PASS)
    for line, most in zip(others, bounds, strict=True):
        yield at_most(line, nothing, most)


def check(bench: Bench) -> Iterator[Line]:
    """Yield what checking every test costs, a test."""
    root = bench.archive("revisions")

    def every(turn: int) -> float:
        return bench.spent((*BUILDSITE, "check"), root).cpu

    def cold(turn: int) -> float:
        forget(root)
        return every(turn)

    found = in_turn({"cold": cold, "cached": every}, bench.rounds)
    share = (bench.size, "test")
    yield within(Line("check of every test", found["cold"], *share), CHECK_EACH)
    again = Line("check of every test, cached", found["cached"], *share)
    yield within(again, CACHED_EACH)


def reader(bench: Bench) -> Iterator[Line]:
    """Compare the strict reader with the fastest safe loader of PyYAML."""
    some = bench.tests("revisions")[:200]
    words = (PYTHON, "-m", "tests.benchmarks.reader", str(3 * bench.rounds))
    seconds = json.loads(run((*words, *some), bench.folder).stdout)
    theirs = Line("CSafeLoader", tuple(seconds["theirs"]), len(some), "record")
    yield theirs
    ours = Line("our reader", tuple(seconds["ours"]), len(some), "record")
    yield at_most(ours, theirs, READER_OF_CSAFE)


def clean(bench: Bench) -> Iterator[Line]:
    """Compare clean builds with others' work, and pasts with none."""
    some = min(bench.size, NAIVE_AT_MOST)
    runs: dict[str, Callable[[int], Spent]] = {
        "naive": lambda turn: bench.spent(bench.naive(f"naive-{turn}")),
        "none": lambda _: bench.clean("none", "site-none"),
        "edits": lambda _: bench.clean("edits", "site-edits"),
        "revisions": lambda _: bench.clean("revisions", "site-revisions"),
    }
    if mkdocs_site.program() is not None:
        project, out = bench.folder / "mkdocs", bench.folder / "mkdocs-site"
        mkdocs_site.make_project(project, bench.tests("none"), PAGES_AT_MOST)
        runs["mkdocs"] = lambda _: bench.spent(mkdocs_site.build_words(project, out))
    found = in_turn(runs, bench.rounds)
    took = {name: tuple(map(bench.seconds, each)) for name, each in found.items()}
    cpu = {name: tuple(one.cpu for one in each) for name, each in found.items()}
    naive = Line("naive pipeline", took["naive"], some, "test")
    yield naive
    words = {"none": "no past", "revisions": "edits and issued revisions"}
    for past, told in words.items():
        name = f"clean build, {bench.jobs} processes, {told}"
        line = Line(name, took[past], bench.size, "test")
        yield faster(line, naive, BUILD_TIMES_NAIVE)
    yield from pages(bench, took)
    yield of_processors(bench, cpu["none"])
    edit = difference("edit", cpu["edits"], cpu["none"], edits_in(bench.size))
    yield within(edit, EDIT_AT_MOST)
    yield past_of_builds(bench, cpu)


def clean_alone(bench: Bench) -> Iterator[Line]:
    """Yield what a clean build without a past costs the processors, a test."""
    found = in_turn({"none": lambda _: bench.clean("none", "site-none")}, bench.rounds)
    yield of_processors(bench, tuple(one.cpu for one in found["none"]))


def of_processors(bench: Bench, cpu: tuple[float, ...]) -> Line:
    """Return what a clean build costs the processors, a test."""
    return Line("clean build, of processors", cpu, bench.size, "test")


def past_of_builds(bench: Bench, cpu: Mapping[str, tuple[float, ...]]) -> Line:
    """Return what an issued revision costs."""
    more = cpu["revisions"], cpu["edits"]
    return difference("issued revision", *more, revisions_in(bench.size))


def pages(bench: Bench, took: Mapping[str, tuple[float, ...]]) -> Iterator[Line]:
    """Compare a page with one of MkDocs; say so where that is not installed."""
    told = run(bench.build(bench.archive("none"), "site-count"), bench.folder).stderr
    number = int(re.findall(r"(\d+) pages", told)[0])
    ours = Line("clean build, a page", took["none"], number, "page")
    if "mkdocs" not in took:
        yield Line("MkDocs is not installed: a page compares with nothing", (0.0,))
        yield ours
        return
    theirs = Line("MkDocs, tuned", took["mkdocs"], PAGES_AT_MOST, "page")
    yield theirs
    yield faster(ours, theirs, PAGE_TIMES_MKDOCS)


def difference(
    unit: str, more: tuple[float, ...], less: tuple[float, ...], share: int
) -> Line:
    """Return what so many units cost that one build has more than another."""
    pairs = zip(more, less, strict=True)
    return Line(f"one more {unit}", tuple(a - b for a, b in pairs), share, unit)


def again(bench: Bench) -> Iterator[Line]:
    """Yield what a build costs of an archive that was built before."""
    root = bench.copy("revisions", "again")
    told = bench.build(root, "site-again")
    words = tuple(word for word in told if word not in ("--root", root))  # as one types
    run(words, root)
    last = root / bench.tests("revisions")[-1].relative_to(bench.archive("revisions"))

    def after_correction(turn: int) -> float:
        last.write_bytes(corrected(last.read_text("utf-8"), 1).encode())
        return bench.takes(words, root)

    def after_commit(turn: int) -> float:
        run((*COMMIT, f"--message={last.stem}: read point 1 again"), root)
        return bench.takes(words, root)

    found = in_turn(
        {
            "python -c pass": lambda _: bench.takes(PASS, root),
            "stat of every file": lambda _: stat_takes(root),
            "nothing changed": lambda _: bench.takes(words, root),
            "one reading corrected": after_correction,
            "the same, committed": after_commit,
        },
        bench.rounds,
    )
    nothing, stat, same, one, committed = (Line(*each) for each in found.items())
    yield nothing
    yield stat
    yield at_most(same, nothing, NOTHING_TIMES_PASS)
    yield at_most(one, nothing, ONE_TIMES_PASS)
    yield at_most(committed, nothing, ONE_TIMES_PASS)


def stat_takes(root: Path) -> float:
    """Return the seconds that a look at every file of an archive takes."""
    began = perf_counter()
    for folder, _, names in os.walk(root / "records"):
        for name in names:
            os.stat(f"{folder}/{name}")  # noqa: PTH116 (what is measured)
    return perf_counter() - began


def memory(bench: Bench) -> Iterator[Line]:
    """Yield the peak of the largest process."""
    root = bench.archive("revisions")
    forget(root)
    build = bench.build(root, "site-memory")
    for name, words in {"build": build, "check": (*BUILDSITE, "check")}.items():
        found = Line(f"peak of a process, {name}", (peak(words, root),), measure="MiB")
        yield within(found, PEAK_AT_MOST)


def verify(bench: Bench) -> Iterator[Line]:
    """Compare the proof of as many issued tests with a clean build of them."""
    root = bench.archive("issued")
    run(bench.build(root, "published"), bench.folder)
    against = ("--against", bench.folder / "published/manifest.json")
    words = (*BUILDSITE, "verify")
    found = in_turn(
        {
            "build": lambda _: bench.seconds(bench.clean("issued", "site-issued")),
            "verify": lambda _: bench.takes((*words, "--first-publication"), root),
            "against": lambda _: bench.takes((*words, *against), root),
        },
        bench.rounds,
    )
    whole = Line("clean build, every test issued", found["build"])
    yield whole
    proof = Line("verify of every test", found["verify"])
    yield at_most(proof, whole, VERIFY_TIMES_BUILD)
    yield within(Line("verify, nothing new", found["against"]), NOTHING_NEW)


def log(bench: Bench) -> Iterator[Line]:
    """Yield what reading a long past costs."""
    yield from past_lines(bench.folder, RECORDS_A_TEST * bench.size, bench.rounds)


def same(bench: Bench) -> Iterator[Line]:
    """Compare the bytes of a clean build with those of every other way to build."""
    root, last = bench.copy("revisions", "same"), bench.tests("revisions")[-1]
    path = root / last.relative_to(bench.archive("revisions"))
    words = bench.build(root, "site-same")
    run(words, bench.folder)
    path.write_bytes(corrected(path.read_text("utf-8"), 1).encode())
    run((*COMMIT, f"--message={path.stem}: read point 1 again"), root)
    run(words, bench.folder)  # of what the first one kept
    ways = {"clean": ("--no-cache",), "jobs": ("--no-cache", "--jobs", "1")}
    for name, more in ways.items():
        run(bench.build(root, f"site-{name}", *more), bench.folder)
    for part in ("1/2", "2/2"):
        shard = bench.build(root, f"shards/{part[0]}", "--shard", part)
        run(shard, bench.folder)
    merge = ("--merge", str(bench.folder / "shards"))
    run(bench.build(root, "site-joined", *merge), bench.folder)
    clean = contents(bench.folder / "site-clean")
    names = {"same": "incremental", "jobs": "one process", "joined": "two shards"}
    for name, told in names.items():
        other = contents(bench.folder / f"site-{name}")
        differ = sum(clean.get(x) != other.get(x) for x in {*clean, *other})
        line = Line(f"files unlike a clean build, {told}", (differ,), measure="files")
        yield within(line, 0)


def contents(folder: Path) -> dict[str, bytes]:
    """Return the digest of every file below a folder."""
    return {
        str(path.relative_to(folder)): sha256(path.read_bytes()).digest()
        for path in folder.rglob("*")
        if path.is_file()
    }


ROWS: dict[str, Callable[[Bench], Iterator[Line]]] = {
    "start": start,
    "check": check,
    "reader": reader,
    "clean": clean,
    "again": again,
    "memory": memory,
    "verify": verify,
    "log": log,
    "same": same,
}
"""Each part by its name for `--rows`, in the order of the table."""

LARGER: dict[str, Callable[[Bench], Iterator[Line]]] = {
    "check": check,
    "clean": clean_alone,
    "again": again,
    "memory": memory,
}
"""Those that are measured at larger sizes too: what `GROWTH` compares comes of them."""

GROWTH: dict[str, float | None] = {
    "clean build, of processors": 1.05,
    "nothing changed": None,
    "stat of every file": None,
    "one reading corrected": 1.3,
    "the same, committed": 1.3,
    "peak of a process, build": 1.2,
    "peak of a process, check": 1.2,
    "check of every test": None,
}
"""What is compared between two sizes, and how many times the smaller's it may cost."""
