"""
An archive of N invented compaction tests with a past, to measure with.

The readings are worked backwards from a curve, so that the records are sound: five
points that bracket the peak, none beyond zero air voids, and containers that keep their
mass. One seed gives one archive.
Each test was edited three times, and each time checked and reviewed again, as a
laboratory has to; of each eight one was issued before the last edit; of each sixteen
one was issued again after it. Where all are issued, each is issued once, at the end.
All archives of a seed hold the same records at their tips, whatever their past.

`python -m tests.benchmarks.archive FOLDER 100000 edits` makes one alone.
"""

import random
import subprocess
import sys
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import Literal, get_args

from tests.benchmarks.measure import BUILDSITE, run
from tests.benchmarks.past import Change, commit_all

Past = Literal["none", "edits", "revisions", "issued"]
"""One commit; edits as well; issued revisions as well; every test issued, no edits."""

ISSUED, AMENDED = 8, 16  # one of so many tests
EDITS = 3  # of each test
CHECKERS = ("T02", "E01")  # of the entry, in turn
AT_ONCE = 1000  # issued by one command
TESTS_A_PROJECT = 50
MOST_PROJECTS = 400  # a folder of thousands is slow in git
MOLDS = 8
FIRST_DAY = date(2024, 1, 15)
WORKING_DAYS = 300  # all within the year that the calibrations cover
OFFSETS = (-3.6, -1.8, 0.0, 1.8, 3.6)  # percent of water from optimum
AIR_DRY = 3.0  # percent of water before any is added
SPECIMEN = 2300  # grams, air-dry

LABORATORY = """\
format: 1
kind: laboratory
name: Bench Mark Soils (invented)
place: nowhere
invented: yes
staff:
  T01: {roles: [technician], may: [test], from: 2020-01-01}
  T02: {roles: [technician], may: [test], from: 2020-01-01}
  E01: {roles: [engineer], may: [test, review, authorize], from: 2020-01-01}
procedures: {curve: auto, report_density: lb/ft3, oversize_least_percent: 5}
"""
DEVICES = {
    "R-01": "kind: rammer\nid: R-01\noperation: mechanical\nface: round\n"
    "units: {mass: g, length: mm}\ncalibrations:\n"
    "  - {on: 2024-01-02, by: T01, next_due: 2025-01-02, mass: 2495, drop: 304.8}\n",
    "B-01": "kind: balance\nid: B-01\nreadability: 1\ncapacity: 20000\n"
    "units: {mass: g}\ncalibrations:\n"
    "  - {on: 2024-01-02, by: T01, next_due: 2025-01-02, largest_error: 0}\n",
    "B-02": "kind: balance\nid: B-02\nreadability: 0.01\ncapacity: 2000\n"
    "units: {mass: g}\ncalibrations:\n"
    "  - {on: 2024-01-02, by: T01, next_due: 2025-01-02, largest_error: 0.01}\n",
    "O-01": "kind: oven\nid: O-01\ncalibrations:\n"
    "  - {on: 2024-01-02, by: T01, next_due: 2025-01-02, set_temperature_c: 110,"
    " measured_temperatures_c: [109.0, 110.5, 111.0]}\n",
    "S-04": "kind: sieve\nid: S-04\nopening: No. 4\ncalibrations:\n"
    "  - {on: 2024-01-02, by: T01, next_due: 2025-01-02}\n",
}


@dataclass(frozen=True)
class Soil:
    """An invented soil: its solids, and its curve about the top."""

    symbol: str
    name: str
    specific_gravity: float
    optimum: float  # percent
    saturation: float  # ratio, at optimum
    bend: float  # kg/m3 lost per square of percent from optimum

    def density(self, optimum: float) -> float:
        """Return the dry density at an optimum nearby, as wet as this soil is there."""
        solids = self.specific_gravity * 998.2
        voids = optimum / 100 * self.specific_gravity / self.saturation
        return solids / (1 + voids)


