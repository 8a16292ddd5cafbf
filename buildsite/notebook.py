"""The results of an archive for a notebook or a script: `open_archive`."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import field
from functools import cached_property
from os import PathLike
from pathlib import Path
from typing import TYPE_CHECKING, Any

from buildsite.archive.across import compare_tests, traces_of
from buildsite.archive.archive import Archive
from buildsite.archive.entry_checks import flags_of_history
from buildsite.archive.identity import name_of
from buildsite.archive.inputs_as_issued import Contents, present_in
from buildsite.archive.issued_files import IssuedFiles
from buildsite.archive.issues import members_named, released_of
from buildsite.archive.result_rows import Told, results_told
from buildsite.archive.states import archive_at, working_archive
from buildsite.exports.results import Figure, ResultRow
from buildsite.exports.results_columns import columns
from buildsite.files import find_root
from buildsite.history.run import checkout, commit_of
from buildsite.history.walk import History, read_history
from buildsite.record.commits import places_touching
from buildsite.values import dataclass

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Numbers = NDArray[np.float64]


@dataclass(frozen=True)
class Points:
    """
    The points of a test as arrays of one length; not a number where there is none.

    `water_content`, `saturation` and `air_voids` in percent, `dry_density` and
    `wet_density` in kg/m³. A `rejected` point is no part of the curve.
    """

    water_content: "Numbers"
    dry_density: "Numbers"
    wet_density: "Numbers"
    saturation: "Numbers"
    air_voids: "Numbers"
    rejected: "NDArray[np.bool_]"


@dataclass(frozen=True)
class Curve:
    """
    A compaction curve as drawn: water content [%] and dry density [kg/m³].

    Empty where a test has none, or where it was drawn by hand.
    """

    water_content: "Numbers"
    dry_density: "Numbers"


def array(values: Sequence[Any]) -> "Numbers":
    """Return numbers as an array; not a number where there is none."""
    import numpy as np

    return np.array([np.nan if one is None else one for one in values], dtype=float)


@dataclass(frozen=True)
class SoilTest:
    """
    One test: its current result as a row, its points and its curve.

    `row` has what a row of results.csv has; `told` is the whole result, as `show
    --json` gives it or as it was kept with the report.
    """

    row: ResultRow
    told: Mapping[str, Any] = field(repr=False)

    @property
    def id(self) -> str:
        """Number of the test."""
        return self.row.id

    def result(self, name: str) -> Figure | None:
        """
        Return a result by name, such as `maximum_dry_density`; None if it has none.

        Its `value` is unrounded in SI (kg/m³; percent for ratios), `reported` the
        number and unit of the report.
        """
        return self.row.figure(name)

    def governing(self, name: str) -> Figure | None:
        """Return the result that field tests are judged by: corrected, where it is."""
        return self.row.governs(name)

    @cached_property
    def points(self) -> Points:
        """Its points; arrays without length for a test without."""
        import numpy as np

        every = self.told.get("points") or ()

        def column(name: str) -> "Numbers":
            return array([one.get(name) for one in every])

        return Points(
            water_content=column("water_content"),
            dry_density=column("dry_density"),
            wet_density=column("wet_density"),
            saturation=column("saturation"),
            air_voids=column("air_voids"),
            rejected=np.array([bool(one.get("rejected")) for one in every], dtype=bool),
        )

    @cached_property
    def curve(self) -> Curve:
        """Its curve."""
        line = (self.told.get("curve") or {}).get("line") or ()
        return Curve(array([w for w, _ in line]), array([d for _, d in line]))


@dataclass(frozen=True)
class Results:
    """The current results of an archive, by project and id."""

    laboratory: str
    every: tuple[SoilTest, ...] = field(repr=False)
    families: Mapping[str, tuple[str, ...]] = field(repr=False)

    def tests(
        self, *, project: str = "", kind: str = "", family: str = ""
    ) -> tuple[SoilTest, ...]:
        """
        Return tests, all of them or those of a project, a kind or a family of curves.

        >>> Results("A laboratory", (), {}).tests(kind="moisture-density")
        ()
        """
        members = self.families.get(family, ())
        return tuple(
            one
            for one in self.every
            if project in ("", one.row.project)
            and kind in ("", one.row.kind)
            and (not family or one.id in members)
        )

    def __getitem__(self, id: str) -> SoilTest:
        """Return the test with that id."""
        for one in self.every:
            if one.id == id:
                return one
        raise KeyError(id)

    def to_rows(self) -> list[dict[str, Any]]:
        """
        Return the rows of results.csv, each a dict by the names of its columns.

        Numbers are floats, days are dates, None where nothing is stated: a data frame
        takes it as it is.
        """
        return [row_of(one.row) for one in self.every]


def row_of(row: ResultRow) -> dict[str, Any]:
    """Return one row by the names of the columns."""
    found: dict[str, Any] = {}
    for column in columns():
        value: Any = column.value(row, "")
        number = column.type == "number" and value is not None
        found[column.name] = float(value) if number else value if value != "" else None
    return found


def open_archive(folder: str | PathLike[str] = ".", at: str = "") -> Results:
    """
    Return the current results of an archive.

    `folder` is the archive or a folder within it. `at` is a git revision (a commit, a
    tag, a branch); by default the results are those of the files as they are. An issued
    test has the result that was reported.

    Raises
    ------
    EnvironmentFault
        If there is no archive, or git does not know that revision.
    """
    return results_of(find_root(Path(folder)), at)


def results_of(root: Path, at: str = "", *, release: bool = False) -> Results:
    """Return the current results of an archive; for clients what they may see."""
    past = past_of(root, at)
    archive = archive_at(past, past.commits[0].id) if past and at else None
    archive = working_archive(root) if archive is None else archive
    files = IssuedFiles(Contents(past, present_in(archive)))
    tests = archive.files("test")
    if not release:
        more = (
            flags_of_history(archive, tests, past, places_touching(past))
            if past is not None
            else {}
        )
        compare_tests(archive, traces_of(archive, tests), more=more)
    shown = released_of(archive).tests if release else None
    told = sorted(results_told(archive, files, shown), key=by_project)
    lab = archive.laboratory
    return Results(
        lab.name if lab is not None else "Laboratory",
        tuple(SoilTest(row, result) for row, result in told),
        dict(families_of(archive)),
    )


def by_project(told: Told) -> tuple[str, str]:
    """Sort key: project, then id."""
    row, _ = told
    return row.project, row.id


def past_of(root: Path, at: str) -> History | None:
    """Return the history up to a revision, or of what is here; None without git."""
    if at:
        return read_history(root, commit_of(root, at))
    return read_history(root) if checkout(root).commit is not None else None


def families_of(archive: Archive) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Yield each family of curves with its members, by its id."""
    for file in archive.files("family"):
        record = archive.entry(file).record
        if record is not None:
            yield name_of(file), members_named(record)
