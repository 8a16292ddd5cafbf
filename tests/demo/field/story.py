"""
The demo's fill, from bare records to the amended curve, as commits of an archive.

`python -m tests.demo.field.story records [FOLDER]` writes the records and commits them:
complete, not reviewed, not issued. `python -m tests.demo.field.story issue [FOLDER]`
reviews and issues them in the order of the work, by the commands that a laboratory
types: the curve of HF-0129 is issued with a misread mass, lifts 7 to 9 are judged by
it, the mass is found, the curve amended, and every test judged again. Both stop at the
first command that refuses.
"""

import subprocess
import sys
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date
from pathlib import Path

import click

from tests.demo.field import curves, densities, equipment, papers, points, project
from tests.demo.field.curves import AMENDED, CURVES
from tests.demo.field.plan import A1, E4, E5, E6, E7, E9, TESTS, U1, Lift, number_of
from tests.demo.write import workday

COMMAND = "from buildsite.cli import main; main()"
HEAD = "records/heron-flats"
TOLD = """\
told:
  - {test: HF-F0057, who: foreman, at: 2026-11-20T11:10, how: by telephone}
  - {test: HF-F0059, who: foreman, at: 2026-11-20T11:10, how: by telephone}
"""
LATE = date(2026, 11, 23)
"""The day on which the place that no longer meets was tested again."""


class Archive:
    """An archive in a folder: files written, committed, reviewed, issued."""

    def __init__(self, root: Path) -> None:
        self.root = root

    def run(self, *words: str) -> None:
        """Run a command; stop where it fails."""
        click.echo(f"$ {' '.join(words)}", err=True)
        subprocess.run(words, cwd=self.root, check=True, stdin=subprocess.DEVNULL)

    def buildsite(self, *words: str) -> None:
        """Run a command of the program."""
        self.run(sys.executable, "-P", "-c", COMMAND, *words)

    def commit(self, texts: Mapping[str, str], subject: str) -> None:
        """Write files and commit these alone."""
        for name, text in texts.items():
            (self.root / name).parent.mkdir(parents=True, exist_ok=True)
            (self.root / name).write_text(text, encoding="utf-8", newline="\n")
        self.run("git", "add", "--", *texts)
        self.run("git", "commit", "-q", "-m", subject, "--", *texts)

    def edit(self, name: str, was: str, now: str, subject: str) -> None:
        """Change one text of a file, and commit it."""
        text = (self.root / name).read_text("utf-8")
        assert text.count(was) == 1, f"{name}: {text.count(was)} times: {was}"
        self.commit({name: text.replace(was, now)}, subject)

    def issue(self, ids: Iterable[str], reviewed: date, on: date, reason: str) -> None:
        """Review some tests, and issue them."""
        tests = list(ids)
        self.buildsite("review", *tests, "--by", "E02", "--on", str(reviewed))
        self.buildsite(
            "issue",
            *tests,
            "--authorized-by",
            "E02",
            "--on",
            str(on),
            "--reason",
            reason,
            "--to",
            RECIPIENT,
        )


RECIPIENT = "Heron Flats Causeway Trust (invented), resident engineer"

Texts = Mapping[str, str]


def of_day(on: date) -> Texts:
    """The field tests of a day, and its report."""
    tests = {
        f"{HEAD}/tests/{number_of(test)}.yaml": densities.text_of(test)
        for test in TESTS
        if test.on == on
    }
    report = papers.daily_id(on)
    return tests | {f"{HEAD}/daily/{report}.yaml": papers.daily_text(on)}


def write_records(archive: Archive) -> None:
    """Commit every record that is there before anything is reviewed."""
    path = f"{HEAD}/project.yaml"
    text = (archive.root / path).read_text("utf-8")
    archive.commit(
        {path: project.with_requirements(text)},
        "heron-flats: clauses, comparison and tests required; who accepts a lift",
    )
    archive.commit(
        equipment.texts(),
        "SC-01, DC-01, G-01: sand cone, drive cylinder and gauge of the fill",
    )
    every = curves.texts()
    samples = {name: text for name, text in every.items() if "/samples/" in name}
    archive.commit(samples, "HF-S08 to HF-S13: borrow pits 4 and 5 received")
    for test in CURVES:
        text = curves.as_first_typed(test.id, every[test.file])
        subject = f"{test.id}: standard effort on {test.sample}, {curves.place(test)}"
        archive.commit({test.file: text}, subject)
    archive.commit(points.family(), "embankment: the family of curves of borrow pit 4")
    archive.commit(points.texts(), "HF-P0001 to HF-P0008: one-points of borrow pit 4")
    for on in papers.DAYS:
        if on != LATE:
            first, *_, last = sorted(n for n in of_day(on) if "/tests/" in n)
            ids = " to ".join(name[-13:-5] for name in (first, last))
            archive.commit(of_day(on), f"{ids}: field tests of {on}, with its report")


