"""
A build in parts, each on a machine of its own, and the parts joined to a site.

Each shard compares all tests, makes the pages of its own, and is a folder: the pages, a
manifest that says what it was made of, and `shard.json` with what the lists and the
comparison need of its tests. The last step joins the shards of one commit, program and
options, and makes what remains: the lists and pages of records other than tests. The
site has the bytes that a build on one machine gives.
"""

import json
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import Any

from buildsite.build import (
    BuildResult,
    Plan,
    compare,
    planned,
    render_some,
    site_files,
    survey,
    written_manifest,
)
from buildsite.building.tasks import Made, Surveyed, end_work, start_work
from buildsite.cache.value_forms import form_of
from buildsite.errors import EnvironmentFault
from buildsite.exports import manifest
from buildsite.files import Stage, Written, replace_site
from buildsite.kinds.traces import Trace
from buildsite.pages.rows import Row
from buildsite.pages.site_sources import Options
from buildsite.progress import SILENT, Progress
from buildsite.record.canonical import digest
from buildsite.record.flags import Flag
from buildsite.values import dataclass
from buildsite.workers import workers

NAME = "shard.json"
COMMIT_FIRST = "Commit the records: shards are joined by the commit they were made of."
ALIKE = {
    "commit": "commit",
    "software": "program",
    "lock": "lock file",
    "options": "options",
    "previous": "manifest published before",
}
"""What the shards of a site have in common, by its name in a manifest."""

ROW = form_of(Row)
SURVEYED = form_of(tuple[tuple[Trace, ...], Mapping[str, tuple[Flag, ...]]])