SOILS = (
    Soil("CL", "Lean clay", 2.70, 15.9, 0.84, 4.0),
    Soil("SM", "Silty sand", 2.67, 12.0, 0.80, 5.0),
    Soil("ML", "Silt", 2.68, 16.9, 0.84, 4.0),
    Soil("SC", "Clayey sand", 2.68, 12.8, 0.82, 4.6),
    Soil("CH", "Fat clay", 2.74, 23.4, 0.86, 2.8),
)


def mold_volume(number: int) -> float:
    """Return the volume of one of the molds, in cm3."""
    return 943.0 + 0.3 * number


def mold_mass(number: int) -> int:
    """Return the mass of one of the molds with its base plate, in g."""
    return 4240 + 7 * number


def container_mass(number: int) -> float:
    """Return the mass of one of the containers, between 90 and 110 g."""
    return 90 + 37 * number % 200 / 10


def mold(number: int) -> str:
    """Return the record of a mold calibrated with water at 20 degrees, 998.2 kg/m3."""
    empty = 5200.0 + number
    full = empty + mold_volume(number) * 0.9982
    return (
        f"format: 1\nkind: mold\nid: M-{number:02d}\nnominal: 4 in\n"
        "units: {mass: g, length: mm, volume: cm3}\ncalibrations:\n"
        "  - {on: 2024-01-02, by: T01, next_due: 2025-01-02, state: as left,"
        f" weighed_with: mold and base plate, mass: {mold_mass(number)},"
        f" water: {{empty_with_plates: {empty:.1f}, full_with_plates: {full:.1f},"
        " temperature_c: 20.0}}\n"
    )


def readings(soil: Soil, mold_number: int, chance: random.Random) -> str:
    """Return five lines of readings: compacted specimen, then its water content."""
    optimum = soil.optimum + chance.uniform(-0.8, 0.8)
    containers = chance.sample(range(1, 200), len(OFFSETS))
    return "".join(
        point(
            container,
            optimum + offset + chance.uniform(-0.1, 0.1),
            soil.density(optimum) - soil.bend * offset**2 + chance.uniform(-3, 3),
            mold_number,
            chance,
        )
        for container, offset in zip(containers, OFFSETS, strict=True)
    )


def point(
    container: int,
    water: float,
    density: float,
    mold_number: int,
    chance: random.Random,
) -> str:
    """Return one line of readings that give this water content and dry density."""
    wet = density * (1 + water / 100) * mold_volume(mold_number) / 1000
    added = SPECIMEN / (1 + AIR_DRY / 100) * (water - AIR_DRY) / 100
    tare = container_mass(container) + chance.uniform(-0.02, 0.02)
    dry = chance.uniform(500, 560)
    return (
        f"  - {{water_added_ml: {added:.0f}, specimen_mass: {SPECIMEN},"
        f" mold_and_wet_soil: {mold_mass(mold_number) + wet:.0f},"
        f' container: "{container}", container_mass: {tare:.2f},'
        f" container_and_wet: {tare + dry * (1 + water / 100):.2f},"
        f" container_and_dry: {tare + dry:.2f}}}\n"
    )


def moisture_density(project: str, number: int, sample: int, seed: str) -> str:
    """Return the record of one compaction test."""
    chance = random.Random(seed)  # noqa: S311 (invented readings, not secrets)
    mold_number = chance.randrange(1, MOLDS + 1)
    start = FIRST_DAY + timedelta(days=chance.randrange(WORKING_DAYS))
    next_day, third = start + timedelta(days=1), start + timedelta(days=2)
    points = readings(SOILS[sample % len(SOILS)], mold_number, chance)
    return f"""\
format: 1
kind: moisture-density
id: {project.upper()}-{number:03d}
project: {project}
sample: {project.upper()}-S{sample:02d}
standard: {{designation: ASTM D698, edition: "12(2021)", method: A, variant: none}}
preparation: moist
processed_through: No. 4
specimens: separate
rammer: {{operation: mechanical, face: round}}
layers: 3
blows_per_layer: 25
prepared: {{on: {start}, by: T01}}
compacted: {{on: {next_day}, by: T01}}
dried: {{on: {third}, by: T02}}
entered: {{by: T01, checked_by: {CHECKERS[0]}}}
reviewed: {{on: {third + timedelta(days=1 + EDITS)}, by: E01}}
status: complete
units: {{compacted: g, moisture: g}}
equipment: {{mold: M-{mold_number:02d}, rammer: R-01, balance: B-01, \
moisture_balance: B-02, oven: O-01, sieve: S-04}}
mold_mass: {mold_mass(mold_number)}
weighed_with: mold and base plate
water_added: each
curve: {{form: auto}}
points:
{points}oven: {{in: {next_day}T15:00, out: {third}T09:00, temperature_c: 110}}
remarks: ""
"""


