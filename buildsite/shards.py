"""
A build in parts, each on a machine of its own, and the parts joined to a site.

Each shard compares all tests, makes the pages of its own, and is a folder: the pages, a
manifest that says what it was made of, `shard.json` with the names of its tests, and in
`shard/` what the lists and the comparison need of them. The last step joins the shards
of one commit, program and options, and makes what remains: the lists and pages of
records other than tests. The site has the bytes that a build on one machine gives.

What comparing needs of each test is read by every shard. Of a large archive it may be
read in parts too, before: surveys, folders as those of shards are, without pages.
"""

import json
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import Any

from buildsite.building.answers import Answers
from buildsite.building.plan import Plan, planned
from buildsite.building.result import BuildResult
from buildsite.building.site import SiteBuild, written_manifest
from buildsite.building.steps import Steps
from buildsite.building.tasks import end_work
from buildsite.cache.store import Store, written
from buildsite.errors import EnvironmentFault
from buildsite.exports import manifest
from buildsite.files import Stage, Written, replace_site
from buildsite.pages.site_sources import Options
from buildsite.progress import SILENT, Progress
from buildsite.record.canonical import digest
from buildsite.values import dataclass

SHARD, SURVEY = "shard", "survey"
NAME = "shard.json"
TOLD = "shard/{}.json"
AT_ONCE = 50
"""Tests told of in one file."""

COMMIT_FIRST = "Commit the records: shards are joined by the commit they were made of."
ALIKE = {
    "commit": "commit",
    "software": "program",
    "lock": "lock file",
    "options": "options",
    "previous": "manifest published before",
}
"""What the shards of a site have in common, by its name in a manifest."""

Told = tuple[str, str, str, str]
"""Of a test its file; its trace and the flags from its history, in JSON; its row and
what lists have at hand of it, likewise, or blank if it has no page."""


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
    """A shard, or a survey, as it was found: its folder, its manifest, its tests."""

    folder: Path
    what: str
    part: Part
    about: Mapping[str, Any]
    tests: Sequence[str]

    def files(self) -> dict[str, str]:
        """Return the digest of each of its files; not held: there may be many."""
        found: dict[str, str] = manifest_of(self.folder)["files"]
        return found

    def read(self, path: str, digest_of: Mapping[str, str]) -> bytes:
        """Return the bytes of a file; refuse it if it is not as written."""
        try:
            data = (self.folder / path).read_bytes()
        except OSError as error:
            raise broken(self.folder, f"{path} is missing") from error
        if digest(data) != digest_of[path]:
            raise broken(self.folder, f"{path} is not as written")
        return data

    def told(self) -> Iterator[Told]:
        """Yield what it tells of each of its tests."""
        digests = self.files()
        for path in told_in(self.tests):
            if path not in digests:
                raise broken(self.folder, f"{path} is missing")
            yield from json.loads(self.read(path, digests))


def build_shard(
    root: Path,
    out: Path,
    options: Options,
    part: Part,
    jobs: int,
    progress: Progress = SILENT,
    *,
    surveys: Path | None = None,
) -> BuildResult:
    """
    Build one part of a site into a folder of its own.

    `surveys`: the folder of the surveys of all tests, if they were made before.

    Raises
    ------
    EnvironmentFault
        If the records are not committed, or the surveys are not whole and of the same
        commit, program and options; and as `build` does.
    """
    plan = planned(root, options, progress)
    refuse_uncommitted(plan)
    known = whole(plan, read_shards(surveys, SURVEY)) if surveys is not None else None
    try:
        replace_site(out, partial(shard_files, plan, part, jobs, progress, known))
    finally:
        end_work()
    return plan.built


def build_survey(
    root: Path,
    out: Path,
    options: Options,
    part: Part,
    jobs: int,
    progress: Progress = SILENT,
) -> BuildResult:
    """
    Read what comparing needs of the tests of one part, into a folder of its own.

    Raises
    ------
    EnvironmentFault
        If the records are not committed; and as `build` does.
    """
    plan = planned(root, options, progress)
    refuse_uncommitted(plan)
    try:
        replace_site(out, partial(survey_files, plan, part, jobs, progress))
    finally:
        end_work()
    return plan.built