@dataclass(frozen=True)
class Part:
    """
    Which part of a site a shard makes: the second of eight.

    >>> Part(2, 3).of(range(10))
    range(3, 6)
    >>> str(Part(2, 3))
    '2/3'
    """

    number: int
    count: int

    def __str__(self) -> str:
        """Return it as `--shard` takes it."""
        return f"{self.number}/{self.count}"

    def of(self, tests: Sequence[Any]) -> Sequence[Any]:
        """Return its tests: those beside each other share what is computed for them."""
        ends = (len(tests) * (self.number - 1 + i) // self.count for i in (0, 1))
        return tests[slice(*ends)]


@dataclass(frozen=True)
class Shard:
    """A shard as it was found: its folder, its manifest, what it tells of its tests."""

    folder: Path
    about: Mapping[str, Any]
    told: Mapping[str, Any]


def build_shard(
    root: Path,
    out: Path,
    options: Options,
    part: Part,
    jobs: int,
    progress: Progress = SILENT,
) -> BuildResult:
    """
    Build one part of a site into a folder of its own.

    Raises
    ------
    EnvironmentFault
        If the records are not committed; and as `build` does.
    """
    plan = planned(root, options, progress)
    refuse_uncommitted(plan)
    try:
        replace_site(out, partial(shard_files, plan, part, jobs, progress))
    finally:
        end_work()
    return plan.built


def refuse_uncommitted(plan: Plan) -> None:
    """Refuse records that no commit tells."""
    checkout = plan.built.checkout
    if checkout.commit is None or checkout.differs:
        raise EnvironmentFault("The records are not as committed.", COMMIT_FIRST)


def shard_files(
    plan: Plan, part: Part, jobs: int, progress: Progress, stage: Stage
) -> Iterator[Written]:
    """Write the pages of a shard's tests, what it tells of them, and its manifest."""
    tests = plan.archive.files("test")
    own = part.of(tests)
    digests: dict[str, str] = {}
    rows: list[Row] = []
    with workers(jobs, start_work, (plan.inputs, stage)) as each:
        surveyed = survey(tests, each, progress)
        compared = compare(plan, surveyed)
        for made in render_some(plan, own, compared, each, progress):
            rows.append(made.row)
            for one in made.files:
                digests[one.path] = one.digest
                yield one
    plan.built.tests = len(rows)
    plan.built.pages = sum(path.endswith(".html") for path in digests)
    plan.built.errors = sum(row.blocked for row in rows)
    told = stage.put(NAME, shard_text(part, own, rows, digests, surveyed))
    digests[NAME] = told.digest
    yield told
    about = json.loads(written_manifest(plan.inputs, plan.built.checkout, digests, ()))
    about["shard"] = str(part)
    yield stage.put(manifest.NAME, json.dumps(about, sort_keys=True).encode())


def shard_text(
    part: Part,
    own: Sequence[str],
    rows: Sequence[Row],
    digests: Mapping[str, str],
    surveyed: Iterable[Surveyed],
) -> bytes:
    """Return what a shard tells of its tests: rows, traces, flags from the history."""
    mine = set(own)
    traces = [trace for found, _ in surveyed for trace in found if trace.file in mine]
    flags = {
        file: found
        for _, past in surveyed
        for file, found in past.items()
        if file in mine
    }
    content = {
        "shard": str(part),
        "tests": list(own),
        "rows": [ROW.write(row) for row in rows],
        "surveyed": SURVEYED.write((tuple(traces), flags)),
        "pages": list(digests),
    }
    return json.dumps(content, ensure_ascii=False, separators=(",", ":")).encode()


def merge_shards(
    root: Path, out: Path, options: Options, folder: Path, progress: Progress = SILENT
) -> BuildResult:
    """
    Join the shards in a folder to a whole site.

    Raises
    ------
    EnvironmentFault
        If a shard is missing, is there twice, or was made of another commit, by another
        program, or with other options; if its tests or files are not all there.
    """
    plan = planned(root, options, progress)
    refuse_uncommitted(plan)
    shards = read_shards(folder)
    refuse_unlike(plan, shards)
    refuse_incomplete(plan, shards)
    compare(plan, [SURVEYED.read(one.told["surveyed"]) for one in shards])

    def files(stage: Stage) -> Iterator[Written]:
        rows = sum(len(one.told["rows"]) for one in shards)
        progress.stage("joining the pages of tests", rows)
        tests = (made for one in shards for made in tests_of(one, stage, progress))
        return site_files(stage, plan, tests, progress)

    replace_site(out, files)
    return plan.built


def read_shards(folder: Path) -> list[Shard]:
    """Return the shards in a folder, in order."""
    found = [read_shard(path.parent) for path in sorted(folder.glob(f"*/{NAME}"))]
    if not found:
        raise EnvironmentFault(
            f"{folder} holds no shards.",
            "Name the folder that holds the folders written by `build --shard`.",
        )
    return sorted(found, key=lambda one: part_of(one).number)


def read_shard(folder: Path) -> Shard:
    """Return one shard; refuse one whose files are not those of its manifest."""
    try:
        about = json.loads((folder / manifest.NAME).read_bytes())
        data = (folder / NAME).read_bytes()
        told = json.loads(data)
        part_of(Shard(folder, about, told))
        whole = about["files"][NAME] == digest(data)
    except (OSError, ValueError, KeyError, TypeError, RecursionError) as error:
        raise broken(folder, f"can't be read ({type(error).__name__})") from error
    if not whole:
        raise broken(folder, f"{NAME} is not as written")
    return Shard(folder, about, told)


def broken(folder: Path, why: str) -> EnvironmentFault:
    """Return the fault of a shard that did not arrive as it was built."""
    return EnvironmentFault(
        f"The shard in {folder}: {why}. Nothing was built.",
        "Build that shard again, or copy it whole.",
    )


def part_of(shard: Shard) -> Part:
    """Return which part a shard is."""
    number, _, count = shard.about["shard"].partition("/")
    return Part(int(number), int(count))


def refuse_unlike(plan: Plan, shards: Sequence[Shard]) -> None:
    """Refuse shards of another commit, program or options than those of this build."""
    here = json.loads(written_manifest(plan.inputs, plan.built.checkout, {}, ()))
    for shard in shards:
        for key, word in ALIKE.items():
            theirs = shard.about.get(key)
            if theirs != here[key]:
                raise EnvironmentFault(
                    f"Shard {part_of(shard)} in {shard.folder} was built with another "
                    f"{word}: {theirs}; here it is {here[key]}. Nothing was built.",
                    "Build every shard and join them at one commit, with one program "
                    "and the same options.",
                )


def refuse_incomplete(plan: Plan, shards: Sequence[Shard]) -> None:
    """Refuse shards that are not, together, every test once."""
    count = max(part_of(one).count for one in shards)
    parts = [Part(number, count) for number in range(1, count + 1)]
    given = [part_of(one) for one in shards]
    tests = Counter(file for one in shards for file in one.told["tests"])
    expected = plan.archive.files("test")
    wrong = (
        *listed("missing shard", [str(one) for one in parts if one not in given]),
        *listed("shard of another division", [str(x) for x in given if x not in parts]),
        *listed("shard twice", [str(x) for x, n in Counter(given).items() if n > 1]),
        *listed("missing test", [file for file in expected if not tests[file]]),
        *listed("test twice", [file for file, n in tests.items() if n > 1]),
        *listed("unknown test", sorted(set(tests) - set(expected))),
    )
    if wrong:
        raise EnvironmentFault(
            f"The shards are not a whole site: {'; '.join(wrong)}. Nothing was built.",
            "Build what is missing, with `--shard` of the same division.",
        )


MOST_LISTED = 5


def listed(what: str, names: Sequence[str]) -> Iterator[str]:
    """
    Yield what is wrong, with the first names of it.

    >>> [*listed("missing shard", ["2/3"])], [*listed("test twice", [])]
    (['missing shard: 2/3'], [])
    """
    if names:
        more = len(names) - MOST_LISTED
        tail = f" and {more} more" if more > 0 else ""
        yield f"{what}: {', '.join(names[:MOST_LISTED])}{tail}"


def tests_of(shard: Shard, stage: Stage, progress: Progress) -> Iterator[Made]:
    """Put the pages of a shard's tests into the site; yield its rows with them."""
    digests = shard.about["files"]
    written = []
    for path in shard.told["pages"]:
        try:
            one = stage.put(path, (shard.folder / path).read_bytes())
        except OSError as error:
            raise broken(shard.folder, f"{path} is missing") from error
        if one.digest != digests[path]:
            raise broken(shard.folder, f"{path} is not as written")
        written.append(one)
    rows = [ROW.read(kept) for kept in shard.told["rows"]]
    for number, row in enumerate(rows):
        yield Made(row, tuple(written) if not number else ())
        progress.done()