def sample_record(project: str, sample: int) -> str:
    """Return the record of one sample, all of which passes the No. 4 sieve."""
    soil = SOILS[sample % len(SOILS)]
    return f"""\
format: 1
kind: sample
id: {project.upper()}-S{sample:02d}
project: {project}
received: {{on: 2024-01-10, by: T01, condition: sealed bag}}
sampled: {{on: 2024-01-09, by: customer, method: shovel, place: stockpile}}
soil: {{name: {soil.name}, class: {soil.symbol}, class_basis: tested}}
gradation: {{retained_3_4_in: 0, retained_3_8_in: 0, retained_no_4: 0}}
specific_gravity: {{value: {soil.specific_gravity}, basis: measured}}
"""


def project_records(project: str, tests: int, seed: int) -> Iterator[tuple[str, str]]:
    """Yield path below records/ and text of each record of one project."""
    yield (
        f"{project}/project.yaml",
        f"format: 1\nkind: project\nid: {project}\nname: Invented site {project}\n"
        "customer: {name: Invented customer}\npublish: yes\n",
    )
    for sample in range(len(SOILS)):
        name = f"{project}/samples/{project.upper()}-S{sample:02d}.yaml"
        yield name, sample_record(project, sample)
    for number in range(1, tests + 1):
        text = moisture_density(
            project, number, number % len(SOILS), f"{seed} {project} {number}"
        )
        yield f"{project}/tests/{project.upper()}-{number:03d}.yaml", text