def survey_files(
    plan: Plan, part: Part, jobs: int, progress: Progress, stage: Stage
) -> Iterator[Written]:
    """Write what comparing needs of the tests of a part, and a manifest."""
    making = site_build(plan, jobs, progress)
    own = part.of(making.tests)
    with making.pools(stage) as pools:
        making.survey(pools, own)
    plan.built.tests = len(own)
    yield from told_files(plan, part, making, {}, stage, SURVEY)


def refuse_uncommitted(plan: Plan) -> None:
    """Refuse records that no commit tells."""
    checkout = plan.built.checkout
    if checkout.commit is None or checkout.differs:
        raise EnvironmentFault("The records are not as committed.", COMMIT_FIRST)


def shard_files(
    plan: Plan,
    part: Part,
    jobs: int,
    progress: Progress,
    surveys: Sequence["Shard"] | None,
    stage: Stage,
) -> Iterator[Written]:
    """Write the pages of a shard's tests, what it tells of them, and its manifest."""
    making = site_build(plan, jobs, progress)
    own = part.of(making.tests)
    digests: dict[str, str] = {}
    with making.pools(stage) as pools:
        if surveys is None:
            making.survey(pools, making.tests)
        else:
            progress.stage("reading surveys")
        for file, trace, _, _ in (told for one in surveys or () for told in one.told()):
            making.take_survey(file, trace)
        shown = plan.shown(own)
        making.compare(pools, shown)
        for one in making.pages_of(shown, pools):
            digests[one.path] = one.digest
            yield one
    plan.built.tests = len(making.made)
    plan.built.pages = sum(path.endswith(".html") for path in digests)
    plan.built.errors = making.blocked
    yield from told_files(plan, part, making, digests, stage, SHARD)


def told_files(
    plan: Plan,
    part: Part,
    making: SiteBuild,
    digests: dict[str, str],
    stage: Stage,
    what: str,
) -> Iterator[Written]:
    """Write what is told of the tests of a part, then its manifest."""
    for path, data in shard_texts(part, part.of(making.tests), making):
        told = stage.put(path, data)
        digests[path] = told.digest
        yield told
    about = json.loads(written_manifest(plan.inputs, plan.built.checkout, digests, {}))
    about[what] = str(part)
    yield stage.put(manifest.NAME, json.dumps(about, sort_keys=True).encode())


def site_build(plan: Plan, jobs: int, progress: Progress) -> SiteBuild:
    """Return a build that keeps nothing for another one."""
    nothing = Steps(Store(Path()), Answers(plan.inputs, plan.archive), Path())
    return SiteBuild(plan, nothing, jobs, progress)


def shard_texts(
    part: Part, own: Sequence[str], making: SiteBuild
) -> Iterator[tuple[str, bytes]]:
    """Yield the files in which a shard tells of its tests: traces, flags, rows."""
    yield NAME, written({"shard": str(part), "tests": list(own)}).encode()
    for at, path in enumerate(told_in(own)):
        some = own[at * AT_ONCE : (at + 1) * AT_ONCE]
        yield path, written([told_of(making, file) for file in some]).encode()


