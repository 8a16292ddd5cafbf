"""Effects, prompts and commit subjects of `enter`."""

from collections.abc import Generator, Iterable, Sequence
from typing import Any, TypeAlias

from buildsite.entering.questions import Question, stands_at
from buildsite.kinds.bench_spec import Progress, Reading, unit_text
from buildsite.record.changes import changes
from buildsite.record.compose import Tree
from buildsite.record.flags import Field
from buildsite.record.typed import without_blanks
from buildsite.values import dataclass


@dataclass(frozen=True)
class Say:
    lines: tuple[str, ...]


@dataclass(frozen=True)
class AskFor:
    prompt: str
    option: str = ""  # the option that gives the answer, if given


@dataclass(frozen=True)
class Save:
    data: bytes


@dataclass(frozen=True)
class CommitRecord:
    """
    A commit of the record alone; the answer is whether it was made.

    `altered` are the earlier values that it changes, with who typed them; `stays` is
    the record as it is in the file afterwards, if that has more than is committed.
    """

    data: bytes
    subject: str
    by: str
    reason: str
    altered: tuple[str, ...] = ()
    stays: bytes | None = None


Effect: TypeAlias = Say | AskFor | Save | CommitRecord
Talk: TypeAlias = Generator[Effect, Any, Any]

KEYS = "Enter: leave blank   -: back   /: stop   ?: help"
WALK_KEYS = (
    "Enter: keep, or leave blank   blank: make blank   -: back   /: stop   ?: help"
)
HELP = (
    "Type the number as the balance shows it, zeros included.",
    "Enter alone leaves a blank, keeps the value, or takes the one in [ ].",
    ". or go: first blank reading.   p 3: point 3.",
    "- or back: previous question.   s or skip: leave blank.",
    "blank: take away a value that belongs elsewhere.",
    "/ or stop: save, and continue another day.",
    "+127.21: next mass of a repeat drying.",
    "=: standard, equipment and all other particulars.   =oversize, =remarks: these.",
    "Time: 15:20 on the day of entry, or 2026-03-11 07:55.",
)

ASCII_FORMS = str.maketrans(
    {"³": "3", "²": "2", "°": "deg ", "–": "-", "—": "-", "±": "+/-", "·": ".",
     "→": "->", "’": "'", "…": "...", "ρ": "rho", "≤": "<=", "≥": ">="}
)  # fmt: skip


def ascii_text(text: str) -> str:
    """
    Write a text in ASCII.

    >>> ascii_text("1828 kg/m³ at 20 °C")
    '1828 kg/m3 at 20 deg C'
    """
    return text.translate(ASCII_FORMS).encode("ascii", "replace").decode()


FORM_HINTS = {
    "time": " (hh:mm)",
    "gravity": " (as in 2.70 assumed, 2.70 measured, or a test no.)",
    "band": " (as in -2 2, or -20 20 %)",
    "density": " (as in 105.0 lb/ft3)",
    "comparison": " (rounded, absolute, or percent rounded, water absolute)",
    "decision": " (simple, or guarded and the day it was agreed)",
    "tests": " (as in 3 each lift)",
    "lot": " (as in 4 100 95: tests, average, each)",
    "engineers": " (staff code, or name, party; several by semicolons)",
    "peak": " (density with unit, water content, why)",
    "repeatability": " (as in AASHTO T 99, A, 0.9 lb/ft3, 0.4, 12)",
    "acceptance": " (its name, a colon, and why)",
    "list": " (separated by commas)",
    "remarks": " (+words adds)",
    "test": " (Enter: its figures)",
}
"""How an answer is typed, by what a reading takes."""