def archive_records(tests: int, seed: int) -> Iterator[tuple[str, str]]:
    """Yield path below records/ and text of every record of an archive."""
    yield "lab.yaml", LABORATORY
    for name, text in DEVICES.items():
        yield f"equipment/{name}.yaml", f"format: 1\n{text}"
    for number in range(1, MOLDS + 1):
        yield f"equipment/M-{number:02d}.yaml", mold(number)
    each = max(TESTS_A_PROJECT, -(-tests // MOST_PROJECTS))
    for first in range(0, tests, each):
        project = f"p{first // each + 1:04d}"
        yield from project_records(project, min(each, tests - first), seed)


def corrected(text: str, hundredths: int) -> str:
    """
    Return a test's text with the first dry mass moved by hundredths of a gram.

    >>> corrected("{container_and_wet: 610.10, container_and_dry: 560.02}", -2)
    '{container_and_wet: 610.10, container_and_dry: 560.00}'
    """
    before, key, rest = text.partition("container_and_dry: ")
    mass, end, after = rest.partition("}")
    return f"{before}{key}{float(mass) + hundredths / 100:.2f}{end}{after}"


def before_edits(text: str, left: int) -> str:
    """
    Return a test's text as it was so many edits ago.

    With each edit the record was checked and reviewed again, as a laboratory has to.

    >>> print(before_edits(
    ...     "entered: {by: T01, checked_by: T02}\\n"
    ...     "reviewed: {on: 2024-05-09, by: E01}\\n"
    ...     "{container_and_dry: 560.02}", 1
    ... ))
    entered: {by: T01, checked_by: E01}
    reviewed: {on: 2024-05-08, by: E01}
    {container_and_dry: 560.01}
    """
    before, key, rest = text.partition("reviewed: {on: ")
    day = date.fromisoformat(rest[:10]) - timedelta(days=left)
    checker = CHECKERS[left % len(CHECKERS)]
    found = f"{before}{key}{day}{rest[10:]}"
    return corrected(
        found.replace(f"checked_by: {CHECKERS[0]}", f"checked_by: {checker}"), -left
    )


@dataclass
class Archive:
    """An archive being made: where, its records, and how many commits it has."""

    root: Path
    records: dict[str, str]
    commits: int = 0

    @property
    def tests(self) -> list[str]:
        """Paths of the tests, in order."""
        return sorted(name for name in self.records if "/tests/" in name)

    def commit(self, changes: Iterable[Change]) -> None:
        """Add commits, each when it is its turn."""
        self.commits += commit_all(self.root, changes, self.commits)

    def check_out(self) -> None:
        """Write the files of the last commit, as far as they are others."""
        git = ("git", "reset", "--hard", "--quiet")
        subprocess.run(git, cwd=self.root, check=True)

    def begin(self, edited: Sequence[str]) -> None:
        """Commit every record, the edited ones as they were before their edits."""
        touched = set(edited)
        files = {
            name: (before_edits(text, EDITS) if name in touched else text).encode()
            for name, text in self.records.items()
        }
        attributes = {".gitattributes": b"*.yaml text eol=lf\n"}
        self.commit([Change("an invented archive", attributes | files)])

    def edit(self, names: Sequence[str], left: int) -> None:
        """Commit an edit of each test, so many before the record as it stands."""
        message = "{}: read point 1 again\n\nEntered-by: T07\nReason: read again\n"
        self.commit(
            Change(
                message.format(Path(name).stem),
                {name: before_edits(self.records[name], left).encode()},
            )
            for name in names
        )

    def issue(self, names: Sequence[str]) -> None:
        """Issue tests by the program itself, and commit each by itself."""
        self.check_out()
        ids = [Path(name).stem for name in names]
        words = ("--authorized-by", "E01", "--reason", "a benchmark")
        when = ("--on", "2025-01-02", "--to", "Invented customer", "--no-commit")
        for first in range(0, len(ids), AT_ONCE):
            some = ids[first : first + AT_ONCE]
            run((*BUILDSITE, "issue", *some, *words, *when), self.root)
        self.commit(
            Change(
                f"Issue {id}\n",
                {
                    str(path.relative_to(self.root)): path.read_bytes()
                    for path in sorted((self.root / name).parent.glob(f"{id}.*"))
                    if path.name != Path(name).name
                },
            )
            for id, name in zip(ids, names, strict=True)
        )


def make_archive(root: Path, tests: int, past: Past, seed: int = 1) -> list[Path]:
    """
    Make an archive of so many tests, with this past, and return the tests' paths.

    Parameters
    ----------
    root : Path
        A folder that is empty or does not exist.
    tests : int
        How many compaction tests.
    past : str
        What stands in its past.
    seed : int
        The same seed gives the same records.
    """
    records = {f"records/{name}": text for name, text in archive_records(tests, seed)}
    archive = Archive(root, records)
    edited = archive.tests if past in ("edits", "revisions") else []
    archive.begin(edited)
    for left in range(EDITS - 1, 0, -1):
        archive.edit(edited, left)
    if past == "revisions":
        archive.issue(archive.tests[::ISSUED])
    archive.edit(edited, 0)
    if past == "revisions":
        archive.issue(archive.tests[::AMENDED])
    if past == "issued":
        archive.issue(archive.tests)
    archive.check_out()
    return [root / name for name in archive.tests]


def edits_in(tests: int) -> int:
    """Return how many edits an archive of so many tests has."""
    return EDITS * tests


def revisions_in(tests: int) -> int:
    """Return how many revisions an archive of so many tests has."""
    return len(range(0, tests, ISSUED)) + len(range(0, tests, AMENDED))


def main() -> None:
    """Make an archive: its folder, how many tests, what past."""
    folder, tests, past = sys.argv[1:]
    make_archive(Path(folder), int(tests), next(p for p in get_args(Past) if p == past))


if __name__ == "__main__":
    main()