def told_in(tests: Sequence[str]) -> list[str]:
    """
    Return the files in which is told of some tests.

    >>> told_in(["records/north/tests/ML-101.yaml"])
    ['shard/0.json']
    """
    return [TOLD.format(number) for number in range(-(-len(tests) // AT_ONCE))]


def told_of(making: SiteBuild, file: str) -> Told:
    """Return what a shard tells of a test."""
    trace = making.steps.text(f"trace {file}")
    if file not in making.made:
        return file, trace, "", ""
    return file, trace, making.steps.text(f"test {file}"), making.faces.get(file)


def merge_shards(
    root: Path,
    out: Path,
    options: Options,
    folder: Path,
    jobs: int,
    progress: Progress = SILENT,
) -> BuildResult:
    """
    Join the shards in a folder to a whole site, its other pages made by `jobs`.

    Raises
    ------
    EnvironmentFault
        If a shard is missing, is there twice, or was made of another commit, by another
        program, or with other options; if its tests or files are not all there.
    """
    plan = planned(root, options, progress)
    refuse_uncommitted(plan)
    shards = whole(plan, read_shards(folder, SHARD))

    def files(stage: Stage) -> Iterator[Written]:
        making = site_build(plan, jobs, progress)
        for file, trace, row, face in (told for one in shards for told in one.told()):
            making.take_survey(file, trace)
            if row:
                making.take_row(file, row, face)
        with making.pools(stage) as pools:
            making.compare(pools, ())
        progress.stage("joining the pages of tests", len(making.made))
        tests = (made for one in shards for made in pages_of(one, stage, progress))
        yield from making.whole(stage, tests)

    replace_site(out, files)
    return plan.built


def read_shards(folder: Path, what: str) -> list[Shard]:
    """Return the shards, or surveys, in a folder, in order."""
    found = [read_shard(path.parent, what) for path in sorted(folder.glob(f"*/{NAME}"))]
    if not found:
        raise EnvironmentFault(
            f"{folder} holds no {what}s.",
            f"Name the folder that holds the folders written by `build --{what}`.",
        )
    return sorted(found, key=lambda one: one.part.number)


def whole(plan: Plan, shards: list[Shard]) -> list[Shard]:
    """Return shards, or surveys, of all tests of this archive; refuse others."""
    refuse_unlike(plan, shards)
    refuse_incomplete(plan, shards)
    return shards


def read_shard(folder: Path, what: str) -> Shard:
    """Return one shard; refuse one whose files are not those of its manifest."""
    try:
        about = manifest_of(folder)
        data = (folder / NAME).read_bytes()
        whole = about.pop("files")[NAME] == digest(data)
        number, _, count = about[what].partition("/")
        part = Part(int(number), int(count))
        found = Shard(folder, what, part, about, json.loads(data)["tests"])
    except (OSError, ValueError, KeyError, TypeError, RecursionError) as error:
        raise broken(folder, f"can't be read ({type(error).__name__})") from error
    if not whole:
        raise broken(folder, f"{NAME} is not as written")
    return found


def manifest_of(folder: Path) -> dict[str, Any]:
    """Return the manifest of a shard."""
    found: dict[str, Any] = json.loads((folder / manifest.NAME).read_bytes())
    return found


def broken(folder: Path, why: str) -> EnvironmentFault:
    """Return the fault of a shard that did not arrive as it was built."""
    return EnvironmentFault(
        f"The part in {folder}: {why}. Nothing was built.",
        "Build that part again, or copy it whole.",
    )


def refuse_unlike(plan: Plan, shards: Sequence[Shard]) -> None:
    """Refuse shards of another commit, program or options than those of this build."""
    here = json.loads(written_manifest(plan.inputs, plan.built.checkout, {}, {}))
    for shard in shards:
        what = shard.what
        for key, word in ALIKE.items():
            theirs = shard.about.get(key)
            if theirs != here[key]:
                raise EnvironmentFault(
                    f"{what.capitalize()} {shard.part} in {shard.folder} was built "
                    f"with another {word}: {theirs}; here it is {here[key]}. "
                    "Nothing was built.",
                    f"Build every {what} at one commit, with one program and the same "
                    "options.",
                )


def refuse_incomplete(plan: Plan, shards: Sequence[Shard]) -> None:
    """Refuse shards that are not, together, every test once."""
    count, what = max(one.part.count for one in shards), shards[0].what
    parts = [Part(number, count) for number in range(1, count + 1)]
    given = [one.part for one in shards]
    tests = Counter(file for one in shards for file in one.tests)
    expected = plan.archive.files("test")
    wrong = (
        *listed(f"missing {what}", [str(one) for one in parts if one not in given]),
        *listed(
            f"{what} of another division", [str(x) for x in given if x not in parts]
        ),
        *listed(f"{what} twice", [str(x) for x, n in Counter(given).items() if n > 1]),
        *listed("missing test", [file for file in expected if not tests[file]]),
        *listed("test twice", [file for file, n in tests.items() if n > 1]),
        *listed("unknown test", sorted(set(tests) - set(expected))),
    )
    if wrong:
        raise EnvironmentFault(
            f"The {what}s are not a whole site: {'; '.join(wrong)}. Nothing was built.",
            f"Build what is missing, with `--{what}` of the same division.",
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


def pages_of(shard: Shard, stage: Stage, progress: Progress) -> Iterator[Written]:
    """Put the pages of a shard's tests into the site."""
    digests = shard.files()
    for path in sorted(digests.keys() - {NAME, *told_in(shard.tests)}):
        yield stage.put(path, shard.read(path, digests))
    progress.done(len(shard.tests))