def ids_of(*lifts: Lift) -> list[str]:
    """Every test of some lifts that is there before the curve is amended."""
    return [number_of(test) for test in TESTS if test.lift in lifts and test.on != LATE]


def accept(archive: Archive, number: int) -> None:
    """Write the acceptance of a lift, review and issue it."""
    one = papers.ACCEPTED[number - 1]
    archive.commit(
        {f"{HEAD}/acceptances/{one.id}.yaml": papers.acceptance_text(one)},
        f"{one.id}: {one.lift.zone}, lift {one.lift.number}, accepted",
    )
    reason = f"Acceptance of {one.lift.zone}, lift {one.lift.number}"
    archive.issue([one.id], one.on, one.on, reason)


def daily(archive: Archive, on: date) -> None:
    """Review and issue the report of a day."""
    after = workday(on, 2)
    archive.issue([papers.daily_id(on)], after, after, f"Report of {on}")


def november(day: int) -> date:
    """A day of November 2026."""
    return date(2026, 11, day)


def before_the_amendment(archive: Archive) -> None:
    """Curves, one-points, lifts 4 to 9 and the days as they were first issued."""
    archive.issue(
        [test.id for test in CURVES],
        date(2026, 10, 28),
        date(2026, 10, 30),
        "First issue, before borrow pits 4 and 5 are opened",
    )
    archive.issue(
        points.ISSUED, november(3), november(4), "First issue, with lifts 4 to 6"
    )
    for lift, reviewed, issued in (
        (E4, 4, 5),
        (E5, 6, 9),
        (E6, 9, 10),
        (E7, 10, 11),
        (E9, 17, 18),
    ):
        archive.issue(
            ids_of(lift),
            november(reviewed),
            november(issued),
            f"First issue: {lift.zone}, lift {lift.number}",
        )
    accept(archive, 1)
    accept(archive, 3)
    accept(archive, 4)
    for on in (2, 4, 9, 16):
        daily(archive, november(on))


def the_amendment(archive: Archive) -> None:
    """The misread mass is found; the curve is amended and every test judged again."""
    right, wrong = curves.RIGHT, curves.WRONG
    archive.edit(
        f"{HEAD}/tests/{AMENDED}.yaml",
        f"mold_and_wet_soil: {wrong},",
        f"mold_and_wet_soil: {right},",
        f"{AMENDED}: point {curves.POINT}, mold and wet soil {right} g, not {wrong} g",
    )
    archive.issue([AMENDED], november(20), november(20), curves.REASON)
    archive.edit(
        f"{HEAD}/tests/{densities.DISPOSED}.yaml",
        "status: complete",
        f"disposition: {densities.DISPOSITION}\nstatus: complete",
        f"{densities.DISPOSED}: accepted as it is by the engineer of record",
    )
    archive.issue(
        ids_of(E7, E9),
        november(23),
        november(24),
        f"Judged again by the amended curve, {AMENDED} r1",
    )
    archive.edit(
        f"{HEAD}/daily/{papers.daily_id(november(16))}.yaml",
        "entered:",
        f"{TOLD}entered:",
        "The contractor was told of the two places that no longer meet",
    )
    archive.issue(
        [papers.daily_id(november(9)), papers.daily_id(november(16))],
        november(24),
        november(24),
        f"The tests of the day were judged again by {AMENDED} r1",
    )
    archive.issue(
        [papers.ACCEPTED[3].id],
        november(24),
        november(24),
        f"The tests were judged again by {AMENDED} r1: all of them pass",
    )


def after_the_amendment(archive: Archive) -> None:
    """The place that was rolled again, lift 9, and what rests on older curves."""
    archive.commit(of_day(LATE), f"HF-F0061: field test of {LATE}, with its report")
    last = [number_of(test) for test in TESTS if test.on == LATE]
    archive.issue(last, november(24), november(25), "First issue: the retest of lift 9")
    archive.issue(
        [papers.daily_id(LATE)], november(25), november(25), f"Report of {LATE}"
    )
    accept(archive, 6)
    archive.issue(
        ids_of(U1, A1),
        november(25),
        november(26),
        "First issue, with the curves of the quarry stockpile and borrow pit 2",
    )
    daily(archive, november(3))
    accept(archive, 2)
    accept(archive, 5)


STEPS: Mapping[str, Sequence[Callable[[Archive], None]]] = {
    "records": (write_records,),
    "issue": (before_the_amendment, the_amendment, after_the_amendment),
}


def main(step: str, root: Path) -> None:
    """Take one of the two steps."""
    for part in STEPS[step]:
        part(Archive(root))


if __name__ == "__main__":
    folder = Path(sys.argv[2]) if len(sys.argv) > 2 else Path(__file__).parents[3]
    main(sys.argv[1], folder.resolve())
