"""The notes of a report: rejected readings, statements, flags."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from buildsite.kinds.answers import CUSTOMER, LaboratoryFacts, SampleFacts
from buildsite.kinds.bench_spec import LOCAL_RULES
from buildsite.kinds.sheet import Cell, Column, Note, Row, Table
from buildsite.kinds.tests.shared.facts import join_known, person_text
from buildsite.kinds.tests.shared.record import AnyTest, lines_of, sample_id
from buildsite.record.flags import Field, Flag, Severity
from buildsite.standards.cells import UNCHECKED, short_basis


def rejected(case: AnyTest) -> Note | None:
    """Return the rejected lines of readings, with who rejected them and why."""
    word = case.record.work.line
    paragraphs = tuple(
        f"{word.capitalize()} {i + 1} was rejected by "
        f"{person_text(case, line.rejected.by)}: {line.rejected.reason}"
        for i, line in enumerate(lines_of(case.record))
        if line.rejected is not None
    )
    return Note("rejected", f"Rejected {word}s", paragraphs) if paragraphs else None


def outside(case: AnyTest) -> Note | None:
    """Return the statement that another laboratory did the work."""
    other = case.record.external
    if other is None:
        return None
    who = join_known(other.laboratory, other.report)
    text = f"Tested by {who}; not by this laboratory."
    return Note("external", "Result from another laboratory", (text,), role="statement")


def withdrawn(case: AnyTest) -> Note | None:
    """Return the banner of a withdrawn test."""
    if case.record.status != "withdrawn":
        return None
    why = case.record.withdrawn
    reason = why.reason if why is not None and why.reason else "no reason stated"
    when = f" on {why.on}" if why is not None and why.on else ""
    reason = reason.removesuffix(".")
    text = f"This test was withdrawn{when}: {reason}. Do not use its result."
    return Note("withdrawn", "Withdrawn", (text,), role="banner")


def customers_part(case: AnyTest, used: Iterable[str]) -> Iterator[str]:
    """
    Yield that the customer supplied some of the information, where so.

    ISO/IEC 17025:2017, 7.8.2.2: it is identified, and the laboratory disclaims it.
    `used` are the values of the computation among it.
    """
    sample = case.inputs.get(SampleFacts, sample_id(case.record))
    of_sample = (
        (
            ("sampling", sample.sampled_by == CUSTOMER),
            ("description and class of the soil", bool(sample.soil_given_by)),
            ("gradation", bool(sample.gradation_given_by)),
        )
        if sample is not None
        else ()
    )
    said = [name for name, theirs in of_sample if theirs] + list(used)
    if said:
        yield (
            "Supplied by the customer, who answers for its effect on the results: "
            f"{', '.join(said)}."
        )


def applies_to(case: AnyTest) -> str:
    """Return what the results apply to: a sample, or what was tested where it lay."""
    if sample_id(case.record):
        return "The results apply only to the sample as received."
    return "The results apply only to the items tested, as and where they were found."


def statements(case: AnyTest, hazards: str, from_customer: Iterable[str]) -> Note:
    """Return the statements of every report."""
    lab = case.inputs.get(LaboratoryFacts, "lab")
    paragraphs = [
        applies_to(case),
        *customers_part(case, from_customer),
        "This report may be copied only in full, unless the laboratory agrees in "
        "writing.",
        f"Anyone repeating this test must guard against injury from {hazards}, and "
        "follow local rules and licensed practice.",
    ]
    if lab is not None and lab.invented:
        paragraphs.insert(
            0, "The laboratory, its people, customers and data are invented."
        )
    return Note("statements", "Statements", tuple(paragraphs), role="statement")


def cautions(texts: tuple[str, ...]) -> Note:
    """Return the cautions for those who do the work: a client reads one statement."""
    paragraphs = (*texts, LOCAL_RULES)
    return Note("cautions", "Cautions", paragraphs, "caution", laboratory_only=True)


def remarks(case: AnyTest) -> Note | None:
    """Return the technician's remarks."""
    text = case.record.remarks
    return Note("remarks", "Remarks", (text,)) if text else None


FLAG_COLUMNS = tuple(
    Column(label)
    for label in ("Flag", "Severity", "Where", "Finding", "Source", "State")
)


def state_of(flag: Flag) -> str:
    """Return who accepted a flag and why, or that it is open."""
    if not flag.accepted_by:
        return "Open"
    return f"Accepted by {flag.accepted_by}: {flag.accepted_reason}"