def prompt(question: Question, tree: Tree, usual: str) -> str:
    """Return the prompt for a reading: where, what, unit, resolution, present value."""
    reading = question.reading
    if question.gate:
        return f"Add {question.line.lower()}? [{usual}] "
    where = ", ".join(part for part in (question.line, question.label) if part)
    what = f"{where}: {reading.words}" if where else reading.words
    unit = f" ({unit_text(reading)})" if reading.unit else ""
    offered = reading.choices if is_numbered(reading) else ()
    choices = "".join(
        f", {i} {choice}" if i > 1 else f" ({i} {choice}"
        for i, choice in enumerate(offered, start=1)
    )
    unit = FORM_HINTS.get(reading.takes, unit)
    if reading.takes == "equipment" and reading.of and not reading.choices:
        unit = " (none on file)"
    stands = stands_at(tree, question.field)
    shown = f", now {reading_text(stands)}" if stands is not None else ""
    taken = f" [{usual}]" if usual and stands is None else ""
    return f"{what}{unit}{choices}{')' * bool(choices)}{shown}{taken}: "


def before_another(now: Progress) -> tuple[str, ...]:
    """Return what to say before one more line is offered."""
    required = f"Still required: {'; '.join(now.required)}." if now.required else ""
    return tuple(line for line in (now.hint, required) if line)


def is_numbered(reading: Reading) -> bool:
    """Whether the choices of a reading are shown with numbers, which may be typed."""
    return len(reading.choices) <= MOST_OFFERED and reading.takes not in UNLISTED


def unknown_code(code: str, staff: Iterable[str]) -> tuple[str, ...]:
    """Return the line that nobody has this staff code, and which codes there are."""
    return (f"  ! {code!r} is not a staff code: {', '.join(staff)}.",)


UNLISTED = ("name", "repeatability")
"""What is typed in full: its choices are named only where an answer is none."""

MOST_OFFERED = 9
"""Most choices offered: one key each."""


def reading_text(value: Any) -> str:
    """
    Write the present value, a list of oven masses, or a value with its basis.

    >>> reading_text("127.21"), reading_text(["127.30", "127.21"])
    ('127.21', '127.30, 127.21')
    >>> reading_text({"value": "2.70", "basis": None})
    '2.70'
    """
    if isinstance(value, dict):
        return ", ".join(str(one) for one in value.values() if one is not None)
    return ", ".join(map(str, value)) if isinstance(value, list) else str(value)


def commit_subject(before: Tree, after: Tree) -> str:
    """
    Return the subject of a commit: what was entered.

    >>> commit_subject({}, {"points": [{"mass": "1"}, {"mass": "2"}], "layers": "3"})
    'enter points 1 to 2, layers'
    """
    names: list[str] = []
    lines: list[int] = []
    for change in changes(before, after):
        field: Field = change.field
        if field[0] == "points" and len(field) > 1 and isinstance(field[1], int):
            lines.append(field[1] + 1)
        elif field[0] == "points":
            written = change.new if isinstance(change.new, list) else ()
            lines += line_numbers(written)
        elif str(field[0]) not in names:
            names.append(str(field[0]).replace("_", " "))
    numbers = sorted(set(lines))
    if numbers:
        names.insert(0, points_text(numbers))
    few = ", ".join(dict.fromkeys(names[:4]))
    return f"enter {few}{' and more' if len(names) > 4 else ''}"


def line_numbers(written: Sequence[Any]) -> list[int]:
    """Return the numbers of the lines that are not blank."""
    return [
        i for i, line in enumerate(written, start=1) if without_blanks({"line": line})
    ]


def new_record_subject(tree: Tree) -> str:
    """
    Return the subject of the first commit of a record.

    >>> new_record_subject({"points": [{"mass": "1"}, {"mass": None}]})
    'new record, point 1'
    >>> new_record_subject({})
    'new record'
    """
    points = tree.get("points")
    lines = line_numbers(points) if isinstance(points, list) else []
    return f"new record, {points_text(lines)}" if lines else "new record"


def points_text(numbers: Sequence[int]) -> str:
    """
    Name points by their numbers.

    >>> points_text([2]), points_text([1, 2, 3]), points_text([1, 3])
    ('point 2', 'points 1 to 3', 'points 1, 3')
    """
    if len(numbers) == 1:
        return f"point {numbers[0]}"
    if numbers[-1] - numbers[0] == len(numbers) - 1:
        return f"points {numbers[0]} to {numbers[-1]}"
    return f"points {', '.join(map(str, numbers))}"