def places_text(fields: list[Field]) -> str:
    """
    Return the places of a flag in the reader's words: points counted from 1.

    >>> places_text([("points", 0, "mold_mass"), ("points", 2, "mold_mass")])
    'points 1, 3: mold mass'
    >>> places_text([("points", 4)]), places_text([("equipment", "mold")])
    ('point 5', 'equipment: mold')
    """
    places: dict[tuple[str, str], list[str]] = {}
    for field in fields:
        numbers = [str(part + 1) for part in field if isinstance(part, int)]
        names = [part.replace("_", " ") for part in field if isinstance(part, str)]
        key = (names[0] if names else "", " ".join(names[1:]))
        places.setdefault(key, []).extend(numbers[:1])
    texts = []
    for (lead, rest), numbers in places.items():
        name = lead.removesuffix("s") if len(numbers) == 1 else lead
        first = " ".join(filter(None, (name, ", ".join(numbers))))
        texts.append(": ".join(filter(None, (first, rest))))
    return "; ".join(filter(None, texts)) or "—"


def found_text(texts: Sequence[str]) -> str:
    """
    Return what was found at several places, in their order.

    >>> found_text(["599.0 g of wet soil", "577.0 g of wet soil"])
    '599.0, 577.0 g of wet soil'
    >>> found_text(["5 h 00 min", "5 h 00 min"]), found_text(["a 1 g", "b 1 g"])
    ('5 h 00 min', 'a 1 g; b 1 g')
    """
    each = list(dict.fromkeys(texts))
    if len(each) == 1:
        return each[0]
    split = [text.partition(" ") for text in texts]
    if len({rest for _, _, rest in split}) == 1 and all(
        one[:1].isdecimal() for one, _, _ in split
    ):
        return f"{', '.join(one for one, _, _ in split)} {split[0][2]}".strip()
    return "; ".join(each)


def places_once(flags: Sequence[Flag]) -> bool:
    """Whether flags are each at a line of readings of its own."""
    places = [flag.field[:2] for flag in flags]
    lines = all(len(one) == 2 and isinstance(one[1], int) for one in places)
    return lines and len(set(places)) == len(places)


def alike(flags: Sequence[Flag]) -> Iterator[tuple[Flag, ...]]:
    """
    Yield flags that share a row: those that differ only in place.

    Where each is at a line of readings of its own, also in what was found there.
    """
    groups: dict[tuple[str, ...], list[Flag]] = {}
    for flag in flags:
        key = (flag.flag, flag.expected, flag.basis, state_of(flag))
        groups.setdefault(key, []).append(flag)
    for shared in groups.values():
        if places_once(shared):
            yield tuple(shared)
            continue
        same: dict[str, list[Flag]] = {}
        for flag in shared:
            same.setdefault(flag.found, []).append(flag)
        yield from map(tuple, same.values())


def flag_rows(flags: Sequence[Flag]) -> Iterator[Row]:
    """Return the rows of flags; see `alike` for those that share one."""
    for shared in alike(flags):
        first = shared[0]
        found = found_text([flag.found for flag in shared])
        texts = (
            str(first.severity),
            places_text([flag.field for flag in shared]),
            f"Found: {found}. Expected: {first.expected}.",
            short_basis(first.basis),
            state_of(first),
        )
        yield Row(
            (Cell(first.flag, ("check", first.flag)), *map(Cell, texts)),
            mark="accepted" if first.accepted_by else str(first.severity),
        )


def flags_of(name: str, title: str, flags: Sequence[Flag]) -> Table:
    """Return a table of flags; it explains `unchecked` where a source is."""
    rows = tuple(flag_rows(flags))
    unchecked = any(UNCHECKED in flag.basis for flag in flags)
    note = f"Unchecked: {UNCHECKED}." if unchecked else ""
    return Table(name, title, FLAG_COLUMNS, rows, role="flags", note=note)


def flag_table(flags: tuple[Flag, ...]) -> Table | None:
    """Return the table of errors and warnings."""
    printed = [flag for flag in flags if flag.severity is not Severity.NOTE]
    if not printed:
        return None
    printed.sort(key=lambda flag: (flag.severity.rank, flag.order))
    return flags_of("flags", "Flags", printed)


def note_table(flags: tuple[Flag, ...]) -> Table | None:
    """Return the table of notes, for the laboratory only."""
    own = [flag for flag in flags if flag.severity is Severity.NOTE]
    if not own:
        return None
    table = flags_of("notes", "Notes for the laboratory", own)
    return replace(table, laboratory_only=True)
